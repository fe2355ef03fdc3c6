"""The search: exchange two players in a turn, keep what helps, and less and less of what does not.

Simulated annealing (Kirkpatrick, Gelatt & Vecchi 1983) with a budget of steps, never of time. Everything is a whole
number, the random numbers (Park & Miller 1988) and the logarithms of the rule of acceptance too, so the same seed gives
the same rota on every machine, compiled or not.

An exchange is its own inverse: `exchange` does it and says what it costs, and doing it again takes it back.
"""

from __future__ import annotations

from typing import Annotated, Final

import numpy as np

from courtwright.engine import inner, kernel
from courtwright.floor.records import Ints, record_type

MOST_PLAYERS: Final = 60
MOST_TURNS: Final = 600
MOST_PAIRS: Final = MOST_PLAYERS * MOST_PLAYERS // 2

ATTACKS, DEFENDS, RESTS, ABSENT = range(4)
NEUTRAL: Final = 2
"""the first role that belongs to no side"""
QUARTERS: Final = 4
"""what is owed is counted in quarter turns"""
BROKEN: Final = 1 << 34
"""one breach of a wish: more than any sum of the rest"""

# the places of the weights
W_TURN, W_ROLE, W_FIGURE, W_MATE, W_OPPONENT = range(5)

GENERATOR: Final = 48271
MODULUS: Final = 2147483647
LOGS: Final = 1024
"""steps of the table of −ln u, and what one of its units is worth"""


class Sheet:
    """A rota in the making. Arrays are as large as any rota may be; the first numbers say how much of them is used."""

    turn_count: int
    player_count: int
    """seats in a turn, too: those who are off have one"""
    from_turn: int
    """earlier ones are played and stand"""
    pair_count: int
    who: Annotated[Ints, (MOST_TURNS, MOST_PLAYERS)]
    """the player in each seat"""
    seat_of: Annotated[Ints, (MOST_TURNS, MOST_PLAYERS)]
    """the seat of each player"""
    here: Annotated[Ints, (MOST_TURNS, MOST_PLAYERS)]
    """1 where a player can be asked to play"""
    team: Annotated[Ints, (MOST_TURNS, MOST_PLAYERS)]
    """by player: only players of one team are exchanged, all of mixed ones being of one"""
    group: Annotated[Ints, (MOST_PLAYERS,)]
    """by seat: ATTACKS, DEFENDS or RESTS"""
    role: Annotated[Ints, (MOST_PLAYERS,)]
    """by seat: offence 0, defence 1, neutral 2; 3 off"""
    basket: Annotated[Ints, (MOST_PLAYERS,)]
    """by seat; −1 off"""
    figure: Annotated[Ints, (MOST_PLAYERS,)]
    """by seat; −1 off"""
    first_seat: Annotated[Ints, (MOST_PLAYERS + 1,)]
    """by basket, and where the last one ends; the seats of a basket stand together"""
    turns: Annotated[Ints, (MOST_PLAYERS,)]
    """turns on the floor so far"""
    roles: Annotated[Ints, (MOST_PLAYERS, 3)]
    figures: Annotated[Ints, (MOST_PLAYERS, MOST_PLAYERS)]
    mates: Annotated[Ints, (MOST_PLAYERS, MOST_PLAYERS)]
    """turns on one side"""
    opponents: Annotated[Ints, (MOST_PLAYERS, MOST_PLAYERS)]
    """turns across from each other"""
    owed: Annotated[Ints, (MOST_PLAYERS,)]
    """quarter turns each is owed"""
    owed_role: Annotated[Ints, (MOST_PLAYERS, 3)]
    cap: Annotated[Ints, (MOST_PLAYERS,)]
    """most turns; a large number where there is no limit"""
    rest: Annotated[Ints, (MOST_PLAYERS,)]
    """most turns in a row; 0 where there is no limit"""
    allowed: Annotated[Ints, (MOST_PLAYERS, MOST_PLAYERS)]
    """player and figure: 1 where the player may stand"""
    apart: Annotated[Ints, (MOST_PLAYERS, MOST_PLAYERS)]
    """1 for two who may not be on one side"""
    together: Annotated[Ints, (MOST_PAIRS, 2)]
    """two who are on one side or both off"""
    sit_cost: Annotated[Ints, (MOST_TURNS + 1,)]
    """what a run of so many turns off costs"""
    order_cost: Annotated[Ints, (3, 3)]
    """what it costs to go from group to group"""
    weights: Annotated[Ints, (5,)]
    """by W_…"""


SHEET_TYPE: Final = record_type(Sheet)


@inner
def next_random(state: int) -> int:
    """The next of the random numbers 1 … 2³¹ − 2."""
    return state * GENERATOR % MODULUS


@inner
def count_pair(s: Sheet, counts: Ints, weight: int, one: int, other: int, step: int) -> int:
    """Two meet once more (or less): squares, so that meetings spread out."""
    before = counts[one, other]
    counts[one, other] = before + step
    counts[other, one] = before + step
    return int(weight * (2 * before * step + 1))


@inner
def company(s: Sheet, turn: int, seat: int, skip: int, player: int, step: int) -> int:
    """A player comes to a seat (or leaves it): meetings with all at that basket but the two seats themselves."""
    cost = 0
    basket = s.basket[seat]
    if basket < 0:
        return cost
    for place in range(s.first_seat[basket], s.first_seat[basket + 1]):
        if place in (seat, skip):
            continue
        other = s.who[turn, place]
        if s.group[place] == s.group[seat]:
            cost += count_pair(s, s.mates, s.weights[W_MATE], player, other, step)
            cost += step * BROKEN * s.apart[player, other]
        else:
            cost += count_pair(s, s.opponents, s.weights[W_OPPONENT], player, other, step)
    return cost


@inner
def off_by(count: int, owed: int) -> int:
    """Square of the quarter turns between what was had and what is owed."""
    return (QUARTERS * count - owed) * (QUARTERS * count - owed)


@inner
def place(s: Sheet, seat: int, player: int, step: int) -> int:
    """Count (or take back) a turn of a player in a seat: turns, role, figure, cap, spots allowed."""
    role, figure = s.role[seat], s.figure[seat]
    if figure < 0:
        return 0
    turns, in_role, at = s.turns[player], s.roles[player, role], s.figures[player, figure]
    cost = s.weights[W_TURN] * (off_by(turns + step, s.owed[player]) - off_by(turns, s.owed[player]))
    cost += BROKEN * (max(0, turns + step - s.cap[player]) - max(0, turns - s.cap[player]))
    owed = s.owed_role[player, role]
    cost += s.weights[W_ROLE] * (off_by(in_role + step, owed) - off_by(in_role, owed))
    cost += s.weights[W_FIGURE] * (2 * at * step + 1)
    cost += step * BROKEN * (1 - s.allowed[player, figure])
    s.turns[player] = turns + step
    s.roles[player, role] = in_role + step
    s.figures[player, figure] = at + step
    return int(cost)


@inner
def group_at(s: Sheet, turn: int, player: int) -> int:
    """What a player does in a turn; ABSENT before the first, after the last and where they are not here."""
    if turn < 0 or turn >= s.turn_count or s.here[turn, player] == 0:
        return ABSENT
    return int(s.group[s.seat_of[turn, player]])


@inner
def run_cost(s: Sheet, player: int, off: bool, length: int) -> int:
    """What a run of turns off costs, or on."""
    if off:
        return int(s.sit_cost[length])
    limit = s.rest[player]
    return int(BROKEN * (length - limit)) if 0 < limit < length else 0


@inner
def run_from(s: Sheet, turn: int, player: int, step: int, off: bool) -> int:
    """Length of the run of turns off (or on) that goes on from a turn, itself included, in one direction."""
    length = 0
    found = group_at(s, turn, player)
    while found != ABSENT and (found == RESTS) == off:
        length += 1
        turn += step
        found = group_at(s, turn, player)
    return length


@inner
def sitting(s: Sheet, turn: int, player: int) -> int:
    """Cost of the run of turns that a turn belongs to, and of those beside it that it parts."""
    now = group_at(s, turn, player)
    if now == ABSENT:
        return 0
    off = now == RESTS
    before, after = run_from(s, turn - 1, player, -1, off), run_from(s, turn + 1, player, 1, off)
    cost = run_cost(s, player, off, before + 1 + after)
    if before == 0:
        cost += run_cost(s, player, not off, run_from(s, turn - 1, player, -1, not off))
    if after == 0:
        cost += run_cost(s, player, not off, run_from(s, turn + 1, player, 1, not off))
    return cost


@inner
def order(s: Sheet, turn: int, player: int) -> int:
    """Cost of the moves into a turn and out of it."""
    now = group_at(s, turn, player)
    before, after = group_at(s, turn - 1, player), group_at(s, turn + 1, player)
    cost = 0
    if ABSENT not in (now, before):
        cost += s.order_cost[before, now]
    if ABSENT not in (now, after):
        cost += s.order_cost[now, after]
    return cost


@inner
def parted(s: Sheet, turn: int) -> int:
    """Breaches of “together” in a turn."""
    broken = 0
    for pair in range(s.pair_count):
        one, other = s.together[pair, 0], s.together[pair, 1]
        if s.here[turn, one] and s.here[turn, other]:
            seat, across = s.seat_of[turn, one], s.seat_of[turn, other]
            if s.basket[seat] != s.basket[across] or s.group[seat] != s.group[across]:
                broken += 1
    return BROKEN * broken


@inner
def around(s: Sheet, turn: int, one: int, other: int, changes_off: bool) -> int:
    """All that depends on the turns before and after, for the two players of an exchange."""
    cost = order(s, turn, one) + order(s, turn, other) + parted(s, turn)
    if changes_off:
        cost += sitting(s, turn, one) + sitting(s, turn, other)
    return cost


@inner
def exchange(s: Sheet, turn: int, seat: int, across: int) -> int:
    """Exchange the players of two seats; give what it costs (less than 0: it helps). Doing it again takes it back."""
    one, other = s.who[turn, seat], s.who[turn, across]
    changes_off = (s.group[seat] == RESTS) != (s.group[across] == RESTS)
    cost = -around(s, turn, one, other, changes_off)
    cost += company(s, turn, seat, across, one, -1) + company(s, turn, across, seat, other, -1)
    cost += place(s, seat, one, -1) + place(s, across, other, -1)
    s.who[turn, seat], s.who[turn, across] = other, one
    s.seat_of[turn, one], s.seat_of[turn, other] = across, seat
    cost += company(s, turn, seat, across, other, 1) + company(s, turn, across, seat, one, 1)
    cost += place(s, seat, other, 1) + place(s, across, one, 1)
    return cost + around(s, turn, one, other, changes_off)


@inner
def may_exchange(s: Sheet, turn: int, seat: int, across: int) -> bool:
    """Whether two seats differ, their players may change places, and nobody would come on who is not here."""
    if seat == across or (s.group[seat] == RESTS and s.group[across] == RESTS):
        return False
    one, other = s.who[turn, seat], s.who[turn, across]
    if s.team[turn, one] != s.team[turn, other] and (s.role[seat] < NEUTRAL or s.role[across] < NEUTRAL):
        return False  # a neutral player is of no team
    return bool((s.group[across] == RESTS or s.here[turn, one]) and (s.group[seat] == RESTS or s.here[turn, other]))


@inner
def propose(s: Sheet, moves: Ints, state: int) -> tuple[int, int]:
    """Write down the exchanges to try together, as rows (turn, seat, seat); give how many, and the random state.

    One exchange; or two, the second of the same players in another turn or of any two
    in the same turn, since what one unbalances the next may mend; or both ends of one
    game, which changes roles but not company.
    """
    state = next_random(state)
    turn = s.from_turn + state % (s.turn_count - s.from_turn)
    state = next_random(state)
    kind = state % 16
    state = next_random(state)
    seat = state % s.player_count
    if kind == 0:
        return ends(s, moves, turn, s.basket[seat]), state
    state = next_random(state)
    across = state % s.player_count
    moves[0, 0], moves[0, 1], moves[0, 2] = turn, seat, across
    if kind > 5:
        return 1, state
    state = next_random(state)
    if kind > 3:
        second = s.from_turn + state % (s.turn_count - s.from_turn)
        moves[1, 0] = second
        moves[1, 1], moves[1, 2] = s.seat_of[second, s.who[turn, seat]], s.seat_of[second, s.who[turn, across]]
        return (2 if second != turn else 1), state
    moves[1, 0], moves[1, 1] = turn, state % s.player_count
    state = next_random(state)
    moves[1, 2] = state % s.player_count
    return 2, state


@inner
def ends(s: Sheet, moves: Ints, turn: int, basket: int) -> int:
    """The exchanges that change the ends of a game; none where its sides are uneven or nobody plays there."""
    if basket < 0:
        return 0
    first, last = s.first_seat[basket], s.first_seat[basket + 1]
    size = last - first
    if size % 2 or s.group[first + size // 2 - 1] != ATTACKS or s.group[first + size // 2] != DEFENDS:
        return 0
    for place in range(size // 2):
        moves[place, 0], moves[place, 1], moves[place, 2] = turn, first + place, first + place + size // 2
    return int(size // 2)


@kernel
def search(s: Sheet, logs: Ints, steps: int, hot: int, cold: int, state: int) -> tuple[int, Ints]:
    """Look for a cheaper rota, from the one on the sheet.

    Parameters
    ----------
    s
        The sheet; left as the last step made it.
    logs
        −ln((i + ½)/1024) in 1024ths; see `log_table`.
    steps
        How many moves are tried; see `propose`.
    hot, cold
        Cost that is taken in its stride at the start and at the end.
    state
        Seed of the random numbers, 1 … 2³¹ − 2.

    Returns
    -------
    What the best rota found costs against the first (0 or less), and its seats (turns, seats).
    """
    best, now = 0, 0
    kept = s.who.copy()
    moves = np.empty((MOST_PLAYERS, 3), np.int64)
    for step in range(steps):
        heat = hot + (cold - hot) * step // steps
        count, state = propose(s, moves, state)
        cost, done = 0, 0
        while done < count and may_exchange(s, moves[done, 0], moves[done, 1], moves[done, 2]):
            cost += exchange(s, moves[done, 0], moves[done, 1], moves[done, 2])
            done += 1
        if done == 0:
            continue
        state = next_random(state)
        if cost * LOGS <= heat * logs[state % LOGS]:
            now += cost
            if now < best:
                best = now
                kept[: s.turn_count] = s.who[: s.turn_count]
        else:
            while done > 0:
                done -= 1
                exchange(s, moves[done, 0], moves[done, 1], moves[done, 2])
    return best, kept


def log_table() -> Ints:
    """−ln of the middles of 1024 equal steps of (0, 1), in 1024ths, as whole numbers."""
    return np.round(-np.log((np.arange(LOGS) + 0.5) / LOGS) * LOGS).astype(np.int64)
