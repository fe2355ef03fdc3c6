"""A helper who leaves his man: his run, and what a kick to the man he left is worth, alone and rotated."""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor import scene as at
from courtwright.floor.drive import place_at
from courtwright.floor.kicks import (
    catch_worth,
    drifting,
    gap_to,
    kick_risk,
    kick_wind_s,
    noted,
    pass_options,
    pass_s,
    put_state,
)
from courtwright.floor.movement import arriving_speed_m_per_s, span, sprint_distance_m
from courtwright.floor.movement import sprint_speed_m_per_s as sprint_speed
from courtwright.floor.scene import Scene

SEEN_OVER_S: Final = 0.1
"""So much before and after the usual moment it is open whether a helper's leaving has been seen (ours)."""
TURN_ROUND_S: Final = 0.3
"""From a helper's being there to his going out to another man (ours)."""
NOBODY: Final = -1
AT_THE_RING_S: Final = 99.0
"""When he meets the driver who runs for the finish instead."""


# --- the helper's run ----------------------------------------------------------------------------------------------


@inner
def helper_goal(s: Scene, meet_s: float) -> tuple[float, float]:
    """Where a helper runs: to where he meets the driver on his way, or to the front of the finish."""
    if meet_s <= s.gather_s:
        return place_at(s, meet_s)
    return 0.8 * s.finish[0], 0.8 * s.finish[1]


@inner
def helper_state(s: Scene, d: int, leave_s: float, goal_x: float, goal_y: float, t_s: float) -> tuple[float, ...]:
    """Where a helper is at a time on his way to a goal, and how he moves. From the goal on he slows as he can."""
    if t_s <= leave_s:
        return drifting(s, d, t_s)
    x, y, _, _ = drifting(s, d, leave_s)
    away_m = span(goal_x - x, goal_y - y)
    if away_m < 1e-6:
        return goal_x, goal_y, 0.0, 0.0
    top, tau_s = s.body[d, its.TOP], s.body[d, its.TAU]
    run_m = min(away_m, sprint_distance_m(t_s - leave_s, top, tau_s))
    speed = min(sprint_speed(t_s - leave_s, top, tau_s), arriving_speed_m_per_s(away_m - run_m, s.body[d, its.BRAKE]))
    ux, uy = (goal_x - x) / away_m, (goal_y - y) / away_m
    return x + ux * run_m, y + uy * run_m, ux * speed, uy * speed


@inner
def state_of(s: Scene, d: int, helper: int, leave_s: float, meet_s: float, t_s: float) -> tuple[float, ...]:
    """A defender's place and velocity at a time: the helper on his way, others where they drift to."""
    if d == helper:
        goal_x, goal_y = helper_goal(s, meet_s)
        return helper_state(s, d, leave_s, goal_x, goal_y, t_s)
    return drifting(s, d, t_s)


# --- the kick to the man he left ------------------------------------------------------------------------------------


@inner
def left_man(s: Scene, helper: int) -> int:
    """The attacker a helper leaves, −1 if none."""
    if helper < 0 or s.guard[helper] == s.holder:
        return NOBODY
    man: int = s.guard[helper]
    return man


@inner
def seen_share(s: Scene, leave_s: float, t_s: float) -> float:
    """How far the driver has seen by a time that a helper left."""
    late_s = t_s - leave_s - s.body[s.holder, its.REACT_ATTACK]
    return max(0.0, min(1.0, 0.5 + 0.5 * late_s / SEEN_OVER_S))


@inner
def lay_left(s: Scene, helper: int, leave_s: float, meet_s: float) -> None:
    """Note what a kick to the helper's man is worth at each instant until he is met, once his leaving has been seen."""
    man = left_man(s, helper)
    if man < 0:
        return
    for instant in range(s.instants):
        if s.instant_s[instant] <= meet_s:
            x, y = place_at(s, s.instant_s[instant])
            lay_left_at(s, helper, leave_s, meet_s, man, x, y, instant, instant == s.instants - 1)


@inner
def lay_left_at(
    s: Scene, helper: int, leave_s: float, meet_s: float, man: int, x: float, y: float, instant: int, late: bool
) -> None:
    """Note what a kick to the helper's man is worth at one instant, alone and with the next man's help."""
    t_s, home = s.instant_s[instant], s.home[instant, man]
    seen = seen_share(s, leave_s, t_s)
    if seen <= 0.0:
        s.gone[instant, 0], s.gone[instant, 1] = home, home
        return
    stayed = noted(s, instant, helper)
    put_state(s, instant, helper, state_of(s, helper, helper, leave_s, meet_s, t_s))
    gap_m, risk = pass_options(s, man, x, y, instant, kick_wind_s(s))
    put_state(s, instant, helper, stayed)
    risk, extra = kick_risk(s, risk, late), -s.assumed[at.LATE_LOGIT] if late else 0.0
    alone = catch_worth(s, man, gap_m, risk, extra)
    rotated = alone
    if s.turns != 0:
        rotated = rotated_worth(s, man, gap_m, risk, x, y, t_s, helper, leave_s, meet_s, extra, alone)
    s.gone[instant, 0] = seen * alone + (1.0 - seen) * home
    s.gone[instant, 1] = seen * rotated + (1.0 - seen) * home


@inner
def rotated_worth(
    s: Scene,
    man: int,
    gap_m: float,
    risk: float,
    x: float,
    y: float,
    t_s: float,
    helper: int,
    leave_s: float,
    meet_s: float,
    extra: float,
    alone: float,
) -> float:
    """The kick when another defender may take the helper's man: whoever serves the defence most, or nobody.

    The offence answers with one extra pass where that pays.
    """
    to_x, to_y = s.here[man, 0], s.here[man, 1]
    shot_s = t_s + kick_wind_s(s) + pass_s(s, s.holder, x, y, to_x, to_y) + s.body[man, its.RELEASE]
    worth = alone
    for d in range(s.attackers, s.players):
        if d == helper or d == s.guard[s.holder] or s.guard[d] == man:
            continue
        go_s = leave_s + s.body[d, its.REACT_HELP]
        there_m = gap_to(s, d, to_x, to_y, drifting(s, d, go_s), 0.0, max(0.0, shot_s - go_s))
        if there_m < gap_m:
            first = catch_worth(s, man, there_m, risk, extra)
            worth = min(worth, max(first, onward_worth(s, man, risk, t_s, shot_s, d, go_s, helper, meet_s)))
    return worth


@inner
def onward_worth(
    s: Scene, man: int, risk: float, t_s: float, shot_s: float, second: int, go_s: float, helper: int, meet_s: float
) -> float:
    """The extra pass: from the helper's man to the man whom the second defender left."""
    free = left_man(s, second)
    if free < 0:
        return s.lost
    x, y, fx, fy = s.here[man, 0], s.here[man, 1], s.here[free, 0], s.here[free, 1]
    caught_s = shot_s - s.body[man, its.RELEASE] + TURN_ROUND_S
    onward_s = pass_s(s, man, x, y, fx, fy) + s.body[free, its.RELEASE]
    state = helper_state(s, second, go_s, x, y, caught_s)
    gap_m = gap_to(s, second, fx, fy, state, s.body[second, its.REACT_OFF], onward_s)
    goal_x, goal_y = helper_goal(s, meet_s)
    cover_s = caught_s + onward_s - t_s
    gap_m = min(gap_m, gap_to(s, helper, fx, fy, (goal_x, goal_y, 0.0, 0.0), TURN_ROUND_S, cover_s))
    twice = (1.0 - risk) * (1.0 - s.assumed[at.BAD_PASS])
    return twice * catch_worth(s, free, gap_m, 0.0, 0.0) + (1.0 - twice) * s.lost


@inner
def kick_at(s: Scene, mate: int, instant: int, helper: int, rotates: bool) -> float:
    """What was noted of a kick."""
    worth: float = s.home[instant, mate]
    if mate == left_man(s, helper):
        worth = s.gone[instant, 1 if rotates else 0]
    return worth


@inner
def best_kick(s: Scene, until_s: float, helper: int, rotates: bool, with_late: bool) -> float:
    """The best kick noted up to a time, at least starting over. The scene notes who gets it, and when."""
    best, s.kick_to = s.reset, NOBODY
    for instant in range(s.instants if with_late else s.instants - 1):
        if s.instant_s[instant] <= until_s:
            best = better_kick(s, instant, helper, rotates, best)
    return best


@inner
def better_kick(s: Scene, instant: int, helper: int, rotates: bool, best: float) -> float:
    """The best kick at one instant if it is worth more than the best so far."""
    for mate in range(s.attackers):
        if mate != s.holder:
            worth = kick_at(s, mate, instant, helper, rotates)
            if worth > best:
                best, s.kick_to, s.kick_s = worth, mate, s.instant_s[instant]
    return best
