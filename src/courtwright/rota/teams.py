"""Even teams from the coach's own 1–5."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from courtwright.errors import RotaError
from courtwright.rota.splits import Deal, team_sizes
from courtwright.rota.team_wishes import TeamWish, check_team_wishes

MIDDLE: Final = 3.0
"""what a player without a grade counts as"""
GRAIN: Final = 1000
"""grades are compared to three decimals, as whole numbers"""

Evenness = Literal["sum", "mean"]


@dataclass(frozen=True, slots=True)
class EvenSplit:
    """One way to split the players."""

    teams: tuple[tuple[int, ...], ...]
    difference: float
    """grade points of the best team less those of the worst; per player where means are evened"""
    proven: bool
    """whether no split (that keeps the wishes) is more even than the first of the ranking"""
    words: str


def even_teams(
    grades: Sequence[float | None],
    count: int,
    *,
    seed: int = 0,
    even: Evenness = "sum",
    wishes: Sequence[TeamWish] = (),
    names: Sequence[str] | None = None,
) -> tuple[tuple[int, ...], ...]:
    """Split players into `count` teams whose sizes differ by at most one and whose grades are as even as can be.

    The first of `ranked_teams`, which has the parameters.

    Returns
    -------
    The teams, as places in `grades`. The best of all splits where there are no more
    than `ALL_SPLITS`, else the best that repeated climbing by exchanges finds.
    """
    return ranked_teams(grades, count, how_many=1, seed=seed, even=even, wishes=wishes, names=names)[0].teams


def ranked_teams(
    grades: Sequence[float | None],
    count: int,
    *,
    how_many: int = 5,
    seed: int = 0,
    even: Evenness = "sum",
    wishes: Sequence[TeamWish] = (),
    names: Sequence[str] | None = None,
) -> tuple[EvenSplit, ...]:
    """The most even splits, best first: the teams, how far apart they are, and that in words.

    Parameters
    ----------
    grades
        One per player. A missing one (None or nan) counts as the middle, 3.
    count
        How many teams.
    how_many
        Splits to give, if there are so many.
    seed
        Chooses among splits that are equally good.
    even
        What is evened out where sizes differ: the `sum` of a team's grades, or the
        `mean`, which is right where every team has the same number on the floor at a time.
    wishes
        Who is kept together or apart. They are kept, whatever it costs.
    names
        One per player, for what is said of the wishes.

    Raises
    ------
    RotaError
        A grade is no number, there are too few players, or the wishes contradict.
    """
    if any(grade is not None and math.isinf(grade) for grade in grades):
        raise RotaError("a grade must be a number, 1 to 5, or be left out")
    if not 1 <= count <= len(grades):
        raise RotaError(f"{len(grades)} players cannot make {count} teams; ask for between 1 and {len(grades)}")
    called = names or [f"player {player + 1}" for player in range(len(grades))]
    check_team_wishes(len(grades), team_sizes(len(grades), count), wishes, called)
    deal = Deal([_worth(grade) for grade in grades], count, random.Random(seed), even, wishes)
    ranked, all_seen = deal.ranked(max(1, how_many))
    differences = [score[0] / GRAIN / deal.scale for score, _ in ranked]
    proven = all_seen or ranked[0][0][0] <= deal.limit
    words = _words(differences, proven, "that keeps the wishes " if wishes else "", even == "mean")
    rows = zip(ranked, differences, words, strict=True)
    return tuple(EvenSplit(deal.teams(split), apart, proven, said) for (_, split), apart, said in rows)


def _worth(grade: float | None) -> int:
    return round(GRAIN * (MIDDLE if grade is None or math.isnan(grade) else grade))


def _words(differences: Sequence[float], proven: bool, kept: str, by_mean: bool) -> list[str]:
    best = differences[0]
    if best == 0:
        first = "Exactly even."
    else:
        claim = f"no split {kept}is more even" if proven else f"no split {kept}was found that is more even"
        first = f"Even to within {_points(best, by_mean)}; {claim}."
    return [first, *(_next_words(best, other, by_mean) for other in differences[1:])]


def _next_words(best: float, other: float, by_mean: bool) -> str:
    if other == 0:
        return "Exactly even too."
    if other == best:
        return f"Just as even: within {_points(other, by_mean)}."
    more = f", {other - best:.3g} more than the best" if best else ""
    return f"Even to within {_points(other, by_mean)}{more}."


def _points(points: float, by_mean: bool) -> str:
    said = f"{points:.3g} grade point{'' if points == 1 else 's'}"
    return f"{said} a player" if by_mean else said
