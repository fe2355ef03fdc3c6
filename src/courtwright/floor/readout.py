"""One reading under one set of parameters: shot, passes, the drive, each helper's choices, pauses."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import kernel
from courtwright.floor import body as its
from courtwright.floor import scene as at
from courtwright.floor.drive import contain_chance, place_at, plan_route, settle_defender, sigmoid
from courtwright.floor.helping import (
    NOBODY,
    beaten_worth,
    chance_of,
    contained_worth,
    finish_worth,
    gap_to,
    kick_wind_s,
    pass_options,
    rim_gap_m,
    shot_worth,
    state_of,
)
from courtwright.floor.movement import span
from courtwright.floor.scene import Scene

TIMINGS: Final = ("dribble 1", "dribble 2", "dribble 3", "when beaten")
BEATEN: Final = 3
SEEN_S: Final = 0.15
"""From the beat to its being seen by a helper (ours)."""
SEEN_SOFTNESS_S: Final = 0.08

SHOT: Final = ("gap_m", "chance", "worth")
PASS: Final = ("gap_m", "chance", "risk", "worth")
DRIVE: Final = ("contained", "bend_s", "release_s", "never", "best_rotated", "worth", "touches")
ROW: Final = ("worth", "worth_rotated", "rim_gap_m", "left_gap_m", "leave_s")


@kernel
def holder_shot(s: Scene, out: NDArray[np.float64]) -> None:
    """The holder's own shot, started now (after the pause): gap, chance, worth."""
    x, y = s.here[s.holder, 0], s.here[s.holder, 1]
    total_s = s.pause_s + max(0.2, s.body[s.holder, its.RELEASE] - s.held_s)
    gap_m = 9.0
    for d in range(s.attackers, s.players):
        state = state_of(s, d, NOBODY, 0.0, 0, 0.0)
        if d == s.guard[s.holder]:
            gap_m = min(gap_m, gap_to(s, d, x, y, state, 0.0, total_s))
        else:
            gap_m = min(gap_m, span(x - state[0], y - state[1]))
    out[0] = gap_m
    out[1] = chance_of(s, s.holder, x, y, gap_m, 1.0, 0.0)
    out[2] = shot_worth(s, s.holder, x, y, gap_m, 1.0, 0.0)


@kernel
def pass_now(s: Scene, mate: int, out: NDArray[np.float64]) -> None:
    """A pass to a mate now: gap at his release, his chance, the risk, worth."""
    x, y = s.here[s.holder, 0], s.here[s.holder, 1]
    gap_m, risk = pass_options(s, mate, x, y, s.pause_s, s.assumed[at.WIND_UP], NOBODY, 0.0, 0)
    to_x, to_y = s.here[mate, 0], s.here[mate, 1]
    out[0] = gap_m
    out[1] = chance_of(s, mate, to_x, to_y, gap_m, 1.0, 0.0)
    out[2] = risk
    best = max(s.reset, shot_worth(s, mate, to_x, to_y, gap_m, 1.0, 0.0))
    out[3] = (1.0 - risk) * best + risk * s.lost


@kernel
def choose_route(s: Scene) -> None:
    """Lay the route that promises most if nobody helped: two sides, three distances abeam."""
    best, best_side, best_abeam = -99.0, 1.0, 0.85
    for option in range(6):
        side = -1.0 if option < 3 else 1.0
        abeam_m = 0.60 + 0.25 * (option % 3)
        plan_route(s, side, abeam_m)
        held = contain_chance(s)
        worth = held * s.reset + (1.0 - held) * max(s.reset, finish_worth(s, NOBODY, 0.0))
        if worth > best + 1e-12:
            best, best_side, best_abeam = worth, side, abeam_m
    plan_route(s, best_side, best_abeam)
    s.contained = contain_chance(s)


@kernel
def row_cue_s(s: Scene, timing: int) -> float:
    """When a helper's cue falls: a dribble's touch, or the beat as he can see it."""
    if timing == BEATEN:
        return s.bend_s + SEEN_S
    return s.go_s + s.assumed[at.FIRST_TOUCH] + timing * s.body[s.holder, its.DRIBBLE_PERIOD]


@kernel
def row_worth(s: Scene, helper: int, timing: int, leave_s: float, rotates: bool, home: float) -> float:
    """Worth of the drive when this helper leaves on this cue.

    If the drive is held after all, one who leaves late has seen it and stayed;
    one who left early is gone.
    """
    seen = 1.0 if timing == BEATEN else sigmoid((row_cue_s(s, timing) - s.bend_s - SEEN_S) / SEEN_SOFTNESS_S)
    gone = contained_worth(s, helper, leave_s, rotates) if seen < 0.999 else home
    held = seen * home + (1.0 - seen) * gone
    return s.contained * held + (1.0 - s.contained) * beaten_worth(s, helper, leave_s, rotates)


@kernel
def soonest_kick_s(s: Scene, leave_s: float) -> float:
    """When the ball can be kicked to the man a helper left, as soon as that is seen."""
    seen_s = leave_s + s.body[s.holder, its.REACT_ATTACK]
    t_s = s.gather_s
    for touch in range(s.touches):
        in_hand_s = s.touch_s[touch] + s.assumed[at.IN_HAND]
        if in_hand_s >= seen_s and in_hand_s <= s.gather_s:
            t_s = in_hand_s
            break
    return max(t_s, min(seen_s, s.release_s))


@kernel
def left_gap_m(s: Scene, helper: int, leave_s: float) -> float:
    """Gap of the man a helper left, if the ball is kicked to him as soon as that is seen."""
    mate = s.guard[helper]
    if mate < 0 or mate == s.holder:
        return 9.0
    t_s = soonest_kick_s(s, leave_s)
    x, y = place_at(s, t_s)
    gap_m, _ = pass_options(s, mate, x, y, t_s, kick_wind_s(s), helper, leave_s, at.PATH)
    return gap_m


@kernel
def read_drive(s: Scene, drive: NDArray[np.float64], rows: NDArray[np.float64]) -> None:
    """The drive, and for each helper what each moment of leaving brings."""
    settle_defender(s)
    choose_route(s)
    home = contained_worth(s, NOBODY, 0.0, False)
    never = s.contained * home + (1.0 - s.contained) * beaten_worth(s, NOBODY, 0.0, False)
    best, best_rotated = never, never
    for d in range(s.attackers, s.players):
        if d == s.guard[s.holder]:
            continue
        for timing in range(4):
            row = rows[d - s.attackers, timing]
            leave_s = row_cue_s(s, timing) + s.body[d, its.REACT_HELP]
            row[0] = row_worth(s, d, timing, leave_s, False, home)
            row[1] = row_worth(s, d, timing, leave_s, True, home)
            row[2] = rim_gap_m(s, d, leave_s)
            row[3] = left_gap_m(s, d, leave_s)
            row[4] = leave_s
            best, best_rotated = min(best, row[0]), min(best_rotated, row[1])
    drive[0], drive[1], drive[2] = s.contained, s.bend_s, s.release_s
    drive[3], drive[4], drive[5], drive[6] = never, best_rotated, best, s.touches


@kernel
def read_once(
    s: Scene,
    shot: NDArray[np.float64],
    passes: NDArray[np.float64],
    drive: NDArray[np.float64],
    rows: NDArray[np.float64],
) -> float:
    """Everything under the scene's parameters; returns what the moment is worth to the offence."""
    holder_shot(s, shot)
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
