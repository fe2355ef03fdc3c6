"""Compile the kernels ahead of the first reading."""

from __future__ import annotations

from collections.abc import Callable

from courtwright.game.moment import Moment
from courtwright.reading import full_json, read_moment


def warm(progress: Callable[[str], None] = print) -> None:
    """Compile, or load what an earlier start compiled."""
    progress("Preparing the readings (once; later starts are quick) …")
    places = {"1": (0.0, 6.0), "2": (6.9, 1.0), "X1": (0.0, 4.8), "X2": (3.0, 1.0)}
    figures = [{"figure": figure, "at": at} for figure, at in places.items()]
    full_json(read_moment(Moment.model_validate({"name": "warm", "figures": figures, "ball": "1"}), sets=1))
    progress("The readings are ready.")
