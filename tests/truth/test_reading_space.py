"""Who is first where, against the nearest-neighbour diagram of SciPy and the published disc of reach.

Source: Fujimura & Sugihara 2005, a geometric analysis of team play (from memory): at time
t a player can be anywhere within V(t − e) of x + v e, e(t) = τ(1 − exp(−t/τ)).
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.spatial import Voronoi, cKDTree
from shapely import Polygon, contains_xy

from courtwright.engine import COMPILED
from courtwright.floor import body as its
from courtwright.floor.movement import arrival_s, drift_s, reach_gap_m
from courtwright.game.moment import Moment, moment_of
from courtwright.game.starters import starters
from courtwright.reading.prepare import Setting, setting
from courtwright.reading.space import CELL_M, SpaceMap, space_map
from courtwright.vocabulary import Level

Array = NDArray[np.float64]
LATE_S = 0.001


def cells_of(found: SpaceMap) -> Array:
    """Centres of the map's cells, row by row from the end line."""
    x = found.left_m + CELL_M * (np.arange(found.columns) + 0.5)
    y = found.end_line_m + CELL_M * (np.arange(found.rows) + 0.5)
    return np.array([(across, along) for along in y for across in x])


def places_of(given_: Setting) -> Array:
    return np.array(given_.scene(compiled=False).here[: len(given_.figures)])


@st.composite
def still_moments(draw: st.DrawFn) -> Moment:
    """Two to ten players who stand, no two nearer than a metre."""
    spots = draw(st.lists(st.tuples(st.integers(-7, 7), st.integers(-1, 12)), min_size=2, max_size=10, unique=True))
    half = (len(spots) + 1) // 2
    names = [f"{n + 1}" if n < half else f"X{n - half + 1}" for n in range(len(spots))]
    figures = [{"figure": name, "at": spot} for name, spot in zip(names, spots, strict=True)]
    return Moment.model_validate({"name": "still", "ball": "1", "figures": figures})


@settings(max_examples=20 if COMPILED else 3, deadline=None)
@given(moment=still_moments(), level=st.sampled_from(Level))
def test_a_still_map_of_equals_gives_every_cell_to_the_nearest(moment: Moment, level: Level) -> None:
    given_ = setting(moment, level=level, sets=4)
    found = space_map(given_)

    near, owner = (np.asarray(part) for part in cKDTree(places_of(given_)).query(cells_of(found), k=2))

    clear = near[:, 1] - near[:, 0] > 1e-6  # ties aside
    assert clear.mean() > 0.8
    assert np.array_equal(found.owner[clear], owner[clear, 0])


@pytest.mark.parametrize("name", ["low-mans-call", "two-to-read"])
def test_a_still_map_of_equals_is_the_voronoi_diagram(name: str) -> None:
    """The regions themselves, mirrored in the lines of a wide frame so that each is closed."""
    given_ = setting(moment_of(starters()[name]), level=Level.U16, sets=4)
    found, places = space_map(given_), places_of(given_)
    frame = (((-1, 1), (40, 0)), ((-1, 1), (-40, 0)), ((1, -1), (0, 50)), ((1, -1), (0, -40)))
    diagram = Voronoi(np.vstack([places, *(places * sign + np.array(shift) for sign, shift in frame)]))
    cells = cells_of(found)

    covered = np.zeros(len(cells), bool)
    for player in range(len(places)):
        region = Polygon(diagram.vertices[diagram.regions[diagram.point_region[player]]])
        inside = contains_xy(region.buffer(-1e-6), cells[:, 0], cells[:, 1])
        covered |= inside
        assert np.all(found.owner[inside] == player)
    assert covered.mean() > 0.99


@pytest.mark.parametrize("velocity", [(2.0, -1.0), (-5.5, 0.0), (0.0, 6.5)])
def test_with_a_running_player_the_map_is_that_of_the_published_discs(velocity: tuple[float, float]) -> None:
    """Whoever is first to a cell has it in his disc then, not a millisecond before, and nobody else has it by then."""
    figures: list[dict[str, Any]] = [
        {"figure": "1", "at": [0, 4], "moving_m_per_s": velocity},
        {"figure": "X1", "at": [3, 7]},
    ]
    given_ = setting(Moment.model_validate({"name": "disc", "ball": "1", "figures": figures}), level=Level.MEN, sets=8)
    found, steps = space_map(given_), np.arange(0.0, 1.0, 0.01)
    top, tau_s = (float(given_.bodies.mean(axis=0)[0, figure]) for figure in (its.TOP, its.TAU))
    starts, running = places_of(given_), np.array([velocity, (0.0, 0.0)])

    def beyond_m(player: int, cell: Array, t_s: Array) -> Array:
        carry = tau_s * (1 - np.exp(-t_s / tau_s))
        away = cell[:, None] - starts[player][:, None] - running[player][:, None] * carry
        gaps: Array = np.hypot(*away) - top * (t_s - carry)
        return gaps

    for cell, owner, time_s in zip(cells_of(found), found.owner, found.times_s, strict=True):
        assert beyond_m(owner, cell, np.array([time_s]))[0] <= 1e-8
        before = np.append(steps * time_s, time_s - LATE_S)
        assert np.all(beyond_m(owner, cell, before[before >= 0]) > 0.0)
        assert np.all(beyond_m(1 - owner, cell, before[before >= 0]) > 0.0)
    assert 0.2 < found.owner.mean() < 0.9  # each is first somewhere


@settings(max_examples=300, deadline=None)
@given(
    angle=st.floats(0, 2 * math.pi),
    speed=st.floats(0, 9.0),
    goal=st.tuples(st.floats(-8, 8), st.floats(-8, 8)),
    top=st.floats(5.0, 9.5),
    tau_s=st.floats(0.7, 1.4),
)
def test_the_first_arrival_is_never_early_and_at_most_a_millisecond_late(
    angle: float, speed: float, goal: tuple[float, float], top: float, tau_s: float
) -> None:
    """Against the first root, found on a grid of half a millisecond and narrowed by Brent's method."""
    assume(math.hypot(*goal) > 1e-3)
    vx, vy = speed * math.cos(angle), speed * math.sin(angle)
    grid = np.arange(0.0, 8.0, 0.0005)
    carry = tau_s * (1 - np.exp(-grid / tau_s))
    gaps = np.hypot(goal[0] - vx * carry, goal[1] - vy * carry) - top * (grid - carry)

    def gap_m(t_s: float) -> float:
        return reach_gap_m(*goal, 0.0, 0.0, vx, vy, top, tau_s, t_s)

    there = int(np.argmax(gaps <= 0.0))
    exact = 0.0 if there == 0 else float(brentq(gap_m, grid[there - 1], grid[there], xtol=1e-13))

    found = arrival_s(*goal, 0.0, 0.0, vx, vy, top, tau_s)

    assert exact - 1e-6 <= found <= exact + LATE_S
    assert gap_m(found) <= 1e-8


def test_nobody_is_first_in_two_places_at_once() -> None:
    """The disc grows: who is at a cell can be at every cell between."""
    carry = [drift_s(t_s, 1.1) for t_s in (0.5, 1.0, 2.0)]
    radius = [8.3 * (t_s - e) for t_s, e in zip((0.5, 1.0, 2.0), carry, strict=True)]

    assert radius == sorted(radius)
    assert radius[-1] > 8.3 * 1.0  # 8.9 m in two seconds
