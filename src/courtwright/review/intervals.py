"""Intervals for a share and for the difference of two. Which one a page uses is said in `courtwright.review.rates`."""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import NamedTuple

from scipy.special import betaincinv

from courtwright.errors import WordError


class Interval(NamedTuple):
    """Lowest and highest value that the facts leave likely."""

    low: float
    high: float

    def holds(self, value: float) -> bool:
        """Whether a value lies inside, ends included."""
        return self.low <= value <= self.high


def _looked_through(hits: int, of: int, level: float) -> None:
    if not 0 <= hits <= of or of < 1:
        raise WordError(f"{hits} of {of} is no share; count at least one try, and no more hits than tries")
    if not 0 < level < 1:
        raise WordError(f"a level of {level:g} is none; use one between 0 and 1, such as 0.9")


def normal_quantile(level: float) -> float:
    """How many standard deviations either side hold this much of a normal distribution."""
    return NormalDist().inv_cdf(0.5 + level / 2)


def wilson(hits: int, of: int, level: float = 0.95) -> Interval:
    """Score interval of a share.

    Source: Wilson 1927, J Am Stat Assoc 22:209; method 3 of Newcombe 1998 (one share).
    """
    _looked_through(hits, of, level)
    z2, share = normal_quantile(level) ** 2, hits / of
    middle = (hits + z2 / 2) / (of + z2)
    half = math.sqrt(z2) / (of + z2) * math.sqrt(of * share * (1 - share) + z2 / 4)
    return Interval(0.0 if hits == 0 else middle - half, 1.0 if hits == of else middle + half)


def clopper_pearson(hits: int, of: int, level: float = 0.95) -> Interval:
    """Exact interval of a share: never covers too little, often too much.

    Source: Clopper & Pearson 1934, Biometrika 26:404.
    """
    _looked_through(hits, of, level)
    tail = (1 - level) / 2
    low = float(betaincinv(hits, of - hits + 1, tail)) if hits else 0.0
    high = float(betaincinv(hits + 1, of - hits, 1 - tail)) if hits < of else 1.0
    return Interval(low, high)


def jeffreys(hits: int, of: int, level: float = 0.95) -> Interval:
    """Equal-tailed interval under a Beta(½, ½) prior; ends at 0 with no hit and at 1 with no miss.

    Source: Brown, Cai & DasGupta 2001, Stat Sci 16:101.
    """
    _looked_through(hits, of, level)
    tail, beta = (1 - level) / 2, (hits + 0.5, of - hits + 0.5)
    low = float(betaincinv(*beta, tail)) if hits else 0.0
    high = float(betaincinv(*beta, 1 - tail)) if hits < of else 1.0
    return Interval(low, high)


def newcombe(first: tuple[int, int], second: tuple[int, int], level: float = 0.95) -> Interval:
    """Interval of the first share less the second, both given as (hits, of): two Wilson intervals put together.

    Source: method 10 of Newcombe 1998 (two shares), Stat Med 17:873.
    """
    one, two = wilson(*first, level), wilson(*second, level)
    share, other = first[0] / first[1], second[0] / second[1]
    apart = share - other
    return Interval(
        apart - math.hypot(share - one.low, two.high - other),
        apart + math.hypot(one.high - share, other - two.low),
    )
