"""Static files under names that change with their content, also inside the modules that import one another."""

from __future__ import annotations

from whitenoise.storage import CompressedManifestStaticFilesStorage

PATTERNS = CompressedManifestStaticFilesStorage._js_module_import_aggregation_patterns[1]


class HashedFiles(CompressedManifestStaticFilesStorage):
    """Names with a digest; ``import "./queue.js"`` in a module of ours is rewritten to the name of that content.

    Modules that libraries bring stay as they are: some import files that they do not bring.
    """

    support_js_module_import_aggregation = True
    _js_module_import_aggregation_patterns = ("setwright/*.js", PATTERNS)
