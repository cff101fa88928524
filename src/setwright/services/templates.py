"""The annotated templates, which are the manual of the files."""

from __future__ import annotations

from importlib import resources

WHERE = {
    "trainee": ("setwright.people", "trainee.template.toml"),
    "place": ("setwright.people", "place.template.toml"),
    "brief": ("setwright.plan", "brief.template.toml"),
    "season": ("setwright.people", "season.template.toml"),
    "exercise": ("setwright.catalogue", "template.toml"),
    "scheme": ("setwright.plan", "scheme.template.toml"),
    "format": ("setwright.plan", "format.template.toml"),
    "progression": ("setwright.catalogue", "progression.template.toml"),
}


def template_text(kind: str) -> str:
    """The template of a kind of file; LookupError for an unknown kind."""
    if kind not in WHERE:
        raise LookupError(f"no template {kind!r}; there are: {', '.join(WHERE)}")
    package, name = WHERE[kind]
    return resources.files(package).joinpath("data", name).read_text(encoding="utf-8")
