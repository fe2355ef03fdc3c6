"""Facts from combinatorics that the first rota is already held to.

The designs are written out from their own constructions. Their constants are published;
where a source was not read whole, or the value was computed, the check says so.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

import pytest

from courtwright.game.document import Teams
from courtwright.rota import Rota, Turn, plan_rota

Game = tuple[Iterable[int], Iterable[int]]


def as_rota(players: int, games: list[Game]) -> Rota:
    """Games one after the other on one basket."""
    turns = []
    for one, other in games:
        offence, defence = tuple(one), tuple(other)
        off = tuple(player for player in range(players) if player not in offence + defence)
        turns.append(Turn(offence, defence, off=off))
    return Rota(tuple(map(str, range(players))), tuple(turns))


def mixed(players: int, side: int, turns: int, seed: int = 0) -> Rota:
    names = [str(player) for player in range(players)]
    return plan_rota(names, offence=side, defence=side, turns=turns, teams=Teams.MIXED, seed=seed)


def pair_values(matrix: tuple[tuple[int, ...], ...]) -> set[int]:
    return {matrix[one][other] for one, other in combinations(range(len(matrix)), 2)}


# AG(2,3), the affine plane of order 3: nine points, twelve lines in four parallel classes, every pair on one line.
AG23 = [
    [(0, 1, 2), (3, 4, 5), (6, 7, 8)],
    [(0, 3, 6), (1, 4, 7), (2, 5, 8)],
    [(0, 4, 8), (1, 5, 6), (2, 3, 7)],
    [(0, 5, 7), (1, 3, 8), (2, 4, 6)],
]


def nine_by_the_affine_plane() -> Rota:
    """In each parallel class the three lines play each other."""
    return as_rota(9, [pair for lines in AG23 for pair in combinations(lines, 2)])


def eleven_by_quadratic_residues() -> Rota:
    """The teams {0,1,2} and {3,4,5}, times each square modulo 11, shifted round."""
    games: list[Game] = [
        ([(k * factor + shift) % 11 for k in (0, 1, 2)], [(k * factor + shift) % 11 for k in (3, 4, 5)])
        for factor in (1, 3, 4, 5, 9)
        for shift in range(11)
    ]
    return as_rota(11, games)


def seven_cyclic() -> Rota:
    """{2,3,5} against {4,6,7} (from 1 to 7), shifted round; one rests."""
    return as_rota(7, [([(k + s) % 7 for k in (1, 2, 4)], [(k + s) % 7 for k in (3, 5, 6)]) for s in range(7)])


def all_splits_of_six() -> Rota:
    return as_rota(6, [((0, *two), [p for p in range(1, 6) if p not in two]) for two in combinations(range(1, 6), 2)])


@pytest.mark.parametrize(
    ("rota", "games", "each_plays", "mates", "opponents"),
    [
        # (3,6) generalised whist: every pair team-mates twice, opponents three times
        # (Abel, Finizio, Greig & Lewis 2003, Discrete Math 268:1-19; the constants 2 and 3 from memory, CALC)
        (nine_by_the_affine_plane(), 12, 8, 2, 3),
        (seven_cyclic(), 7, 6, 2, 3),
        # three times as many, computed (CALC)
        (eleven_by_quadratic_residues(), 55, 30, 6, 9),
        # all ten splits of six, by counting: 10·6/15 and 10·9/15
        (all_splits_of_six(), 10, 10, 4, 6),
    ],
    ids=["9 AG(2,3)", "7", "11", "6 all splits"],
)
def test_published_designs_are_counted_as_published(
    rota: Rota, games: int, each_plays: int, mates: int, opponents: int
) -> None:
    assert len(rota.turns) == games
    assert set(rota.total_turns) == {each_plays}
    assert pair_values(rota.team_mate_turns) == {mates}
    assert pair_values(rota.opponent_turns) == {opponents}
    assert rota.pair_spread == rota.pair_spread_floor == {"team_mates": 0, "opponents": 0}


# Whist tournament on 8 (exists for all v = 0, 1 mod 4: Haanpää & Kaski 2005, Des. Codes Cryptogr. 35:271):
# 7 8 v 4 6 and 1 5 v 2 3, developed modulo 7 with 8 standing still. Each pair partners once, opposes twice.
def test_whist_tournament_on_eight() -> None:
    games: list[Game] = []
    for shift in range(7):
        seats = [(player - 1 + shift) % 7 for player in (7, 4, 6, 1, 5, 2, 3)]
        games += [((seats[0], 7), seats[1:3]), (seats[3:5], seats[5:7])]
    rota = as_rota(8, games)
    assert pair_values(rota.team_mate_turns) == {1}
    assert pair_values(rota.opponent_turns) == {2}


# Six players, 3-on-3: least possible spread of team-mate counts over r = 1..10 games (exhaustive, CALC). Five balanced
# games are impossible: a 2-design closed under complement would be a 3-design with lambda_3 = 1/2.
SIX = [1, 2, 2, 2, 2, 2, 2, 2, 1, 0]


@pytest.mark.parametrize(("games", "least"), list(enumerate(SIX, start=1)))
def test_six_players_never_claimed_better_than_possible(games: int, least: int) -> None:
    for seed in range(5):
        rota = mixed(6, 3, games, seed)
        assert rota.pair_spread["team_mates"] >= least
        assert rota.pair_spread_floor["team_mates"] <= least


def test_six_players_least_spread_by_brute_force() -> None:
    # the table above, found again with our counts: every multiset of up to five of the ten splits
    splits = all_splits_of_six().turns
    for games, least in enumerate(SIX[:5], start=1):
        found = min(Rota(("",) * 6, chosen).pair_spread["team_mates"] for chosen in _multisets(splits, games))
        assert found == least


def _multisets(splits: tuple[Turn, ...], size: int) -> Iterable[tuple[Turn, ...]]:
    if size == 0:
        yield ()
        return
    for place, split in enumerate(splits):
        for rest in _multisets(splits[place:], size - 1):
            yield (split, *rest)


@pytest.mark.parametrize("seed", range(10))
def test_six_players_twenty_turns_use_all_ten_splits_twice(seed: int) -> None:
    # all ten splits of six: team-mates 4 times, opponents 6 times (CALC); twice through is 8 and 12
    rota = mixed(6, 3, 20, seed)
    assert pair_values(rota.team_mate_turns) == {8}
    assert pair_values(rota.opponent_turns) == {12}


@pytest.mark.parametrize("seed", range(5))
def test_six_in_threes_two_turns_repeat_a_pair_and_three_do_not_cover(seed: int) -> None:
    # 6 in threes: one round without a repeated pair, two proved infeasible; all pairs need four rounds (CALC, CP-SAT)
    assert max(pair_values(mixed(6, 3, 2, seed).team_mate_turns)) == 2
    assert min(pair_values(mixed(6, 3, 3, seed).team_mate_turns)) == 0


@pytest.mark.parametrize(("players", "side"), [(9, 3), (12, 3), (15, 3), (16, 4), (8, 4)])
def test_no_more_rounds_without_repeats_than_kirkman_allows(players: int, side: int) -> None:
    # counting bound (Kirkman's problem): floor((n-1)/(k-1)) turns on the floor with all team-mates new
    most = (players - 1) // (side - 1)
    for seed in range(3):
        rota = mixed(players, side, 40, seed)
        on_floor = [0] * players
        for turn, played in enumerate(rota.turns, start=1):
            for player in played.offence + played.defence:
                on_floor[player] += 1
            met = Rota(rota.names, rota.turns[:turn]).team_mate_turns
            for player, times in enumerate(on_floor):
                assert times <= most or max(met[player]) > 1
