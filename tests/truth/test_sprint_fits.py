"""Sprint fits against published ones, to the printed digits.

Sources: Jovanović & Vescovi, package "shorts", documentation (example A, a flying start fitted
four ways) and the documentation of its version 1.1.4 (example B); Gryko et al. 2022 (girls' splits).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from courtwright.floor.fitting import Belief, Refusal, SprintFit, Start, fit_sprint, gate_times

GATES_M = (5, 10, 15, 20, 30, 40)
SPLITS_S = (1.158, 1.893, 2.541, 3.149, 4.313, 5.444)
NO_BELIEF = Belief(1.0, math.inf)


def plain_fit(distances_m: tuple[float, ...], times_s: tuple[float, ...], start: Start, head: Belief) -> SprintFit:
    """Least squares, nothing believed of speed and time constant."""
    return fit_sprint(
        distances_m, times_s, top_m_per_s=Belief(8.0, math.inf), tau_s=NO_BELIEF, start=start, head_start=head
    )


def fitted_times(fit: SprintFit) -> list[float]:
    figures = np.array([fit.top_m_per_s.mid, fit.tau_s.mid, fit.head_start.mid])
    return [round(float(time), 2) for time in gate_times(np.array(GATES_M, float), figures, fit.start)[0]]


def test_example_a_without_correction() -> None:
    """V 8.591, a0 10.589, τ 0.811, times 1.21 1.90 2.52 3.12 4.30 5.47, RMSE 0.0278 s."""
    fit = plain_fit(GATES_M, SPLITS_S, Start.STANDING, Belief(0.0, 0.0))

    assert round(fit.top_m_per_s.mid, 3) == 8.591
    assert round(fit.tau_s.mid, 3) == 0.811
    assert round(fit.top_m_per_s.mid / fit.tau_s.mid, 3) == 10.589
    assert round(fit.rms_s, 4) == 0.0278
    assert fitted_times(fit) == [1.21, 1.90, 2.52, 3.12, 4.30, 5.47]


def test_example_a_with_three_tenths_added() -> None:
    """V 9.128, a0 6.626, τ 1.378, RMSE 0.0081 s."""
    fit = plain_fit(GATES_M, SPLITS_S, Start.STANDING, Belief(0.3, 0.0))

    assert round(fit.top_m_per_s.mid, 3) == 9.128
    assert round(fit.tau_s.mid, 3) == 1.378
    assert round(fit.top_m_per_s.mid / fit.tau_s.mid, 3) == 6.626
    assert round(fit.rms_s, 4) == 0.0081


def test_example_a_with_the_time_correction_fitted() -> None:
    """V 8.97, a0 7.27, τ 1.23, correction −0.235 s."""
    fit = plain_fit(GATES_M, SPLITS_S, Start.STANDING, Belief(0.1, math.inf))

    assert round(fit.top_m_per_s.mid, 2) == 8.97
    assert round(fit.tau_s.mid, 2) == 1.23
    assert round(fit.top_m_per_s.mid / fit.tau_s.mid, 2) == 7.27
    assert round(-fit.head_start.mid, 3) == -0.235


def test_example_a_with_the_flying_distance_fitted() -> None:
    """V 9.00, a0 6.99, τ 1.29, flying distance 0.302 m: the truth was 9.0, 7.0 and 0.3."""
    fit = plain_fit(GATES_M, SPLITS_S, Start.FLYING, Belief(0.2, math.inf))

    assert round(fit.top_m_per_s.mid, 2) == 9.00
    assert round(fit.tau_s.mid, 2) == 1.29
    assert round(fit.top_m_per_s.mid / fit.tau_s.mid, 2) == 6.99
    assert round(fit.head_start.mid, 3) == 0.302


def test_example_b() -> None:
    """5, 10, 20, 30, 35 m in 1.21 1.99 3.38 4.71 5.30 s: V 7.553185, τ 0.706663, a0 10.68852."""
    splits_s = (1.21, 1.99, 3.38, 4.71, 5.30)

    fit = plain_fit((5, 10, 20, 30, 35), splits_s, Start.STANDING, Belief(0.0, 0.0))

    assert round(fit.top_m_per_s.mid, 6) == 7.553185
    assert round(fit.tau_s.mid, 6) == 0.706663
    assert round(fit.top_m_per_s.mid / fit.tau_s.mid, 5) == pytest.approx(10.68852, abs=1.1e-5)


@pytest.mark.parametrize(
    ("who", "splits_s", "expected"),
    [("U13", (1.243, 2.021, 3.585), (6.96, 1.03)), ("U15", (1.205, 2.048, 3.539), (7.12, 1.06))],
)
def test_girls_with_three_tenths_added(who: str, splits_s: tuple[float, ...], expected: tuple[float, float]) -> None:
    """Gryko et al. 2022, 5, 10 and 20 m: the figures our presets were taken from, fitted with another program."""
    fit = plain_fit((5, 10, 20), splits_s, Start.STANDING, Belief(0.3, 0.0))

    assert fit.top_m_per_s.mid == pytest.approx(expected[0], abs=0.01), who
    assert fit.tau_s.mid == pytest.approx(expected[1], abs=0.01), who


def test_forgetting_the_correction_gives_an_impossible_start() -> None:
    """The same girls U13 without it: V 6.51, τ 0.51, a first acceleration of 12.8 m/s²."""
    fit = plain_fit((5, 10, 20), (1.243, 2.021, 3.585), Start.STANDING, Belief(0.0, 0.0))

    assert (round(fit.top_m_per_s.mid, 2), round(fit.tau_s.mid, 2)) == (6.51, 0.51)
    assert fit.top_m_per_s.mid / fit.tau_s.mid > 12

    sharper = plain_fit((5, 10, 20), (1.043, 1.821, 3.385), Start.STANDING, Belief(0.0, 0.0))
    assert sharper.refusal is Refusal.TOO_SUDDEN
