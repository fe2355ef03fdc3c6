"""A row of the help table played through: it starts where the moment says and agrees with the reading's own numbers."""

from __future__ import annotations

import json
import math
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from courtwright.engine import plain
from courtwright.errors import WordError
from courtwright.floor import ball, helping, leaving, readout
from courtwright.floor import body as its
from courtwright.floor import scene as at
from courtwright.floor.readout import TIMINGS
from courtwright.floor.scene import Scene
from courtwright.game.moment import Moment, load_moment, moment_from_json, moment_of
from courtwright.game.starters import starters
from courtwright.reading import Reading, Timeline, read_moment, timeline
from courtwright.reading.play import NOT_AT_ALL_S, best_play, leave_s, middle_scene
from courtwright.reading.timeline import CUES, STEP_S

EXAMPLE = Path(__file__).parents[2] / "examples" / "low-man-late.moment.json"


@cache
def reading_of(name: str) -> Reading:
    moment = load_moment(EXAMPLE) if name == "example" else moment_of(starters()[name])
    return read_moment(moment, sets=64)


def helpers(reading: Reading) -> list[str]:
    return [reading.figure(reading.setting.attackers + d) for d in reading.helpers]


NAMES = ("example", "low-mans-call", "two-to-read")
ROWS = [(name, helper, cue) for name in NAMES for helper in helpers(reading_of(name)) for cue in CUES]
every_row = pytest.mark.parametrize(("name", "helper", "cue"), ROWS)


@cache
def played(name: str, helper: str, cue: str) -> Timeline:
    return timeline(reading_of(name), helper, cue)


def row_of(name: str, helper: str, cue: str) -> Any:
    reading = reading_of(name)
    return reading.rows(helpers_index(reading, helper))[TIMINGS.index(cue)]


def helpers_index(reading: Reading, helper: str) -> int:
    return reading.setting.figures.index(helper) - reading.setting.attackers


@every_row
def test_everyone_starts_where_the_moment_says(name: str, helper: str, cue: str) -> None:
    line, moment = played(name, helper, cue), reading_of(name).setting.moment

    for index, figure in enumerate(line.figures):
        assert line.places_m[0, index] == pytest.approx(moment.placed_m()[figure], abs=1e-9)
    assert line.ball_m[0] == pytest.approx(moment.placed_m()[moment.ball])
    assert np.diff(line.times_s) == pytest.approx(STEP_S)


@every_row
def test_nobody_is_faster_than_he_can_be(name: str, helper: str, cue: str) -> None:
    line, top = played(name, helper, cue), reading_of(name).setting.bodies.mean(axis=0)[:, its.TOP]
    speeds = np.linalg.norm(np.diff(line.places_m, axis=0), axis=2) / STEP_S

    assert np.all(speeds.max(axis=0) <= top + 1e-6)
    assert speeds.max() > 3.0, "somebody runs"


@every_row
def test_touches_fall_when_the_kernels_clock_them(name: str, helper: str, cue: str) -> None:
    line, s = played(name, helper, cue), middle_scene(reading_of(name).setting)
    touches = [event.t_s for event in line.events if event.what == "dribble"]

    ends = next(event for event in line.events if event.what in ("kick", "stopped", "gather", "starts over"))

    assert touches == pytest.approx([t_s for t_s in s.touch_s[: s.touches] if t_s <= ends.t_s])
    assert touches[0] == pytest.approx(s.go_s + s.assumed[at.FIRST_TOUCH])
    assert np.diff(touches) == pytest.approx(s.body[s.holder, its.DRIBBLE_PERIOD])


@every_row
def test_the_helper_leaves_a_reaction_after_his_cue(name: str, helper: str, cue: str) -> None:
    line = played(name, helper, cue)
    leaves, home = line.event("help leaves"), line.at_m(helper, 0.0)
    over_s = min(event.t_s for event in line.events if event.what in ("kick", "release", "starts over"))
    leaves_s = math.inf if cue == "never" else leave_time(name, helper, cue)
    if leaves is None:
        assert leaves_s >= over_s, "only where it is over before"
        assert np.ptp(line.path_m(helper, 0.0, over_s), axis=0) == pytest.approx([0.0, 0.0], abs=1e-9)
        return

    assert leaves.t_s == pytest.approx(leaves_s)
    assert line.at_m(helper, leaves_s - STEP_S) == pytest.approx(home), "he stands until then"
    assert math.dist(line.at_m(helper, over_s), home) > 0.2 * (over_s - leaves_s) ** 2, "then he runs"


def leave_time(name: str, helper: str, cue: str) -> float:
    reading = reading_of(name)
    scene = middle_scene(reading.setting)
    return leave_s(scene, reading.setting.figures.index(helper), TIMINGS.index(cue))


LEFT = [(name, helper, cue) for name, helper, cue in ROWS if cue != "never"]


@pytest.mark.parametrize(("name", "helper", "cue"), LEFT)
def test_the_gap_is_the_row_s_own(name: str, helper: str, cue: str) -> None:
    """A kick to the man who was left has the gap of the table, a finish the helper's distance to it."""
    line, row = played(name, helper, cue), row_of(name, helper, cue)
    gap = line.gap
    if gap is None:
        assert line.outcome == "starts over"
        return
    man = reading_of(name).man(helpers_index(reading_of(name), helper))
    if line.outcome == "kick" and gap.shooter == man and line.event("help leaves") is not None:
        assert gap.defender == helper
        assert row.left_gap.low - 0.1 <= gap.gap_m <= row.left_gap.high + 0.1
    elif line.outcome == "finish":
        assert gap.defender == helper
        # the row measures to just in front of the finish, and takes the nearest he could be
        assert row.rim_gap.low - 0.5 <= gap.gap_m <= row.rim_gap.high + 0.6


def test_the_cases_above_hold_kicks_and_finishes() -> None:
    outcomes = {played(*row).outcome for row in ROWS}
    assert outcomes >= {"kick", "finish"}


@every_row
def test_the_reply_is_the_best_the_kernels_know(name: str, helper: str, cue: str) -> None:
    """Choosing here, and the worth of the same branch in the reading, must not drift apart."""
    setting = reading_of(name).setting
    d = setting.figures.index(helper)
    timing = None if cue == "never" else TIMINGS.index(cue)
    play = best_play(setting, d, timing)
    scene = middle_scene(setting)
    contest = beaten_worth(scene, d, timing)

    if play.stop_s < NOT_AT_ALL_S:  # the row counts the stop as far as he can be there
        assert contest - play.worth > 0.0
        assert row_worth(scene, d, timing) == pytest.approx(contest - scene.stopped * (contest - play.worth), abs=1e-12)
    else:
        assert play.worth == pytest.approx(contest, abs=1e-12)
        assert timing is None or row_worth(scene, d, timing) <= contest + 1e-12


def beaten_worth(scene: Scene, d: int, timing: int | None) -> float:
    """A drive past its man, the helper at the finish."""
    if timing is None:
        finish = plain(helping.finish_worth)(scene, leaving.NOBODY, 0.0)
        return plain(helping.contest_worth)(scene, finish, leaving.NOBODY, False)
    leaves_s = leave_s(scene, d, timing)
    plain(leaving.lay_left)(scene, d, leaves_s, leaving.AT_THE_RING_S)
    return plain(helping.contest_worth)(scene, plain(helping.finish_worth)(scene, d, leaves_s), d, False)


def row_worth(scene: Scene, d: int, timing: int | None) -> float:
    """The same branch of the row in the table."""
    row = np.zeros(len(readout.ROW))
    scene.contained = 0.0
    plain(readout.add_row)(scene, d, timing or 0, 0.0, 1.0, row)
    return float(row[0])


@every_row
def test_what_happens_is_in_order_and_where_the_figure_is(name: str, helper: str, cue: str) -> None:
    line = played(name, helper, cue)
    times = [event.t_s for event in line.events]

    assert times == sorted(times)
    assert times[-1] <= line.times_s[-1] + 1e-9
    for event in line.events:
        assert event.at_m == pytest.approx(line.at_m(event.figure, event.t_s), abs=0.05)


def kick_row() -> Timeline:
    return next(line for row in ROWS if (line := played(*row)).outcome == "kick")


def test_the_ball_goes_from_hand_to_hand_to_ring() -> None:
    line = kick_row()
    kick, catch, release = line.event("kick"), line.event("catch"), line.event("release")
    assert kick is not None
    assert catch is not None
    assert release is not None
    holder = line.places_m[:, line.figures.index(line.moment.ball)]
    shooter = line.places_m[:, line.figures.index(str(line.shooter))]
    before, held = line.times_s <= kick.t_s, (line.times_s >= catch.t_s) & (line.times_s <= release.t_s)

    assert line.ball_m[before] == pytest.approx(holder[before])
    assert line.ball_m[held] == pytest.approx(shooter[held])
    assert line.ball_m[-1] == pytest.approx((0.0, 0.0), abs=1e-9)
    fastest = np.linalg.norm(np.diff(line.ball_m, axis=0), axis=1).max() / STEP_S
    assert 6.0 < fastest < 14.0, "a pass"


def test_a_pass_is_where_its_flight_time_says() -> None:
    """The way flown is the flight time turned round."""
    for away_m in (2.0, 6.0, 11.0):
        for drag in (0.0, ball.DRAG_PER_M):
            flight_s = plain(ball.pass_flight_s)(away_m, 9.0, drag)
            assert plain(ball.pass_distance_m)(flight_s, 9.0, drag) == pytest.approx(away_m, abs=1e-9)


def test_all_stand_from_the_shot_on() -> None:
    line = kick_row()
    release = line.event("release")
    assert release is not None
    after = line.places_m[line.times_s >= release.t_s]

    assert np.ptp(after, axis=0).max() == 0.0


def moment(*figures: dict[str, Any], **more: Any) -> Moment:
    base = {"format": "courtwright.moment/1", "name": "x", "ball": "1", "figures": list(figures)}
    return moment_from_json(base | more)


def test_a_closeout_runs_on_until_it_sees_the_drive() -> None:
    running = {"figure": "X1", "at": [0.0, 2.5], "moving_m_per_s": [0.0, 3.0]}
    line = timeline(read_moment(moment({"figure": "1", "at": [0.0, 7.0]}, running), sets=8))
    gaps = np.linalg.norm(line.places_m[:, 0] - line.places_m[:, 1], axis=1)

    assert np.all(np.diff(gaps[line.times_s <= 0.3]) < -0.05), "he comes at once"
    assert line.event("beat") is not None


def test_one_who_has_held_the_ball_goes_at_once() -> None:
    figures = ({"figure": "1", "at": [0.0, 7.0]}, {"figure": "X1", "at": [0.0, 5.5]})
    fresh, held = (timeline(read_moment(moment(*figures, held_s=held_s), sets=8)) for held_s in (0.0, 3.0))
    go = [line.event("go") for line in (fresh, held)]

    assert go[0] is not None
    assert go[0].t_s > 0.2
    assert go[1] is not None
    assert go[1].t_s == 0.0


def test_the_json_says_the_same() -> None:
    line = kick_row()
    data = json.loads(json.dumps(line.to_json(), allow_nan=False))

    assert data["format"] == "courtwright.timeline/1"
    assert {len(places) for places in data["places_m"].values()} == {len(data["times_s"])} == {len(data["ball_m"])}
    assert data["places_m"]["1"][0] == pytest.approx(line.places_m[0, 0], abs=1e-3)
    assert [event["what"] for event in data["events"]] == [event.what for event in line.events]


@pytest.mark.parametrize(
    ("helper", "cue", "said"),
    [
        ("X1", "dribble 1", "X1 cannot help here; use one of X2, X3"),
        ("X9", "never", "X9 cannot help here"),
        (None, "dribble 1", "nobody cannot help here; use one of X2, X3"),
        ("X2", "at once", "“at once” is no cue to help; use one of dribble 1, "),
    ],
)
def test_a_row_that_is_not_in_the_table(helper: str | None, cue: str, said: str) -> None:
    with pytest.raises(WordError, match=said):
        timeline(reading_of("low-mans-call"), helper, cue)
