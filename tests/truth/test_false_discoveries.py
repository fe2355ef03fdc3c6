"""How many findings may be named: the worked example of the rule, and its promise.

Source: Benjamini & Hochberg 1995, section 3, fifteen p-values of a heart trial (from memory): at .05 the four smallest
are named, where Bonferroni's rule names three.
"""

from __future__ import annotations

import numpy as np
from scipy.stats import false_discovery_control

from courtwright.review.findings import discoveries

TRIAL = [
    0.0001,
    0.0004,
    0.0019,
    0.0095,
    0.0201,
    0.0278,
    0.0298,
    0.0344,
    0.0459,
    0.324,
    0.4262,
    0.5719,
    0.6528,
    0.759,
    1,
]


def test_the_worked_example() -> None:
    assert discoveries(TRIAL, 0.05) == [0, 1, 2, 3]
    assert sum(p <= 0.05 / len(TRIAL) for p in TRIAL) == 3


def test_as_scipy_has_it() -> None:
    rng = np.random.default_rng(1)
    for _ in range(50):
        p = list(rng.random(rng.integers(1, 12)) ** 3)
        assert sorted(discoveries(p)) == list(np.flatnonzero(false_discovery_control(p) <= 0.1))


def test_nothing_asked_finds_nothing() -> None:
    assert discoveries([]) == []
