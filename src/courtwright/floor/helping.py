"""What help does to a drive: the finish against it, the ball stopped on its way, the drive held.

Every branch is worth at least starting over: nobody has to finish or pass. The
offence takes its best reply, the defence the better of stopping the ball and
contesting the finish. Net points, per chance.
"""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor import scene as at
from courtwright.floor.drive import place_at
from courtwright.floor.kicks import drifting, home_kick, note_states, shot_worth
from courtwright.floor.leaving import AT_THE_RING_S, best_kick, better_kick, lay_left, lay_left_at, left_man
from courtwright.floor.movement import drift_s, reach_gap_m
from courtwright.floor.scene import Scene
from courtwright.floor.shots import sigmoid

NEAREST_M: Final = 0.45
HELP_NEAR_M: Final = 1.2
"""A helper within this of the ball at release contests the finish."""
HELP_SOFTNESS_M: Final = 0.15
PULL_UP_GAP_M: Final = 0.8
HELD_UP_S: Final = 0.3
"""A driver whose way is stopped can still kick the ball out for so long (ours)."""
STOP_REACH_M: Final = 0.6
"""A helper who is as near as this to the driver's way begins to stop the ball; one who is on it does (ours)."""
LOOKS: Final = 8
"""Times at which it is looked whether a helper can be in the way."""


# --- at the rim -----------------------------------------------------------------------------------------------------


@inner
def rim_gap_m(s: Scene, d: int, leave_s: float) -> float:
    """Nearest a defender can be to the goal side of the finish at its release, leaving at ``leave``."""
    carry = drift_s(s.release_s, s.body[d, its.TAU])
    px, py = s.here[d, 0] + s.velocity[d, 0] * carry, s.here[d, 1] + s.velocity[d, 1] * carry
    run_s = max(0.0, s.release_s - leave_s)
    x, y = 0.9 * s.finish[0], 0.9 * s.finish[1]
    return max(NEAREST_M, reach_gap_m(x, y, px, py, 0.0, 0.0, s.body[d, its.TOP], s.body[d, its.TAU], run_s))


@inner
def lay_rim(s: Scene) -> None:
    """Note how near to the finish everyone is who does not leave."""
    for d in range(s.attackers, s.players):
        s.rim_home[d] = rim_gap_m(s, d, s.release_s)


@inner
def front_gap_m(s: Scene, helper: int, leave_s: float) -> float:
    """Gap of the finish to whoever can be nearest in front of it; the helper runs, the others stand where they are."""
    front_m = 9.0 if helper < 0 else rim_gap_m(s, helper, leave_s)
    for d in range(s.attackers, s.players):
        if d not in (s.guard[s.holder], helper):
            front_m = min(front_m, s.rim_home[d])
    return front_m


@inner
def behind_gap_m(s: Scene) -> float:
    """Gap of the beaten defender to the finish at release."""
    d = s.guard[s.holder]
    if d < 0:
        return 9.0
    run_s = s.release_s - s.stand_s - s.assumed[at.TURN]
    top, tau_s = s.body[d, its.TOP], s.body[d, its.TAU]
    gap_m = reach_gap_m(s.finish[0], s.finish[1], s.stand[0], s.stand[1], s.stand[2], s.stand[3], top, tau_s, run_s)
    return max(NEAREST_M, gap_m)


@inner
def near_share(gap_m: float) -> float:
    """How far someone in that distance counts as meeting the finish."""
    return sigmoid((HELP_NEAR_M - gap_m) / HELP_SOFTNESS_M)


@inner
def finish_out(s: Scene, helped: float) -> float:
    """How much farther from the ring a finish is taken that is met by help."""
    return (1.0 - helped) + helped * s.assumed[at.HELPED_FINISH] / s.assumed[at.FINISH]


@inner
def finish_worth(s: Scene, helper: int, leave_s: float) -> float:
    """The finish against the man behind, who leaves more room, whoever stands near, and the helper."""
    behind_m, front_m = behind_gap_m(s), front_gap_m(s, helper, leave_s)
    helped = near_share(front_m)
    out = finish_out(s, helped)
    crowd = helped * near_share(behind_m) * s.assumed[at.CROWD]
    lost = s.assumed[at.STRIP] + helped * s.assumed[at.CHARGE]
    gap_m = min(front_m, behind_m + s.assumed[at.TRAILING])
    shot = shot_worth(s, s.holder, s.finish[0] * out, s.finish[1] * out, gap_m, 0.0, -crowd)
    return (1.0 - lost) * shot + lost * s.lost


# --- the ball stopped on its way ------------------------------------------------------------------------------------


@inner
def find_stop(s: Scene, helper: int, leave_s: float) -> None:
    """Note where a helper meets the driver past his man: where he can first be on the way, else where he comes nearest.

    How far he counts as stopping the ball there fades with his distance.
    """
    s.meet_s, s.stopped = AT_THE_RING_S, 0.0
    begin_s = max(s.bend_s, leave_s)
    if begin_s > s.gather_s:
        return
    x, y, _, _ = drifting(s, helper, leave_s)
    top, tau_s = s.body[helper, its.TOP], s.body[helper, its.TAU]
    least_m, before_m, step_s = 99.0, 99.0, (s.gather_s - begin_s) / LOOKS
    for look in range(LOOKS + 1):
        t_s = begin_s + look * step_s
        to_x, to_y = place_at(s, t_s)
        gap_m = reach_gap_m(to_x, to_y, x, y, 0.0, 0.0, top, tau_s, t_s - leave_s)
        if gap_m < least_m:
            least_m, s.meet_s = gap_m, t_s
        if gap_m <= 0.0:
            if look > 0:
                s.meet_s -= step_s * gap_m / (gap_m - before_m)
            break
        before_m = gap_m
    s.stopped = max(0.0, min(1.0, 1.0 - least_m / STOP_REACH_M))


@inner
def lay_stop(s: Scene, helper: int, leave_s: float) -> None:
    """Note what kicks are worth to a driver whom this helper stops: as they come, and at last while held up."""
    lay_left(s, helper, leave_s, s.meet_s)
    s.instant_s[at.HELD_UP] = s.meet_s + HELD_UP_S
    note_states(s, at.HELD_UP, s.instant_s[at.HELD_UP])
    x, y = place_at(s, s.meet_s)
    for mate in range(s.attackers):
        if mate != s.holder:
            s.home[at.HELD_UP, mate] = home_kick(s, mate, x, y, at.HELD_UP, False)
    man = left_man(s, helper)
    if man >= 0:
        lay_left_at(s, helper, leave_s, s.meet_s, man, x, y, at.HELD_UP, False)


@inner
def stopped_worth(s: Scene, helper: int, rotates: bool) -> float:
    """A drive whose way is stopped: kick or start over."""
    best = best_kick(s, s.meet_s, helper, rotates, False)
    return better_kick(s, at.HELD_UP, helper, rotates, best)


# --- the drive ------------------------------------------------------------------------------------------------------


@inner
def contest_worth(s: Scene, finish: float, helper: int, rotates: bool) -> float:
    """A drive past its man, the helper at the finish: finish, kick, or start over."""
    return max(finish, best_kick(s, s.release_s, helper, rotates, True))


@inner
def contained_worth(s: Scene, helper: int, rotates: bool) -> float:
    """A drive that is held: start over, kick, or pull up against the man in front."""
    x, y = place_at(s, 0.5 * (s.bend_s + s.gather_s))
    pull_up = shot_worth(s, s.holder, x, y, PULL_UP_GAP_M, 0.0, 0.0)
    return max(pull_up, best_kick(s, s.gather_s, helper, rotates, False))


@inner
def with_stop(s: Scene, contest: float, stopped: float) -> float:
    """The defence takes the better: contest the finish or stop the ball, as far as it can."""
    return contest - s.stopped * max(0.0, contest - stopped)
