"""One reading under one set of parameters: shot, passes, the drive, each helper's choices, pauses."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import inner, kernel
from courtwright.floor import body as its
from courtwright.floor import scene as at
from courtwright.floor.drive import clock_dribbles, contain_chance, place_at, plan_route, settle_defender, stand_at
from courtwright.floor.helping import (
    contained_worth,
    contest_worth,
    find_stop,
    finish_worth,
    lay_rim,
    lay_stop,
    rim_gap_m,
    stopped_worth,
    with_stop,
)
from courtwright.floor.kicks import (
    catch_worth,
    chance_of,
    gap_to,
    kick_wind_s,
    lay_kicks,
    note_rest,
    note_states,
    noted,
    pass_options,
    pass_s,
    put_state,
    shot_worth,
)
from courtwright.floor.leaving import AT_THE_RING_S, NOBODY, lay_left, left_man, state_of
from courtwright.floor.movement import span
from courtwright.floor.scene import Scene
from courtwright.floor.shots import sigmoid

TIMINGS: Final = ("dribble 1", "dribble 2", "dribble 3", "when beaten")
BEATEN: Final = 3
SEEN_S: Final = 0.15
"""From the beat to its being seen by a helper (ours)."""
SEEN_SOFTNESS_S: Final = 0.08
ABEAM_M: Final = (0.60, 0.85, 1.10)
"""How wide of his man a driver may go (ours)."""
SAME_POINTS: Final = 0.02
"""Widths that differ by so many points are mixed (ours)."""
LEVEL_POINTS: Final = 0.1
"""Where the two sides differ by less, both are counted, the nearer to level the more evenly (ours)."""

SHOT: Final = ("gap_m", "chance", "worth")
PASS: Final = ("gap_m", "chance", "risk", "worth")
DRIVE: Final = ("contained", "bend_s", "release_s", "never", "best_rotated", "worth", "touches")
ROW: Final = ("worth", "worth_rotated", "rim_gap_m", "left_gap_m", "leave_s")


# --- shot and passes ------------------------------------------------------------------------------------------------


@inner
def holder_shot(s: Scene, out: NDArray[np.float64]) -> None:
    """The holder's own shot, started now (after the pause): gap, chance, worth."""
    x, y = s.here[s.holder, 0], s.here[s.holder, 1]
    total_s = s.pause_s + max(0.2, s.body[s.holder, its.RELEASE] - s.held_s)
    note_states(s, 0, 0.0)
    gap_m = 9.0
    for d in range(s.attackers, s.players):
        if s.guard[d] == s.holder:
            gap_m = min(gap_m, gap_to(s, d, x, y, noted(s, 0, d), 0.0, total_s))
        else:
            gap_m = min(gap_m, span(x - s.here[d, 0], y - s.here[d, 1]))
    out[0] = gap_m
    out[1] = chance_of(s, s.holder, x, y, gap_m, 1.0, 0.0)
    out[2] = shot_worth(s, s.holder, x, y, gap_m, 1.0, 0.0)


@inner
def note_standing(s: Scene) -> None:
    """Note where everyone is after the pause: off the ball they drift, on it a closeout goes on."""
    note_states(s, 0, s.pause_s)
    d = s.guard[s.holder]
    if d >= 0 and s.pause_s > 0.0:
        stand_at(s, d, s.pause_s)
        put_state(s, 0, d, (s.stand[0], s.stand[1], s.stand[2], s.stand[3]))


@inner
def pass_now(s: Scene, mate: int, out: NDArray[np.float64]) -> None:
    """A pass to a mate now: gap at his release, his chance, the risk, worth."""
    x, y = s.here[s.holder, 0], s.here[s.holder, 1]
    note_rest(s, mate, x, y, 0, False)
    gap_m, risk = pass_options(s, mate, x, y, 0, s.assumed[at.WIND_UP])
    out[0] = gap_m
    out[1] = chance_of(s, mate, s.here[mate, 0], s.here[mate, 1], gap_m, 1.0, 0.0)
    out[2] = risk
    out[3] = catch_worth(s, mate, gap_m, risk, 0.0)


# --- the way --------------------------------------------------------------------------------------------------------


@inner
def promise(s: Scene) -> float:
    """What the way laid out promises if nobody helps: held, or a finish."""
    s.contained = contain_chance(s)
    lay_rim(s)
    return s.contained * s.reset + (1.0 - s.contained) * max(s.reset, finish_worth(s, NOBODY, 0.0))


@inner
def best_width(s: Scene, side: float) -> tuple[float, float]:
    """How wide to go past one side, widths of about the same worth mixed; and what that promises."""
    best, sum_m, sum_share = -99.0, 0.0, 0.0
    for abeam_m in ABEAM_M:
        plan_route(s, side, abeam_m)
        worth = promise(s)
        if worth > best:
            fade = math.exp((best - worth) / SAME_POINTS)
            best, sum_m, sum_share = worth, sum_m * fade, sum_share * fade
        share = math.exp((worth - best) / SAME_POINTS)
        sum_m, sum_share = sum_m + share * abeam_m, sum_share + share
    plan_route(s, side, sum_m / sum_share)
    return sum_m / sum_share, promise(s)


@inner
def take_way(s: Scene, side: float, abeam_m: float) -> None:
    """Lay a way to the ring and note its kicks."""
    plan_route(s, side, abeam_m)
    clock_dribbles(s)
    s.contained = contain_chance(s)
    lay_rim(s)
    lay_kicks(s)


@inner
def side_share(lead: float) -> float:
    """How far a side counts that promises so many points more than the other; nothing jumps when they change places."""
    share = max(0.0, min(1.0, 0.5 + 0.5 * lead / LEVEL_POINTS))
    return share * share * (3.0 - 2.0 * share)


@inner
def choose_route(s: Scene) -> None:
    """Take the way that promises most if nobody helps (of two equals the right)."""
    settle_defender(s)
    left_m, left = best_width(s, -1.0)
    right_m, right = best_width(s, 1.0)
    if right >= left:
        take_way(s, 1.0, right_m)
    else:
        take_way(s, -1.0, left_m)


# --- the helpers' choices -------------------------------------------------------------------------------------------


@inner
def row_cue_s(s: Scene, timing: int) -> float:
    """When a helper's cue falls: a dribble's touch, or the beat as he can see it."""
    if timing == BEATEN:
        return s.bend_s + SEEN_S
    return s.go_s + s.assumed[at.FIRST_TOUCH] + timing * s.body[s.holder, its.DRIBBLE_PERIOD]


@inner
def held_worth(s: Scene, timing: int, home: float, gone: float) -> float:
    """Worth of a drive that is held: one who leaves late has seen it and stayed, one who left early is gone."""
    seen = 1.0
    if timing != BEATEN:
        seen = sigmoid((row_cue_s(s, timing) - s.bend_s - SEEN_S) / SEEN_SOFTNESS_S)
    return seen * home + (1.0 - seen) * gone


@inner
def add_row(s: Scene, helper: int, timing: int, home: float, share: float, row: NDArray[np.float64]) -> None:
    """Add what leaving on this cue brings, for a way that counts so far."""
    leave_s = row_cue_s(s, timing) + s.body[helper, its.REACT_HELP]
    lay_left(s, helper, leave_s, AT_THE_RING_S)
    finish = finish_worth(s, helper, leave_s)
    held, held_turned = contained_worth(s, helper, False), contained_worth(s, helper, True)
    beaten, beaten_turned = contest_worth(s, finish, helper, False), contest_worth(s, finish, helper, True)
    find_stop(s, helper, leave_s)
    if s.stopped > 0.0:
        lay_stop(s, helper, leave_s)
        beaten = with_stop(s, beaten, stopped_worth(s, helper, False))
        beaten_turned = with_stop(s, beaten_turned, stopped_worth(s, helper, True))
    free = 1.0 - s.contained
    row[0] += share * (s.contained * held_worth(s, timing, home, held) + free * beaten)
    row[1] += share * (s.contained * held_worth(s, timing, home, held_turned) + free * beaten_turned)
    row[2] += share * rim_gap_m(s, helper, leave_s)
    row[3] += share * left_gap_m(s, helper, leave_s)
    row[4] += share * leave_s


@inner
def soonest_kick_s(s: Scene, leave_s: float) -> float:
    """When the ball can be kicked to the man a helper left, as soon as that is seen."""
    seen_s = leave_s + s.body[s.holder, its.REACT_ATTACK]
    for instant in range(s.instants - 1):
        if s.instant_s[instant] >= seen_s:
            return s.instant_s[instant]
    return max(s.gather_s, min(seen_s, s.release_s))


@inner
def left_gap_m(s: Scene, helper: int, leave_s: float) -> float:
    """Gap of the man a helper left, if the ball is kicked to him as soon as that is seen."""
    man = left_man(s, helper)
    if man < 0:
        return 9.0
    t_s = soonest_kick_s(s, leave_s)
    x, y = place_at(s, t_s)
    to_x, to_y = s.here[man, 0], s.here[man, 1]
    open_s = kick_wind_s(s) + pass_s(s, s.holder, x, y, to_x, to_y) + s.body[man, its.RELEASE]
    gap_m = 9.0
    for d in range(s.attackers, s.players):
        state = state_of(s, d, helper, leave_s, AT_THE_RING_S, t_s)
        if s.guard[d] == man:
            gap_m = min(gap_m, gap_to(s, d, to_x, to_y, state, kick_wind_s(s) + s.body[d, its.REACT_OFF], open_s))
        else:
            gap_m = min(gap_m, span(to_x - state[0], to_y - state[1]))
    return gap_m


@inner
def add_way(
    s: Scene, side: float, abeam_m: float, share: float, drive: NDArray[np.float64], rows: NDArray[np.float64]
) -> None:
    """Add one way to the ring, which counts so far: the drive, and for each helper each moment of leaving."""
    take_way(s, side, abeam_m)
    home = contained_worth(s, NOBODY, False)
    beaten = contest_worth(s, finish_worth(s, NOBODY, 0.0), NOBODY, False)
    drive[0] += share * s.contained
    drive[1] += share * s.bend_s
    drive[2] += share * s.release_s
    drive[3] += share * (s.contained * home + (1.0 - s.contained) * beaten)
    drive[6] += share * s.touches
    for d in range(s.attackers, s.players):
        if d != s.guard[s.holder]:
            for timing in range(len(TIMINGS)):
                add_row(s, d, timing, home, share, rows[d - s.attackers, timing])


@inner
def both_ways(s: Scene) -> tuple[float, float, float, float]:
    """How wide to go past the left and past the right, and how far each counts."""
    settle_defender(s)
    left_m, left = best_width(s, -1.0)
    right_m, right = best_width(s, 1.0)
    left_share, right_share = side_share(left - right), side_share(right - left)
    both = left_share + right_share
    return left_m, right_m, left_share / both, right_share / both


@inner
def read_drive(s: Scene, drive: NDArray[np.float64], rows: NDArray[np.float64]) -> None:
    """The drive past either side, and for each helper what each moment of leaving brings."""
    drive[:], rows[:] = 0.0, 0.0
    left_m, right_m, left_share, right_share = both_ways(s)
    if left_share > 0.0:
        add_way(s, -1.0, left_m, left_share, drive, rows)
    if right_share > 0.0:
        add_way(s, 1.0, right_m, right_share, drive, rows)
    drive[5], drive[4] = drive[3], drive[3]
    for d in range(s.players - s.attackers):
        if d + s.attackers != s.guard[s.holder]:
            for timing in range(len(TIMINGS)):
                drive[5], drive[4] = min(drive[5], rows[d, timing, 0]), min(drive[4], rows[d, timing, 1])


@inner
def read_once(
    s: Scene,
    shot: NDArray[np.float64],
    passes: NDArray[np.float64],
    drive: NDArray[np.float64],
    rows: NDArray[np.float64],
) -> float:
    """Everything under the scene's parameters; returns what the moment is worth to the offence."""
    holder_shot(s, shot)
    note_standing(s)
    best = max(s.reset, shot[2])
    for mate in range(s.attackers):
        if mate != s.holder:
            pass_now(s, mate, passes[mate])
            best = max(best, passes[mate, 3])
    read_drive(s, drive, rows)
    return max(best, drive[5])


@kernel
def read_draws(
    s: Scene,
    bodies: NDArray[np.float64],
    assumed: NDArray[np.float64],
    resets: NDArray[np.float64],
    fouled: NDArray[np.float64],
    shot: NDArray[np.float64],
    passes: NDArray[np.float64],
    drive: NDArray[np.float64],
    rows: NDArray[np.float64],
    worth: NDArray[np.float64],
) -> None:
    """Read the moment under each set of parameters; the first axis of every output is the set."""
    for draw in range(bodies.shape[0]):
        s.body[: s.players] = bodies[draw]
        s.assumed[:] = assumed[draw]
        s.reset = resets[draw]
        s.fouled = fouled[draw]
        worth[draw] = read_once(s, shot[draw], passes[draw], drive[draw], rows[draw])
