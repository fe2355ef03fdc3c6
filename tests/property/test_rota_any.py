"""Any size, rule and wishes: a rota keeps every hard rule. The checker here shares no code with the planner."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from courtwright.errors import RotaError
from courtwright.game.document import AfterPossession, Teams
from courtwright.rota import Problem, Rota, Turn, Wish, WishKind, solve

FREE = (AfterPossession.CYCLE, AfterPossession.TIMED)


@st.composite
def sizes(draw: st.DrawFn) -> tuple[int, int, int, int]:
    """Players, a side, baskets, turns: 6–20, 2–5, 1–3, 8–30, wherever all baskets can be filled."""
    side, baskets = draw(st.integers(2, 5)), draw(st.integers(1, 3))
    baskets = min(baskets, 20 // (2 * side))
    players = draw(st.integers(max(6, 2 * side * baskets), 20))
    return players, side, baskets, draw(st.integers(8, 30))


def names_of(players: int) -> tuple[str, ...]:
    return tuple(f"P{number}" for number in range(players))


def check_waves(problem: Problem, rota: Rota, absent: dict[int, set[int]]) -> None:
    """Full sides everywhere, nobody twice at one time, nobody who is not there, off are the rest."""
    assert len(rota.turns) == problem.turns * problem.baskets
    for number in range(problem.turns):
        wave = rota.turns[number * problem.baskets : (number + 1) * problem.baskets]
        there = set(range(problem.players)) - absent.get(number, set())
        playing = [player for turn in wave for player in (*turn.offence, *turn.neutral, *turn.defence)]
        assert len(playing) == len(set(playing))
        for turn in wave:
            shape = len(turn.offence), len(turn.defence), len(turn.neutral)
            assert shape == (problem.offence, problem.defence, problem.neutral)
            assert sorted({*playing, *turn.off}) == sorted(there)
            assert not set(playing) & set(turn.off)


def turns_on(rota: Rota, player: int) -> list[bool]:
    waves = [rota.turns[at : at + rota.baskets] for at in range(0, len(rota.turns), rota.baskets)]
    return [any(player in (*turn.offence, *turn.neutral, *turn.defence) for turn in wave) for wave in waves]


def sides_of(turn: Turn) -> tuple[set[int], set[int]]:
    return {*turn.offence, *turn.neutral}, set(turn.defence)


@settings(max_examples=30, deadline=None)
@given(sizes(), st.sampled_from(FREE), st.integers(0, 2**32))
def test_mixed_teams_on_any_baskets(size: tuple[int, int, int, int], rule: AfterPossession, seed: int) -> None:
    players, side, baskets, turns = size
    problem = Problem(names_of(players), side, side, 0, baskets, turns, rule, seed=seed)
    rota = solve(problem, 0.5)
    check_waves(problem, rota, {})
    totals = [sum(turns_on(rota, player)) for player in range(players)]
    assert max(totals) - min(totals) <= 1
    assert sum(totals) == 2 * side * baskets * turns


@st.composite
def wished(draw: st.DrawFn) -> Problem:
    """A problem with a few wishes and people who come late or leave; not all can be kept."""
    players, side, baskets, turns = draw(sizes())
    some = st.integers(0, players - 1)
    two = st.lists(some, min_size=2, max_size=3, unique=True).map(tuple)
    figures = [f"{mark}{place}" for mark in ("", "X") for place in range(1, side + 1)]
    wish = st.one_of(
        st.builds(Wish, st.sampled_from((WishKind.APART, WishKind.TOGETHER)), two),
        st.builds(Wish, st.just(WishKind.AT_MOST), st.tuples(some), st.integers(1, turns)),
        st.builds(Wish, st.just(WishKind.IN_A_ROW), st.tuples(some), st.integers(1, 4)),
        st.builds(
            Wish,
            st.just(WishKind.ONLY_AT),
            st.tuples(some),
            st.just(0),
            st.lists(st.sampled_from(figures), min_size=1, max_size=3, unique=True).map(tuple),
        ),
        st.builds(
            Wish, st.sampled_from((WishKind.FROM_TURN, WishKind.TO_TURN)), st.tuples(some), st.integers(1, turns)
        ),
        st.builds(Wish, st.just(WishKind.GUEST), st.tuples(some)),
    )
    wishes = tuple(draw(st.lists(wish, min_size=1, max_size=4)))
    return Problem(names_of(players), side, side, 0, baskets, turns, draw(st.sampled_from(FREE)), wishes=wishes)


def absent_in(problem: Problem) -> dict[int, set[int]]:
    absent: dict[int, set[int]] = {turn: set() for turn in range(problem.turns)}
    for wish in problem.wishes:
        for turn in range(problem.turns):
            late = wish.kind is WishKind.FROM_TURN and turn + 1 < wish.number
            gone = wish.kind is WishKind.TO_TURN and turn + 1 > wish.number
            if late or gone:
                absent[turn].update(wish.players)
    return absent


def check_wish(rota: Rota, wish: Wish, absent: dict[int, set[int]]) -> None:
    for player in wish.players:
        on = turns_on(rota, player)
        if wish.kind is WishKind.AT_MOST:
            assert sum(on) <= wish.number
        if wish.kind is WishKind.IN_A_ROW:
            assert all(not all(on[at : at + wish.number + 1]) for at in range(len(on) - wish.number))
        if wish.kind is WishKind.ONLY_AT:
            stood = Counter(figure for turn in rota.turns for figure, who in turn.figures.items() if who == player)
            assert set(stood) <= set(wish.figures)
    for number, turn in enumerate(rota.turns):
        for one, other in combinations(wish.players, 2):
            on_one_side = any({one, other} <= group for group in sides_of(turn))
            if wish.kind is WishKind.APART:
                assert not on_one_side
            both_there = not {one, other} & absent[number // rota.baskets]
            if wish.kind is WishKind.TOGETHER and both_there:
                assert on_one_side or not any({one, other} & group for group in sides_of(turn))


@settings(max_examples=30, deadline=None)
@given(wished())
def test_wishes_are_kept_or_refused(problem: Problem) -> None:
    try:
        rota = solve(problem, 0.25)
    except RotaError:
        return  # which wishes, `tests/unit/test_rota_search.py` asks
    absent = absent_in(problem)
    check_waves(problem, rota, absent)
    for wish in problem.wishes:
        check_wish(rota, wish, absent)


@settings(max_examples=25, deadline=None)
@given(sizes(), st.data())
def test_what_was_played_stands(size: tuple[int, int, int, int], data: st.DataObject) -> None:
    players, side, baskets, turns = size
    before = solve(Problem(names_of(players), side, side, 0, baskets, turns), 0.1)
    done = data.draw(st.integers(0, turns))
    leaves = data.draw(st.lists(st.integers(0, players - 1), unique=True, max_size=players - 2 * side * baskets))
    wishes = tuple(Wish(WishKind.TO_TURN, (player,), max(1, done)) for player in leaves)
    comes = names_of(players) + (("Newcomer",) if data.draw(st.booleans()) else ())
    problem = Problem(
        comes, side, side, 0, baskets, turns, wishes=wishes if done else (), played=before.turns[: done * baskets]
    )
    after = solve(problem, 0.2)
    assert after.turns[: done * baskets] == before.turns[: done * baskets]
    for turn in after.turns[done * baskets :] if done else ():
        assert not set(leaves) & {*turn.offence, *turn.defence, *turn.off}


@settings(max_examples=30, deadline=None)
@given(
    sizes(),
    st.sampled_from(list(AfterPossession)),
    st.sampled_from(list(Teams)),
    st.integers(0, 2**32),
)
def test_every_rule_gives_whole_turns_or_says_why_not(
    size: tuple[int, int, int, int], rule: AfterPossession, teams: Teams, seed: int
) -> None:
    players, side, baskets, turns = size
    problem = Problem(names_of(players), side, side, 0, baskets, turns, rule, teams, seed=seed)
    # what no coach could ask for: too few for teams, a line on two baskets, one by one with teams that stay together
    by_line = rule in (AfterPossession.WINNERS_STAY, AfterPossession.LOSERS_OFF)
    if (
        (teams is not Teams.MIXED and players // side < 2 * baskets)
        or (by_line and baskets > 1)
        or (rule is AfterPossession.ONE_IN_ONE_OUT and teams is not Teams.MIXED)
    ):
        with pytest.raises(RotaError):
            solve(problem, 0.1)
    else:
        check_waves(problem, solve(problem, 0.1), {})


@pytest.mark.parametrize("players", [7, 9, 13])
def test_one_in_one_out_changes_one_player_a_turn(players: int) -> None:
    rota = solve(Problem(names_of(players), 3, 3, turns=24, rule=AfterPossession.ONE_IN_ONE_OUT))
    for before, after in zip(rota.turns, rota.turns[1:], strict=False):
        on, then = ({*turn.offence, *turn.defence} for turn in (before, after))
        assert len(on - then) == len(then - on) == 1
        # the others change ends
        assert set(before.offence) & then <= set(after.defence)
        assert set(before.defence) & then <= set(after.offence)
