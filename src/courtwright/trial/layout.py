"""Names for the places in the arrays that the kernels see. No document enters a kernel; this is the bridge.

`World` holds one possession. Attackers come first (numbered
players, then neutrals), defenders after them.
"""

from __future__ import annotations

from typing import Annotated, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.floor.presets import FIGURES
from courtwright.floor.records import Floats, Ints, blank, record_type
from courtwright.trial.parameters import PARAMETERS

# --- body[player, ...]: see `courtwright.floor.body`

# --- count[...]: what is counted in a possession; point rules are dot products on these
EVENTS: Final = (
    "make_rim",
    "make_mid",
    "make_three",
    "make_kick_out",
    "make_assisted",
    "make_void",  # went in, but a constraint said it does not count
    "attempt_rim",
    "attempt_mid",
    "attempt_three",
    "attempt_open",
    "open_turned_down",
    "foul_trip",
    "free_throw_make",
    "free_throw_attempt",
    "offensive_rebound",
    "defensive_rebound",
    "turnover_bad_pass",
    "turnover_lost_ball",
    "turnover_offensive_foul",
    "turnover_clock",
    "turnover_violation",
    "steal",
    "stop",
    "violation_offence",
    "violation_defence",
    "point_to_offence",
    "point_to_defence",
    "pass",
    "kick_out",
    "drive",
    "dribble",
    "beaten",
    "help",
    "paint_touch",
    "again",
    "kick_out_caught",
    "extra_pass",
    "deflection",  # a pass touched and not held
    "charge",
    "box_out",
    "stops_2",  # the second of two stops in a row; counted over a run
    "stops_3",
)
(
    MAKE_RIM,
    MAKE_MID,
    MAKE_THREE,
    MAKE_KICK_OUT,
    MAKE_ASSISTED,
    MAKE_VOID,
    ATTEMPT_RIM,
    ATTEMPT_MID,
    ATTEMPT_THREE,
    ATTEMPT_OPEN,
    OPEN_TURNED_DOWN,
    FOUL_TRIP,
    FREE_THROW_MAKE,
    FREE_THROW_ATTEMPT,
    OFFENSIVE_REBOUND,
    DEFENSIVE_REBOUND,
    TURNOVER_BAD_PASS,
    TURNOVER_LOST_BALL,
    TURNOVER_OFFENSIVE_FOUL,
    TURNOVER_CLOCK,
    TURNOVER_VIOLATION,
    STEAL,
    STOP,
    VIOLATION_OFFENCE,
    VIOLATION_DEFENCE,
    POINT_TO_OFFENCE,
    POINT_TO_DEFENCE,
    PASS,
    KICK_OUT,
    DRIVE,
    DRIBBLE,
    BEATEN,
    HELP,
    PAINT_TOUCH,
    AGAIN,
    KICK_OUT_CAUGHT,
    EXTRA_PASS,
    DEFLECTION,
    CHARGE,
    BOX_OUT,
    STOPS_2,
    STOPS_3,
) = range(len(EVENTS))

# --- rules[...]: the game's constraints and endings as numbers; a negative limit means none
RULES: Final = (
    "dribbles_each",
    "dribbles_all",
    "clock_s",
    "catch_s",
    "passes_first",
    "paint_before_three",
    "no_threes",
    "no_mid",
    "help_from_dribble",
    "help_rule",  # 0 when beaten, k on dribble k, negative never
    "play_on_rebound",
    "foul_then",  # 0 ends, 1 again, 2 free throws
    "make_again",  # 1: the same side goes again after a basket
    "entry_passes",
    "entry_to",
    "entry_delay_s",
    "live_on",  # 0 at once, 1 first catch, 2 first dribble, 3 entry done
    "coach_x",  # where a feed comes from
    "coach_y",
    "coach_feeds",
    "arc_radius_m",  # no arc: a radius beyond the floor
    "arc_lateral_m",
    "lane_half_m",
    "lane_top_y",
    "board_y",
    "side_x",
    "far_y",
    "ring_height_m",
    "reset_s",
    "rotation",  # 1: the nearest mate takes the helper's man, the beaten one the man left over
    "no_second_drive",
    "no_rim",
    "no_paint",
    "no_shot",
    "cuts_on_dead",
)
(
    DRIBBLES_EACH,
    DRIBBLES_ALL,
    CLOCK_S,
    CATCH_S,
    PASSES_FIRST,
    PAINT_BEFORE_THREE,
    NO_THREES,
    NO_MID,
    HELP_FROM_DRIBBLE,
    HELP_RULE,
    PLAY_ON_REBOUND,
    FOUL_THEN,
    MAKE_AGAIN,
    ENTRY_PASSES,
    ENTRY_TO,
    ENTRY_DELAY_S,
    LIVE_ON,
    COACH_X,
    COACH_Y,
    COACH_FEEDS,
    ARC_RADIUS,
    ARC_LATERAL,
    LANE_HALF,
    LANE_TOP_Y,
    BOARD_Y,
    SIDE_X,
    FAR_Y,
    RING_HEIGHT,
    RESET_S,
    ROTATION,
    NO_SECOND_DRIVE,
    NO_RIM,
    NO_PAINT,
    NO_SHOT,
    CUTS_ON_DEAD,
) = range(len(RULES))

COSTS: Final = {"turnover": 0, "no points": 1, "point to the other side": 2, "again": 3}
COST_TURNOVER, COST_NO_POINTS, COST_POINT, COST_AGAIN = 0, 1, 2, 3

# --- what the ball is doing
NOBODY, COACH = -1, -2
"""In place of an attacker, for who gave the ball. A coach's feed is a catch, never an assist."""
FED: Final = -1

HELD, DRIVING, FINISHING, PASSING, SHOOTING, LOOSE, OVER = range(7)

# --- options of a decision: value[...]
SHOOT, DRIVE_LEFT, DRIVE_RIGHT, HOLD, PASS_TO = range(5)
"""``PASS_TO + j`` is a pass to attacker j. In a drive HOLD means going on and DRIVE_LEFT pulling out."""
MOST_OPTIONS: Final = PASS_TO + 8
NOT_OPEN: Final = -1e9

# --- purposes of random draws: each has its own stream, so one more draw in one never shifts another
PURPOSES: Final = 8
FOR_START, FOR_CHOICE, FOR_PASS, FOR_DRIVE, FOR_SHOT, FOR_REBOUND, FOR_STANCE, FOR_CUT = range(PURPOSES)

# --- what an attacker without the ball is about: task[...]
SPACE, CUT, CLEAR = range(3)

# --- families of shots, as scorers name them
FAMILIES: Final = (
    "driving_layup",
    "cut_layup",
    "putback",
    "other_layup",
    "catch_two",
    "pull_up_two",
    "catch_three",
    "pull_up_three",
)
DRIVING_LAYUP, CUT_LAYUP, PUTBACK, OTHER_LAYUP, CATCH_TWO, PULL_UP_TWO, CATCH_THREE, PULL_UP_THREE = range(
    len(FAMILIES)
)
GAP_BINS: Final = 40
"""Gaps of threes are counted in bins of a tenth of a metre."""

# --- kinds of options, for what is learned about them
KINDS: Final = ("rim", "mid", "three", "drive", "hold", "pass", "pass_inside", "kick", "go_on", "pull_out")
RIM, MID, THREE, DRIVE_IT, KEEP, SWING, INSIDE, KICK, GO_ON, PULL_OUT = range(len(KINDS))
MOST_DECISIONS: Final = 64


MOST_PLAYERS: Final = 12
"""Five a side and two neutrals."""

# --- rows of lanes[..., player]: place and velocity, the goal and the most speed to it, the body as it moves now,
# what it keeps of its velocity
LANES: Final = ("x", "y", "vx", "vy", "goal_x", "goal_y", "cap", "top", "tau", "brake", "fade", "carry")
X, Y, VX, VY, GOAL_X, GOAL_Y, CAP, TOP, TAU, BRAKE, FADE, CARRY = range(len(LANES))


class World:
    """One possession in memory, a record (see `courtwright.floor.records`).

    Times count from the start of the possession.
    """

    players: int
    attackers: int
    here: Annotated[Floats, (MOST_PLAYERS, 2)]
    """metres"""
    velocity: Annotated[Floats, (MOST_PLAYERS, 2)]
    lanes: Annotated[Floats, (len(LANES), MOST_PLAYERS)]
    """everyone's movement in this step, side by side so that several bodies are worked out at once"""
    coasts: Annotated[Floats, (MOST_PLAYERS, 2, 2)]
    """what a body running, and sliding, keeps of its velocity over a whole step: the share, and the seconds of it
    still covered"""
    home: Annotated[Floats, (MOST_PLAYERS, 2)]
    """where an attacker spaces to"""
    body: Annotated[Floats, (MOST_PLAYERS, len(FIGURES))]
    guard: Annotated[Ints, (MOST_PLAYERS,)]
    """attacker → his defender (−1 none), defender → his man"""
    rules: Annotated[Floats, (len(RULES),)]
    costs: Annotated[Ints, (len(RULES),)]
    """of breaking each rule"""
    own: Annotated[Floats, (MOST_PLAYERS, len(RULES))]
    """the rules as they bind each player: a limit named for him stands in place of his side's"""
    own_costs: Annotated[Ints, (MOST_PLAYERS, len(RULES))]
    worth: Annotated[Floats, (len(EVENTS),)]
    """net points of each event to the offence"""
    model: Annotated[Floats, (len(PARAMETERS),)]
    count: Annotated[Ints, (len(EVENTS),)]
    value: Annotated[Floats, (MOST_OPTIONS,)]
    """of each option of the decision at hand"""
    estimate: Annotated[Floats, (MOST_OPTIONS,)]
    """the same before experience and taste"""
    kind: Annotated[Ints, (MOST_OPTIONS,)]
    """of each option; −1 where it is a breach, whose price is known"""
    belief: Annotated[Floats, (len(KINDS), 2)]
    """what is learned of each kind of option: shift (in scales) and slope of its estimated value"""
    task: Annotated[Ints, (MOST_PLAYERS,)]
    """of an attacker without the ball"""
    t_task: Annotated[Floats, (MOST_PLAYERS,)]
    """when he took it up"""
    stance: Annotated[Floats, (MOST_PLAYERS,)]
    """a defender's gap in this possession over the usual one"""
    crash: Annotated[Ints, (MOST_PLAYERS,)]
    """1 for an attacker who goes for the rebound"""
    shots: Annotated[Ints, (len(FAMILIES), 2)]
    """taken and made"""
    gaps: Annotated[Ints, (GAP_BINS,)]
    """of threes, at release"""
    pull: Annotated[Floats, (MOST_PLAYERS,)]
    """of each player on a rebound"""
    weight: Annotated[Floats, (MOST_OPTIONS,)]
    """of each option in the draw"""
    said: Annotated[Ints, (MOST_DECISIONS,)]
    """kind of each choice so far"""
    thought: Annotated[Floats, (MOST_DECISIONS, 2)]
    """estimated value of each choice, and net points until then"""
    stream: Annotated[NDArray[np.uint64], (1 + PURPOSES,)]
    """the possession's key, then how many draws each purpose has made"""

    t: float
    t_event: float
    """when the next event is due"""
    threat: float
    """how much of his way to the ring the holder could still dribble as this step begins, 0 to 1"""
    step_s: float
    """the step that `coasts` is for; steps cut short by an event are worked out one by one"""
    t_clock: float
    """when the shot clock began: as it went live, and again on an offensive rebound"""
    t_catch: float
    t_go: float
    """when the present drive began"""
    t_touch: float
    """when the next dribble touches"""
    t_notice: float
    """when the on-ball defender takes the drive in"""
    t_beat: float
    """when he was beaten; `NEVER_S` before"""
    t_help: float
    """when the helper may move; `NEVER_S` while nobody helps"""
    t_release: float
    """when the last pass left the hand"""
    from_x: float
    """where the ball is thrown from"""
    from_y: float
    goal_x: float
    """where the driver is going, or a miss comes down"""
    goal_y: float
    bend_x: float
    """the point abeam of his defender that a driver passes first"""
    bend_y: float
    carry_on: float
    """what playing on is worth, net points"""
    due: float
    """net points that a stop brings beside its own, as stops in a row are paid"""
    scale: float
    """half a usual basket: the yardstick of choices"""
    help_dribble: float
    """dribble on which help first came; −1 before"""
    first_gap: float
    """gap at the release of the first shot; −1 before"""
    kick_gap: float
    """gap at the release of the first shot off a kick-out; −1 before"""

    mode: int
    holder: int
    target: int
    """receiver of a pass under way"""
    passer: int
    """who gave the holder the ball: an attacker, `COACH` or `NOBODY`"""
    from_drive: int
    """1 where the ball came off a drive (a kick-out)"""
    used: int
    """dribbles of this holder since his catch"""
    dead: int
    dribbles_side: int
    passes_side: int
    painted: int
    """1 once the ball has been in the paint"""
    in_paint: int
    phase: int
    """of a drive: 0 to the bend, 1 to the goal"""
    helper: int
    """defender who left his man; −1 nobody"""
    helping: int
    """1 once the helper has left his man"""
    caught: int
    """1 where the shot under way began on the catch"""
    entry_left: int
    live: int
    extra: int
    """1 where the pass under way is an extra pass"""
    lost: int
    """the pass under way will be lost: 1 by itself, 2 to a defender; `FED` is the coach's feed, which never is"""
    scored: int
    row: int
    """rows of the trace written"""
    rebounded: int
    """1 from an offensive rebound until the next pass or dribble"""
    off_cut: int
    """1 where the holder caught the ball on a cut"""
    decided: int
    """choices made"""
    learning: int
    """1 where choices are written down"""


WORLD_TYPE: Final = record_type(World)


def blank_world(*, compiled: bool) -> World:
    """A world of zeros."""
    return blank(World, WORLD_TYPE, compiled=compiled)
