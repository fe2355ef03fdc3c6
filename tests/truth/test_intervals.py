"""Intervals of shares, to the digits their authors print.

Sources: Newcombe 1998, Stat Med 17:857, table I (one share) and 17:873, table II (two shares); read through another
text, the third pair of two shares from memory. Clopper–Pearson and Jeffreys rows of the same counts: computed by us
with statsmodels 0.15.0 (`proportion_confint`, methods "beta" and "jeffreys"). 1 of 11: a worked Wilson interval.
"""

from __future__ import annotations

import pytest

from courtwright.errors import WordError
from courtwright.review.intervals import clopper_pearson, jeffreys, newcombe, wilson


@pytest.mark.parametrize(
    ("hits", "of", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
        (3, 10, 0.1078, 0.6032),
        (5, 5, 0.5655, 1.0),
        (0, 10, 0.0, 0.2775),
    ],
)
def test_wilson(hits: int, of: int, low: float, high: float) -> None:
    assert tuple(round(end, 4) for end in wilson(hits, of)) == (low, high)


def test_wilson_to_five_digits() -> None:
    assert wilson(1, 11) == pytest.approx((0.01623, 0.37736), abs=6e-6)


@pytest.mark.parametrize(
    ("hits", "of", "low", "high"),
    [
        (81, 263, 0.2527, 0.3676),
        (15, 148, 0.0578, 0.1617),
        (0, 20, 0.0, 0.1684),
        (1, 29, 0.0009, 0.1776),
        (3, 10, 0.0667, 0.6525),
        (5, 5, 0.4782, 1.0),
        (0, 10, 0.0, 0.3085),
    ],
)
def test_clopper_pearson(hits: int, of: int, low: float, high: float) -> None:
    assert tuple(round(end, 4) for end in clopper_pearson(hits, of)) == (low, high)


@pytest.mark.parametrize(
    ("hits", "of", "low", "high"),
    [
        (81, 263, 0.2545, 0.3656),
        (15, 148, 0.0604, 0.1576),
        (0, 20, 0.0, 0.1166),
        (1, 29, 0.0037, 0.1501),
        (5, 5, 0.6206, 1.0),  # by the plain quantile .9999
    ],
)
def test_jeffreys(hits: int, of: int, low: float, high: float) -> None:
    assert tuple(round(end, 4) for end in jeffreys(hits, of)) == (low, high)


@pytest.mark.parametrize(
    ("first", "second", "low", "high"),
    [
        ((56, 70), (48, 80), 0.0524, 0.3339),
        ((9, 10), (3, 10), 0.1705, 0.8090),
        ((6, 7), (2, 7), 0.0582, 0.8062),
    ],
)
def test_newcombe_difference(first: tuple[int, int], second: tuple[int, int], low: float, high: float) -> None:
    assert tuple(round(end, 4) for end in newcombe(first, second)) == (low, high)
    assert newcombe(second, first) == pytest.approx((-high, -low), abs=6e-5)


@pytest.mark.parametrize(("hits", "of", "level"), [(3, 2, 0.9), (-1, 2, 0.9), (0, 0, 0.9), (1, 2, 1.0)])
def test_what_is_no_share_is_refused(hits: int, of: int, level: float) -> None:
    for interval in (wilson, clopper_pearson, jeffreys):
        with pytest.raises(WordError):
            interval(hits, of, level)
