"""What must hold of any sensible moment: directions, the mirror, names, the twin, no jumps."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Any, Final

import numpy as np
import pytest
from benchmarks.reading_drags import Play, drags, random_play
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

import reading_rules
from courtwright.floor import body as its
from courtwright.floor.readout import TIMINGS
from courtwright.game.moment import Moment, parse_moment
from courtwright.reading import read_moment
from courtwright.reading.prepare import Setting, setting
from courtwright.reading.result import Raw, Reading, read_raw
from courtwright.reading.switch import early_curve, offset_for
from courtwright.reading.timeline import CUES
from courtwright.vocabulary import Level

Array = NDArray[np.float64]
SLACK_M: Final = 3e-4
"""The start of braking is found to 0.1 mm."""

levels = st.sampled_from(Level)


@st.composite
def plays(draw: st.DrawFn, least: int = 1, most: int = 5) -> Play:
    """Any sensible moment from 1-on-1 to 5-on-5."""
    seed = draw(st.integers(0, 2**32 - 1))
    return random_play(np.random.default_rng(seed), draw(st.integers(least, most)))


def read(play: Play, *, mirrored: bool = False, sets: int = 8) -> Raw:
    return read_raw(setting(play.moment(mirrored=mirrored), level=play.level, sets=sets))


def same(one: Raw, other: Raw) -> None:
    """Bit for bit."""
    for name, values in vars(one).items():
        assert np.array_equal(values, getattr(other, name)), name


# --- numbers that make sense ----------------------------------------------------------------------------------------


@settings(max_examples=150, deadline=None)
@given(play=plays())
def test_numbers_are_numbers_and_shares_are_shares(play: Play) -> None:
    raw = read(play)

    assert all(np.all(np.isfinite(values)) for values in vars(raw).values())
    for share in (raw.shot[:, 1], raw.passes[:, 1:, 1:3], raw.drive[:, 0]):
        assert np.all((share >= 0.0) & (share <= 1.0))
    assert np.all(raw.shot[:, 0] >= 0.0)
    assert np.all(raw.rows[:, :, :, 2:4] >= 0.0)


@settings(max_examples=100, deadline=None)
@given(play=plays(least=2))
def test_worth_is_what_the_best_choices_bring(play: Play) -> None:
    """Starting over is always possible, one helper can always stay, and rotation never hurts the defence."""
    given_ = setting(play.moment(), level=play.level, sets=8)
    raw, reset = read_raw(given_), given_.worth.reset

    assert np.all(raw.worth >= reset - 1e-12)
    assert np.all(raw.drive[:, 5] <= raw.drive[:, 3] + 1e-12)
    assert np.all(raw.drive[:, 4] <= raw.drive[:, 5] + 1e-12)
    assert np.all(raw.rows[:, 1:, :, 1] <= raw.rows[:, 1:, :, 0] + 1e-12)
    assert np.all(raw.rows[:, 1:, :, 0] >= reset[:, None, None] - 1e-12)
    best = np.maximum(raw.drive[:, 5], np.maximum(raw.shot[:, 2], raw.passes[:, 1:, 3].max(axis=1)))
    assert raw.worth == pytest.approx(np.maximum(best, reset))


# --- directions -----------------------------------------------------------------------------------------------------


def dragged_out(play: Play, by_m: float) -> Play:
    """The defender on the ball so much farther from it, on the line he stands on."""
    places_m = play.places_m.copy()
    away = places_m[play.side] - places_m[0]
    places_m[play.side] += by_m * away / np.hypot(*away)
    return replace(play, places_m=places_m)


@settings(max_examples=60, deadline=None)
@given(play=plays(), farther_m=st.floats(0.05, 2.0))
def test_a_closeout_from_farther_leaves_more_room(play: Play, farther_m: float) -> None:
    near, far = read(play), read(dragged_out(play, farther_m))

    assert np.all(far.shot[:, 0] >= near.shot[:, 0] - SLACK_M)


@settings(max_examples=60, deadline=None)
@given(play=plays(), farther_m=st.floats(0.05, 2.0))
def test_more_room_is_a_better_chance(play: Play, farther_m: float) -> None:
    """The same shooter and place, in every set; ties where the gap is held within the table."""
    near, far = read(play), read(dragged_out(play, farther_m))
    more = far.shot[:, 0] >= near.shot[:, 0]

    assert np.all(far.shot[more, 1] >= near.shot[more, 1])


@settings(max_examples=60, deadline=None)
@given(play=plays(least=2), slower_m=st.floats(0.05, 1.5), who=st.integers(0, 4))
def test_a_mate_whose_man_is_farther_off_has_more_room(play: Play, slower_m: float, who: int) -> None:
    """A still defender is moved straight away from his man; the others stay."""
    mate = 1 + who % (play.side - 1)
    places_m, velocities = play.places_m.copy(), play.velocities.copy()
    velocities[mate] = 0.0
    away = places_m[play.side + mate] - places_m[mate]
    assume(np.hypot(*away) > 0.1)
    places_m[play.side + mate] += slower_m * away / np.hypot(*away)
    still = replace(play, velocities=velocities)
    near, far = read(still), read(replace(still, places_m=places_m))

    assert np.all(far.passes[:, mate, 0] >= near.passes[:, mate, 0] - SLACK_M)
    assert np.all(far.passes[:, mate, 1] >= near.passes[:, mate, 1] - SLACK_M)


@settings(max_examples=80, deadline=None)
@given(play=plays(least=2))
def test_who_leaves_later_is_no_nearer_to_the_finish(play: Play) -> None:
    """For helpers more than 2 m from the finish, dribble by dribble."""
    raw = read(play)
    for d in range(1, play.side):
        if math.hypot(*play.places_m[play.side + d]) > 2.0 + 1.7:  # the finish is within 1.7 m of the ring
            assert np.all(np.diff(raw.rows[:, d, :3, 2], axis=1) >= -1e-9)


@settings(max_examples=40, deadline=None)
@given(play=plays(least=2))
def test_a_finish_with_more_room_goes_in_more_often(play: Play) -> None:
    """The rim chance behind that: the later a helper leaves, the more a beaten drive that nobody kicks is worth.

    With everybody else far away and no mate to kick to, the row is the finish.
    """
    places_m = np.vstack([play.places_m[:1], play.places_m[play.side : play.side + 2]])
    assume(math.hypot(*places_m[2]) > 3.7)
    assume(min(math.dist(places_m[a], places_m[b]) for a, b in ((0, 1), (0, 2), (1, 2))) > 0.4)
    figures: list[dict[str, Any]] = [
        {"figure": figure, "at": tuple(at), "guards": None if figure == "1" else "1"}
        for figure, at in zip(("1", "X1", "X2"), places_m, strict=True)
    ]
    assume(math.dist(places_m[0], places_m[2]) > math.dist(places_m[0], places_m[1]))
    raw = read_raw(
        setting(Moment.model_validate({"name": "m", "ball": "1", "figures": figures}), level=play.level, sets=8)
    )
    cues = raw.rows[:, 1, :3]  # by the clock: held or not, the dribbles come in this order

    assert np.all(np.diff(cues[:, :, 2], axis=1) >= -1e-9)
    assert np.all(np.diff(cues[:, :, 0], axis=1) >= -1e-9)


@settings(max_examples=60, deadline=None)
@given(play=plays(), faster=st.floats(0.05, 1.0))
def test_a_faster_defender_leaves_less_room(play: Play, faster: float) -> None:
    given_ = setting(play.moment(), level=play.level, sets=8)
    usual, fast = read_raw(given_), read_raw(quicker(given_, given_.attackers, faster))

    assert np.all(fast.shot[:, 0] <= usual.shot[:, 0] + SLACK_M)
    assert np.all(fast.passes[:, 1:, 0] <= usual.passes[:, 1:, 0] + SLACK_M)


@settings(max_examples=60, deadline=None)
@given(play=plays(least=2), faster=st.floats(0.05, 1.0))
def test_a_faster_helper_is_nearer_to_the_finish(play: Play, faster: float) -> None:
    """The man on the ball stays as he is: he decides which way the drive goes."""
    given_ = setting(play.moment(), level=play.level, sets=8)
    usual, fast = read_raw(given_), read_raw(quicker(given_, given_.attackers + 1, faster))

    assert np.all(fast.rows[:, 1:, :, 2] <= usual.rows[:, 1:, :, 2] + 1e-9)


def quicker(given_: Setting, first: int, by_m_per_s: float) -> Setting:
    """The same with everyone from there on faster."""
    bodies = given_.bodies.copy()
    bodies[:, first:, its.TOP] += by_m_per_s
    return replace(given_, bodies=bodies)


# --- the mirror, names, the twin ------------------------------------------------------------------------------------


@settings(max_examples=150, deadline=None)
@given(play=plays(), middle=st.booleans())
def test_the_mirror_shows_the_same_numbers_to_the_bit(play: Play, middle: bool) -> None:
    """Also where both sides of the defender are as good: ball, defender and ring on the middle line."""
    if middle:
        places_m, velocities = play.places_m.copy(), play.velocities.copy()
        places_m[[0, play.side], 0], velocities[0, 0] = 0.0, 0.0
        assume(abs(places_m[0, 1] - places_m[play.side, 1]) > 0.3)
        play = replace(play, places_m=places_m, velocities=velocities)

    same(read(play), read(play, mirrored=True))


@settings(max_examples=60, deadline=None)
@given(play=plays(least=2), data=st.data())
def test_names_do_not_matter(play: Play, data: st.DataObject) -> None:
    """Give the figures other numbers: everybody's numbers go with him."""
    side = play.side
    mates = [0, *data.draw(st.permutations(range(1, side)))]
    guards = data.draw(st.permutations(range(side)))
    places_m = np.vstack([play.places_m[mates], play.places_m[side:][guards]])
    figures: list[dict[str, Any]] = [{"figure": f"{i + 1}", "at": tuple(at)} for i, at in enumerate(places_m[:side])]
    for i, (at, was) in enumerate(zip(places_m[side:], guards, strict=True)):
        man, moving = str(mates.index(was) + 1), tuple(play.velocities[was])
        figures.append({"figure": f"X{i + 1}", "at": tuple(at), "moving_m_per_s": moving, "guards": man})
    renamed = Moment.model_validate({"name": "m", "ball": "1", "figures": figures, "held_s": play.held_s})

    one, other = read(play), read_raw(setting(renamed, level=play.level, sets=8))

    assert np.array_equal(other.shot, one.shot)
    assert np.array_equal(other.passes, one.passes[:, mates])
    assert np.array_equal(other.rows, one.rows[:, guards])
    assert np.array_equal(other.drive, one.drive)
    assert np.array_equal(other.worth, one.worth)


@settings(max_examples=12, deadline=None)
@given(play=plays(), pause_s=st.sampled_from([0.0, 0.5]))
def test_the_plain_twin_says_the_same_to_the_bit(play: Play, pause_s: float) -> None:
    given_ = setting(play.moment(), level=play.level, sets=2)

    same(read_raw(given_, pause_s=pause_s), read_raw(given_, pause_s=pause_s, engine="python"))


@settings(max_examples=12, deadline=None)
@given(play=plays(least=3))
def test_a_switch_curve_is_a_reading_for_each_share_and_its_twin_the_same(play: Play) -> None:
    """The route is laid once, the next man's help is left out: neither may change a number."""
    given_ = setting(play.moment(), level=play.level, sets=3)
    for helper in Reading(given_, read_raw(given_)).helpers:
        curve, twin = early_curve(given_, helper), early_curve(given_, helper, engine="python")
        man = int(given_.guard[given_.attackers + helper])
        if curve is None or twin is None:
            x, y = play.places_m[man]
            assert curve is twin
            assert man == given_.holder or not given_.moment.floor.beyond_arc(x, y)
            continue
        for share, cost in curve.items():
            bodies, away_m = given_.bodies.copy(), math.hypot(*play.places_m[man])
            bodies[:, man, its.THREE_LOGIT] = [offset_for(share, away_m, a) for a in bodies[:, man, its.PRESSURE]]
            changed = replace(given_, bodies=bodies)
            assert np.array_equal(cost, Reading(changed, read_raw(changed)).early_cost(helper))
            assert np.array_equal(cost, twin[share])


@settings(max_examples=30, deadline=None)
@given(play=plays(least=3))
def test_without_the_next_mans_help_all_else_is_the_same(play: Play) -> None:
    given_ = setting(play.moment(), level=play.level, sets=4)
    alone, both = read_raw(given_, turns=False), read(play, sets=4)

    assert np.array_equal(alone.rows[..., 1], alone.rows[..., 0])
    assert np.array_equal(alone.rows[..., (0, 2, 3, 4)], both.rows[..., (0, 2, 3, 4)])
    assert np.array_equal(alone.worth, both.worth)


@settings(max_examples=30, deadline=None)
@given(play=plays(least=2, most=3))
def test_known_players_of_the_level_read_as_the_level(play: Play) -> None:
    given_ = setting(play.moment(), level=play.level, sets=8)

    same(read(play), read_raw(replace(given_, bodies=given_.bodies.copy())))
    assert read_moment(play.moment(), bodies=given_.bodies, sets=8).raw.worth == pytest.approx(read(play).worth)


def test_cues_and_rows_have_the_same_order() -> None:
    assert CUES[:-1] == TIMINGS


# --- no jumps -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("side", "sets", "count", "most"), [(3, 64, 250, 0.03), (5, 32, 120, 0.05)])
def test_a_drag_moves_no_number_by_a_jump(side: int, sets: int, count: int, most: float) -> None:
    """5 cm; how surely a drive is held is only said as a word and moves faster (see the page on readings)."""
    found = list(drags(side, sets, count, seed=10 + side))

    assert max(by for one in found for name, by in one.items() if not name.startswith("held")) <= most
    assert max(one["held/0"] for one in found) <= 0.15
    assert float(np.quantile([by for one in found for by in one.values()], 0.99)) <= 0.015


@pytest.mark.parametrize("level", list(Level))
def test_a_defender_dead_in_front_is_no_cliff(level: Level) -> None:
    """Drag him across the line from the ball to the ring, two centimetres at a time, with help on one side only."""

    def rows(aside_m: float) -> Array:
        moment = reading_rules.moment_of(reading_rules.CASES["far block, far corner left"], 1.5)
        data = moment.to_json()
        x, y = data["figures"][3]["at"]
        data["figures"][3]["at"] = [x + aside_m * math.sqrt(0.5), y - aside_m * math.sqrt(0.5)]
        raw = read_raw(setting(Moment.model_validate(data), level=level, sets=64))
        return np.append(raw.rows[:, 1:, :, :2].mean(axis=0).ravel(), raw.drive[:, 3:6].mean(axis=0))

    steps = [rows(aside_m) for aside_m in np.arange(-0.1, 0.11, 0.02)]

    assert max(float(np.abs(after - before).max()) for before, after in pairwise(steps)) <= 0.015


# --- moments as documents ---------------------------------------------------------------------------------------------


@settings(max_examples=30, deadline=None)
@given(play=plays())
def test_a_moment_is_written_and_read_back(play: Play) -> None:
    moment = play.moment()
    assume(min(math.dist(a, b) for i, a in enumerate(play.places_m) for b in play.places_m[i + 1 :]) > 0.31)

    again = parse_moment(moment.model_dump_json())

    assert again == moment
    assert again.hash == moment.hash
