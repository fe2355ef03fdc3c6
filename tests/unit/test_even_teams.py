"""Even teams against every split there is."""

from __future__ import annotations

import random
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from courtwright.errors import RotaError
from courtwright.rota import even_teams
from courtwright.rota.splits import ALL_SPLITS, Deal


def values(grades: list[float], teams: tuple[tuple[int, ...], ...], even: str) -> list[float]:
    sums = [sum(grades[player] for player in team) for team in teams]
    return sums if even == "sum" else [total / len(team) for total, team in zip(sums, teams, strict=True)]


def brute_force(grades: list[float], count: int, even: str) -> float:
    """Least difference between best and worst team, over every labelling of the players."""
    least = float("inf")
    for label in product(range(count), repeat=len(grades)):
        sizes = [label.count(team) for team in range(count)]
        if max(sizes) - min(sizes) <= 1:
            teams = tuple(tuple(p for p, at in enumerate(label) if at == team) for team in range(count))
            told = values(grades, teams, even)
            least = min(least, max(told) - min(told))
    return least


def check_split(grades: list[float], count: int, teams: tuple[tuple[int, ...], ...]) -> None:
    assert len(teams) == count
    assert sorted(player for team in teams for player in team) == list(range(len(grades)))
    sizes = [len(team) for team in teams]
    assert max(sizes) - min(sizes) <= 1


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.integers(1, 5).map(float) | st.integers(10, 50).map(lambda tenths: tenths / 10), min_size=2, max_size=8
    ),
    st.integers(2, 3),
    st.sampled_from(["sum", "mean"]),
    st.integers(0, 99),
)
def test_small_cases_are_exact(grades: list[float], count: int, even: str, seed: int) -> None:
    count = min(count, len(grades))
    teams = even_teams(grades, count, seed=seed, even="mean" if even == "mean" else "sum")
    check_split(grades, count, teams)
    told = values(grades, teams, even)
    assert max(told) - min(told) == pytest.approx(brute_force(grades, count, even), abs=1e-9)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(("players", "count"), [(14, 3), (20, 4), (20, 6), (18, 2)])
def test_large_cases_climb_to_the_counting_bound(players: int, count: int, seed: int) -> None:
    rng = random.Random(seed)
    grades = [float(rng.randint(1, 5)) for _ in range(players)]
    assert Deal([1] * players, count, rng, "sum").splits > ALL_SPLITS
    teams = even_teams(grades, count, seed=seed)
    check_split(grades, count, teams)
    told = values(grades, teams, "sum")
    # whole grades: equal sums if the total divides, else one apart; no split can be more even
    assert max(told) - min(told) == (0 if sum(grades) % count == 0 else 1)


@pytest.mark.parametrize("seed", range(4))
def test_climbing_comes_near_the_best_of_all_splits(seed: int) -> None:
    rng = random.Random(seed)
    deal = Deal([rng.randint(1000, 5000) for _ in range(10)], 3, rng, "sum")
    exact, climbed = (deal.best_of(splits, 1)[0][0][0] for splits in (deal.every_split(), deal.climbs()))
    assert exact <= climbed <= exact + 150


@pytest.mark.parametrize(
    ("players", "count", "splits"), [(4, 2, 3), (6, 2, 10), (7, 2, 35), (12, 2, 462), (12, 3, 5775)]
)
def test_every_split_is_looked_at_once(players: int, count: int, splits: int) -> None:
    deal = Deal([1] * players, count, random.Random(0), "sum")
    seen = {frozenset(frozenset(team) for team in split) for split in deal.every_split()}
    assert len(seen) == deal.splits == splits


def test_missing_grade_counts_as_the_middle() -> None:
    assert even_teams([None, 3, 1, 5], 2) == even_teams([3, float("nan"), 1, 5], 2) == ((0, 1), (2, 3))


def test_seed_chooses_among_equals() -> None:
    level = [3.0] * 8
    assert even_teams(level, 2, seed=1) == even_teams(level, 2, seed=1)
    assert len({even_teams(level, 2, seed=seed) for seed in range(10)}) > 1


def test_mean_suits_teams_that_substitute() -> None:
    grades = [5, 5, 5, 2, 2, 2, 2]
    by_mean, by_sum = even_teams(grades, 2, even="mean"), even_teams(grades, 2)
    means = values([float(grade) for grade in grades], by_mean, "mean")
    assert max(means) - min(means) == pytest.approx(0.5)
    sums = values([float(grade) for grade in grades], by_sum, "sum")
    assert max(sums) - min(sums) == 1


@pytest.mark.parametrize("count", [0, 4])
def test_refusals(count: int) -> None:
    with pytest.raises(RotaError, match="3 players cannot make"):
        even_teams([1, 2, 3], count)
    with pytest.raises(RotaError, match="must be a number"):
        even_teams([1, float("inf")], 2)
