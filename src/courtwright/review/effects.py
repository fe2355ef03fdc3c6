"""Whether a constraint changes anything: turns with and without it in random order, looked at as often as one likes.

Possessions are played in blocks of an even number, half with the constraint and
half without, in an order drawn by chance. A block's difference is the mean with
it less the mean without. If the constraint does nothing, or adds the same
everywhere and that is taken out, the sign of every difference is a coin's; so

    E = exp(r² S² / 2(1 + r² V)) / √(1 + r² V),   S the sum and V the sum of squares of the differences,

has a mean of at most 1 at every look, whatever the points are like (de la Peña 1999; mixed as Robbins 1970), and the
chance that it is ever above 1/α is at most α. The effects at which E stays below are a *confidence sequence*: it may
be looked at every week, and play may stop when it says enough. Before and after, without such blocks, is a
difference and not an effect.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.errors import WordError
from courtwright.review.intervals import Interval, normal_quantile

Vector = NDArray[np.float64]

ALPHA: Final = 0.05
"""At most so often a constraint that does nothing is ever said to do something."""
POWER: Final = 0.8
BLOCK: Final = 2
MOST_EXACT: Final = 16
"""Up to so many blocks every way the coin could have fallen is counted."""
DRAWS: Final = 20_000
MOST_BLOCKS: Final = 20_000
MOST_EFFECT: Final = 12.0
"""Points a possession; no constraint adds as much."""
NEAR: Final = 1e-6
"""How near the ends of a sequence are found, in points."""


def schedule(blocks: int, *, block: int = BLOCK, seed: int = 0) -> list[bool]:
    """Possession by possession, whether the constraint binds: half of each block, in an order drawn by chance."""
    if block < 2 or block % 2 or blocks < 1:
        raise WordError(f"{blocks} blocks of {block} cannot be halved; use blocks of 2, 4, 6, …, at least one of them")
    half = np.arange(block) < block // 2
    rng = np.random.default_rng(seed)
    return [bool(on) for _ in range(blocks) for on in rng.permutation(half)]


def differences(points: Sequence[float], bound: Sequence[bool], *, block: int = BLOCK) -> Vector:
    """(blocks,) mean with less mean without; a block that is not finished, or not half and half, is left out.

    ``bound`` is the order as it was drawn, also where play strayed from it: to go by what was played would
    let a choice back in.
    """
    whole = min(len(points), len(bound)) // block * block
    told = np.asarray(points[:whole], float).reshape(-1, block)
    on = np.asarray(bound[:whole], bool).reshape(-1, block)
    halved = on.sum(axis=1) * 2 == block
    signs = np.where(on, 2.0, -2.0) / block
    return np.asarray((told * signs).sum(axis=1)[halved])


def by_chance(apart: Vector, *, seed: int = 0) -> float:
    """How often the coin alone would set with and without so far apart, either way (Fisher 1935).

    Exact for up to `MOST_EXACT` blocks, else drawn, with what was seen counted in. For one look, at a size fixed
    beforehand.
    """
    if not len(apart):
        return 1.0
    if len(apart) <= MOST_EXACT:
        signs = np.array(list(product((1.0, -1.0), repeat=len(apart))))
        return float(np.mean(np.abs(signs @ apart) >= abs(apart.sum()) - NEAR))
    rng = np.random.default_rng(seed)
    signs = rng.choice((1.0, -1.0), size=(DRAWS, len(apart)))
    as_far = int(np.sum(np.abs(signs @ apart) >= abs(apart.sum()) - NEAR))
    return (as_far + 1) / (DRAWS + 1)


def log_evidence(apart: Vector, reach: float, effect: float = 0.0) -> float:
    """Log of E against an effect, after all blocks; ``reach`` is r."""
    left = apart - effect
    wide = 1 + reach * reach * float(left @ left)
    return 0.5 * (reach * reach * float(left.sum()) ** 2 / wide - math.log(wide))


def sequence(apart: Vector, reach: float, alpha: float = ALPHA) -> Interval:
    """The effects that are not ruled out at this look; without end where the blocks are too few to rule any out."""
    if not len(apart):
        return Interval(-math.inf, math.inf)
    bar = math.log(1 / alpha)
    return Interval(_end(apart, reach, bar, -MOST_EFFECT), _end(apart, reach, bar, MOST_EFFECT))


def _end(apart: Vector, reach: float, bar: float, outside: float) -> float:
    """Where E crosses the bar between the mean difference, where it is least, and an effect that no game has."""
    if log_evidence(apart, reach, outside) < bar:
        return math.copysign(math.inf, outside)
    inside = float(apart.mean())
    while abs(outside - inside) > NEAR:
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if log_evidence(apart, reach, middle) < bar else (inside, middle)
    return outside


@dataclass(frozen=True, slots=True)
class Plan:
    """What it takes to see an effect, fixed before the first block."""

    effect: float
    """points a possession one wants to see"""
    spread: float
    """standard deviation of a block's difference"""
    reach: float
    blocks: int
    """with which the effect is seen four times in five"""
    block: int

    @property
    def possessions(self) -> int:
        """The same in possessions."""
        return self.blocks * self.block

    def left(self, played: int, a_practice: int) -> tuple[int, int]:
        """Possessions and practices still needed, with so many possessions played and so many a practice."""
        needed = max(0, self.possessions - played)
        return needed, -(-needed // max(1, a_practice))


def plan(effect: float, points_sd: float, *, block: int = BLOCK, alpha: float = ALPHA, power: float = POWER) -> Plan:
    """How many blocks show an effect.

    Parameters
    ----------
    effect
        points a possession, of either sign, not 0.
    points_sd
        standard deviation of points a possession; about 1.1 in twos and threes.
    """
    if not effect or points_sd <= 0 or not math.isfinite(effect * points_sd):
        raise WordError("name an effect that is not 0 and a spread above 0, in points a possession")
    spread = points_sd * 2 / math.sqrt(block)
    blocks, reach = 1, 0.0
    for _ in range(8):  # the mixture is set for the size that it asks for
        reach = _reach(alpha, blocks * (spread**2 + effect**2))
        blocks = _blocks(abs(effect), spread, reach, alpha, power)
    return Plan(effect, spread, reach, blocks, block)


def _reach(alpha: float, squares: float) -> float:
    """The r that gives the narrowest sequence at this sum of squares (Howard et al. 2021, to first order)."""
    told = -2 * math.log(alpha)
    return math.sqrt((told + math.log(told + 1)) / squares)


def _blocks(effect: float, spread: float, reach: float, alpha: float, power: float) -> int:
    """The fewest blocks at which E is above 1/α with the power asked for."""
    behind = normal_quantile(2 * power - 1) * spread
    low, high = 1, MOST_BLOCKS
    while low < high:
        middle = (low + high) // 2
        wide = 1 + reach**2 * middle * (spread**2 + effect**2)
        bar = math.sqrt(wide * math.log(wide / alpha**2)) / reach
        low, high = (low, middle) if middle * effect - behind * math.sqrt(middle) >= bar else (middle + 1, high)
    return low


@dataclass(frozen=True, slots=True)
class Effect:
    """What the blocks so far say."""

    blocks: int
    mean: float
    """points a possession with the constraint less without"""
    range: Interval
    """at every look right with a probability of at least 1 − α"""
    chance: float
    """by the coin alone, were this the only look"""

    @property
    def told(self) -> bool:
        """Whether no effect at all is ruled out."""
        return not self.range.holds(0.0)


def effect_of(points: Sequence[float], bound: Sequence[bool], plan_: Plan, *, alpha: float = ALPHA) -> Effect:
    """What the possessions of a planned alternation say so far; points and whether the constraint bound, in order."""
    apart = differences(points, bound, block=plan_.block)
    mean = float(apart.mean()) if len(apart) else 0.0
    return Effect(len(apart), mean, sequence(apart, plan_.reach, alpha), by_chance(apart))
