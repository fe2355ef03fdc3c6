"""Everything that is compiled, made ready ahead of its first use."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from typing import Final

from courtwright.engine import COMPILED


def _nothing(_: str) -> None:
    """The steps say themselves what they do; here they are counted."""


def warm_reading() -> None:
    """Compile or load what a reading needs."""
    from courtwright.reading.warm import warm  # noqa: PLC0415 (loads the compiler)

    warm(_nothing)


def warm_rota() -> None:
    """The same for the search of a rota."""
    from courtwright.rota import Problem, solve  # noqa: PLC0415

    solve(Problem(("A", "B", "C"), 1, 1, turns=2), 0.001)


def warm_trial() -> None:
    """The same for a trial; plain Python has nothing to make ready, and would play."""
    from courtwright.trial.warm import warm  # noqa: PLC0415

    if COMPILED:
        warm(_nothing)


STEPS: Final[tuple[tuple[str, Callable[[], None]], ...]] = (
    ("readings", warm_reading),
    ("turns", warm_rota),
    ("trials", warm_trial),
)
"""What a coach asks for first comes first; the trial has a queue and can wait."""


def main(names: Sequence[str]) -> None:
    """For `run.py`, which runs the steps in programs side by side."""
    for what, step in STEPS:
        if what in names:
            step()


if __name__ == "__main__":
    main(sys.argv[1:])
