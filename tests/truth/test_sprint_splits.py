"""What the squad reader believes about sprint times, against published ones."""

from __future__ import annotations

import pytest

from courtwright.squad import Player
from courtwright.squad.check import fastest_s, problems_of, slowest_s

PUBLISHED = [
    # Gryko et al. 2022, 904 club girls in Poland (table of the paper)
    ("girls U13", {5: 1.243, 10: 2.021, 20: 3.585}),
    ("girls U14", {5: 1.221, 10: 2.028, 20: 3.551}),
    ("girls U15", {5: 1.205, 10: 2.048, 20: 3.539}),
    # Wdowski et al. 2020, active boys (abstract)
    ("boys 8 to 9", {5: 1.31, 15: 3.20}),
    ("boys 11 to 12", {5: 1.23, 15: 3.01}),
    # an open data set of 52 women in field sports (means computed from it)
    ("women", {5: 1.214, 10: 2.019, 20: 3.417, 30: 4.750, 35: 5.413}),
    # male 3x3 professionals, n = 10 (abstract; printed to 0.1 s)
    ("men, 3x3 professionals", {10: 1.5, 30: 4.0}),
    # an open data set of male players by position
    ("men, guards", {20: 3.00}),
    # draft prospects of one year over three quarters of a court (secondary): best and slowest
    ("best prospect", {22.86: 3.03}),
    ("slowest prospect", {22.86: 3.55}),
]


@pytest.mark.parametrize(("who", "splits_s"), PUBLISHED, ids=[who for who, _ in PUBLISHED])
def test_published_means_are_believed(who: str, splits_s: dict[float, float]) -> None:
    assert list(problems_of(Player(name=who, splits_s=splits_s))) == []


def test_the_limit_is_the_professionals_mean_less_two_standard_deviations() -> None:
    """1.5 ± 0.1 s over 10 m and 4.0 ± 0.3 s over 30 m: male 3x3 professionals, n = 10 (abstract)."""
    assert fastest_s(10) == pytest.approx(1.5 - 2 * 0.1)
    assert fastest_s(30) == pytest.approx(4.0 - 2 * 0.3)


def test_no_sprinter_would_be_refused() -> None:
    """The 100 m in 9.58 s (world record of 2009, from memory) is the fastest a person has run."""
    assert fastest_s(100) == pytest.approx(10.75)
    assert fastest_s(100) > 9.58, "beyond 30 m the limit leaves out world-class sprinters, and no basketball player"


def test_a_child_s_jog_is_believed_and_a_walk_is_not() -> None:
    """Brisk walking is about 1.5 m/s (common practice, no source)."""
    assert slowest_s(10) == pytest.approx(6.67, abs=0.01)
