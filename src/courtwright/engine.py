"""The one door to the compiler.

`kernel` marks a function for numba; `plain` gives the same source as ordinary
Python, bit for bit the same answer, for tests and for stepping through a
possession. ``COURTWRIGHT_ENGINE=python`` switches compilation off altogether
(coverage, or a machine where numba does not load).
"""

from __future__ import annotations

import hashlib
import os
import sys
import types
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, ParamSpec, TypeVar, cast

import platformdirs

P = ParamSpec("P")
R = TypeVar("R")

DATA_DIR: Final = Path(os.environ.get("COURTWRIGHT_DATA") or platformdirs.user_data_dir("courtwright", appauthor=False))
COMPILED: Final = os.environ.get("COURTWRIGHT_ENGINE", "numba") != "python"


def _source_hash() -> str:
    """Name of the kernels' source text.

    numba drops a cached kernel when its own file changes, not when a kernel it
    calls in another file does; a folder for each state of the source cures that.
    """
    digest = hashlib.sha256()
    here = Path(__file__).parent
    for path in sorted([*here.glob("floor/*.py"), *here.glob("trial/*.py")]):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


if COMPILED:
    # numba reads this once, at import; its default (beside the module) may be read-only
    os.environ.setdefault("NUMBA_CACHE_DIR", str(DATA_DIR / "kernels" / _source_hash()))
    import numba


def kernel(function: Callable[P, R]) -> Callable[P, R]:
    """Mark a function of numbers and arrays for compilation (no fast-math: results must repeat)."""
    if not COMPILED:
        return function
    return cast("Callable[P, R]", numba.njit(cache=True, nogil=True, error_model="numpy")(function))


def plain(function: Callable[P, R]) -> Callable[P, R]:
    """The same function, and every kernel it calls, as ordinary Python."""
    source = getattr(function, "py_func", None)
    return function if source is None else cast("Callable[P, R]", _plain_function(source))


def _plain_function(source: types.FunctionType) -> types.FunctionType:
    names = _plain_names(source.__module__)
    return types.FunctionType(source.__code__, names, source.__name__, source.__defaults__)


_names: dict[str, dict[str, Any]] = {}


def _plain_names(module: str) -> dict[str, Any]:
    """The names a module sees, each kernel among them replaced by its plain twin."""
    if module not in _names:
        # kept before it is filled: kernels may call each other
        names = _names[module] = dict(vars(sys.modules[module]))
        for name, value in list(names.items()):
            if hasattr(value, "py_func"):
                names[name] = _plain_function(value.py_func)
    return _names[module]
