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
from collections.abc import Callable, Mapping
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
        function.__dict__["py_func"] = function  # so that its twin can be told from other functions here too
        return function
    return cast("Callable[P, R]", numba.njit(cache=True, nogil=True, error_model="numpy")(function))


def inner(function: Callable[P, R]) -> Callable[P, R]:
    """Mark a function that only kernels call: it has no door of its own to Python and no copy on disk.

    That saves a third of the time to compile. From Python call its `plain` twin.
    """
    if not COMPILED:
        return kernel(function)
    doors: dict[str, Any] = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
    return cast("Callable[P, R]", numba.njit(nogil=True, error_model="numpy", **doors)(function))


def plain(function: Callable[P, R]) -> Callable[P, R]:
    """The same function, and every kernel it calls, as ordinary Python."""
    source = getattr(function, "py_func", None)
    return function if source is None else cast("Callable[P, R]", _plain.function(source))


Around = Callable[[Callable[..., Any]], Callable[..., Any]]
"""Takes a plain kernel and gives what is called in its place."""


def watched(function: Callable[P, R], around: Mapping[str, Around]) -> Callable[P, R]:
    """The plain twin once more, apart from all others, with something put around some of the kernels it calls.

    Compiled code knows nothing of it, so that watching a possession costs the others no time.
    """
    twin = _Twin(around)
    made = twin.function(cast("Any", function).py_func)
    if missing := set(around) - twin.found:
        raise LookupError(f"{function.__name__} calls no kernel {', '.join(sorted(missing))}")
    return cast("Callable[P, R]", made)


class _Twin:
    """Plain functions over names of their own, each kernel among the names replaced by its twin."""

    def __init__(self, around: Mapping[str, Around]) -> None:
        self.found: set[str] = set()
        self._around = around
        self._names: dict[str, dict[str, Any]] = {}

    def function(self, source: types.FunctionType) -> types.FunctionType:
        """The twin of one function."""
        names = self._names_of(source.__module__)
        return types.FunctionType(source.__code__, names, source.__name__, source.__defaults__)

    def _names_of(self, module: str) -> dict[str, Any]:
        if module not in self._names:
            # kept before it is filled: kernels may call each other
            names = self._names[module] = dict(vars(sys.modules[module]))
            for name, value in list(names.items()):
                if hasattr(value, "py_func"):
                    names[name] = self._replaced(name, value.py_func)
        return self._names[module]

    def _replaced(self, name: str, source: types.FunctionType) -> Callable[..., Any]:
        made = self.function(source)
        if name not in self._around:
            return made
        self.found.add(name)
        return self._around[name](made)


_plain: Final = _Twin({})
