"""Shooting tests are shrunk as Efron & Morris shrank batting averages.

Source: Efron & Morris 1975 and 1977: 18 batters after 45 turns at bat, held against the rest of
their season. The numbers are from memory; that they give back the published grand mean, factor
and errors is checked first.
"""

from __future__ import annotations

import math

import numpy as np

from courtwright.floor.fitting import fit_shots

HITS = np.array([18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7])
AT_BAT = 45
SEASON = np.array(
    [
        *(0.346, 0.298, 0.276, 0.222, 0.273, 0.270, 0.263, 0.210, 0.269),
        *(0.230, 0.264, 0.256, 0.303, 0.264, 0.226, 0.286, 0.316, 0.200),
    ]
)
SHARE = HITS / AT_BAT
MEAN = float(SHARE.mean())
CHANCE_VARIANCE = MEAN * (1 - MEAN) / AT_BAT
FACTOR = 1 - (len(HITS) - 3) * CHANCE_VARIANCE / float(((SHARE - MEAN) ** 2).sum())
JAMES_STEIN = MEAN + FACTOR * (SHARE - MEAN)


def error(estimate: np.ndarray) -> float:
    return float(((estimate - SEASON) ** 2).sum())


def test_the_published_figures() -> None:
    """Grand mean .2654, factor .212, squared errors .0755 before and .0214 after (printed as .077 and .022)."""
    assert round(MEAN, 4) == 0.2654
    assert round(FACTOR, 3) == 0.212
    assert round(error(SHARE), 4) == 0.0755
    assert round(error(JAMES_STEIN), 4) == 0.0214


def test_ours_agrees_within_a_thousandth() -> None:
    """Given the spread between players that the factor implies, each estimate is James & Stein's."""
    between = math.sqrt(FACTOR / (1 - FACTOR) * CHANCE_VARIANCE) / (MEAN * (1 - MEAN))
    expected_logit = math.log(MEAN / (1 - MEAN))

    fit = fit_shots(HITS, [AT_BAT] * len(HITS), expected_logit, between_sd=between, group_sd=0.05)
    ours = 1 / (1 + np.exp(-expected_logit - fit.offset))

    assert np.abs(ours - JAMES_STEIN).max() < 0.001
    assert error(ours) < 0.3 * error(SHARE)
