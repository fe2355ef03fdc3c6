"""The search, its bounds, wishes that contradict, lines, and changes to a rota in use."""

from __future__ import annotations

import random
from itertools import combinations, combinations_with_replacement, pairwise, product

import numpy as np
import pytest
from numpy.typing import NDArray

from courtwright.engine import plain
from courtwright.errors import RotaError
from courtwright.game.document import AfterPossession, Teams
from courtwright.rota import (
    Problem,
    Turn,
    Wish,
    WishKind,
    anneal,
    balanced_starts,
    change_text,
    exchange_text,
    exchanged,
    expected_turns,
    judge,
    judgement_text,
    solve,
)
from courtwright.rota.bounds import least_pair_spreads, least_sit, least_spread
from courtwright.rota.contradictions import fewest_to_drop
from courtwright.rota.firsts import mixed_first
from courtwright.rota.search import LOGS, cost_of
from courtwright.rota.sheet import sheet_of

NAMES = ("Ada", "Bex", "Cleo", "Dot", "Effie", "Fern", "Gus", "Hal", "Ivy", "Jo", "Kit", "Lou", "Mo")
APART, TOGETHER = WishKind.APART, WishKind.TOGETHER

WISHED = Problem(
    NAMES,
    3,
    2,
    1,
    2,
    9,
    wishes=(
        Wish(APART, (0, 1)),
        Wish(TOGETHER, (2, 3)),
        Wish(WishKind.AT_MOST, (4,), 4),
        Wish(WishKind.IN_A_ROW, (5,), 2),
        Wish(WishKind.ONLY_AT, (6,), figures=("1", "X1")),
        Wish(WishKind.TO_TURN, (8,), 5),
    ),
)


def test_an_exchange_costs_what_the_whole_sheet_says() -> None:
    first = mixed_first(WISHED)
    sheet = sheet_of(WISHED, first.who, first.team, compiled=False)
    exchange, may_exchange = plain(anneal.exchange), plain(anneal.may_exchange)
    rng = random.Random(1)
    cost, done = cost_of(sheet), 0
    for _ in range(300):
        turn, seat, across = rng.randrange(9), rng.randrange(13), rng.randrange(13)
        if may_exchange(sheet, turn, seat, across):
            step = exchange(sheet, turn, seat, across)
            assert cost_of(sheet) == cost + step
            cost, done = cost + step, done + 1
    assert done > 100


def test_an_exchange_done_twice_leaves_everything_as_it_was() -> None:
    first = mixed_first(WISHED)
    sheet = sheet_of(WISHED, first.who, first.team, compiled=False)
    before = {name: np.copy(value) for name, value in vars(sheet).items() if isinstance(value, np.ndarray)}
    exchange = plain(anneal.exchange)
    assert exchange(sheet, 2, 0, 12) == -exchange(sheet, 2, 0, 12)
    for name, value in before.items():
        assert (getattr(sheet, name) == value).all(), name


def test_compiled_and_plain_search_find_the_same() -> None:
    first = mixed_first(WISHED)
    fast = sheet_of(WISHED, first.who, first.team)
    slow = sheet_of(WISHED, first.who, first.team, compiled=False)
    one, found = anneal.search(fast, LOGS, 3000, 500, 30, 77)
    other, twin = plain(anneal.search)(slow, LOGS, 3000, 500, 30, 77)
    assert one == other < 0
    assert (found == twin).all()


# --- bounds


def every_game(players: int, side: int) -> list[Turn]:
    """Each pair of sides once, whichever attacks."""
    games = []
    for on in combinations(range(players), 2 * side):
        for mates in combinations(on[1:], side - 1):
            one = (on[0], *mates)
            other = tuple(player for player in on if player not in one)
            off = tuple(player for player in range(players) if player not in on)
            games.append(Turn(one, other, off=off))
    return games


def counted(players: int, games: list[Turn]) -> dict[str, NDArray[np.int64]]:
    """(games, players or pairs) what each game adds to the counts."""
    pairs = list(combinations(range(players), 2))
    on = [{*game.offence, *game.defence} for game in games]
    return {
        "turns": np.array([[player in there for player in range(players)] for there in on], dtype=np.int64),
        "mates": np.array(
            [[{a, b} <= {*g.offence} or {a, b} <= {*g.defence} for a, b in pairs] for g in games], np.int64
        ),
        "opponents": np.array(
            [
                [(a in g.offence and b in g.defence) or (b in g.offence and a in g.defence) for a, b in pairs]
                for g in games
            ],
            np.int64,
        ),
    }


@pytest.mark.parametrize("turns", [1, 2, 3, 4])
@pytest.mark.parametrize(
    ("players", "side"), [(2, 1), (3, 1), (4, 1), (5, 1), (4, 2), (5, 2), (6, 2), (6, 3), (7, 2), (7, 3)]
)
def test_bounds_are_never_above_what_trying_everything_finds(players: int, side: int, turns: int) -> None:
    games = every_game(players, side)
    # players can be renamed, so the first game may be any one
    rest = np.array(list(combinations_with_replacement(range(len(games)), turns - 1)), dtype=np.int64)
    least = {}
    for what, each in counted(players, games).items():
        sums = each[0] + each[rest].sum(axis=1)
        least[what] = int(np.ptp(sums, axis=1).min())
    bounds = least_pair_spreads(players, side, side, turns)
    assert least["turns"] == least_spread(2 * side * turns, players)
    assert bounds[0] <= least["mates"]
    assert bounds[1] <= least["opponents"]
    if players == 2 * side:  # where all play, parity gives the answer itself
        assert bounds == (least["mates"], least["opponents"])


@pytest.mark.parametrize(("players", "on_floor", "turns"), [(3, 2, 3), (4, 2, 4), (5, 2, 4), (6, 2, 3), (6, 4, 3)])
def test_least_sit_is_what_trying_everything_finds(players: int, on_floor: int, turns: int) -> None:
    groups = list(combinations(range(players), on_floor))
    least = 99
    for played in product(groups, repeat=turns):
        runs = ["".join("x" if player not in on else " " for on in played).split() for player in range(players)]
        least = min(least, max((len(run) for player in runs for run in player), default=0))
    assert least == least_sit(players, on_floor, turns)


def test_a_rota_is_judged_in_words() -> None:
    rota = solve(Problem(NAMES[:9], 3, 3, turns=12, rule=AfterPossession.TIMED))
    text = judgement_text(judge(rota))
    assert text.startswith("Perfect in ")
    assert text.endswith(".")
    found = {mark.measure: mark.text for mark in judge(rota)}
    assert found["team-mates"] == found["opponents"] == "perfect"
    fixed = solve(Problem(NAMES[:9], 3, 3, turns=12, teams=Teams.FIXED))
    assert "team-mates" not in {mark.measure for mark in judge(fixed)}


# --- wishes that contradict


def test_contradictions_name_the_smallest_set_to_drop() -> None:
    wishes = (
        Wish(APART, (0, 1)),
        Wish(TOGETHER, (0, 2)),
        Wish(TOGETHER, (1, 2)),
        Wish(WishKind.AT_MOST, (3,), 6),
    )
    problem = Problem(NAMES[:9], 3, 3, turns=12, wishes=wishes)
    dropped, _ = fewest_to_drop(problem)
    assert len(dropped) == 1
    assert dropped[0] in wishes[:3]
    with pytest.raises(RotaError, match="give up this one") as refusal:
        solve(problem)
    assert dropped[0].text(problem.names) in str(refusal.value)
    rest = tuple(wish for wish in wishes if wish != dropped[0])
    solve(Problem(NAMES[:9], 3, 3, turns=12, wishes=rest))


def test_limits_that_leave_too_few_are_counted_out() -> None:
    # 8 players at most 10 turns each give 80 of the 144 places of 24 turns; one without a limit gives 24:
    # 5 · 24 + 3 · 10 = 150 is the first that is enough, so five limits must go
    problem = Problem(
        NAMES[:8], 3, 3, turns=24, wishes=tuple(Wish(WishKind.AT_MOST, (player,), 10) for player in range(8))
    )
    dropped, _ = fewest_to_drop(problem)
    assert len(dropped) == 5


def test_a_limit_for_health_is_not_what_is_named() -> None:
    # either wish alone can be kept: Ada may not play more than once in a row, or she is always on Bex's side
    wishes = (Wish(TOGETHER, (0, 1)), Wish(WishKind.IN_A_ROW, (0,), 1), Wish(WishKind.AT_MOST, (0,), 3))
    free = Wish(APART, (0, 1))
    dropped, _ = fewest_to_drop(Problem(NAMES[:8], 3, 3, turns=8, wishes=(*wishes, free)))
    assert dropped in ((wishes[0],), (free,))


@pytest.mark.parametrize(
    ("wish", "said"),
    [
        (Wish(APART, (0,)), "Ada never on one side: names one player"),
        (Wish(WishKind.AT_MOST, (0,), 0), "Ada at most 0 turns: must be 1 or more"),
        (Wish(WishKind.FROM_TURN, (0,), 13), "Ada from turn 13: there are turns 1 to 12"),
        (Wish(WishKind.ONLY_AT, (0,), figures=("4",)), "Ada only at 4: use some of 1, 2, 3, X1, X2, X3"),
        (Wish(WishKind.FROM_TURN, (0,), 4), "turn 1 needs 6 players and 5 are there"),
    ],
)
def test_wishes_that_make_no_sense_are_named(wish: Wish, said: str) -> None:
    with pytest.raises(RotaError, match=said):
        solve(Problem(NAMES[:6], 3, 3, turns=12, wishes=(wish,)))


def test_who_comes_late_is_owed_only_their_share() -> None:
    late = Wish(WishKind.FROM_TURN, (0,), 13)
    rota = solve(Problem(NAMES[:9], 3, 3, turns=24, wishes=(late,)))
    # 72 places of the first half among 8, 72 of the second among 9: 8 turns for Ada, 17 for the others
    assert rota.total_turns[0] == 8
    assert set(rota.total_turns[1:]) == {17}


def test_a_guest_sits_where_turns_do_not_divide() -> None:
    rota = solve(Problem(NAMES[:7], 3, 3, turns=8, wishes=(Wish(WishKind.GUEST, (6,)),)))
    assert sorted(rota.total_turns) == [6, 7, 7, 7, 7, 7, 7]
    assert rota.total_turns[6] == 6


# --- rules by which a line forms


def test_winner_stays_on_as_in_waldegraves_problem() -> None:
    # Three equal players, two play, the winner meets the third, until one has beaten both in a row: the two who
    # begin win with chance 5/14 each, the one who waits with 4/14 (Montmort 1713; from memory).
    waited = 0
    games = 4000
    for seed in range(games):
        problem = Problem(NAMES[:3], 1, 1, turns=40, rule=AfterPossession.WINNERS_STAY, seed=seed)
        turns = solve_line(problem)
        third = ({0, 1, 2} - {*turns[0].offence, *turns[0].defence}).pop()
        winners = [turn.offence[0] for turn in turns[1:]]  # who won stays, and attacks
        champion = next(one for one, other in pairwise(winners) if one == other)
        waited += champion == third
    expected, error = 4 / 14, (4 / 14 * 10 / 14 / games) ** 0.5
    assert abs(waited / games - expected) < 4 * error


def solve_line(problem: Problem) -> tuple[Turn, ...]:
    """The turns of a line with an even chance, without the search for places."""
    from courtwright.rota.queues import queue_first
    from courtwright.rota.sheet import turns_of

    return turns_of(problem, queue_first(problem, attack_wins=0.5).who)


def test_three_equal_teams_each_play_two_games_of_three() -> None:
    problem = Problem(NAMES[:9], 3, 3, turns=60, rule=AfterPossession.WINNERS_STAY, teams=Teams.FIXED)
    expected = expected_turns(problem, ((0, 1, 2), (3, 4, 5), (6, 7, 8)), 0.5)
    assert all(abs(turns - 40) < 1 for turns in expected.turns)
    assert expected.even_share == 40
    assert not expected.hardly_play
    assert "hardly" not in expected.text()


def test_a_weak_team_in_a_long_line_hardly_plays() -> None:
    grades = (5.0, 5.0, 5.0, *([1.0] * 10))
    problem = Problem(
        NAMES, 3, 3, turns=12, rule=AfterPossession.WINNERS_STAY, teams=Teams.FIXED, grades=grades, seed=2
    )
    teams = ((0, 1, 2), (3, 4, 5), (6, 7, 8), (9, 10, 11, 12))
    expected = expected_turns(problem, teams)
    assert expected.hardly_play
    assert "somebody would hardly play" in expected.text()
    assert min(expected.turns[:3]) > 1.4 * max(expected.turns[3:])


@pytest.mark.parametrize("rule", [AfterPossession.WINNERS_STAY, AfterPossession.LOSERS_OFF])
def test_losers_go_off_and_the_next_in_line_come_on(rule: AfterPossession) -> None:
    rota = solve(Problem(NAMES[:12], 3, 3, turns=20, rule=rule, teams=Teams.FIXED))
    for before, after in zip(rota.turns, rota.turns[1:], strict=False):
        stayed = {*before.offence, *before.defence} & {*after.offence, *after.defence}
        assert len(stayed) == 3
        stays_in = after.offence if rule is AfterPossession.WINNERS_STAY else after.defence
        assert stayed == set(stays_in)
    assert "Who wins decides who stays" in rota.notes[-1]


# --- the order of starts, surprise


def test_starts_come_as_often_as_they_should_and_in_no_order() -> None:
    starts = balanced_starts([1, 2, 1], 60, 3)
    for whole in range(12, 61, 12):
        counts = [starts[:whole].count(variant) for variant in range(3)]
        assert counts == [whole // 4, whole // 2, whole // 4]
    assert starts[:12] != starts[12:24]
    assert balanced_starts([1, 2, 1], 60, 3) == starts != balanced_starts([1, 2, 1], 60, 4)


@pytest.mark.parametrize("weights", [[1.0, 0.3, 0.3], [5, 1, 1, 1, 1, 1], [0.1, 7.0]])
def test_uneven_starts_stay_within_one_of_their_share(weights: list[float]) -> None:
    starts = balanced_starts(weights, 120, 1)
    for whole in range(12, 121, 12):
        for variant, weight in enumerate(weights):
            assert abs(starts[:whole].count(variant) - whole * weight / sum(weights)) < 1


def test_surprise_is_harder_to_guess_than_the_cycle() -> None:
    usual = solve(Problem(NAMES[:9], 3, 3, turns=24))
    surprise = solve(Problem(NAMES[:9], 3, 3, turns=24, surprise=True))
    assert usual.guessable_share > 0.75
    assert surprise.guessable_share < 0.55


# --- changes to a rota in use


def test_two_players_change_places_and_the_cost_is_said() -> None:
    rota = solve(Problem(NAMES[:9], 3, 3, turns=12, rule=AfterPossession.TIMED))
    off, on = (NAMES[group[0]] for group in (rota.turns[3].off, rota.turns[3].offence))
    after = exchanged(rota, 4, off, on)
    assert after.turns[:3] == rota.turns[:3]
    assert after.turns[4:] == rota.turns[4:]
    assert after.total_turns[NAMES.index(off)] == 9
    text = exchange_text(rota, after, 4, off, on)
    assert text.startswith(f"{off} and {on} change places in turn 4: ")
    assert "turns within 2 of the best possible instead of perfect" in text
    assert f"{off} now plays 9 turns instead of 8" in text
    assert exchanged(after, 4, off, on).turns == rota.turns
    two = [NAMES[player] for player in rota.turns[0].offence[:2]]
    assert set(exchanged(rota, 1, *two).turns[0].offence) == set(rota.turns[0].offence)
    with pytest.raises(RotaError, match="Zed is not in this rota"):
        exchanged(rota, 1, "Ada", "Zed")
    with pytest.raises(RotaError, match="turns 1 to 12"):
        exchanged(rota, 13, "Ada", "Bex")


def test_a_replan_is_said_in_one_sentence() -> None:
    before = solve(Problem(NAMES[:9], 3, 3, turns=20))
    problem = Problem(
        NAMES[:10],
        3,
        3,
        turns=20,
        wishes=(Wish(WishKind.TO_TURN, (0,), 8), Wish(WishKind.FROM_TURN, (9,), 9)),
        played=before.turns[:8],
    )
    after = solve(problem)
    assert after.turns[:8] == before.turns[:8]
    text = change_text(after, 9)
    assert text.startswith("From turn 9 Jo comes in and Ada goes; turns 1 to 8 stand, ")
    there = [after.total_turns[player] for player in range(1, 10)]
    assert f"ends with {min(there)} to {max(there)} turns." in text
    assert change_text(before, 1).startswith("From turn 1 the turns are dealt anew; nothing was played yet, ")
