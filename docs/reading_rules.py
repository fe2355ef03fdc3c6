"""Where coaches' rules of thumb hold in the reading, and where they fail: the tables of the page on readings.

``python docs/reading_rules.py`` prints them. The rules are common practice and have
no source; none of them is coded and nothing is tuned for them. Three on three,
plain points, 200 sets. A closeout *from* so many metres: that far from the receiver
when the pass is released, .35 m nearer at the catch and moving at 2 m/s.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.floor import body as its
from courtwright.floor.shots import make_chance
from courtwright.game.moment import Moment
from courtwright.reading import Reading, read_moment
from courtwright.reading.estimate import sure_sign
from courtwright.reading.prepare import level_bodies, parameter_sets
from courtwright.reading.result import IN_TIME_M, PAUSES_S, read_raw
from courtwright.reading.switch import OPEN_M
from courtwright.vocabulary import Level

Array = NDArray[np.float64]
Point = tuple[float, float]
Table = tuple[list[str], list[list[str]]]

SETS: Final = 200
FLOWN_M: Final = 0.35
CLOSING_M_PER_S: Final = 2.0
WING: Final[Point] = (5.0, 5.0)
CORNER: Final[Point] = (-6.9, 0.2)
FAR_WING: Final[Point] = (-5.4, 4.6)
SLOT: Final[Point] = (2.66, 6.58)


@dataclass(frozen=True)
class Case:
    """Who helps from where: 1 has the ball, X2 is the helper and 2 his man; X3 stays near 3."""

    helper: Point
    man: Point = CORNER
    ball: Point = WING
    third: tuple[Point, Point] = (FAR_WING, (-4.2, 4.3))


BY_THE_CORNER: Final = (CORNER, (-5.2, 0.6))
CASES: Final[dict[str, Case]] = {
    "middle of the lane, far corner left": Case((0.0, 1.5)),
    "near block, far corner left": Case((2.45, 0.9)),
    "far block, far corner left": Case((-2.45, 0.9)),
    "far lane line, far corner left": Case((-2.45, 2.5)),
    "nail, far wing left": Case((0.0, 4.225), FAR_WING, third=BY_THE_CORNER),
    "far elbow, far wing left": Case((-2.45, 4.225), FAR_WING, third=BY_THE_CORNER),
    "1.5 m off the near corner": Case((5.5, 0.7), (6.95, 0.0)),
    "nail, slot to slot": Case((-0.9, 5.0), (-2.66, 6.58), SLOT, third=BY_THE_CORNER),
}
NEAR: Final = tuple(CASES)[:2]
"""Within 2 m of where the finish leaves the hand."""


# --- moments and readings -------------------------------------------------------------------------------------------


def ahead(ball: Point, gap_m: float) -> Point:
    """So far from the ball on the line to the ring."""
    share = 1.0 - gap_m / math.hypot(*ball)
    return ball[0] * share, ball[1] * share


def moment_of(case: Case, gap_m: float, closing: float = 0.0) -> Moment:
    """A defender so far from the ball on the line to the ring, closing so fast; the ball just caught."""
    distance_m = math.hypot(*case.ball)
    places = {"1": case.ball, "2": case.man, "3": case.third[0]}
    places |= {"X1": ahead(case.ball, gap_m), "X2": case.helper, "X3": case.third[1]}
    figures: list[dict[str, Any]] = [{"figure": figure, "at": at} for figure, at in places.items()]
    for defender in figures[3:]:
        defender["guards"] = defender["figure"][1:]
    figures[3]["moving_m_per_s"] = (closing * case.ball[0] / distance_m, closing * case.ball[1] / distance_m)
    return Moment.model_validate({"name": "case", "ball": "1", "figures": figures})


def alone_of(gap_m: float, closing: float) -> Moment:
    """One on one on the wing."""
    figures = [item for item in moment_of(Case((0.0, 1.5)), gap_m, closing).figures if item.figure in ("1", "X1")]
    return Moment(name="alone", ball="1", figures=tuple(figures))


@cache
def standing(level: Level, gap_m: float, case: str = NEAR[0]) -> Reading:
    """Against a defender who is set."""
    return read_moment(moment_of(CASES[case], gap_m), level=level, sets=SETS)


@cache
def running(level: Level, from_m: float, case: str = NEAR[0]) -> Reading:
    """Against a closeout."""
    return read_moment(moment_of(CASES[case], from_m - FLOWN_M, CLOSING_M_PER_S), level=level, sets=SETS)


# --- what is measured -----------------------------------------------------------------------------------------------


def held(reading: Reading) -> float:
    """How often the drive is held."""
    return float(reading.raw.drive[:, 0].mean())


def left_gap_m(reading: Reading, dribble: int = 1) -> Array:
    """What X2 leaves 2 by leaving on that dribble, per set."""
    gaps: Array = reading.raw.rows[:, reading.helpers[0], dribble - 1, 3]
    return gaps


def in_time(reading: Reading, dribble: int = 2) -> float:
    """In which share of sets X2 meets the finish by leaving on that dribble."""
    return float(np.mean(reading.raw.rows[:, reading.helpers[0], dribble - 1, 2] <= IN_TIME_M))


def early(reading: Reading, *, rotated: bool = False) -> Array:
    """What leaving on dribble 1 costs over dribble 2, per set."""
    rows = reading.raw.rows[:, reading.helpers[0], :, 1 if rotated else 0]
    cost: Array = rows[:, 0] - rows[:, 1]
    return cost


def never(reading: Reading) -> Array:
    """What never helping costs over X2's best moment of leaving, per set; negative where he had better stay."""
    cost: Array = reading.raw.drive[:, 3] - reading.raw.rows[:, reading.helpers[0], :, 0].min(axis=1)
    return cost


def finish_if_beaten(level: Level, from_m: float = 3.0) -> Array:
    """Points of a drive that is past a closeout with nobody else there, per set."""
    reading = alone(level, from_m)
    kept, worth, reset = reading.raw.drive[:, 0], reading.raw.drive[:, 3], reading.setting.worth.reset
    points: Array = (worth - kept * reset) / (1.0 - kept)
    return points


def reach_in_time_m(reading: Reading) -> list[float]:
    """From how far off a helper who stands still meets the finish, by cue: his run until its release, and 1.2 m."""
    body = reading.setting.bodies[:, -1]
    run_s = np.maximum(0.0, reading.raw.drive[:, 2:3] - reading.raw.rows[:, reading.helpers[0], :, 4])
    tau_s = body[:, its.TAU, None]
    run_m = body[:, its.TOP, None] * (run_s - tau_s * (1.0 - np.exp(-run_s / tau_s)))
    return [float(value) for value in (IN_TIME_M + run_m).mean(axis=0)]


def made(level: Level, gap_m: float) -> float:
    """How often an open man's catch-and-shoot three from the corner goes in with that much room."""
    bodies = level_bodies(level, 1, parameter_sets(SETS)[0])[:, 0]
    offset, slope = bodies[:, its.THREE_LOGIT], bodies[:, its.PRESSURE]
    distance_m = math.hypot(*CORNER)
    pairs = zip(slope, offset, strict=True)
    return float(np.mean([make_chance(distance_m, gap_m, 1.0, True, k, 0.0, 0.0, o) for k, o in pairs]))


@cache
def alone(level: Level, from_m: float) -> Reading:
    """The same closeout with nobody else on the floor."""
    return read_moment(alone_of(from_m - FLOWN_M, CLOSING_M_PER_S), level=level, sets=SETS)


@cache
def pause_loss(level: Level, from_m: float) -> dict[float, Array]:
    """What waiting costs one on one, by pause, per set."""
    return alone(level, from_m).pauses()


def gap_after(level: Level, from_m: float, pause_s: float) -> float:
    """The gap of a shot that begins after a pause."""
    return float(read_raw(alone(level, from_m).setting, pause_s=pause_s).shot[:, 0].mean())


# --- the tables -----------------------------------------------------------------------------------------------------


def by_level() -> Table:
    """What comes out of the physics, level by level."""
    head = [
        "level",
        "catch to release of a finish",
        "held, set at 0.9 / 1.2 / 1.5 / 1.8 m",
        "held, closeout from 2 / 3 / 4 / 5 m",
        "gap of a shot now, closeout from 2 / 3 / 4 / 5 / 6 m",
        "in time from, dribble 1 / 2 / 3 / when beaten",
        "points of a finish if beaten",
    ]
    return head, [_level_row(level) for level in Level]


def _level_row(level: Level) -> list[str]:
    three = running(level, 3.0)
    shots = [float(running(level, float(from_m)).raw.shot[:, 0].mean()) for from_m in (2, 3, 4, 5, 6)]
    return [
        level.value,
        f"{three.raw.drive[:, 2].mean():.1f} s, {three.raw.drive[:, 6].mean():.1f} dribbles",
        slashed([held(standing(level, gap_m)) for gap_m in (0.9, 1.2, 1.5, 1.8)]),
        slashed([held(running(level, float(from_m))) for from_m in (2, 3, 4, 5)]),
        slashed(shots, 1),
        slashed(reach_in_time_m(three), 1),
        f"{finish_if_beaten(level).mean():.2f}",
    ]


def by_case(cell: Callable[[Reading], str]) -> Table:
    """One row for each place of the helper, one column for each level, after a closeout from 3 m."""
    rows = [[name, *(cell(running(level, 3.0, name)) for level in Level)] for name in CASES]
    return ["the helper", *(level.value for level in Level)], rows


def left_gaps() -> Table:
    """Rule 3: what leaving on dribble 1 leaves."""
    return by_case(lambda reading: f"{left_gap_m(reading).mean():.1f} m")


def dribble_2() -> Table:
    """Rule 4: who is in time on dribble 2."""
    return by_case(lambda reading: f"{100 * in_time(reading):.0f} %")


def early_costs() -> Table:
    """What leaving on dribble 1 rather than 2 costs, alone and with the next man's help."""
    return by_case(lambda reading: f"{signed(early(reading))}; {_median(early(reading, rotated=True))}")


def never_costs() -> Table:
    """Rule 5: what never helping costs."""
    return by_case(lambda reading: signed(never(reading)))


def open_chances() -> Table:
    """Rule 1: what room is worth."""
    gaps = (0.45, 0.85, 1.5, 2.0, OPEN_M)
    head = ["level", *(f"{gap_m:g} m" for gap_m in gaps)]
    return head, [[level.value, *(f"{made(level, gap_m):.2f}" for gap_m in gaps)] for level in Level]


def pauses() -> Table:
    """Rule 6: what a pause costs."""
    head = ["level", *(f"closeout from {from_m} m" for from_m in (3, 4, 5, 6))]
    return head, [[level.value, *(_pause_cell(level, float(from_m)) for from_m in (3, 4, 5, 6))] for level in Level]


def _pause_cell(level: Level, from_m: float) -> str:
    gaps = [gap_after(level, from_m, pause_s) for pause_s in (0.0, *PAUSES_S)]
    losses = [_median(loss) for loss in pause_loss(level, from_m).values()]
    return f"{slashed(gaps, 1)} m; {' / '.join(losses)}"


def crossings() -> Table:
    """The switch: from which share of open threes on early help costs something, and where it should."""
    head = ["level", "starting over ÷ 3", *(name for name in tuple(CASES)[:4])]
    return head, [_crossing_row(level) for level in Level]


def _crossing_row(level: Level) -> list[str]:
    even = running(level, 3.0).break_even
    cells = [_crossing(running(level, 3.0, name)) for name in tuple(CASES)[:4]]
    return [level.value, f"{even.mean:.2f} [{even.low:.2f}, {even.high:.2f}]" if even else "", *cells]


def _crossing(reading: Reading) -> str:
    found = reading.crossing(reading.helpers[0])
    if found is None:
        return ""
    low, middle, high = (
        off if end is None else f"{end:.2f}"
        for end, off in ((found.low, "under .20"), (found.middle, "over .45"), (found.high, "over .45"))
    )
    return f"{middle} [{low}, {high}]"


# --- the rules ------------------------------------------------------------------------------------------------------


def more_than_an_arm(gaps: Array, reading: Reading) -> bool:
    """Whether nine sets of ten leave more than the length of a defender's arm."""
    return reading.over_an_arm(gaps) > 0


SET_GAPS: Final = {"1.2 m": 1.2, "1.5 m": 1.5, "1.8 m": 1.8}
RUNS: Final = {"from 2 m": 2.0, "from 3 m": 3.0, "from 4 m": 4.0, "from 5 m": 5.0, "from 6 m": 6.0}
LONG_RUNS: Final = tuple(RUNS)[2:]
YOUNG: Final = (Level.U12, Level.U14)
GROWN: Final = tuple(level for level in Level if level not in YOUNG)

Outcomes = dict[tuple[str, Level], bool]


def every(names: Iterable[str], levels: Iterable[Level], holds: Callable[[str, Level], bool]) -> Outcomes:
    """Ask a rule of every case at every level."""
    levels = tuple(levels)
    return {(name, level): holds(name, level) for name in names for level in levels}


RULES: Final[dict[str, Callable[[], Outcomes]]] = {
    "a set defender at 1.2 to 1.8 m holds the drive more often than not": lambda: every(
        SET_GAPS, Level, lambda name, level: held(standing(level, SET_GAPS[name])) > 0.5
    ),
    "so does one whose closeout is attacked while he runs": lambda: every(
        RUNS, Level, lambda name, level: held(running(level, RUNS[name])) > 0.5
    ),
    "help on dribble 1, recovering alone, leaves more than an arm's length": lambda: every(
        CASES, Level, lambda name, level: more_than_an_arm(left_gap_m(at := running(level, 3.0, name)), at)
    ),
    "dribble 2 is in time for a helper near the finish": lambda: every(
        NEAR, Level, lambda name, level: in_time(running(level, 3.0, name)) > 0.5
    ),
    "dribble 2 is in time for a helper who stands farther off": lambda: every(
        tuple(CASES)[2:], Level, lambda name, level: in_time(running(level, 3.0, name)) > 0.5
    ),
    "never helping costs the young": lambda: every(
        CASES, YOUNG, lambda name, level: sure_sign(never(running(level, 3.0, name))) > 0
    ),
    "never helping costs the older": lambda: every(
        CASES, GROWN, lambda name, level: sure_sign(never(running(level, 3.0, name))) > 0
    ),
    "a pause of half a second lets a closeout from 4 m or more come nearer": lambda: every(
        LONG_RUNS,
        Level,
        lambda name, level: gap_after(level, RUNS[name], 0.5) < gap_after(level, RUNS[name], 0.0) - 0.05,
    ),
    "one on one it costs points": lambda: every(
        tuple(RUNS)[1:], Level, lambda name, level: sure_sign(pause_loss(level, RUNS[name])[0.5]) > 0
    ),
}
"""Each rule, and where it comes out."""


def rules() -> Table:
    """The rules and the cases in which each comes out and does not."""
    rows = []
    for text, outcomes in RULES.items():
        found = outcomes()
        rows.append(
            [text, *(_grouped({key for key, holds in found.items() if holds is wanted}) for wanted in (True, False))]
        )
    return ["rule of thumb", "comes out", "does not"], rows


def _grouped(cases: set[tuple[str, Level]]) -> str:
    """Cases with the levels behind them."""
    names = [name for name in (*CASES, *SET_GAPS, *RUNS) if any(case == name for case, _ in cases)]
    return "; ".join(f"{name} ({_levels({level for case, level in cases if case == name})})" for name in names)


def _levels(levels: set[Level]) -> str:
    return "every level" if len(levels) == len(Level) else ", ".join(level.value for level in Level if level in levels)


# --- numbers in words -----------------------------------------------------------------------------------------------


def signed(values: Array) -> str:
    """Median of a difference, where eight of ten sets lie, and the share of sets with its sign."""
    low, middle, high = np.quantile(values, [0.1, 0.5, 0.9])
    agree = float(np.mean(np.sign(values) == np.sign(middle)))
    said = f"{middle:+.2f} [{low:+.2f}, {high:+.2f}] {agree:.2f}"
    return said.replace("-0.00", "+0.00").replace("-", "−")


def _median(values: Array) -> str:
    return f"{float(np.median(values)) + 0.0:+.2f}".replace("-0.00", "+0.00").replace("-", "−")


def slashed(values: list[float], digits: int = 2) -> str:
    """Several numbers in a cell."""
    return " / ".join(f"{value:.{digits}f}".replace("-", "−") for value in values)


TABLES: Final[dict[str, Callable[[], Table]]] = {
    "reading by level": by_level,
    "rules of thumb": rules,
    "what room is worth": open_chances,
    "left on dribble one": left_gaps,
    "in time on dribble two": dribble_2,
    "cost of early help": early_costs,
    "cost of never helping": never_costs,
    "cost of a pause": pauses,
    "where the switch crosses": crossings,
}


def main() -> None:
    """Print every table."""
    for name, table in TABLES.items():
        head, rows = table()
        print(f"\n{name}\n")
        for line in (head, *rows):
            print(" | ".join(line))


if __name__ == "__main__":
    main()
