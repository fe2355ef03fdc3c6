"""What must hold for every set of splits and every shooting test."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.strategies import amounts, squads

from courtwright.floor.fitting import Belief, SprintFit, Start, fit_shots, fit_sprint, gate_times
from courtwright.floor.presets import preset
from courtwright.squad import Squad
from courtwright.squad.measured import measured

TOP, TAU = Belief(7.5, 0.5), Belief(1.08, 0.1)
GATES = st.lists(st.sampled_from([5.0, 10.0, 15.0, 20.0, 30.0, 40.0]), min_size=1, max_size=6, unique=True).map(sorted)


def splits(top: float, tau_s: float, head_s: float, gates: list[float]) -> list[float]:
    times, _ = gate_times(np.array(gates), np.array([top, tau_s, head_s]), Start.STANDING)
    return [float(time) for time in times]


def fit(gates: list[float], times: list[float], start: Start | None = None) -> SprintFit:
    return fit_sprint(gates, times, top_m_per_s=TOP, tau_s=TAU, start=start)


def sds(found: SprintFit) -> list[float]:
    return [found.top_m_per_s.sd, found.tau_s.sd, found.head_start.sd]


SPRINTERS = (amounts(6.0, 9.0), amounts(0.8, 1.4), amounts(0.15, 0.45))


@given(*SPRINTERS, GATES)
def test_splits_never_widen_a_range_and_never_break_it(
    top: float, tau_s: float, head_s: float, gates: list[float]
) -> None:
    found = fit(gates, splits(top, tau_s, head_s, gates))

    assert np.isfinite([*found.top_m_per_s, *found.tau_s, *found.head_start, found.misfit_s, found.rms_s]).all()
    assert 0 < found.top_m_per_s.sd <= TOP.sd
    assert 0 < found.tau_s.sd <= TAU.sd


@given(*SPRINTERS, GATES, st.sampled_from(Start))
def test_another_split_of_the_same_run_narrows_the_ranges(
    top: float, tau_s: float, head_s: float, gates: list[float], start: Start
) -> None:
    """Of the top speed always; the fit moves a little with each split, hence the slack."""
    few = fit(gates, splits(top, tau_s, head_s, gates), start)
    more = fit([*gates, 50.0], splits(top, tau_s, head_s, [*gates, 50.0]), start)

    assert more.top_m_per_s.sd < few.top_m_per_s.sd * 1.02


@given(*SPRINTERS, GATES)
def test_top_speed_lies_between_preset_and_truth_or_near(
    top: float, tau_s: float, head_s: float, gates: list[float]
) -> None:
    """With the preset's own start, a fit of true splits never overshoots the truth."""
    found = fit(gates, splits(top, TAU.mid, 0.3, gates), Start.STANDING)

    low, high = sorted((top, TOP.mid))
    assert low - 1e-6 <= found.top_m_per_s.mid <= high + 1e-6


@given(*SPRINTERS, GATES, amounts(0.5, 2.0))
def test_a_longer_metre_changes_nothing(
    top: float, tau_s: float, head_s: float, gates: list[float], scale: float
) -> None:
    """Distances and speeds in another unit of length: the same fit."""
    times = splits(top, tau_s, head_s, gates)
    here = fit(gates, times, Start.STANDING)
    there = fit_sprint(
        np.array(gates) * scale,
        times,
        top_m_per_s=Belief(TOP.mid * scale, TOP.sd * scale),
        tau_s=TAU,
        start=Start.STANDING,
    )

    assert there.top_m_per_s.mid == pytest.approx(here.top_m_per_s.mid * scale, rel=1e-6)
    assert there.tau_s.mid == pytest.approx(here.tau_s.mid, rel=1e-6)
    assert sds(there)[1] == pytest.approx(sds(here)[1], rel=1e-5)


@given(*SPRINTERS, st.sampled_from(Start), amounts(1.0, 50.0))
def test_slopes_are_the_slopes(top: float, tau_s: float, head: float, start: Start, distance_m: float) -> None:
    figures, gate = np.array([top, tau_s, head]), np.array([distance_m])
    _, slopes = gate_times(gate, figures, start)
    for place in range(3):
        nudge = np.zeros(3)
        nudge[place] = 1e-4
        up, _ = gate_times(gate, figures + nudge, start)
        down, _ = gate_times(gate, figures - nudge, start)
        assert slopes[0, place] == pytest.approx((up[0] - down[0]) / 2e-4, abs=1e-4)


# --- shots

TESTS = st.lists(
    st.integers(0, 300).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))), min_size=1, max_size=8
)
SDS = amounts(0.05, 0.5)


@given(TESTS, amounts(-3, 3), SDS, SDS)
def test_every_player_lies_between_his_test_and_the_group(
    tests: list[tuple[int, int]], expected: float, between: float, group: float
) -> None:
    makes, attempts = zip(*tests, strict=True)
    found = fit_shots(makes, attempts, expected, between_sd=between, group_sd=group)

    assert np.isfinite([*found.offset, *found.sd, *found.group]).all()
    assert (found.sd <= math.hypot(between, group) * (1 + 1e-9)).all()
    for (made, tried), offset in zip(tests, found.offset, strict=True):
        if tried == 0:
            assert offset == pytest.approx(found.group.mid, abs=1e-6)
            continue
        raw = math.inf if made == tried else -math.inf if made == 0 else math.log(made / (tried - made)) - expected
        low, high = sorted((raw, found.group.mid))
        assert low - 1e-6 <= offset <= high + 1e-6


@given(st.integers(1, 50), st.integers(0, 50), amounts(-2, 2), SDS, st.integers(2, 20))
def test_the_same_share_of_more_shots_says_more(
    tried: int, made: int, expected: float, between: float, times: int
) -> None:
    made = min(made, tried)
    few, many = (fit_shots([made * n], [tried * n], expected, between_sd=between, group_sd=between) for n in (1, times))

    assert many.sd[0] < few.sd[0]
    assert abs(many.offset[0]) >= abs(few.offset[0]) - 1e-6


@given(TESTS, amounts(-2, 2), SDS)
def test_makes_and_misses_are_mirror_images(tests: list[tuple[int, int]], expected: float, between: float) -> None:
    makes, attempts = (np.array(part) for part in zip(*tests, strict=True))
    one = fit_shots(makes, attempts, expected, between_sd=between, group_sd=between)
    other = fit_shots(attempts - makes, attempts, -expected, between_sd=between, group_sd=between)

    assert other.offset == pytest.approx(-one.offset, abs=1e-5)
    assert other.sd == pytest.approx(one.sd, rel=1e-4)


# --- squads


@given(squads())
def test_every_squad_has_sound_figures(squad: Squad) -> None:
    found = measured(squad, squad.players)

    assert np.isfinite(found.mid).all()
    assert np.isfinite(found.spread).all()
    for player, spread in zip(squad.players, found.spread, strict=True):
        figures = preset(player.level or squad.level).figures
        assert (spread <= np.array([figure.spread for figure in figures]) * (1 + 1e-9)).all()
    drawn = found.drawn(np.random.default_rng(1).random((4, found.mid.shape[1]))) if squad.players else found.mid
    assert np.isfinite(drawn).all()
