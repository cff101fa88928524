"""From the trade's many names to one exercise, with a proposal where it is not sure."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources

from setwright.catalogue.store import Catalogue

# Abbreviations of the trade at large, word by word.
SHORT_WORDS = {
    "bb": "barbell",
    "db": "dumbbell",
    "dbs": "dumbbell",
    "kb": "kettlebell",
    "kbs": "kettlebell",
    "bw": "bodyweight",
    "sl": "single leg",
    "rdl": "romanian deadlift",
    "rdls": "romanian deadlift",
    "sldl": "single leg romanian deadlift",
    "ohp": "overhead press",
    "rfess": "rear foot elevated split squat",
    "rfe": "rear foot elevated",
    "ups": "up",
    "bss": "bulgarian split squat",
    "sq": "squat",
    "sqs": "squat",
    "deads": "deadlift",
    "dls": "deadlift",
    "bp": "bench press",
    "cgbp": "close grip bench press",
    "incl": "incline",
    "gm": "good morning",
    "gms": "good morning",
    "bor": "bent over row",
    "trapbar": "trap bar",
    "hexbar": "hex bar",
    "ham": "hamstring",
    "hams": "hamstring",
    "tricep": "triceps",
    "bicep": "biceps",
    "facepull": "face pull",
    "facepulls": "face pull",
    "skullcrusher": "skull crusher",
    "skullcrushers": "skull crusher",
    "getup": "get up",
    "getups": "get up",
    "ext": "extension",
    "exts": "extension",
    "alt": "alternating",
    "lat": "lat",
    "pullups": "pull up",
    "pullup": "pull up",
    "pushups": "push up",
    "pushup": "push up",
    "chinups": "chin up",
    "chinup": "chin up",
    "situp": "sit up",
    "situps": "sit up",
    "stepup": "step up",
    "stepups": "step up",
    "dl": "deadlift",
    "tri": "triceps",
}
# Word pairs that are written as one word or two.
PAIRS = (
    ("pull down", "pulldown"),
    ("push down", "pushdown"),
    ("dead lift", "deadlift"),
    ("roll out", "rollout"),
    ("wood chop", "woodchop"),
    ("one arm", "single arm"),
    ("1 arm", "single arm"),
    ("one leg", "single leg"),
    ("1 leg", "single leg"),
)
# Words that many names share: alone they make no two names alike.
WEAK_WORDS = {
    *("barbell", "dumbbell", "kettlebell", "cable", "band", "machine", "single", "two", "arm", "leg", "hand", "bar"),
    *("standing", "seated", "half", "full", "high", "low", "long", "hold", "body", "bodyweight", "weighted", "loaded"),
    *("up", "down", "over", "one", "front", "back", "side", "easy", "heavy", "light", "short", "thing", "assisted"),
    *("lower", "upper"),
}
FILLERS = {"the", "a", "with", "on", "of", "and", "to", "from", "in", "your", "exercise", "machine"}
KEEP_S = {"press", "triceps", "biceps", "cross", "abs", "calves", "ss"}
SURE = 93.0
LIKELY = 78.0
MARGIN = 7.0
FLOOR = 60.0  # a proposal below it is nonsense
SAME_WORD = 82.0  # two words are the same but for a slip of the finger
FIRST_WORD = 8.0  # what the same first word is worth


@dataclass(frozen=True)
class NameMatch:
    """What a name means: the exercise or None, a score 0 to 1, whether it is sure, and the nearest proposals."""

    slug: str | None
    score: float
    sure: bool
    proposals: tuple[str, ...]


def plain(text: str) -> str:
    """A name in its plainest form: lower case, abbreviations spelled out, no plural, no punctuation.

    >>> plain("DB Bench-Presses")
    'dumbbell bench press'
    """
    words = re.sub(r"[^a-z0-9]+", " ", re.sub(r"['’]s\b", "", text.lower())).split()
    found: list[str] = []
    for word in words:
        found += SHORT_WORDS.get(word, word).split()
    text = " ".join(singular(word) for word in found)
    for apart, joined in PAIRS:
        text = re.sub(rf"\b{apart}\b", joined, text)
    return text


def singular(word: str) -> str:
    """A word without the plural of an exercise name."""
    if word in KEEP_S or len(word) < 4:
        return word
    if word.endswith(("sses", "shes", "ches", "xes")):
        return word[:-2]
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith("s") and not word.endswith("ss"):
        return word[:-1]
    return word


def core(text: str) -> str:
    """The plain form as a sorted bag of words, little words left out."""
    return " ".join(sorted(word for word in plain(text).split() if word not in FILLERS))


@cache
def _packaged() -> dict[str, dict[str, list[str] | str]]:
    text = resources.files("setwright.catalogue").joinpath("data", "common_names.toml").read_text(encoding="utf-8")
    return dict(tomllib.loads(text))


def common_names() -> dict[str, str]:
    """Bare names that every coach understands one way, as packaged."""
    return {name: slug for name, slug in _packaged()["one_way"].items() if isinstance(slug, str)}


@cache
def near_names() -> dict[str, tuple[str, ...]]:
    """Names that mean several exercises, or one the catalogue lacks, with the exercises to propose; as packaged."""
    tables = (_packaged()["several"], _packaged()["lacking"])
    return {plain(name): tuple(slugs) for table in tables for name, slugs in table.items()}


def is_lacking(text: str) -> bool:
    """True for a name of the trade that the catalogue is known to lack."""
    return plain(text) in {plain(name) for name in _packaged()["lacking"]}


@lru_cache(maxsize=8)
def _index(catalogue_id: int, names: tuple[tuple[str, str], ...]) -> tuple[dict[str, str], dict[str, set[str]]]:
    exact: dict[str, str] = {}
    bags: dict[str, set[str]] = {}
    slugs = {slug for _, slug in names}
    for name, slug in common_names().items():
        if slug in slugs:
            exact[plain(name)] = slug
    for name, slug in names:
        exact.setdefault(plain(name), slug)
        bags.setdefault(core(name), set()).add(slug)
    return exact, bags


def names_of(catalogue: Catalogue) -> tuple[tuple[str, str], ...]:
    """Every (name, slug) of a catalogue: names first, then slugs, then other names."""
    entries = sorted(catalogue.values(), key=lambda one: (one.slug != one.base, one.slug))
    rows = [(one.name, one.slug) for one in entries] + [(one.slug, one.slug) for one in entries]
    rows += [(other, one.slug) for one in entries for other in one.also_called]
    return tuple(rows)


def match_name(text: str, catalogue: Catalogue) -> NameMatch:
    """The exercise that a name means.

    Sure when it is a known name in any spelling, or when one exercise is clearly nearest; else up to three
    proposals, best first.
    """
    from rapidfuzz import fuzz, process

    names = names_of(catalogue)
    exact, bags = _index(id(catalogue), names)
    wanted = plain(text)
    if not wanted:
        return NameMatch(None, 0.0, False, ())
    if wanted in exact:
        return NameMatch(exact[wanted], 1.0, True, (exact[wanted],))
    same_bag = bags.get(core(text), set())
    if len(same_bag) == 1:
        slug = next(iter(same_bag))
        return NameMatch(slug, 0.99, True, (slug,))
    told = tuple(slug for slug in near_names().get(wanted, ()) if slug in catalogue)
    if told:
        return NameMatch(None, 0.5, False, told[:3])
    scores: dict[str, float] = {}
    choices = list(exact)
    for scorer, weight in ((fuzz.token_sort_ratio, 1.0), (fuzz.token_set_ratio, 0.9)):
        for name, score, _ in process.extract(wanted, choices, scorer=scorer, limit=25):
            scores[name] = max(scores.get(name, 0.0), weight * score)
    best_of: dict[str, float] = {}
    near: dict[str, float] = {}
    for name, score in scores.items():
        slug = exact[name]
        best_of[slug] = max(best_of.get(slug, 0.0), score)
        likeness = sensible(wanted, name, score)
        if likeness >= FLOOR:
            near[slug] = max(near.get(slug, 0.0), likeness)
    ranked = sorted(best_of, key=lambda slug: (-best_of[slug], slug))
    if not ranked:
        return NameMatch(None, 0.0, False, ())
    best = best_of[ranked[0]]
    second = best_of[ranked[1]] if len(ranked) > 1 else 0.0
    sure = best >= SURE and best - second >= MARGIN / 2
    proposals = tuple(sorted(near, key=lambda slug: (-near[slug], slug))[:3])
    if sure and ranked[0] not in proposals:
        proposals = (ranked[0], *proposals)[:3]
    return NameMatch(ranked[0] if best >= LIKELY else None, round(best / 100, 3), sure, proposals)


def sensible(wanted: str, name: str, score: float) -> float:
    """How sensible a known name is as a proposal, 0 where no telling word is shared; the same first word counts."""
    from rapidfuzz import fuzz

    ours = [word for word in wanted.split() if word not in FILLERS]
    theirs = [word for word in name.split() if word not in FILLERS]
    telling = [word for word in ours if word not in WEAK_WORDS and len(word) >= 3]
    if not any(fuzz.ratio(one, other) >= SAME_WORD for one in telling for other in theirs):
        return 0.0
    first = bool(ours and theirs) and fuzz.ratio(ours[0], theirs[0]) >= SAME_WORD
    return score + (FIRST_WORD if first else 0.0)


def nearest(word: str, known: Iterable[str], n: int = 3) -> list[str]:
    """Up to ``n`` known words most like a misspelt one, best first; empty where nothing is like it."""
    from rapidfuzz import fuzz, process

    choices: Sequence[str] = sorted(set(known))
    found = process.extract(word.lower(), choices, scorer=fuzz.WRatio, limit=n, score_cutoff=60.0)
    return [name for name, _, _ in found]
