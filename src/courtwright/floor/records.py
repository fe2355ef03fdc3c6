"""Records: one block of memory with named fields, described by a class, changed in place by kernels.

A record is one pointer to compiled code; a bundle of arrays would be unpacked and
counted at every call (measured on the trial: ten times slower).
"""

from __future__ import annotations

from typing import Annotated, Any, TypeVar, cast, get_args, get_origin, get_type_hints

import numpy as np
from numpy.typing import NDArray

R = TypeVar("R")

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def record_type(shape_of: type) -> np.dtype[np.void]:
    """The memory layout of a class of numbers (``float``, ``int``) and ``Annotated[array, shape]``."""
    fields: list[tuple[str, Any, tuple[int, ...]]] = []
    for name, hint in get_type_hints(shape_of, include_extras=True).items():
        if get_origin(hint) is Annotated:
            array, shape = get_args(hint)
            fields.append((name, get_args(get_args(array)[1])[0], shape))
        else:
            fields.append((name, np.float64 if hint is float else np.int64, ()))
    return np.dtype(fields, align=True)


def blank(shape_of: type[R], layout: np.dtype[np.void], *, compiled: bool) -> R:
    """Zeros: a record for compiled kernels, a plain object for their twin (records are slow in Python)."""
    if compiled:
        return cast("R", np.zeros(1, layout).view(np.recarray)[0])
    plain = shape_of()
    for name in layout.names or ():
        kind = layout[name]
        setattr(plain, name, np.zeros(kind.shape, kind.base) if kind.shape else kind.type(0).item())
    return plain
