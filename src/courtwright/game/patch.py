"""JSON Merge Patch (RFC 7396): how an easier, harder or smaller form changes the document."""

from __future__ import annotations

from typing import Any


def merge_patch(target: Any, patch: Any) -> Any:
    """The target changed by the patch, as in section 2 of the RFC; neither argument is altered.

    Objects merge name by name, null takes a name out, anything else (lists as
    well) replaces what was there.
    """
    if not isinstance(patch, dict):
        return patch
    merged = dict(target) if isinstance(target, dict) else {}
    for name, value in patch.items():
        if value is None:
            merged.pop(name, None)
        else:
            merged[name] = merge_patch(merged.get(name), value)
    return merged
