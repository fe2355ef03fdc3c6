"""What help does to a drive: the helper's run, the finish against him, the kick to the man he left.

Every branch is worth at least starting over: nobody has to finish or pass. The
offence takes its best reply, the defence the better of stopping the ball and
contesting the finish. Net points, per chance.
"""

from __future__ import annotations

from typing import Final

from courtwright.engine import kernel
from courtwright.floor import body as its
from courtwright.floor import scene as at
from courtwright.floor.ball import DRAG_PER_M, pass_flight_s, pass_speed_at
from courtwright.floor.drive import place_at, sigmoid
from courtwright.floor.lanes import lane_spare_m
from courtwright.floor.movement import controlled_gap_m, drift_s, reach_gap_m, span, sprint_distance_m
from courtwright.floor.movement import sprint_speed_m_per_s as sprint_speed
from courtwright.floor.scene import Scene
from courtwright.floor.shots import foul_chance, make_chance

RIM_M: Final = 1.83
NEAREST_M: Final = 0.45
HELP_NEAR_M: Final = 1.2
"""A helper within this of the ball at release contests the finish."""
PULL_UP_GAP_M: Final = 0.8
HELD_UP_S: Final = 0.3
"""A driver whose way is stopped can still kick the ball out for so long (ours)."""
STOP_REACH_M: Final = 0.3
"""A helper this near to the driver's way, no later than he, stops the ball (ours)."""
NOBODY: Final = -1


@kernel
def beyond(s: Scene, x: float, y: float) -> bool:
    """Whether a shot from there is from beyond the arc."""
    return span(x, y) > s.arc_radius or abs(x) > s.arc_lateral


@kernel
def chance_of(s: Scene, player: int, x: float, y: float, gap_m: float, catch: float, extra: float) -> float:
    """Chance of his shot from there, ``extra`` log-odds added."""
    rim, mid, three = s.body[player, its.RIM_LOGIT], s.body[player, its.MID_LOGIT], s.body[player, its.THREE_LOGIT]
    slope = s.body[player, its.PRESSURE]
    return make_chance(span(x, y), gap_m, catch, beyond(s, x, y), slope, rim + extra, mid + extra, three + extra)


@kernel
def shot_worth(s: Scene, player: int, x: float, y: float, gap_m: float, catch: float, extra: float) -> float:
    """Net points of his shot from there."""
    distance_m = span(x, y)
    prize = s.worth[2] if beyond(s, x, y) else (s.worth[0] if distance_m < RIM_M else s.worth[1])
    chance = chance_of(s, player, x, y, gap_m, catch, extra)
    foul = foul_chance(distance_m, gap_m)
    return (1.0 - foul) * (chance * prize + (1.0 - chance) * s.missed) + foul * s.fouled


@kernel
def helper_state(s: Scene, d: int, leave_s: float, goal_x: float, goal_y: float, t_s: float) -> tuple[float, ...]:
    """Where a helper is at a time and how he moves, on his way to a goal: position, velocity."""
    x, y = s.here[d, 0], s.here[d, 1]
    carry = drift_s(min(t_s, leave_s), s.body[d, its.TAU])
    x, y = x + s.velocity[d, 0] * carry, y + s.velocity[d, 1] * carry
    run_s = t_s - leave_s
    away_m = span(goal_x - x, goal_y - y)
    if run_s <= 0.0 or away_m < 1e-6:
        return x, y, 0.0, 0.0
    top, tau_s = s.body[d, its.TOP], s.body[d, its.TAU]
    run_m = sprint_distance_m(run_s, top, tau_s)
    ux, uy = (goal_x - x) / away_m, (goal_y - y) / away_m
    if run_m >= away_m:
        return goal_x, goal_y, 0.0, 0.0
    speed = sprint_speed(run_s, top, tau_s)
    return x + ux * run_m, y + uy * run_m, ux * speed, uy * speed


@kernel
def gap_to(
    s: Scene, d: int, goal_x: float, goal_y: float, state: tuple[float, ...], blind_s: float, t_s: float
) -> float:
    """Gap a defender in that state leaves a standing shooter after ``t``."""
    top, tau_s, brake = s.body[d, its.TOP], s.body[d, its.TAU], s.body[d, its.BRAKE]
    stop_m = s.body[d, its.STOP_GAP]
    return controlled_gap_m(
        goal_x, goal_y, state[0], state[1], state[2], state[3], blind_s, t_s, top, tau_s, brake, stop_m
    )


@kernel
def pass_s(s: Scene, passer: int, x: float, y: float, to_x: float, to_y: float) -> float:
    """Flight time of a pass."""
    away_m = max(0.5, span(to_x - x, to_y - y))
    return pass_flight_s(away_m, pass_speed_at(away_m, s.body[passer, its.PASS_SPEED]), DRAG_PER_M)


@kernel
def cut_chance(
    s: Scene, d: int, x: float, y: float, to_x: float, to_y: float, flight_s: float, state: tuple[float, ...]
) -> float:
    """Chance that one defender in that state gets the pass."""
    spare_m = lane_spare_m(
        x,
        y,
        to_x,
        to_y,
        flight_s,
        state[0],
        state[1],
        state[2],
        state[3],
        s.body[d, its.REACT_OFF],
        s.body[d, its.TOP],
        s.body[d, its.TAU],
        s.body[d, its.HEIGHT],
    )
    return s.assumed[at.LANE_WEIGHT] * sigmoid(-(spare_m + s.assumed[at.LANE_SHIFT]) / s.assumed[at.LANE_SOFTNESS])


@kernel
def pass_options(
    s: Scene, mate: int, x: float, y: float, t_s: float, wind_s: float, helper: int, leave_s: float, goal: int
) -> tuple[float, float]:
    """Gap at the mate's release and chance that the pass is lost, for a pass from (x, y) that starts at ``t``."""
    to_x, to_y = s.here[mate, 0], s.here[mate, 1]
    flight_s = pass_s(s, s.holder, x, y, to_x, to_y)
    total_s = wind_s + flight_s + s.body[mate, its.RELEASE]
    gap_m, cut = 9.0, 0.0
    for d in range(s.attackers, s.players):
        state = state_of(s, d, helper, leave_s, goal, t_s)
        if d != s.guard[s.holder] or t_s <= 0.0:
            cut = max(cut, cut_chance(s, d, x, y, to_x, to_y, flight_s, state))
        if d == s.guard[mate]:
            gap_m = min(gap_m, gap_to(s, d, to_x, to_y, state, wind_s + s.body[d, its.REACT_OFF], total_s))
        else:
            gap_m = min(gap_m, span(to_x - state[0], to_y - state[1]))
    return gap_m, min(0.9, s.assumed[at.BAD_PASS] + cut)


@kernel
def state_of(s: Scene, d: int, helper: int, leave_s: float, goal: int, t_s: float) -> tuple[float, ...]:
    """A defender's position and velocity at a time: the helper on his way, others where they drift to."""
    if d == helper:
        goal_x, goal_y = helper_goal(s, goal)
        return helper_state(s, d, leave_s, goal_x, goal_y, t_s)
    carry = drift_s(t_s, s.body[d, its.TAU])
    fade = 1.0 - carry / s.body[d, its.TAU]
    return (
        s.here[d, 0] + s.velocity[d, 0] * carry,
        s.here[d, 1] + s.velocity[d, 1] * carry,
        s.velocity[d, 0] * fade,
        s.velocity[d, 1] * fade,
    )


@kernel
def helper_goal(s: Scene, goal: int) -> tuple[float, float]:
    """Where a helper runs: a sample of the path (stop the ball), or past its end the front of the finish."""
    if 0 <= goal < s.steps:
        return s.path[goal, 0], s.path[goal, 1]
    return 0.8 * s.finish[0], 0.8 * s.finish[1]


@kernel
def kick_wind_s(s: Scene) -> float:
    """From the wish to kick the ball out to its leaving the hands: the ball is half-way there already."""
    return 0.4 * s.assumed[at.WIND_UP]


@kernel
def kick_worth(
    s: Scene, mate: int, t_s: float, helper: int, leave_s: float, goal: int, rotates: bool, late: bool
) -> float:
    """Net points of a kick out of the drive at ``t``; worth at least what starting over is, less the risk."""
    x, y = place_at(s, t_s)
    wind_s = kick_wind_s(s)
    gap_m, risk = pass_options(s, mate, x, y, t_s, wind_s, helper, leave_s, goal)
    extra = -s.assumed[at.LATE_LOGIT] if late else 0.0
    risk = min(0.9, risk + (s.assumed[at.LATE_LOSS] if late else 0.0))
    left = helper >= 0 and s.guard[mate] == helper and t_s > leave_s
    if rotates and left:
        return rotated_worth(s, mate, gap_m, risk, t_s, wind_s, helper, leave_s, goal, extra)
    to_x, to_y = s.here[mate, 0], s.here[mate, 1]
    best = max(s.reset, shot_worth(s, mate, to_x, to_y, gap_m, 1.0, extra))
    return (1.0 - risk) * best + risk * s.lost


@kernel
def rotated_worth(
    s: Scene,
    mate: int,
    gap_m: float,
    risk: float,
    t_s: float,
    wind_s: float,
    helper: int,
    leave_s: float,
    goal: int,
    extra: float,
) -> float:
    """The kick when the next defender takes the helper's man, answered by one extra pass where that pays."""
    x, y = place_at(s, t_s)
    to_x, to_y = s.here[mate, 0], s.here[mate, 1]
    shot_s = t_s + wind_s + pass_s(s, s.holder, x, y, to_x, to_y) + s.body[mate, its.RELEASE]
    second, second_gap_m = NOBODY, gap_m
    for d in range(s.attackers, s.players):
        if d == helper or d == s.guard[s.holder] or s.guard[d] == mate:
            continue
        go_s = leave_s + s.body[d, its.REACT_HELP]
        there_m = gap_to(s, d, to_x, to_y, state_of(s, d, NOBODY, 0.0, 0, go_s), 0.0, max(0.0, shot_s - go_s))
        if there_m < second_gap_m:
            second, second_gap_m = d, there_m
    shot = max(s.reset, shot_worth(s, mate, to_x, to_y, second_gap_m, 1.0, extra))
    first = (1.0 - risk) * shot + risk * s.lost
    if second == NOBODY or s.guard[second] < 0 or s.guard[second] == s.holder:
        return first
    free = s.guard[second]
    caught_s = shot_s - s.body[mate, its.RELEASE] + 0.3
    onward_s = pass_s(s, mate, to_x, to_y, s.here[free, 0], s.here[free, 1]) + s.body[free, its.RELEASE]
    state = helper_state(s, second, leave_s + s.body[second, its.REACT_HELP], to_x, to_y, caught_s)
    fx, fy = s.here[free, 0], s.here[free, 1]
    free_gap_m = gap_to(s, second, fx, fy, state, s.body[second, its.REACT_OFF], onward_s)
    goal_x, goal_y = helper_goal(s, goal)
    cover_s = caught_s + onward_s - t_s
    free_gap_m = min(free_gap_m, gap_to(s, helper, fx, fy, (goal_x, goal_y, 0.0, 0.0), 0.3, cover_s))
    extra_pass = max(s.reset, shot_worth(s, free, fx, fy, free_gap_m, 1.0, 0.0))
    twice = (1.0 - risk) * (1.0 - s.assumed[at.BAD_PASS])
    return max(first, twice * extra_pass + (1.0 - twice) * s.lost)


@kernel
def rim_gap_m(s: Scene, d: int, leave_s: float) -> float:
    """Nearest a defender can be to the goal side of the finish at its release, leaving at ``leave``."""
    x, y = 0.9 * s.finish[0], 0.9 * s.finish[1]
    run_s = s.release_s - leave_s
    carry = drift_s(min(s.release_s, leave_s), s.body[d, its.TAU])
    px, py = s.here[d, 0] + s.velocity[d, 0] * carry, s.here[d, 1] + s.velocity[d, 1] * carry
    if run_s <= 0.0:
        return span(x - px, y - py)
    gap_m = reach_gap_m(x, y, px, py, 0.0, 0.0, s.body[d, its.TOP], s.body[d, its.TAU], run_s)
    return max(NEAREST_M, gap_m)


@kernel
def behind_gap_m(s: Scene) -> float:
    """Gap of the beaten defender to the finish at release; a man behind leaves more room."""
    d = s.guard[s.holder]
    if d < 0:
        return 9.0
    run_s = s.release_s - s.stand_s - s.assumed[at.TURN]
    top, tau_s = s.body[d, its.TOP], s.body[d, its.TAU]
    gap_m = reach_gap_m(s.finish[0], s.finish[1], s.stand[0], s.stand[1], s.stand[2], s.stand[3], top, tau_s, run_s)
    return max(NEAREST_M, gap_m) + s.assumed[at.TRAILING]


@kernel
def front_gap_m(s: Scene, helper: int, leave_s: float) -> float:
    """Gap of the finish to whoever can be nearest in front of it; the helper runs, the others stand where they are."""
    front_m = 9.0
    for d in range(s.attackers, s.players):
        if d == s.guard[s.holder]:
            continue
        front_m = min(front_m, rim_gap_m(s, d, leave_s) if d == helper else rim_gap_m(s, d, s.release_s))
    return front_m


@kernel
def helped_share(front_m: float) -> float:
    """How far a finish counts as met by help."""
    return sigmoid((HELP_NEAR_M - front_m) / 0.15)


@kernel
def finish_out(s: Scene, helped: float) -> float:
    """How much farther from the ring a finish is taken that is met by help."""
    return (1.0 - helped) + helped * s.assumed[at.HELPED_FINISH] / s.assumed[at.FINISH]


@kernel
def finish_worth(s: Scene, helper: int, leave_s: float) -> float:
    """The finish against the man behind, whoever stands near, and the helper."""
    driver = s.holder
    behind_m, front_m = behind_gap_m(s), front_gap_m(s, helper, leave_s)
    extra, lost = 0.0, s.assumed[at.STRIP]
    helped = helped_share(front_m)
    out = finish_out(s, helped)
    x, y = s.finish[0] * out, s.finish[1] * out
    if behind_m - s.assumed[at.TRAILING] < HELP_NEAR_M:
        extra -= helped * s.assumed[at.CROWD]
    lost += helped * s.assumed[at.CHARGE]
    shot = shot_worth(s, driver, x, y, min(front_m, behind_m), 0.0, extra)
    return (1.0 - lost) * shot + lost * s.lost


@kernel
def best_kick(
    s: Scene, until_s: float, helper: int, leave_s: float, goal: int, rotates: bool, with_late: bool
) -> float:
    """The best kick at any moment with the ball in hand: after each dribble, at the gather, in mid-step.

    A kick to the helper's own man counts only once his leaving has been seen. The scene notes who gets it, and when.
    """
    best, s.kick_to = s.reset, NOBODY
    seen_s = leave_s + s.body[s.holder, its.REACT_ATTACK]
    for instant in range(s.touches + 2):
        late = instant == s.touches + 1
        t_s = s.gather_s
        if instant < s.touches:
            t_s = s.touch_s[instant] + s.assumed[at.IN_HAND]
        elif late:
            t_s = 0.5 * (s.gather_s + s.release_s)
        if t_s > until_s + 1e-9 or (late and not with_late) or (instant < s.touches and t_s > s.gather_s):
            continue
        for mate in range(s.attackers):
            if mate == s.holder:
                continue
            left = helper >= 0 and s.guard[mate] == helper and t_s >= seen_s
            worth = kick_worth(s, mate, t_s, helper if left else NOBODY, leave_s, goal, rotates, late)
            if worth > best:
                best, s.kick_to, s.kick_s = worth, mate, t_s
    return best


@kernel
def beaten_worth(s: Scene, helper: int, leave_s: float, rotates: bool) -> float:
    """A drive past its man: the defence stops the ball or contests the finish, the offence replies at its best."""
    contest = max(finish_worth(s, helper, leave_s), best_kick(s, s.release_s, helper, leave_s, at.PATH, rotates, True))
    if helper < 0:
        return contest
    stop = stopping_step(s, helper, leave_s)
    if stop < 0:
        return contest
    return min(contest, best_kick(s, stop_s(s, stop) + HELD_UP_S, helper, leave_s, stop, rotates, False))


@kernel
def stop_s(s: Scene, stop: int) -> float:
    """When the driver is at a sample of the path."""
    return min(s.go_s + stop * at.STEP_S, s.gather_s)


@kernel
def stopping_step(s: Scene, helper: int, leave_s: float) -> int:
    """The first sample of the path that a helper reaches no later than the driver; −1 if none."""
    top, tau_s = s.body[helper, its.TOP], s.body[helper, its.TAU]
    carry = drift_s(leave_s, tau_s)
    hx, hy = s.here[helper, 0] + s.velocity[helper, 0] * carry, s.here[helper, 1] + s.velocity[helper, 1] * carry
    for step in range(s.steps):
        t_s = s.go_s + min(step * at.STEP_S, s.gather_s - s.go_s)
        if t_s < s.bend_s or t_s <= leave_s:
            continue
        if reach_gap_m(s.path[step, 0], s.path[step, 1], hx, hy, 0.0, 0.0, top, tau_s, t_s - leave_s) <= STOP_REACH_M:
            return step
    return -1


@kernel
def contained_worth(s: Scene, helper: int, leave_s: float, rotates: bool) -> float:
    """A drive that is held: start over, kick, or pull up against the man in front."""
    x, y = place_at(s, 0.5 * (s.bend_s + s.gather_s))
    pull_up = shot_worth(s, s.holder, x, y, PULL_UP_GAP_M, 0.0, 0.0)
    kick = best_kick(s, s.gather_s, helper, leave_s, at.PATH, rotates, False)
    return max(s.reset, pull_up, kick)
