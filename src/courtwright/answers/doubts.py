"""What the trial is known to get wrong, or not to know, between two versions of a game; said wherever two meet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from courtwright.game.document import Game
from courtwright.game.worth import event_points
from courtwright.vocabulary import Side

HELP: Final = frozenset({"help_drawn", "help_on_dribble_1", "help_on_dribble_2", "help_on_dribble_3", "help_later"})


@dataclass(frozen=True, slots=True)
class Doubt:
    """One step between two versions that the trial cannot judge."""

    measures: frozenset[str]
    """of which it tells no direction"""
    what: str
    why: str
    between: Callable[[Game, Game], bool]

    @property
    def sentence(self) -> str:
        """For the coach."""
        return f"The trial cannot tell {self.what}: {self.why}"


def _dribbles(game: Game) -> float | None:
    limits = [item.limit for item in game.constraints if item.rule == "dribbles" and item.figure is None]
    return limits[0] if limits else None


def _without_dribbles(first: Game, second: Game) -> bool:
    return (_dribbles(first) == 0) != (_dribbles(second) == 0)


def _rotation(first: Game, second: Game) -> bool:
    return first.rotation != second.rotation


def _flat(game: Game) -> bool:
    points = event_points(game, Side.OFFENCE)
    return len({points.get(f"make_{zone}", 0) for zone in ("rim", "mid", "three")}) == 1


def _flat_distance(first: Game, second: Game) -> bool:
    return _flat(first) and _flat(second) and first.placed_m() != second.placed_m()


DOUBTS: Final = (
    Doubt(
        frozenset({"points"}),
        "what a game without dribbles is worth",
        "here no dribble comes out ahead of one, which no coach would expect. One, two, three and free are in order.",
        _without_dribbles,
    ),
    Doubt(
        frozenset({"passes"}),
        "whether a game without dribbles brings more passes",
        "from some starts there are more here, from others fewer; studies of small-sided games saw more.",
        _without_dribbles,
    ),
    Doubt(
        frozenset({"points"}) | HELP,
        "whether it pays the defence to rotate behind the helper",
        "here rotation comes out worse for the defence than none, which may be the trial's rotation and not yours.",
        _rotation,
    ),
    Doubt(
        HELP | {"drives"},
        "whether there are more drives, and more help, from another distance where all baskets are worth the same",
        "from some starts drives go up with the distance, from others down, and help does not follow steadily.",
        _flat_distance,
    ),
)


def doubts(first: Game, second: Game) -> list[Doubt]:
    """What cannot be told between two versions."""
    return [doubt for doubt in DOUBTS if doubt.between(first, second)]
