"""What follows from a choice: passes, drives, shots, boards, breaches. Each act sets the next event's time."""

from __future__ import annotations

import math

from courtwright.engine import kernel
from courtwright.floor import body as its
from courtwright.floor.ball import RELEASE_HEIGHT_PER_CM, rebound_point, usual_flight_s
from courtwright.floor.movement import NEVER_S, run_time_s, span
from courtwright.floor.shots import sigmoid
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.draws import draw, happens
from courtwright.trial.driving import FIRST_TOUCH_S, bend_point
from courtwright.trial.earned import SET_M, TIP_S, all_boxed_out, is_extra, note_caught, off_landing_m, tip_chance
from courtwright.trial.layout import World
from courtwright.trial.limits import in_lane, make_event, shot_rule_broken
from courtwright.trial.motion import distance_m, gap_at_m
from courtwright.trial.options import QUICK_RELEASE
from courtwright.trial.values import (
    FOULED,
    OFFENSIVE_SHARE,
    bad_pass_share,
    cut_chance,
    foul_share,
    meets_at,
    shooter_chance,
    unfouled_chance,
)

UP_S = 0.25
"""From the last step to the ball leaving the hand (ours)."""
FALL_S = 0.5
"""From the ring to a height where hands meet the ball (0.43 to 0.56 s, derived from the fall below 8 ft)."""
LAND_S = 0.5
"""A shooter comes down before he moves (ours)."""
CRASH_REACH_M = 4.0
"""A miss this much farther away is e times less worth going for (ours)."""
CRASH_SOFTNESS = 0.04
"""How exactly that is weighed, in scales (ours)."""
HUNG_BACK_M = 1.5
"""Who gets back is as good as this much farther from the ball (ours)."""
SHORT_M = 2.6
"""A finish released nearer than this is one at the ring (ours: two steps and the reach)."""
SET_M_PER_S = 1.5
"""If he moves no faster than this (ours)."""


@kernel
def end(w: World, stopped: bool) -> None:
    """End the possession; ``stopped`` counts a stop for the defence."""
    w.mode = at.OVER
    if stopped:
        w.count[at.STOP] += 1


@kernel
def go_live(w: World) -> None:
    """From here everything counts, and the shot clock runs."""
    if w.live == 1:
        return
    w.live = 1
    w.t_clock = w.t
    w.in_paint = 0
    if w.mode == at.HELD:
        note_paint(w)


@kernel
def break_rule(w: World, rule: int) -> None:
    """The offence broke a rule: pay what it costs."""
    w.count[at.VIOLATION_OFFENCE] += 1
    cost = w.own_costs[w.holder, rule]
    if cost == at.COST_AGAIN:
        w.count[at.AGAIN] += 1
        end(w, stopped=False)
        return
    if cost == at.COST_POINT:
        w.count[at.POINT_TO_DEFENCE] += 1
    else:
        w.count[at.TURNOVER_CLOCK if rule == at.CLOCK_S else at.TURNOVER_VIOLATION] += 1
    end(w, stopped=True)


@kernel
def note_paint(w: World) -> None:
    """Count the ball going into the paint."""
    holder = w.holder
    inside = in_lane(w, w.here[holder, 0], w.here[holder, 1])
    if inside and w.in_paint == 0 and w.live == 1:
        w.count[at.PAINT_TOUCH] += 1
        w.painted = 1
    w.in_paint = 1 if inside else 0


@kernel
def start_pass(w: World, receiver: int) -> None:
    """Throw to a mate; whether it will be lost is settled as it leaves the hand."""
    passer = w.holder
    kicked = w.mode in (at.DRIVING, at.FINISHING)
    wind_up_s = 0.4 * w.model[par.WIND_UP] if kicked else w.model[par.WIND_UP]
    w.from_x, w.from_y = w.here[passer, 0], w.here[passer, 1]
    w.t_release = w.t + wind_up_s
    to_x, to_y, flight_s = meets_at(w, passer, receiver, wind_up_s)
    w.rebounded = 0
    w.t_event = w.t_release + flight_s
    w.target = receiver
    w.extra = 1 if is_extra(w) else 0
    w.from_drive = 1 if kicked else 0
    w.lost = 0
    if w.live == 1:
        w.count[at.PASS] += 1
        w.count[at.KICK_OUT] += 1 if kicked else 0
        cut = cut_chance(w, passer, to_x, to_y, flight_s)
        astray = bad_pass_share(w, passer)
        sample = draw(w, at.FOR_PASS)
        if sample < cut:
            w.lost = 2
        elif sample < cut + astray:
            w.lost = 1
        elif sample < cut + astray + tip_chance(w, cut):
            w.count[at.DEFLECTION] += 1
            w.t_event += TIP_S
    w.mode = at.PASSING


@kernel
def catch_ball(w: World) -> None:
    """A pass arrives, or was lost on the way."""
    if w.lost > 0:
        w.count[at.TURNOVER_BAD_PASS] += 1
        w.count[at.STEAL] += 1 if w.lost == 2 else 0
        end(w, stopped=True)
        return
    note_caught(w)
    w.passer = at.COACH if w.lost == at.FED else w.holder
    take_ball(w, w.target)
    if w.entry_left > 0:
        w.entry_left -= 1
    elif w.live == 1:
        w.passes_side += 1
    waits_for = w.rules[at.LIVE_ON]
    if waits_for == 1.0 or (waits_for == 3.0 and w.entry_left == 0):
        go_live(w)
    w.t_event = w.t


@kernel
def take_ball(w: World, player: int) -> None:
    """A player has the ball, with a fresh dribble."""
    w.holder = player
    w.mode = at.HELD
    w.used = 0
    w.dead = 0
    w.helper = -1
    w.off_cut = 1 if w.task[player] == at.CUT else 0
    if w.off_cut == 1:
        w.task[player] = at.CLEAR
    w.t_catch = w.t
    w.t_beat = NEVER_S
    w.t_help = NEVER_S
    note_paint(w)


@kernel
def start_drive(w: World, side: float, go_s: float) -> None:
    """Put the ball down past the defender on one side."""
    holder = w.holder
    w.bend_x, w.bend_y, w.goal_x, w.goal_y = bend_point(w, holder, side, go_s)
    w.from_x, w.from_y = w.here[holder, 0], w.here[holder, 1]
    w.t_go = w.t + go_s
    w.t_touch = w.t_go + FIRST_TOUCH_S
    w.t_event = w.t_touch
    defender = w.guard[holder]
    w.t_notice = w.t_go + (w.body[defender, its.REACT_ON] if defender >= 0 else 0.0)
    w.t_beat = NEVER_S
    w.t_help = NEVER_S
    w.helper = -1
    w.phase = 0
    w.rebounded = 0
    w.mode = at.DRIVING
    w.count[at.DRIVE] += 1
    if w.live == 0:
        go_live(w)


@kernel
def stop_drive(w: World, dead: bool) -> None:
    """Pull the drive out: he stands with the ball, his dribble used up or alive."""
    w.mode = at.HELD
    w.helper = -1
    w.dead = 1 if dead else 0
    w.t_beat = NEVER_S
    w.t_help = NEVER_S
    w.t_event = w.t + 0.4


@kernel
def gather(w: World) -> None:
    """The ball is picked up for the last steps; the finish leaves the hand when they are done."""
    holder = w.holder
    left_m = span(w.goal_x - w.here[holder, 0], w.goal_y - w.here[holder, 1])
    speed = span(w.velocity[holder, 0], w.velocity[holder, 1])
    steps_s = run_time_s(left_m, min(speed, w.body[holder, its.TOP]), w.body[holder, its.TOP], w.body[holder, its.TAU])
    w.mode = at.FINISHING
    w.caught = 1 if w.used == 0 and w.passer != at.NOBODY else 0
    w.dead = 1
    w.t_event = w.t + max(UP_S, steps_s)  # he rises in his last step: the ball leaves the hand where it ends


@kernel
def start_shot(w: World) -> None:
    """Rise for a jump shot; the ball leaves the hand after the release time."""
    holder = w.holder
    quick = QUICK_RELEASE if w.used > 0 else 1.0
    w.mode = at.SHOOTING
    w.caught = 1 if w.used == 0 and w.passer != at.NOBODY and w.t <= w.t_catch + 0.01 else 0
    defender = w.guard[holder]
    w.t_notice = w.t + (w.body[defender, its.REACT_ON] if defender >= 0 else 0.0)
    w.t_event = w.t + quick * w.body[holder, its.RELEASE]


@kernel
def release_shot(w: World, finish: bool) -> None:
    """The ball leaves the hand: offensive foul, shooting foul, make or miss."""
    shooter = w.holder
    x, y = w.here[shooter, 0], w.here[shooter, 1]
    trailing_m = w.model[par.TRAILING] if finish else 0.0
    gap_m = gap_at_m(w, x, y, trailing_m, 0.0, 0.0)
    helper = w.helper
    is_set = finish and helper >= 0 and w.helping == 1 and stands_in_front(w, helper, shooter)
    if is_set and happens(w, at.FOR_DRIVE, w.model[par.OFFENSIVE_FOUL]):
        w.count[at.TURNOVER_OFFENSIVE_FOUL] += 1
        w.count[at.CHARGE] += 1
        end(w, stopped=True)
        return
    if w.first_gap < 0.0:
        w.first_gap = gap_m
    caught = w.caught == 1
    if caught and not finish and w.from_drive == 1 and w.kick_gap < 0.0:
        w.kick_gap = gap_m
    foul = foul_share(w, span(x, y), gap_m)
    chance = unfouled_chance(shooter_chance(w, shooter, x, y, gap_m, 1.0 if caught else 0.0), foul)
    near_x, near_y = counted_from(w, x, y, finish)
    event = make_event(w, near_x, near_y)
    family = family_of(w, event, finish)
    fouled = happens(w, at.FOR_SHOT, foul)
    if fouled and not happens(w, at.FOR_SHOT, FOULED * chance):
        free_throws(w, shooter, 2)
        return
    broken = shot_rule_broken(w, shooter, near_x, near_y, w.passes_side)
    if broken >= 0 and w.own_costs[shooter, broken] != at.COST_NO_POINTS:
        break_rule(w, broken)
        return
    w.count[at.ATTEMPT_RIM + event - at.MAKE_RIM] += 1
    w.shots[family, 0] += 1
    if event == at.MAKE_THREE:
        w.gaps[min(at.GAP_BINS - 1, int(10.0 * gap_m))] += 1
    w.count[at.ATTEMPT_OPEN] += 1 if gap_m >= w.model[par.OPEN_GAP] and event != at.MAKE_RIM else 0
    if fouled or happens(w, at.FOR_SHOT, chance):
        w.shots[family, 1] += 1
        basket(w, event, caught and not finish, broken)
        if fouled and broken < 0 and w.rules[at.FOUL_THEN] == 2.0:  # elsewhere the basket is what counts
            free_throws(w, shooter, 1)
    else:
        miss(w, x, y)


@kernel
def basket(w: World, event: int, caught: bool, broken: int) -> None:
    """It went in."""
    if broken >= 0:
        w.count[at.MAKE_VOID] += 1
        w.count[at.VIOLATION_OFFENCE] += 1
        end(w, stopped=True)
        return
    w.count[event] += 1
    w.scored = 1
    if w.passer >= 0 and w.used <= 1:
        w.count[at.MAKE_ASSISTED] += 1
    if caught and w.from_drive == 1:
        w.count[at.MAKE_KICK_OUT] += 1
    if w.rules[at.MAKE_AGAIN] > 0.0:
        w.count[at.AGAIN] += 1
    shooter = w.holder
    w.t += in_air_s(w, w.here[shooter, 0], w.here[shooter, 1])
    end(w, stopped=False)


@kernel
def counted_from(w: World, x: float, y: float, finish: bool) -> tuple[float, float]:
    """The place a shot counts from: a finish that was met a little short of its goal is still one at the ring."""
    if finish and span(x, y) < SHORT_M:
        return w.goal_x, w.goal_y
    return x, y


@kernel
def family_of(w: World, event: int, finish: bool) -> int:
    """The family of a shot, as a scorer would name it."""
    if event == at.MAKE_THREE:
        return at.CATCH_THREE if w.used == 0 else at.PULL_UP_THREE
    if event == at.MAKE_MID:
        return at.CATCH_TWO if w.used == 0 else at.PULL_UP_TWO
    if w.used > 0:
        return at.DRIVING_LAYUP
    if w.off_cut == 1:
        return at.CUT_LAYUP
    return at.PUTBACK if w.rebounded == 1 else at.OTHER_LAYUP


@kernel
def free_throws(w: World, shooter: int, throws: int) -> None:
    """A shooting foul, and what the game makes of it: two throws, one after a basket."""
    w.count[at.FOUL_TRIP] += 1
    then = w.rules[at.FOUL_THEN]
    if then == 1.0:
        w.count[at.AGAIN] += 1
    if then == 2.0:
        for _ in range(throws):
            w.count[at.FREE_THROW_ATTEMPT] += 1
            if happens(w, at.FOR_SHOT, w.body[shooter, its.FREE_THROW]):
                w.count[at.FREE_THROW_MAKE] += 1
                w.scored = 1
    end(w, stopped=False)


@kernel
def in_air_s(w: World, x: float, y: float) -> float:
    """Flight time of the holder's shot from there."""
    release_height_m = RELEASE_HEIGHT_PER_CM * w.body[w.holder, its.HEIGHT]
    return usual_flight_s(span(x, y), release_height_m, w.rules[at.RING_HEIGHT])


@kernel
def stands_in_front(w: World, helper: int, shooter: int) -> bool:
    """Whether a helper is near, nearer to the ring than the shooter, and hardly moving."""
    near = distance_m(w, helper, shooter) < SET_M
    front = span(w.here[helper, 0], w.here[helper, 1]) < span(w.here[shooter, 0], w.here[shooter, 1])
    return near and front and span(w.velocity[helper, 0], w.velocity[helper, 1]) < SET_M_PER_S


@kernel
def miss(w: World, x: float, y: float) -> None:
    """It stays out: everyone goes for where it comes down."""
    landing_x, landing_y = rebound_point(
        x, y, draw(w, at.FOR_REBOUND), draw(w, at.FOR_REBOUND), draw(w, at.FOR_REBOUND), w.rules[at.BOARD_Y]
    )
    w.goal_x, w.goal_y = landing_x, landing_y
    choose_crash(w)
    w.mode = at.LOOSE
    w.t_go = w.t + LAND_S
    w.t_event = w.t + in_air_s(w, x, y) + FALL_S


@kernel
def choose_crash(w: World) -> None:
    """Each attacker goes for the rebound or gets back: what a second chance brings him against its price."""
    kept = w.worth[at.OFFENSIVE_REBOUND] - w.worth[at.DEFENSIVE_REBOUND] - w.worth[at.STOP]
    if w.rules[at.PLAY_ON_REBOUND] > 0.0:
        kept += w.carry_on
    for player in range(w.attackers):
        share = OFFENSIVE_SHARE * math.exp(-off_landing_m(w, player) / CRASH_REACH_M)
        gain = (share * kept / w.scale - w.model[par.CRASH_PRICE]) / CRASH_SOFTNESS
        w.crash[player] = 1 if draw(w, at.FOR_REBOUND) < sigmoid(gain) else 0


@kernel
def boxed_out(w: World, attacker: int, off_m: float) -> bool:
    """Whether his defender stands nearer to where the miss comes down."""
    defender = w.guard[attacker]
    if defender < 0:
        return False
    return off_landing_m(w, defender) < off_m


@kernel
def board(w: World) -> None:
    """Who gets the rebound: nearness decides, softly; one whose man is nearer than he is counts as boxed out."""
    total = 0.0
    players = w.players
    for player in range(players):
        off_m = off_landing_m(w, player)
        if player < w.attackers and w.crash[player] == 0:
            off_m += HUNG_BACK_M
        if player < w.attackers and boxed_out(w, player, off_m):
            off_m += w.model[par.BOX_OUT]
        w.push[player, 0] = math.exp(-off_m / w.model[par.GRAB_SCALE])
        total += w.push[player, 0]
    left = draw(w, at.FOR_REBOUND) * total
    winner = players - 1
    for player in range(players):
        left -= w.push[player, 0]
        if left < 0.0:
            winner = player
            break
    if winner >= w.attackers:
        w.count[at.DEFENSIVE_REBOUND] += 1
        w.count[at.BOX_OUT] += 1 if all_boxed_out(w, winner) else 0
        end(w, stopped=True)
        return
    w.count[at.OFFENSIVE_REBOUND] += 1
    if w.rules[at.PLAY_ON_REBOUND] == 0.0:
        end(w, stopped=False)
        return
    w.passer = at.NOBODY
    w.from_drive = 0
    take_ball(w, winner)
    w.rebounded = 1
    w.t_clock = w.t
    w.t_event = w.t + w.model[par.REBOUND_PAUSE]


@kernel
def next_touch(w: World) -> None:
    """Set the time of the next dribble."""
    w.t_touch = w.t + w.body[w.holder, its.DRIBBLE_PERIOD]
    w.t_event = w.t_touch
