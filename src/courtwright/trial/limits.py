"""What the holder of the ball may still do: limits of his side, or his own where the game names him."""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner
from courtwright.floor.movement import span
from courtwright.trial import layout as at
from courtwright.trial.layout import World

NONE: Final = -1
"""In place of a rule: none is broken."""
RIM_M: Final = 1.83
"""A shot from nearer is at the rim (six feet, as the shot table counts)."""


@inner
def beyond_arc(w: World, x: float, y: float) -> bool:
    """Whether a shot from there is from beyond the arc."""
    if span(x, y) > w.rules[at.ARC_RADIUS]:
        return True
    return abs(x) > w.rules[at.ARC_LATERAL]


@inner
def make_event(w: World, x: float, y: float) -> int:
    """The event a basket from there is."""
    if beyond_arc(w, x, y):
        return at.MAKE_THREE
    return at.MAKE_RIM if span(x, y) < RIM_M else at.MAKE_MID


@inner
def in_lane(w: World, x: float, y: float) -> bool:
    """Whether a place is in the paint."""
    return abs(x) <= w.rules[at.LANE_HALF] and y <= w.rules[at.LANE_TOP_Y]


@inner
def shot_rule_broken(w: World, shooter: int, x: float, y: float, passes: int) -> int:
    """The rule that his shot from there would break, −1 none."""
    if w.own[shooter, at.NO_SHOT] > 0.0:
        return at.NO_SHOT
    if passes < w.own[shooter, at.PASSES_FIRST]:
        return at.PASSES_FIRST
    zone = zone_rule_broken(w, shooter, make_event(w, x, y))
    if zone == NONE and w.own[shooter, at.NO_PAINT] > 0.0 and in_lane(w, x, y):
        return at.NO_PAINT
    return zone


@inner
def zone_rule_broken(w: World, shooter: int, event: int) -> int:
    """The rule against shots from a zone that his shot would break, −1 none."""
    if event == at.MAKE_THREE:
        if w.own[shooter, at.NO_THREES] > 0.0:
            return at.NO_THREES
        return at.PAINT_BEFORE_THREE if w.own[shooter, at.PAINT_BEFORE_THREE] > 0.0 and w.painted == 0 else NONE
    if event == at.MAKE_MID:
        return at.NO_MID if w.own[shooter, at.NO_MID] > 0.0 else NONE
    return at.NO_RIM if w.own[shooter, at.NO_RIM] > 0.0 else NONE


@inner
def dribble_rule(w: World) -> int:
    """Which of the two limits on dribbles binds the holder first."""
    each, side = w.own[w.holder, at.DRIBBLES_EACH], w.rules[at.DRIBBLES_ALL]
    if side >= 0.0 and (each < 0.0 or side - w.dribbles_side < each - w.used):
        return at.DRIBBLES_ALL
    return at.DRIBBLES_EACH


@inner
def dribbles_left(w: World) -> float:
    """Dribbles the holder may still use."""
    left = 99.0
    each = w.own[w.holder, at.DRIBBLES_EACH]
    if each >= 0.0:
        left = each - w.used
    if w.rules[at.DRIBBLES_ALL] >= 0.0:
        left = min(left, w.rules[at.DRIBBLES_ALL] - w.dribbles_side)
    return left


@inner
def drive_rule_broken(w: World) -> int:
    """The rule that a drive by the holder would break now, −1 none."""
    if dribbles_left(w) < 1.0:
        return dribble_rule(w)
    if w.own[w.holder, at.NO_SECOND_DRIVE] > 0.0 and w.from_drive == 1 and w.used == 0:
        return at.NO_SECOND_DRIVE
    return NONE


@inner
def catch_left_s(w: World) -> float:
    """Seconds the holder may still keep the ball still."""
    catch_s = w.own[w.holder, at.CATCH_S]
    if catch_s < 0.0 or w.live == 0 or w.used > 0:
        return 90.0
    return catch_s - (w.t - w.t_catch)
