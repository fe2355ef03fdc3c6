"""Who guards whom, by size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Final

import numpy as np

from courtwright.errors import RotaError
from courtwright.floor.records import Ints
from courtwright.rota.words import listed

CM_PER_KG: Final = 1.0
"""a kilogram counts as much as a centimetre (ours, a guess); with no weights only height counts"""
GRAIN: Final = 100
"""sizes are compared to a tenth of a millimetre, as whole numbers"""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two players who guard each other."""

    one: int
    other: int
    height_cm: float | None
    """how much taller `one` is; None if either height is not known"""
    weight_kg: float | None
    """how much heavier, likewise"""


@dataclass(frozen=True, slots=True)
class Matching:
    """All pairs of two teams, and who has no opponent where one team is larger."""

    pairs: tuple[Pair, ...]
    spare: tuple[int, ...]

    def words(self, names: Sequence[str]) -> tuple[str, ...]:
        """One line a pair, and one for those left over."""
        lines = [f"{names[pair.one]} and {names[pair.other]}{_difference(pair, names)}." for pair in self.pairs]
        if self.spare:
            lines.append(f"{listed([names[player] for player in self.spare])}: nobody to match, so take turns.")
        return tuple(lines)


def matched_pairs(
    team: Sequence[int],
    other: Sequence[int],
    heights_cm: Sequence[float | None],
    weights_kg: Sequence[float | None] | None = None,
) -> Matching:
    """Match two teams so that the worst difference in size is the least possible, and then the sum of differences.

    Parameters
    ----------
    team, other
        Players, as places in the two lists that follow. Nobody is in both.
    heights_cm, weights_kg
        One per player; None where not known, which counts as the median of those known. A
        difference is that in height plus that in weight, a kilogram counting as a centimetre.

    Raises
    ------
    RotaError
        A player is in both teams or twice in one, or a team is empty.
    """
    if not team or not other or len({*team, *other}) < len(team) + len(other):
        raise RotaError("matching by size takes two teams with different players in each")
    lesser, greater = (team, other) if len(team) <= len(other) else (other, team)
    apart = _apart(heights_cm, lesser, greater) + _apart(weights_kg or [None] * len(heights_cm), lesser, greater)
    chosen = _least_worst(apart)
    met = [(lesser[row], greater[column]) for row, column in enumerate(chosen.tolist())]
    ordered = [pair if lesser is team else pair[::-1] for pair in met]
    pairs = [Pair(a, b, _more(heights_cm, a, b), _more(weights_kg, a, b)) for a, b in ordered]
    spare = tuple(player for place, player in enumerate(greater) if place not in set(chosen.tolist()))
    return Matching(tuple(sorted(pairs, key=lambda pair: list(team).index(pair.one))), spare)


def _apart(sizes: Sequence[float | None], lesser: Sequence[int], greater: Sequence[int]) -> Ints:
    """(lesser, greater) differences in whole grains."""
    known = [size for size in (sizes[player] for player in (*lesser, *greater)) if size is not None]
    middle = median(known) if known else 0.0
    rows, columns = (
        np.array([round(GRAIN * (middle if (size := sizes[player]) is None else size)) for player in players])
        for players in (lesser, greater)
    )
    apart: Ints = np.abs(rows[:, None] - columns[None, :])
    return apart


def _least_worst(apart: Ints) -> Ints:
    """A column for each row: the least greatest difference (found by halving), then the least sum."""
    levels = np.unique(apart)
    low, high = 0, len(levels) - 1
    while low < high:
        middle = (low + high) // 2
        over = (apart > levels[middle]).astype(np.int64)
        if over[np.arange(len(over)), _cheapest(over)].any():
            low = middle + 1
        else:
            high = middle
    worst = levels[low]
    return _cheapest(np.where(apart > worst, (worst + 1) * len(apart), apart))


def _more(sizes: Sequence[float | None] | None, one: int, other: int) -> float | None:
    if sizes is None:
        return None
    mine, theirs = sizes[one], sizes[other]
    return None if mine is None or theirs is None else mine - theirs


def _difference(pair: Pair, names: Sequence[str]) -> str:
    """“: Bex is 4 cm taller and 3 kg lighter”."""
    told = [
        _told(pair.height_cm, "cm", ("taller", "shorter", "as tall")),
        _told(pair.weight_kg, "kg", ("heavier", "lighter", "as heavy")),
    ]
    known = [words for words in told if words]
    return f": {names[pair.one]} is {' and '.join(known)}" if known else ": sizes not known"


def _told(more: float | None, unit: str, words: tuple[str, str, str]) -> str:
    if more is None:
        return ""
    said = f"{abs(more):.3g}"
    return words[2] if said == "0" else f"{said} {unit} {words[more < 0]}"


def _cheapest(cost: Ints) -> Ints:
    """Give each row a column of its own so that the sum of costs is least; exact for whole numbers below 2^53."""
    from scipy.optimize import linear_sum_assignment  # noqa: PLC0415 (takes most of a second to load)

    columns: Ints = linear_sum_assignment(cost)[1]
    return columns
