"""What each option is worth to the one who holds the ball, in net points of this game, as he sees it.

Limits enter here: an option that breaks a rule is worth what the breach costs,
so a rule changes what is chosen, and a cheap breach can be worth it.
"""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.ball import DRAG_PER_M, pass_flight_s, pass_speed_at
from courtwright.floor.lanes import lane_cut
from courtwright.floor.movement import SLACK_M, nearer_gap_m, span
from courtwright.floor.shots import foul_chance, make_chance
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.attack import cut_goal
from courtwright.trial.earned import BOXED_SHARE, arrival_worth, tip_chance
from courtwright.trial.layout import World
from courtwright.trial.limits import beyond_arc, in_lane, make_event, shot_rule_broken
from courtwright.trial.motion import distance_m, distance_to_m

ARM_M: Final = 0.6
"""A hand in the shooter's face: this share of the gap at which a defender stops a driver (ours)."""
FOULED: Final = 0.5
"""A fouled shot goes in this many times as often as one let alone (ours)."""
NEAR_M: Final = 2.2
"""One who has the ball this near goes up from where he is (ours)."""
FAR_M: Final = 9.0
"""The gap where nobody is near."""
QUICK_S: Final = 0.35
"""Catch to release on the move near the ring (ours)."""
OFFENSIVE_SHARE: Final = 0.22
"""Share of misses the offence expects back when it weighs a shot (professional 3-on-3: .216)."""


@inner
def again_worth(w: World) -> float:
    """What starting again is worth: playing on, less the time it takes to set up once more."""
    return w.carry_on + w.worth[at.AGAIN] - w.model[par.PATIENCE] * w.scale * (w.t + w.rules[at.RESET_S])


@inner
def foul_worth(w: World, shooter: int) -> float:
    """What a shooting foul brings, as the game says."""
    if w.rules[at.FOUL_THEN] == 2.0:
        return 2.0 * w.body[shooter, its.FREE_THROW] * w.worth[at.FREE_THROW_MAKE]
    return again_worth(w) if w.rules[at.FOUL_THEN] == 1.0 else 0.0


@inner
def lost_worth(w: World) -> float:
    """What a ball taken out of the hands costs."""
    return w.worth[at.TURNOVER_LOST_BALL] + w.worth[at.STEAL] + w.worth[at.STOP]


@inner
def breach_worth(w: World, rule: int) -> float:
    """What breaking a rule is worth to the side that breaks it as offence."""
    return cost_worth(w, w.costs[rule])


@inner
def own_breach_worth(w: World, player: int, rule: int) -> float:
    """The same where he breaks it: his own limit may cost something else than his side's."""
    return cost_worth(w, w.own_costs[player, rule])


@inner
def cost_worth(w: World, cost: int) -> float:
    """What a breach by the offence is worth to it, as it is paid for."""
    if cost == at.COST_AGAIN:
        return again_worth(w) + w.worth[at.VIOLATION_OFFENCE]
    if cost == at.COST_POINT:
        return w.worth[at.POINT_TO_DEFENCE] + w.worth[at.VIOLATION_OFFENCE] + w.worth[at.STOP]
    return w.worth[at.TURNOVER_VIOLATION] + w.worth[at.VIOLATION_OFFENCE] + w.worth[at.STOP]


@inner
def shooter_chance(w: World, shooter: int, x: float, y: float, gap_m: float, catch: float) -> float:
    """Chance of his shot from there."""
    return make_chance(
        span(x, y),
        gap_m,
        catch,
        beyond_arc(w, x, y),
        w.body[shooter, its.PRESSURE],
        w.body[shooter, its.RIM_LOGIT] + w.model[par.RIM_SHIFT],
        w.body[shooter, its.MID_LOGIT] + w.model[par.MID_SHIFT],
        w.body[shooter, its.THREE_LOGIT] + w.model[par.THREE_SHIFT],
    )


@inner
def foul_share(w: World, distance_m: float, gap_m: float) -> float:
    """Chance that a shot from there draws a foul."""
    return min(0.5, w.model[par.FOULS] * foul_chance(distance_m, gap_m)) if distance_m < 3.0 else 0.0


@inner
def unfouled_chance(chance: float, foul: float) -> float:
    """Make chance of a shot that is not fouled, from the table's, whose attempts leave out fouled misses.

    A fouled shot goes in `FOULED` times as often, so the table's share is
    ``p ((1−f) + f k) / ((1−f) + f k p)``, solved here for p.
    """
    clean = 1.0 - foul
    return min(0.95, chance * clean / (clean + foul * FOULED - chance * foul * FOULED))


@inner
def miss_worth(w: World) -> float:
    """What a miss is worth: the defence's board and stop, or the offence's board and what follows."""
    kept = w.worth[at.OFFENSIVE_REBOUND]
    if w.rules[at.PLAY_ON_REBOUND] > 0.0:
        kept += w.carry_on
    lost = w.worth[at.DEFENSIVE_REBOUND] + BOXED_SHARE * w.worth[at.BOX_OUT] + w.worth[at.STOP]
    return OFFENSIVE_SHARE * kept + (1.0 - OFFENSIVE_SHARE) * lost


@inner
def shot_worth(
    w: World, shooter: int, x: float, y: float, gap_m: float, catch: float, passes: int, kicked: float
) -> float:
    """Expected net points of a shot, fouls as the game ends them."""
    event = make_event(w, x, y)
    broken = shot_rule_broken(w, shooter, x, y, passes)
    if broken >= 0 and w.own_costs[shooter, broken] != at.COST_NO_POINTS:
        return own_breach_worth(w, shooter, broken)
    prize = w.worth[event] + kicked * w.worth[at.MAKE_KICK_OUT] + catch * w.worth[at.MAKE_ASSISTED]
    if broken >= 0:
        prize = w.worth[at.STOP]
    foul = foul_share(w, span(x, y), gap_m)
    chance = unfouled_chance(shooter_chance(w, shooter, x, y, gap_m, catch), foul)
    extra = w.body[shooter, its.FREE_THROW] * w.worth[at.FREE_THROW_MAKE] if w.rules[at.FOUL_THEN] == 2.0 else 0.0
    fouled = FOULED * chance * (prize + extra) + (1.0 - FOULED * chance) * foul_worth(w, shooter)
    return (1.0 - foul) * (chance * prize + (1.0 - chance) * miss_worth(w)) + foul * fouled


@inner
def contested_gap_m(w: World, defender: int, gap_m: float) -> float:
    """What a defender makes of his gap when he sees the shot go up: part of the way to arm's length."""
    arm_m = ARM_M * w.body[defender, its.STOP_GAP]
    return gap_m - w.model[par.CONTEST] * max(0.0, gap_m - arm_m)


@inner
def closing_gap_m(
    w: World, defender: int, x: float, y: float, seen_after_s: float, t_s: float, nearest_m: float
) -> float:
    """Gap a defender leaves a shooter at (x, y) who releases in ``t``, having seen him after a while.

    Only as far as it is less than ``nearest``, which another leaves.
    """
    vx, vy = w.velocity[defender, 0], w.velocity[defender, 1]
    top, tau_s, brake = w.body[defender, its.TOP], w.body[defender, its.TAU], w.body[defender, its.BRAKE]
    stop_m = contested_gap_m(w, defender, w.model[par.ON_BALL_GAP])
    here_x, here_y = w.here[defender, 0], w.here[defender, 1]
    return nearer_gap_m(x, y, here_x, here_y, vx, vy, seen_after_s, t_s, top, tau_s, brake, stop_m, nearest_m)


@inner
def nearest_defender(w: World, x: float, y: float) -> int:
    """Who stands nearest to a place."""
    nearest, nearest_m = w.attackers, distance_to_m(w, w.attackers, x, y)
    for defender in range(w.attackers + 1, w.players):
        off_m = distance_to_m(w, defender, x, y)
        if off_m < nearest_m:
            nearest, nearest_m = defender, off_m
    return nearest


@inner
def expected_gap_m(w: World, x: float, y: float, seen_after_s: float, t_s: float) -> float:
    """Smallest gap at a shot from there, released in ``t``; the nearest first, so that the others soon drop out."""
    if w.players == w.attackers:
        return FAR_M
    first = nearest_defender(w, x, y)
    gap_m = min(FAR_M, closing_gap_m(w, first, x, y, seen_after_s, t_s, FAR_M))
    for defender in range(w.attackers, w.players):
        if defender == first:
            continue
        speed = span(w.velocity[defender, 0], w.velocity[defender, 1])
        run_s = max(0.0, t_s - seen_after_s)
        most_m = speed * t_s + w.body[defender, its.TOP] * run_s * run_s / (2.0 * w.body[defender, its.TAU])
        if distance_to_m(w, defender, x, y) - min(most_m, w.body[defender, its.TOP] * t_s) < gap_m + SLACK_M:
            gap_m = min(gap_m, closing_gap_m(w, defender, x, y, seen_after_s, t_s, gap_m))
    return gap_m


@inner
def lane_risk(w: World, passer: int, to_x: float, to_y: float, flight_s: float, defender: int) -> float:
    """Chance that one defender gets a pass: how far inside the lane he can be when the ball comes by."""
    return lane_cut(
        w.here[passer, 0],
        w.here[passer, 1],
        to_x,
        to_y,
        flight_s,
        w.here[defender, 0],
        w.here[defender, 1],
        w.velocity[defender, 0],
        w.velocity[defender, 1],
        w.body[defender, its.REACT_OFF],
        w.body[defender, its.TOP],
        w.body[defender, its.TAU],
        0.01 * w.body[defender, its.HEIGHT] * w.body[defender, its.ARM],
        w.model[par.LANE_WEIGHT],
        w.model[par.LANE_SHIFT],
        w.model[par.LANE_SOFTNESS],
    )


@inner
def cut_chance(w: World, passer: int, to_x: float, to_y: float, flight_s: float) -> float:
    """Chance that the best-placed defender gets the pass."""
    worst = 0.0
    for defender in range(w.attackers, w.players):
        worst = max(worst, lane_risk(w, passer, to_x, to_y, flight_s, defender))
    return worst


@inner
def flight_to_s(w: World, passer: int, x: float, y: float) -> float:
    """Flight time of a pass to a place."""
    away_m = max(0.5, span(x - w.here[passer, 0], y - w.here[passer, 1]))
    return pass_flight_s(away_m, pass_speed_at(away_m, w.body[passer, its.PASS_SPEED]), DRAG_PER_M)


@inner
def meets_at(w: World, passer: int, receiver: int, wind_up_s: float) -> tuple[float, float, float]:
    """Where and after what flight a pass is caught: a cutter is led, no farther than he goes."""
    x, y = w.here[receiver, 0], w.here[receiver, 1]
    flight_s = flight_to_s(w, passer, x, y)
    if w.task[receiver] != at.CUT:
        return x, y, flight_s
    goal_x, goal_y = cut_goal(w, receiver)
    left_m = span(goal_x - x, goal_y - y)
    speed = span(w.velocity[receiver, 0], w.velocity[receiver, 1])
    share = min(1.0, speed * (wind_up_s + flight_s) / max(left_m, 0.1))
    x, y = x + share * (goal_x - x), y + share * (goal_y - y)
    return x, y, flight_to_s(w, passer, x, y)


@inner
def pressed(w: World, passer: int) -> float:
    """How closely the passer's own man is on him, 0 to 1."""
    defender = w.guard[passer]
    if defender < 0:
        return 0.0
    return min(1.0, max(0.0, (1.3 - distance_m(w, passer, defender)) / 0.6))


@inner
def bad_pass_share(w: World, passer: int) -> float:
    """Chance that a pass goes astray by itself, more from under pressure."""
    return w.model[par.BAD_PASS] * (1.0 + w.model[par.PRESSED_PASS] * pressed(w, passer))


@inner
def pass_worth(w: World, passer: int, receiver: int, kicked: float) -> float:
    """Expected net points of a pass: the receiver's shot or what playing on is worth, less the risk."""
    x, y, flight_s = meets_at(w, passer, receiver, w.model[par.WIND_UP])
    cut = cut_chance(w, passer, x, y, flight_s)
    lost = min(0.95, bad_pass_share(w, passer) + cut)
    shot_s = flight_s + (QUICK_S if span(x, y) < NEAR_M else w.body[receiver, its.RELEASE])
    gap_m = expected_gap_m(w, x, y, 0.5 * w.model[par.WIND_UP] + 0.3, w.model[par.WIND_UP] + shot_s)
    shot = shot_worth(w, receiver, x, y, gap_m, 1.0, w.passes_side + 1, kicked)
    late_s = w.model[par.WIND_UP] + shot_s
    best = max(shot, hold_worth(w, late_s))
    if clock_left_s(w) < late_s:
        best = breach_worth(w, at.CLOCK_S)
    if in_lane(w, x, y):
        best += w.worth[at.PAINT_TOUCH]
    best += arrival_worth(w, kicked)
    touched = tip_chance(w, cut) * w.worth[at.DEFLECTION]
    return (
        touched
        + (1.0 - lost) * best
        + lost * (w.worth[at.TURNOVER_BAD_PASS] + 0.7 * w.worth[at.STEAL] + w.worth[at.STOP])
    )


@inner
def clock_left_s(w: World) -> float:
    """Seconds to the shot clock; plenty where there is none, or before it is live."""
    return clock_ends_s(w) - w.t


@inner
def clock_ends_s(w: World) -> float:
    """When the shot clock runs out. One sum, so that a step that ends there ends it to the last bit."""
    if w.rules[at.CLOCK_S] < 0.0 or w.live == 0:
        return w.t + 90.0
    return w.t_clock + w.rules[at.CLOCK_S]


@inner
def hold_worth(w: World, after_s: float) -> float:
    """What playing on is worth ``after`` seconds from now: it fades, and to a breach as the clock runs out."""
    left_s = clock_left_s(w) - after_s
    worth = w.carry_on - w.model[par.PATIENCE] * w.scale * (w.t + after_s)
    sure = min(1.0, max(0.0, (left_s - 0.8) / 3.0))
    return sure * worth + (1.0 - sure) * min(worth, breach_worth(w, at.CLOCK_S))
