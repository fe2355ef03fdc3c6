"""What a drive is worth to the one who thinks of it, and to the one who is in it."""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.movement import NEVER_S, controlled_run_m, drift_s, run_time_s, span
from courtwright.floor.shots import sigmoid
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.earned import with_charge
from courtwright.trial.layout import World
from courtwright.trial.limits import dribbles_left, drive_rule_broken
from courtwright.trial.motion import SLIDE_START, ahead_m, distance_m, toward
from courtwright.trial.values import (
    breach_worth,
    clock_left_s,
    hold_worth,
    lost_worth,
    own_breach_worth,
    shot_worth,
)

FINISH_M: Final = 1.2
"""Finishes leave the hand this far from the ring (two steps in; ours)."""
FIRST_TOUCH_S: Final = 0.30
"""The first dribble touches this long after the first move (ours)."""
DEAD_COST: Final = 0.3
"""What standing with a dead ball costs, in scales (ours)."""
OUT_COST: Final = 0.1
"""What pulling a live drive out costs, in scales (ours)."""
MEET_M: Final = 1.6
"""A defender farther off than this is met on the way (ours)."""
BEATEN_M: Final = 0.15
"""A defender less than this in front of the driver no longer holds him (ours)."""


@inner
def bend_point(w: World, driver: int, side: float, go_s: float) -> tuple[float, float, float, float]:
    """The point abeam of the on-ball defender that a drive passes (side −1 left, +1 right), and the finish after it."""
    along_m, across_m = meets_him_at(w, driver, go_s)
    return bend_round(w, driver, side, along_m, across_m)


@inner
def meets_him_at(w: World, driver: int, go_s: float) -> tuple[float, float]:
    """How far toward the ring, and how far aside, the on-ball defender will be met."""
    x, y = w.here[driver, 0], w.here[driver, 1]
    ux, uy, _ = toward(x, y, 0.0, 0.0)
    defender = w.guard[driver]
    along_m, across_m = 0.9, 0.0
    if defender >= 0:
        blind_s = go_s + w.body[defender, its.REACT_ON]  # so long he still closes out on a man who stands
        carry = drift_s(blind_s, w.body[defender, its.TAU])
        off_x = w.here[defender, 0] + w.velocity[defender, 0] * carry - x
        off_y = w.here[defender, 1] + w.velocity[defender, 1] * carry - y
        along_m = off_x * ux + off_y * uy
        across_m = off_y * ux - off_x * uy
        left_m = along_m - w.model[par.ON_BALL_GAP]
        top, tau_s, brake = w.body[defender, its.TOP], w.body[defender, its.TAU], w.body[defender, its.BRAKE]
        along_m = max(0.5, along_m - controlled_run_m(left_m, blind_s, 0.0, top, tau_s, brake))
        if along_m > MEET_M:
            along_m = 0.5 * (along_m + MEET_M)  # both go on toward each other
    return along_m, across_m


@inner
def bend_round(
    w: World, driver: int, side: float, along_m: float, across_m: float
) -> tuple[float, float, float, float]:
    """The bend past a defender who is met there, and the finish after it."""
    x, y = w.here[driver, 0], w.here[driver, 1]
    ux, uy, _ = toward(x, y, 0.0, 0.0)
    across_m += side * w.model[par.BEND]
    bend_x, bend_y = x + ux * along_m - uy * across_m, y + uy * along_m + ux * across_m
    gx, gy, _ = toward(0.0, 0.0, bend_x, bend_y)
    return bend_x, bend_y, gx * FINISH_M, gy * FINISH_M


@inner
def beat_chance(w: World, driver: int, x: float, y: float, go_s: float) -> float:
    """Chance of getting past the on-ball defender by the bend at (x, y).

    The driver needs ``t`` to the point abeam of him. By then the defender has
    drifted with his own velocity (a running closeout is punished) and slid for
    what is left after his reaction; the spare distance between them decides.
    """
    defender = w.guard[driver]
    if defender < 0:
        return 1.0
    run_m = span(x - w.here[driver, 0], y - w.here[driver, 1])
    top = w.body[driver, its.TOP] * (1.0 - w.body[driver, its.DRIBBLE_COST])
    t_s = go_s + run_time_s(run_m, 0.0, top, w.body[driver, its.TAU])
    slide_s = max(0.0, t_s - go_s - w.body[defender, its.REACT_ON])
    carry = drift_s(t_s, w.body[defender, its.TAU])
    slide = w.body[defender, its.SLIDE] * w.body[defender, its.TOP]
    moved_m = slide * (slide_s - drift_s(slide_s, SLIDE_START * w.body[defender, its.TAU])) if slide_s > 0.0 else 0.0
    away_m = span(
        x - w.here[defender, 0] - w.velocity[defender, 0] * carry,
        y - w.here[defender, 1] - w.velocity[defender, 1] * carry,
    )
    return sigmoid((away_m - moved_m - 0.55) / w.model[par.BEAT_SOFTNESS])


@inner
def drive_worths(w: World, driver: int, go_s: float) -> tuple[float, float]:
    """Expected net points of a drive to the left and to the right."""
    broken = drive_rule_broken(w)
    if broken >= 0:
        costs = own_breach_worth(w, driver, broken)
        return costs, costs
    along_m, across_m = meets_him_at(w, driver, go_s)
    return side_worth(w, driver, -1.0, go_s, along_m, across_m), side_worth(w, driver, 1.0, go_s, along_m, across_m)


@inner
def side_worth(w: World, driver: int, side: float, go_s: float, along_m: float, across_m: float) -> float:
    """What a drive on one side is worth: past him, then a finish, a helped finish or a kick, whichever pays."""
    left = dribbles_left(w)
    bend_x, bend_y, goal_x, goal_y = bend_round(w, driver, side, along_m, across_m)
    path_m = span(bend_x - w.here[driver, 0], bend_y - w.here[driver, 1])
    path_m += span(goal_x - bend_x, goal_y - bend_y)
    top = w.body[driver, its.TOP] * (1.0 - w.body[driver, its.DRIBBLE_COST])
    time_s = run_time_s(path_m, 0.0, top, w.body[driver, its.TAU])
    allowed_s = FIRST_TOUCH_S + left * w.body[driver, its.DRIBBLE_PERIOD]
    reach_m = top * (allowed_s - drift_s(allowed_s, w.body[driver, its.TAU])) + w.body[driver, its.LAST_STEPS]
    past = beat_chance(w, driver, bend_x, bend_y, go_s)
    stay = hold_worth(w, go_s + time_s) - (DEAD_COST if left < 2.0 else 0.05) * w.scale
    if go_s + time_s > clock_left_s(w) - 0.3:
        return min(stay, breach_worth(w, at.CLOCK_S))
    if reach_m < path_m:
        short = reach_m / path_m
        x = w.here[driver, 0] + short * (goal_x - w.here[driver, 0])
        y = w.here[driver, 1] + short * (goal_y - w.here[driver, 1])
        pull_up = shot_worth(w, driver, x, y, 1.2, 0.0, w.passes_side, 0.0)
        return past * max(pull_up, stay) + (1.0 - past) * stay
    beaten = beaten_worth(w, driver, goal_x, goal_y, go_s + time_s, go_s + 0.5)
    if w.in_paint == 0:
        beaten += w.worth[at.PAINT_TOUCH]
    strip = w.model[par.STRIP]
    return (1.0 - strip) * (past * beaten + (1.0 - past) * stay) + strip * lost_worth(w)


@inner
def beaten_worth(w: World, driver: int, goal_x: float, goal_y: float, rim_s: float, beat_s: float) -> float:
    """What being past his man is worth: the finish against whoever can help, or the kick to the man that help left."""
    leave_s = beat_s + 0.0
    if w.rules[at.HELP_RULE] > 0.0:
        leave_s = FIRST_TOUCH_S + (w.rules[at.HELP_RULE] - 1.0) * w.body[driver, its.DRIBBLE_PERIOD]
    if w.rules[at.HELP_FROM_DRIBBLE] > 0.0:
        first = FIRST_TOUCH_S + (w.rules[at.HELP_FROM_DRIBBLE] - 1.0) * w.body[driver, its.DRIBBLE_PERIOD]
        leave_s = max(leave_s, first)
    gap_m = 0.75 + w.model[par.TRAILING]
    helper = -1
    for defender in range(w.attackers, w.players):
        if defender == w.guard[driver]:
            continue
        there_s = max(0.0, rim_s - leave_s - w.body[defender, its.REACT_HELP]) if w.rules[at.HELP_RULE] >= 0.0 else 0.0
        near_m = span(goal_x - w.here[defender, 0], goal_y - w.here[defender, 1])
        top, tau_s = w.body[defender, its.TOP], w.body[defender, its.TAU]
        near_m -= top * (there_s - drift_s(there_s, tau_s)) if there_s > 0.0 else 0.0
        if near_m < gap_m:
            gap_m, helper = max(0.45, near_m), defender
    finish = shot_worth(w, driver, goal_x, goal_y, gap_m, 0.0, w.passes_side, 0.0)
    if helper >= 0:
        finish = with_charge(w, finish, gap_m)
    if helper < 0 or w.guard[helper] < 0:
        return finish
    mate = w.guard[helper]
    left_open = shot_worth(w, mate, w.here[mate, 0], w.here[mate, 1], 2.4, 1.0, w.passes_side + 1, 1.0)
    loss = w.worth[at.TURNOVER_BAD_PASS] + w.worth[at.STOP]
    kick = 0.93 * (max(left_open, hold_worth(w, rim_s + 1.0)) + w.worth[at.KICK_OUT_CAUGHT]) + 0.07 * loss
    return max(finish, kick)


@inner
def finish_worth(w: World, driver: int, catch: float) -> float:
    """What the finish looks worth: the nearest gap there now, closing as long as the last steps take."""
    goal_x, goal_y = w.goal_x, w.goal_y
    left_m = span(goal_x - w.here[driver, 0], goal_y - w.here[driver, 1])
    speed = span(w.velocity[driver, 0], w.velocity[driver, 1])
    time_s = run_time_s(left_m, min(speed, w.body[driver, its.TOP]), w.body[driver, its.TOP], w.body[driver, its.TAU])
    gap_m, helped_m = 9.0, 9.0
    for defender in range(w.attackers, w.players):
        off_m = span(
            goal_x - w.here[defender, 0] - w.velocity[defender, 0] * 0.3,
            goal_y - w.here[defender, 1] - w.velocity[defender, 1] * 0.3,
        )
        if defender == w.helper:
            off_m -= 0.5 * w.body[defender, its.TOP] * time_s
            helped_m = off_m
        elif defender == w.guard[driver] and w.t_beat < NEVER_S:
            off_m = max(off_m, distance_m(w, defender, driver)) + w.model[par.TRAILING]
        gap_m = min(gap_m, off_m)
    finish = shot_worth(w, driver, goal_x, goal_y, max(0.45, gap_m), catch, w.passes_side, 0.0)
    return with_charge(w, finish, helped_m)


@inner
def out_cost(w: World) -> float:
    """What pulling a drive out costs, in scales: more once no dribble is left for another."""
    return DEAD_COST if dribbles_left(w) < 1.0 else OUT_COST


@inner
def go_on_worth(w: World, driver: int, finish: float) -> float:
    """What another dribble is worth: the finish if he is past his man, else as likely as the man still holds him."""
    left_m = span(w.goal_x - w.here[driver, 0], w.goal_y - w.here[driver, 1])
    top = w.body[driver, its.TOP] * (1.0 - w.body[driver, its.DRIBBLE_COST])
    allowed_s = (dribbles_left(w) + 1.0) * w.body[driver, its.DRIBBLE_PERIOD]
    speed = span(w.velocity[driver, 0], w.velocity[driver, 1])
    carry_s = drift_s(allowed_s, w.body[driver, its.TAU])
    if top * (allowed_s - carry_s) + speed * carry_s + w.body[driver, its.LAST_STEPS] < left_m:
        return hold_worth(w, 0.8) - out_cost(w) * w.scale
    past = past_chance(w, driver, left_m)
    return past * finish + (1.0 - past) * (hold_worth(w, 0.6) - out_cost(w) * w.scale)


@inner
def past_chance(w: World, driver: int, left_m: float) -> float:
    """Chance of being past his man by the last steps: full speed against a slide, from where both are now."""
    defender = w.guard[driver]
    if defender < 0 or w.t_beat < NEVER_S:
        return 1.0
    run_m = max(0.0, left_m - w.body[driver, its.LAST_STEPS])
    top = w.body[driver, its.TOP] * (1.0 - w.body[driver, its.DRIBBLE_COST])
    speed = min(top, span(w.velocity[driver, 0], w.velocity[driver, 1]))
    time_s = run_time_s(run_m, speed, top, w.body[driver, its.TAU])
    carry_s = drift_s(time_s, SLIDE_START * w.body[defender, its.TAU])
    slid_m = w.body[defender, its.SLIDE] * w.body[defender, its.TOP] * (time_s - carry_s)
    slid_m += span(w.velocity[defender, 0], w.velocity[defender, 1]) * carry_s
    spare_m = ahead_m(w, defender, driver) + slid_m - run_m
    return sigmoid((BEATEN_M - spare_m) / w.model[par.BEAT_SOFTNESS])
