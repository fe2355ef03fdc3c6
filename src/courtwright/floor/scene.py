"""A frozen moment as numbers: what the reading kernels see. Attackers come first, the holder among them."""

from __future__ import annotations

from typing import Annotated, Final

from courtwright.floor.presets import FIGURES, Figure, read_figures
from courtwright.floor.records import Floats, Ints, blank, record_type

MOST_PLAYERS: Final = 12
MOST_TOUCHES: Final = 8
INSTANTS: Final = MOST_TOUCHES + 2
"""Moments of a drive with the ball in hand: after each dribble, at the gather, in mid-step."""
HELD_UP: Final = INSTANTS
"""Where the last moment of a driver who was stopped stands beside these."""

ASSUMED: Final[tuple[Figure, ...]] = read_figures("courtwright.floor", "reading.toml")
_NAMES: Final = tuple(figure.name for figure in ASSUMED)

CONTACT: Final = _NAMES.index("contact_m")
CONTAIN_SOFTNESS: Final = _NAMES.index("contain_softness_m")
FIRST_TOUCH: Final = _NAMES.index("first_touch_s")
IN_HAND: Final = _NAMES.index("in_hand_s")
SLIDE_START: Final = _NAMES.index("slide_start")
TURN: Final = _NAMES.index("turn_s")
CUT_LOSS: Final = _NAMES.index("cut_loss_m_per_s")
WIND_UP: Final = _NAMES.index("wind_up_s")
UP: Final = _NAMES.index("up_s")
FINISH: Final = _NAMES.index("finish_m")
HELPED_FINISH: Final = _NAMES.index("helped_finish_m")
TRAILING: Final = _NAMES.index("trailing_m")
CROWD: Final = _NAMES.index("crowd_logit")
CHARGE: Final = _NAMES.index("charge")
STRIP: Final = _NAMES.index("strip")
BAD_PASS: Final = _NAMES.index("bad_pass")
LANE_WEIGHT: Final = _NAMES.index("lane_weight")
LANE_SHIFT: Final = _NAMES.index("lane_shift_m")
LANE_SOFTNESS: Final = _NAMES.index("lane_softness_m")
LATE_LOSS: Final = _NAMES.index("late_kick_loss")
LATE_LOGIT: Final = _NAMES.index("late_kick_logit")


class Scene:
    """One moment under one set of parameters, and the drive that is being looked at."""

    players: int
    attackers: int
    holder: int
    here: Annotated[Floats, (MOST_PLAYERS, 2)]
    """metres"""
    velocity: Annotated[Floats, (MOST_PLAYERS, 2)]
    body: Annotated[Floats, (MOST_PLAYERS, len(FIGURES))]
    guard: Annotated[Ints, (MOST_PLAYERS,)]
    """attacker → his defender (−1 none), defender → his man"""
    assumed: Annotated[Floats, (len(ASSUMED),)]
    held_s: float
    """since the catch; 0 for a ball just caught"""
    pause_s: float
    worth: Annotated[Floats, (3,)]
    """net points of a basket at the rim, between, beyond the arc"""
    missed: float
    """net points of a miss (offensive rebounds are left out everywhere)"""
    lost: float
    """net points of a lost ball"""
    fouled: float
    """net points of a shooting foul"""
    reset: float
    """net points of starting over"""
    turns: int
    """1 where the next man's help is looked at too; without it, it reads as helping alone"""
    arc_radius: float
    arc_lateral: float

    go_s: float
    """when the drive's first step is taken"""
    bend: Annotated[Floats, (2,)]
    """where the way turns to the ring, abeam of the defender"""
    finish: Annotated[Floats, (2,)]
    first_m: float
    """from the start to the bend"""
    second_m: float
    """from the bend to the finish"""
    start_m_per_s: float
    """speed toward the bend at the first step"""
    after_m_per_s: float
    """speed when the turn has been taken"""
    bend_s: float
    gather_s: float
    release_s: float
    touch_s: Annotated[Floats, (MOST_TOUCHES,)]
    """when each dribble touches"""
    touches: int
    stand: Annotated[Floats, (4,)]
    """where his defender is, and how he moves, when he has taken the drive in"""
    stand_s: float
    contained: float
    """chance that the drive is contained"""

    instants: int
    instant_s: Annotated[Floats, (INSTANTS + 1,)]
    """when the ball is in hand; the gather is the last but one, mid-step the last"""
    states: Annotated[Floats, (INSTANTS + 1, MOST_PLAYERS, 4)]
    """where each defender is then and how he moves, nobody helping"""
    rest: Annotated[Floats, (INSTANTS + 1, MOST_PLAYERS, 3)]
    """of a pass to each mate then: gap and chance of a cut but for his own man, flight time"""
    home: Annotated[Floats, (INSTANTS + 1, MOST_PLAYERS)]
    """worth of a kick to each mate then, nobody helping"""
    gone: Annotated[Floats, (INSTANTS + 1, 2)]
    """worth of a kick to the man of the helper looked at last: alone, and with the next man's help"""
    rim_home: Annotated[Floats, (MOST_PLAYERS,)]
    """gap of each defender to the finish, nobody helping"""
    meet_s: float
    """when the helper looked at last meets the driver on his way"""
    stopped: float
    """how far he counts as stopping the ball there"""
    kick_to: int
    """who gets the kick last looked for; −1 where starting over is worth more"""
    kick_s: float
    """when it is thrown"""


SCENE_TYPE: Final = record_type(Scene)


def blank_scene(*, compiled: bool) -> Scene:
    """A scene of zeros."""
    return blank(Scene, SCENE_TYPE, compiled=compiled)
