"""Where defenders want to go: the ball, the lane, the man, the driver's way, the rebound.

The limits of the game are known to both sides: who cannot drive is crowded and
his mates are denied; who may not shoot from where he stands is left more room.
"""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.movement import span
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.layout import World
from courtwright.trial.limits import dribbles_left, shot_rule_broken
from courtwright.trial.motion import AT_ONCE, EXTRA_SAG, toward
from courtwright.trial.values import contested_gap_m

CROWD_M: Final = 0.75
"""Gap to one who cannot drive (ours: an arm's length)."""
ROOM_M: Final = 0.8
"""More gap to one who may not shoot from there (ours)."""
FINISH_REACH_M: Final = 2.6
"""From the last dribble a finish is still taken from here (two steps and the reach; ours)."""
METRES_PER_DRIBBLE: Final = 1.9
"""What a defender allows a dribble (ours; no published figure)."""
DENY_M: Final = 1.1
"""Who denies stands this far up the lane from his man (ours: an arm in the lane)."""
LEAD_S: Final = 0.35
"""A cutter is met where he will be this much later (ours)."""


@inner
def drive_threat(w: World) -> float:
    """How much of his way to the ring the holder could still dribble, 0 to 1."""
    if w.dead == 1:
        return 0.0
    away_m = span(w.here[w.holder, 0], w.here[w.holder, 1]) - FINISH_REACH_M
    if away_m <= 0.0:
        return 1.0
    return min(1.0, dribbles_left(w) * METRES_PER_DRIBBLE / away_m)


@inner
def on_ball_gap_m(w: World, defender: int) -> float:
    """The gap this defender keeps to the holder: his own usual one, less for one who cannot drive."""
    holder = w.holder
    gap_m = w.model[par.ON_BALL_GAP] * w.stance[defender]
    if gap_m > CROWD_M:
        gap_m = CROWD_M + (gap_m - CROWD_M) * w.threat
    x, y = w.here[holder, 0], w.here[holder, 1]
    if shot_rule_broken(w, holder, x, y, w.passes_side) >= 0:
        gap_m += ROOM_M
    return gap_m


@inner
def denial(w: World, defender: int, man: int) -> float:
    """How far a defender off the ball stands in the lane to his man rather than dropped, 0 to 1."""
    if w.guard[man] != defender or w.mode in (at.DRIVING, at.FINISHING):
        return 0.0
    usual = w.model[par.DENY]
    return usual + (max(usual, w.model[par.DENY_DEAD]) - usual) * (1.0 - w.threat)


@inner
def ball_seen(w: World, defender: int) -> tuple[float, float]:
    """Where a defender takes the ball to be: at a passer until he has reacted to the release."""
    if w.mode != at.PASSING:
        return w.here[w.holder, 0], w.here[w.holder, 1]
    if w.t < w.t_release + w.body[defender, its.REACT_OFF]:
        return w.from_x, w.from_y
    return w.here[w.target, 0], w.here[w.target, 1]


@inner
def guards_ball(w: World, defender: int) -> bool:
    """Whether his man has the ball, or is about to and he has seen it."""
    mode = w.mode
    if mode == at.PASSING:
        seen = w.t >= w.t_release + w.body[defender, its.REACT_OFF]
        return w.guard[defender] == w.target and seen
    return w.guard[defender] == w.holder


@inner
def close_out(w: World, defender: int, x: float, y: float, gap_m: float) -> tuple[float, float, float]:
    """To a gap on the line from a man at (x, y) to the ring, arriving under control."""
    ux, uy, _ = toward(x, y, 0.0, 0.0)
    return x + ux * gap_m, y + uy * gap_m, w.body[defender, its.TOP]


@inner
def guard_holder(w: World, defender: int, man: int) -> tuple[float, float, float]:
    """Keep the usual gap to a man who stands with the ball; step up once his shot has been seen."""
    gap_m = on_ball_gap_m(w, defender)
    if w.mode == at.SHOOTING and w.t >= w.t_notice:
        gap_m = contested_gap_m(w, defender, gap_m)
    return close_out(w, defender, w.here[man, 0], w.here[man, 1], gap_m)


@inner
def slides(w: World, defender: int) -> bool:
    """Whether he slides in front of a driver: he has seen the drive and is not beaten."""
    driving = w.mode in (at.DRIVING, at.FINISHING)
    return driving and w.guard[defender] == w.holder and w.t_notice <= w.t < w.t_beat


@inner
def contain(w: World, defender: int, driver: int) -> tuple[float, float, float]:
    """Until he has seen the drive the closeout runs on; then he slides in front; once beaten he turns and runs."""
    if w.t < w.t_notice:
        return close_out(w, defender, w.from_x, w.from_y, on_ball_gap_m(w, defender))
    ux, uy, _ = toward(w.here[defender, 0], w.here[defender, 1], w.goal_x, w.goal_y)
    if w.t >= w.t_beat:
        return ux * w.body[defender, its.TOP], uy * w.body[defender, its.TOP], AT_ONCE
    ux, uy, _ = toward(w.here[driver, 0], w.here[driver, 1], w.goal_x, w.goal_y)
    goal_x = w.here[driver, 0] + ux * w.body[defender, its.STOP_GAP]
    goal_y = w.here[driver, 1] + uy * w.body[defender, its.STOP_GAP]
    pull = 1.0 / 0.25  # closes the rest of the way in a quarter of a second, besides moving as the driver moves
    want_x = w.velocity[driver, 0] + (goal_x - w.here[defender, 0]) * pull
    want_y = w.velocity[driver, 1] + (goal_y - w.here[defender, 1]) * pull
    return want_x, want_y, AT_ONCE


@inner
def stop_ball(w: World, helper: int, driver: int) -> tuple[float, float, float]:
    """Run to the driver's way: as far out as he can be there first, and never past the ring's front."""
    ux, uy, away_m = toward(0.0, 0.0, w.here[driver, 0], w.here[driver, 1])
    out_m = min(max(1.1, 0.55 * away_m), 2.6)
    return ux * out_m, uy * out_m, w.body[helper, its.TOP]


@inner
def off_ball(w: World, defender: int, man: int) -> tuple[float, float, float]:
    """Between his man and the ring, dropped toward the ball: more so the farther the ball is."""
    ball_x, ball_y = ball_seen(w, defender)
    ball_m = span(ball_x - w.here[man, 0], ball_y - w.here[man, 1])
    far = min(1.0, max(0.0, (ball_m - 4.0) / 4.0))
    sag = (1.0 - far) * w.model[par.SAG_NEAR] + far * w.model[par.SAG_FAR]
    if w.guard[man] != defender:
        sag = EXTRA_SAG
    middle_x, middle_y = 0.35 * ball_x, 0.35 * ball_y  # a point on the line from ring to ball
    goal_x = w.here[man, 0] + sag * (middle_x - w.here[man, 0])
    goal_y = w.here[man, 1] + sag * (middle_y - w.here[man, 1])
    ux, uy, away_m = toward(w.here[man, 0], w.here[man, 1], ball_x, ball_y)
    deny = denial(w, defender, man) * (1.0 - far)
    lane_m = min(DENY_M, 0.5 * away_m)
    goal_x += deny * (w.here[man, 0] + ux * lane_m - goal_x)
    goal_y += deny * (w.here[man, 1] + uy * lane_m - goal_y)
    cap = 0.8 * w.body[defender, its.TOP]
    if w.task[man] == at.CUT and w.t > w.t_task[man] + w.body[defender, its.REACT_OFF]:
        goal_x = 0.8 * (w.here[man, 0] + w.velocity[man, 0] * LEAD_S)  # goal side of where the cutter will be
        goal_y = 0.8 * (w.here[man, 1] + w.velocity[man, 1] * LEAD_S)
        cap = w.body[defender, its.TOP]
    return goal_x, goal_y, cap


@inner
def defender_wants(w: World, player: int) -> tuple[float, float, float]:
    """Where a defender wants to be and how fast he goes there, or the velocity he wants (`AT_ONCE`)."""
    man = w.guard[player]
    mode = w.mode
    if mode == at.LOOSE:
        return w.goal_x, w.goal_y, w.body[player, its.TOP]
    driving = mode in (at.DRIVING, at.FINISHING)
    if driving and player == w.helper and w.t >= w.t_help:
        return stop_ball(w, player, w.holder)
    if guards_ball(w, player) and w.guard[man] == player:
        return contain(w, player, man) if driving else guard_holder(w, player, man)
    return off_ball(w, player, man)
