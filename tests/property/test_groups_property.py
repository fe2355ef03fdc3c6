"""Groups for any number of players. The checker here shares no code with what it checks."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from courtwright.errors import RotaError
from courtwright.rota.groups import GroupPlan, group_sizes, groups_of, least_repeats


def counted_repeats(plan: GroupPlan) -> int:
    """Every two rounds laid side by side."""
    pairs = [{frozenset(pair) for team in teams for pair in combinations(team, 2)} for teams in plan.rounds]
    return sum(len(one & other) for one, other in combinations(pairs, 2))


@settings(max_examples=60, deadline=None)
@given(st.data(), st.integers(2, 22), st.integers(1, 12), st.integers(0, 2**32))
def test_any_request_gives_sound_groups_and_an_honest_bound(
    data: st.DataObject, players: int, rounds: int, seed: int
) -> None:
    size = data.draw(st.integers(2, min(6, players)))
    plan = groups_of(players, size, rounds, seed, steps=60)
    assert len(plan.rounds) == rounds
    for teams in plan.rounds:
        assert sorted(player for team in teams for player in team) == list(range(players))
        sizes = [len(team) for team in teams]
        assert max(sizes) - min(sizes) <= 1
        assert min(sizes) >= 2
    assert plan.repeats == counted_repeats(plan) >= plan.least_repeats
    assert plan.perfect == plan.sentence.startswith("Perfect") == (plan.repeats == plan.least_repeats)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize(
    ("players", "size", "rounds"),
    [(9, 3, 4), (15, 3, 7), (12, 3, 4), (14, 3, 7), (8, 3, 4), (16, 4, 5), (15, 4, 5), (20, 4, 5), (10, 2, 9)],
)
def test_a_design_is_used_where_it_fits(players: int, size: int, rounds: int, seed: int) -> None:
    plan = groups_of(players, size, rounds, seed)
    assert plan.repeats == 0
    assert plan.sentence == "Perfect: no two players are together twice."
    assert plan != groups_of(players, size, rounds, seed + 1)
    assert plan == groups_of(players, size, rounds, seed)


@pytest.mark.parametrize(
    ("players", "size", "rounds"), [(9, 3, 8), (9, 3, 6), (15, 3, 10), (8, 2, 9), (14, 3, 9), (4, 2, 30)]
)
def test_a_full_design_played_again_stays_as_even_as_can_be(players: int, size: int, rounds: int) -> None:
    plan = groups_of(players, size, rounds)
    times = Counter(plan.together[one][other] for one, other in combinations(range(players), 2))
    assert max(times) - min(times) <= 1
    assert plan.perfect


@pytest.mark.parametrize(
    ("players", "size", "rounds", "over"),
    [(6, 3, 5, 0), (10, 3, 5, 2), (11, 4, 4, 0), (13, 4, 6, 1), (14, 5, 5, 0), (16, 3, 5, 0), (18, 3, 6, 0)],
)
def test_the_search_comes_near_the_bound(players: int, size: int, rounds: int, over: int) -> None:
    for seed in range(2):
        plan = groups_of(players, size, rounds, seed)
        assert plan.repeats <= plan.least_repeats + over
        assert plan == groups_of(players, size, rounds, seed)


def every_round(players: tuple[int, ...], sizes: list[int]) -> list[list[tuple[int, ...]]]:
    """All ways to part players into groups of these sizes (equal sizes in every order: plenty, but small)."""
    if not sizes:
        return [[]]
    return [
        [team, *rest]
        for team in combinations(players, sizes[0])
        for rest in every_round(tuple(p for p in players if p not in team), sizes[1:])
    ]


@pytest.mark.parametrize(("players", "size"), [(4, 2), (5, 2), (5, 3), (6, 2), (6, 3), (7, 2), (7, 3)])
@pytest.mark.parametrize("rounds", [2, 3, 4])
def test_the_bound_is_honest_and_the_search_finds_the_best_by_brute_force(players: int, size: int, rounds: int) -> None:
    sizes = group_sizes(players, size)
    pairs = {
        frozenset(frozenset(pair) for team in teams for pair in combinations(team, 2))
        for teams in every_round(tuple(range(players)), sizes)
    }
    best = fewest(sorted(pairs, key=sorted_pairs), rounds)
    assert least_repeats(sizes, rounds) <= best == groups_of(players, size, rounds).repeats


def sorted_pairs(pairs: frozenset[frozenset[int]]) -> list[list[int]]:
    return sorted(sorted(pair) for pair in pairs)


def fewest(pairs: list[frozenset[frozenset[int]]], rounds: int) -> int:
    """Least repeats over every choice of rounds; all rounds look alike, so the first is fixed."""

    def go(chosen: list[frozenset[frozenset[int]]], start: int, cost: int, best: int) -> int:
        if cost >= best or len(chosen) == rounds:
            return min(cost, best)
        for place in range(start, len(pairs)):
            more = cost + sum(len(pairs[place] & earlier) for earlier in chosen)
            best = go([*chosen, pairs[place]], place, more, best)
        return best

    return go([pairs[0]], 0, 0, 10_000)


def test_sizes_are_the_nearest() -> None:
    assert group_sizes(10, 3) == [4, 3, 3]
    assert group_sizes(11, 4) == [4, 4, 3]
    assert group_sizes(8, 3) == [3, 3, 2]
    assert group_sizes(7, 2) == [3, 2, 2]
    assert group_sizes(5, 4) == [5]


def test_sentences() -> None:
    assert groups_of(6, 3, 2).sentence == "Perfect: 2 repeats, and no plan of 2 rounds has fewer."
    assert groups_of(9, 3, 8).sentence == "Perfect: every two players are together 2 times."
    assert groups_of(9, 3, 6).sentence == "Perfect: every two players are together 1 or 2 times."
    many = groups_of(12, 3, 6)
    assert (
        many.sentence
        == f"Within {many.repeats - 6} of the best possible: {many.repeats} repeats, and 6 at least must be."
    )
    some = groups_of(20, 4, 6)
    assert some.sentence.endswith(f"{some.repeats} repeats, where counting would allow none.")


@pytest.mark.parametrize("seed", range(5))
def test_twelve_in_threes_are_never_said_to_have_five_rounds(seed: int) -> None:
    five = groups_of(12, 3, 5, seed)
    assert five.repeats >= five.least_repeats >= 1
    assert "no two players" not in five.sentence


def test_refusals() -> None:
    with pytest.raises(RotaError, match="5 players cannot make groups of 6; ask for groups of 2 to 5"):
        groups_of(5, 6, 1)
    with pytest.raises(RotaError, match="one round"):
        groups_of(6, 3, 0)
