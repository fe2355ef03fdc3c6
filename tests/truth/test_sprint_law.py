"""The sprint law against its published examples.

Sources: Jovanović & Vescovi, package "shorts" (documentation, worked example A with a
flying start), and the documentation of its version 1.1.4 (example B); Lambert's W from
SciPy as the closed-form inverse.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.special import lambertw

from courtwright.floor.movement import (
    arrival_s,
    controlled_run_m,
    drift_s,
    reach_gap_m,
    run_time_s,
    sprint_distance_m,
    sprint_speed_m_per_s,
)

GATES_M = (5, 10, 15, 20, 30, 40)


def test_example_a_flying_start_splits() -> None:
    """V 9.0, a0 7.0, 0.3 m flying distance: the published splits to the hundredth."""
    top, tau_s, flying_m = 9.0, 9.0 / 7.0, 0.3
    start_s = run_time_s(flying_m, 0.0, top, tau_s)

    splits = [run_time_s(gate + flying_m, 0.0, top, tau_s) - start_s for gate in GATES_M]

    assert [round(split, 2) for split in splits] == [1.16, 1.89, 2.54, 3.15, 4.31, 5.44]


def test_example_a_landmarks() -> None:
    """V 8.591, a0 10.589: half the acceleration is gone by 1.35 m, 95 % of top speed is reached by 14.3 m."""
    top, tau_s = 8.591, 8.591 / 10.589

    half_m = sprint_distance_m(tau_s * math.log(2), top, tau_s)
    fast_m = sprint_distance_m(tau_s * math.log(20), top, tau_s)

    assert round(half_m, 2) == 1.35
    assert round(fast_m, 1) == 14.3


def test_example_b_fitted_times() -> None:
    """The fit V 7.553185, τ 0.706663 lies within .05 s of the splits it was fitted to (1.21 1.99 3.38 4.71 5.30 s)."""
    fitted = [run_time_s(gate, 0.0, 7.553185, 0.706663) for gate in (5, 10, 20, 30, 35)]

    assert np.allclose(fitted, [1.21, 1.99, 3.38, 4.71, 5.30], atol=0.05)
    assert pytest.approx(10.68852, abs=1e-4) == 7.553185 / 0.706663


@pytest.mark.parametrize(
    ("top", "tau_s", "expected"),
    [
        (7.0, 1.0, [0.5867, 0.8644, 1.0935, 1.2985, 1.4886, 1.6686, 1.8414, 2.3314, 3.0977, 3.8356]),
        (8.0, 1.1, [0.5696, 0.8352, 1.0525, 1.2455, 1.4234, 1.5910, 1.7511, 2.2013, 2.8959, 3.5566]),
    ],
)
def test_standing_starts_derived_from_the_formula(top: float, tau_s: float, expected: list[float]) -> None:
    times = [run_time_s(distance, 0.0, top, tau_s) for distance in (1, 2, 3, 4, 5, 6, 7, 10, 15, 20)]

    assert [round(time, 4) for time in times] == expected


@pytest.mark.parametrize("distance_m", [0.001, 0.05, 0.5, 2.0, 6.75, 14.0, 28.0])
@pytest.mark.parametrize(("top", "tau_s"), [(6.0, 0.85), (7.5, 1.08), (8.9, 1.4)])
def test_run_time_is_lamberts_inverse(distance_m: float, top: float, tau_s: float) -> None:
    inside = -math.exp(-distance_m / (top * tau_s) - 1)
    closed = tau_s * lambertw(inside).real + distance_m / top + tau_s

    # at the branch point W loses half its digits, so the nearest distance is held to 10 µs
    assert run_time_s(distance_m, 0.0, top, tau_s) == pytest.approx(closed, abs=1e-6 if distance_m > 0.01 else 1e-5)


def test_girls_splits_of_a_published_table() -> None:
    """Gryko et al. 2022, girls U13: 5, 10 and 20 m in 1.243, 2.021 and 3.585 s, timed from a moving start.

    With the fitted V 6.96, τ 1.03 and the usual 0.3 s between first movement and the clock, within .05 s.
    """
    times = [run_time_s(gate, 0.0, 6.96, 1.03) - 0.3 for gate in (5, 10, 20)]

    assert np.allclose(times, [1.243, 2.021, 3.585], atol=0.05)


@pytest.mark.parametrize(
    ("top", "tau_s", "brake", "expected"),
    [
        (7.0, 1.0, 4.0, [1.30, 1.60, 1.86, 2.10, 2.32, 2.52]),
        (8.0, 1.1, 4.5, [1.24, 1.53, 1.78, 2.00, 2.21, 2.40]),
    ],
)
def test_controlled_closeout_times(top: float, tau_s: float, brake: float, expected: list[float]) -> None:
    """Sprint, then brake evenly to a stop after 2 to 7 m: times derived from the two laws."""
    for distance_m, time_s in zip(range(2, 8), expected, strict=True):
        assert controlled_run_m(distance_m, time_s + 0.01, 0.0, top, tau_s, brake) == pytest.approx(
            distance_m, abs=1e-3
        )
        assert controlled_run_m(distance_m, time_s - 0.06, 0.0, top, tau_s, brake) < distance_m - 1e-3


@pytest.mark.parametrize("start", [0.0, 1.5, 3.0, 6.0])
@pytest.mark.parametrize("distance_m", [0.3, 1.0, 2.5, 5.0])
def test_one_who_runs_already_brakes_in_time_or_runs_over(start: float, distance_m: float) -> None:
    """He stops after the distance, or after v²/2b where that is more; the way there obeys the two laws step by step."""
    top, tau_s, brake = 8.0, 1.1, 4.5
    ends_m = max(distance_m, start * start / (2 * brake))
    assert controlled_run_m(distance_m, 9.0, start, top, tau_s, brake) == pytest.approx(ends_m, abs=1e-3)

    step_s, run_m, speed = 2e-4, 0.0, start
    for step in range(1, 6001):
        sprints = run_m + speed * speed / (2 * brake) < distance_m
        speed = max(0.0, speed + step_s * ((top - speed) / tau_s if sprints else -brake))
        run_m += step_s * speed
        if step % 500 == 0:
            found_m = controlled_run_m(distance_m, step * step_s, start, top, tau_s, brake)
            assert found_m == pytest.approx(run_m, abs=0.005)


def test_the_disc_of_reach() -> None:
    """Fujimura & Sugihara 2005: centre x + v e(t), radius V(t − e(t))."""
    top, tau_s, time_s = 7.0, 1.0, 1.3
    carry = drift_s(time_s, tau_s)
    centre = (1.0 + 3.0 * carry, 2.0 - 2.0 * carry)
    radius = top * (time_s - carry)
    for angle in np.linspace(0, 2 * math.pi, 9):
        edge = (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))

        assert reach_gap_m(*edge, 1.0, 2.0, 3.0, -2.0, top, tau_s, time_s) == pytest.approx(0.0, abs=1e-12)


def test_marching_finds_the_first_arrival_ahead_of_a_sprinter() -> None:
    """Just ahead of a sprinter the equation has several roots; the first is found, never one before it."""
    top, tau_s, speed = 7.0, 1.0, 6.0
    for goal_m in (0.5, 1.0, 2.0, 4.0):
        times = np.arange(0.0, 3.0, 1e-4)
        gaps = np.array([reach_gap_m(goal_m, 0.0, 0.0, 0.0, speed, 0.0, top, tau_s, t) for t in times])
        first = times[np.argmax(gaps <= 0.0)]

        found = arrival_s(goal_m, 0.0, 0.0, 0.0, speed, 0.0, top, tau_s)

        assert first - 1.01e-4 <= found <= first + 1e-3


def test_speed_law() -> None:
    """v(1 s) = 4.4248 m/s and d(1 s) = 2.5752 m for V 7, τ 1 (derived from the formula)."""
    assert sprint_speed_m_per_s(1.0, 7.0, 1.0) == pytest.approx(4.4248, abs=5e-5)
    assert sprint_distance_m(1.0, 7.0, 1.0) == pytest.approx(2.5752, abs=5e-5)
