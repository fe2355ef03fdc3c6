"""What small acts earn beside baskets: extra passes, kick-outs, deflections, charges, box-outs, stops in a row."""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner, kernel
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.layout import World
from courtwright.trial.motion import distance_to_m

EXTRA_S: Final = 1.0
"""An extra pass leaves within this time of the catch (ours)."""
TIP_S: Final = 0.7
"""A pass that was touched comes this much later, if it comes (ours)."""
SET_M: Final = 0.9
"""A helper this near to a finisher, and in front, can draw an offensive foul (ours)."""
SURELY_SET_M: Final = 0.6
"""From here inward a driver counts with it in full (ours)."""
BOXED_SHARE: Final = 0.75
"""Share of defensive rebounds with every attacker boxed out, as a shooter counts with it (ours)."""


@inner
def is_extra(w: World) -> bool:
    """Whether a pass now would be an extra pass: off a kick-out just caught, without a dribble."""
    return w.mode == at.HELD and w.from_drive == 1 and w.used == 0 and w.live == 1 and w.t <= w.t_catch + EXTRA_S


@inner
def arrival_worth(w: World, kicked: float) -> float:
    """What a pass earns by being caught."""
    extra = w.worth[at.EXTRA_PASS] if kicked == 0.0 and is_extra(w) else 0.0
    return extra + kicked * w.worth[at.KICK_OUT_CAUGHT]


@inner
def tip_chance(w: World, cut: float) -> float:
    """Chance that a pass is touched and not held, from the chance that it is cut."""
    return min(1.0 - cut, w.model[par.TIPPED] * cut)


@inner
def note_caught(w: World) -> None:
    """Count what a catch earns the passer's side."""
    if w.live == 1:
        w.count[at.KICK_OUT_CAUGHT] += w.from_drive
        w.count[at.EXTRA_PASS] += w.extra


@inner
def with_charge(w: World, finish: float, off_m: float) -> float:
    """What a finish is worth with a helper expected so far from it: some end in an offensive foul."""
    sure = min(1.0, max(0.0, (SET_M - off_m) / (SET_M - SURELY_SET_M)))
    risk = w.model[par.OFFENSIVE_FOUL] * sure
    foul = w.worth[at.TURNOVER_OFFENSIVE_FOUL] + w.worth[at.CHARGE] + w.worth[at.STOP]
    return (1.0 - risk) * finish + risk * foul


@inner
def off_landing_m(w: World, player: int) -> float:
    """Metres from a player to where the miss comes down."""
    return distance_to_m(w, player, w.goal_x, w.goal_y)


@inner
def all_boxed_out(w: World, winner: int) -> bool:
    """Whether no attacker was nearer to the ball than his own man, or than who got it where he has none."""
    for attacker in range(w.attackers):
        rival = w.guard[attacker] if w.guard[attacker] >= 0 else winner
        if off_landing_m(w, attacker) <= off_landing_m(w, rival):
            return False
    return True


@kernel
def due_at_stop(worth: float, streak: int, needed: int) -> float:
    """What one more stop brings beside, where every so many in a row are paid."""
    return worth if (streak + 1) % needed == 0 else 0.0


@kernel
def next_streak(w: World, streak: int) -> int:
    """Stops in a row after this possession, which counts them: one that is played again leaves them as they were."""
    if w.count[at.STOP] > 0:
        streak += 1
        w.count[at.STOPS_2] = 1 if streak % 2 == 0 else 0
        w.count[at.STOPS_3] = 1 if streak % 3 == 0 else 0
        return streak
    return streak if w.count[at.AGAIN] > 0 and w.scored == 0 else 0
