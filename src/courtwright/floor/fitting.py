"""From what a coach can measure to the figures of a body: timed sprints, shooting tests.

Sprints. The mono-exponential sprint from rest takes ``t(d)`` over ``d`` metres
(`courtwright.floor.movement.run_time_s`). A clock at the first gate starts after the
body already moves, and a fit that forgets it finds far too quick a start
(Jovanović & Vescovi). Two published corrections:

    standing   gate(d) = t(d) − b          b seconds are run before the clock starts
    flying     gate(d) = t(d + b) − t(b)   b metres are run before the clock starts

The fit minimises ``Σ ((gate − time)/σ)² + Σ ((p − mid)/sd)²`` over top speed, time
constant and ``b``: least squares, with what is believed beforehand as further
measurements. A belief of infinite sd is none, one of sd 0 is fixed.

Shooting tests. Makes are binomial with log-odds ``expected + θ``. A player's ``θ``
is normal about the group's, the group's about 0, so small tests say little and
team-mates' tests say what the group is. Mode and curvature of the joint posterior.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from courtwright.engine import plain
from courtwright.floor.movement import run_time_s

TIMING_SD_S: Final = 0.03
"""Error of one split (ours: gates are better, a hand with a stopwatch is worse)."""
FLYING_SPLITS: Final = 4
"""From so many splits on the flying distance is fitted; fewer cannot tell it from a slow start."""
MOST_TOP_M_PER_S: Final = 11.0
LEAST_TOP_M_PER_S: Final = 3.0
LEAST_TAU_S: Final = 0.4
MOST_MISFIT_S: Final = 0.15
"""Splits farther than this from the fitted run are not of one sprint (five timing errors)."""

Floats = NDArray[np.float64]

_time_s: Final = plain(run_time_s)  # a handful of calls: compiling would take longer than they do


class Belief(NamedTuple):
    """What is held of a number: its middle and its standard deviation."""

    mid: float
    sd: float


class Start(StrEnum):
    """What the clock misses at the start of a sprint."""

    STANDING = "standing"
    """a time, in seconds"""
    FLYING = "flying"
    """a distance, in metres"""


HEAD_START: Final = {Start.STANDING: Belief(0.3, 0.1), Start.FLYING: Belief(0.4, 0.15)}
"""Published rule of thumb: add 0.3 to 0.5 s. The distance is what the presets' sprinters run in 0.3 s less what
they then save (0.35 to 0.42 m), so that both starts say the same of the same splits; both sds are ours."""


class Refusal(StrEnum):
    """Why a sprint fit is not used."""

    TOO_FAST = "too fast"
    TOO_SLOW = "too slow"
    TOO_SUDDEN = "too sudden"
    NOT_ONE_RUN = "not one run"


@dataclass(frozen=True, slots=True)
class SprintFit:
    """A sprint fitted to splits, each figure with its standard deviation."""

    top_m_per_s: Belief
    tau_s: Belief
    head_start: Belief
    """seconds or metres, as `start` says"""
    start: Start
    splits: int
    misfit_s: float
    """the farthest split from the fitted run"""
    rms_s: float
    """root of the mean square over all splits"""

    @property
    def refusal(self) -> Refusal | None:
        """Why the fit must not be used, if so."""
        if self.top_m_per_s.mid > MOST_TOP_M_PER_S:
            return Refusal.TOO_FAST
        if self.top_m_per_s.mid < LEAST_TOP_M_PER_S:
            return Refusal.TOO_SLOW
        if self.tau_s.mid < LEAST_TAU_S:
            return Refusal.TOO_SUDDEN
        return Refusal.NOT_ONE_RUN if self.misfit_s > MOST_MISFIT_S else None


def fit_sprint(
    distances_m: ArrayLike,
    times_s: ArrayLike,
    *,
    top_m_per_s: Belief,
    tau_s: Belief,
    start: Start | None = None,
    head_start: Belief | None = None,
    timing_sd_s: float = TIMING_SD_S,
) -> SprintFit:
    """Fit top speed and time constant to splits.

    Parameters
    ----------
    distances_m, times_s
        Gates and times from one start, shape (splits,).
    top_m_per_s, tau_s
        What is believed before the splits: the level's preset.
    start
        How the clock's late start is modelled; flying from four splits on, if left out.
    head_start
        What is believed of it; `HEAD_START` if left out.
    timing_sd_s
        Standard deviation of one time.
    """
    distances, times = (np.atleast_1d(np.asarray(part, np.float64)) for part in (distances_m, times_s))
    if start is None:
        start = Start.FLYING if len(times) >= FLYING_SPLITS else Start.STANDING
    beliefs = (top_m_per_s, tau_s, head_start or HEAD_START[start])
    if sum(math.isinf(belief.sd) for belief in beliefs) > len(times):
        raise ValueError("fewer splits than unknowns, and nothing believed of them")
    found, sds = _least_squares(distances, times, beliefs, start, timing_sd_s)
    off_s = gate_times(distances, found, start)[0] - times
    top_m_per_s, tau_s, head_start = (Belief(float(mid), float(sd)) for mid, sd in zip(found, sds, strict=True))
    return SprintFit(
        top_m_per_s,
        tau_s,
        head_start,
        start=start,
        splits=len(times),
        misfit_s=float(np.abs(off_s).max()),
        rms_s=float(np.sqrt(np.mean(off_s**2))),
    )


def gate_times(distances_m: Floats, figures: Floats, start: Start) -> tuple[Floats, Floats]:
    """Times at the gates and their slopes by top speed, time constant and head start.

    ``t(d)`` solves ``V(t − e) = d`` with ``e = τ(1 − E)``, ``E = exp(−t/τ)``, so its slopes are
    ``−(t − e)/v``, ``V(1 − E − t E/τ)/v`` and, by distance, ``1/v`` with ``v = V(1 − E)``.

    Returns
    -------
    times, slopes
        Shapes (gates,) and (gates, 3).
    """
    top, tau_s, head = figures
    if start is Start.STANDING:
        times, slopes = _run_times(distances_m, top, tau_s)
        slopes[:, 2] = -1.0
        return times - head, slopes
    times, slopes = _run_times(distances_m + head, top, tau_s)
    before, before_slopes = _run_times(np.array([head]), top, tau_s)
    return times - before, slopes - before_slopes


def _run_times(distances_m: Floats, top: float, tau_s: float) -> tuple[Floats, Floats]:
    times = np.array([_time_s(distance_m, 0.0, top, tau_s) for distance_m in distances_m])
    fade = np.exp(-times / tau_s)
    gained = np.maximum(1.0 - fade, 1e-9)  # at the line itself a slope would be endless
    by_top = -(times - tau_s * gained) / (top * gained)
    return times, np.column_stack([by_top, 1.0 - times / tau_s * fade / gained, 1.0 / (top * gained)])


LOWEST: Final = (0.5, 0.05, 1e-4)
"""Where the search stops: a crawl, an instant start, no head start."""


def _least_squares(
    distances: Floats, times: Floats, beliefs: tuple[Belief, ...], start: Start, timing_sd_s: float
) -> tuple[Floats, Floats]:
    """Figures and their standard deviations; beliefs count as measurements of the figures themselves."""
    from scipy.optimize import least_squares  # noqa: PLC0415 (slow to load, and most squads have no splits)

    mids, sds = np.array(beliefs, np.float64).T
    free = sds > 0.0
    held = 1.0 / sds[free]

    def full(at: Floats) -> Floats:
        figures: Floats = mids.copy()
        figures[free] = at
        return figures

    def off(at: Floats) -> Floats:
        gates, _ = gate_times(distances, full(at), start)
        return np.concatenate([(gates - times) / timing_sd_s, (at - mids[free]) * held])

    def slopes(at: Floats) -> Floats:
        _, by_figure = gate_times(distances, full(at), start)
        return np.vstack([by_figure[:, free] / timing_sd_s, np.diag(held)])

    lowest = np.array(LOWEST)[free]
    best = least_squares(
        off, np.maximum(mids[free], 2.0 * lowest), slopes, (lowest, np.inf), ftol=1e-14, xtol=1e-14, gtol=1e-14
    )
    at_best = slopes(best.x)
    spread = np.zeros(len(mids))
    spread[free] = np.sqrt(np.diag(np.linalg.inv(at_best.T @ at_best)))
    return full(best.x), spread


class ShotFit(NamedTuple):
    """Log-odds to add for each player of a group, and for the group."""

    offset: Floats
    """shape (players,)"""
    sd: Floats
    """shape (players,)"""
    group: Belief


def fit_shots(
    makes: ArrayLike, attempts: ArrayLike, expected_logit: ArrayLike, *, between_sd: float, group_sd: float
) -> ShotFit:
    """Shrink shooting tests of one zone to the group.

    Parameters
    ----------
    makes, attempts
        Shape (players,); no attempts for a player without a test, who gets the group's offset.
    expected_logit
        Log-odds expected of each player in such a test, shape (players,) or one number.
    between_sd
        Standard deviation between players of a group, log-odds.
    group_sd
        Standard deviation between groups, log-odds.
    """
    from scipy.optimize import minimize  # noqa: PLC0415 (as above)

    made, tried = (np.atleast_1d(np.asarray(part, np.float64)) for part in (makes, attempts))
    expected = np.broadcast_to(np.asarray(expected_logit, np.float64), made.shape)
    inner, outer = 1.0 / between_sd**2, 1.0 / group_sd**2

    def cost(at: Floats) -> float:
        """Minus the log posterior at (group, players …)."""
        apart, logit = at[1:] - at[0], expected + at[1:]
        return float(
            tried @ np.logaddexp(0.0, logit) - made @ logit + 0.5 * (inner * apart @ apart + outer * at[0] ** 2)
        )

    def slope(at: Floats) -> Floats:
        apart, chance = at[1:] - at[0], _chance(expected + at[1:])
        return np.concatenate([[outer * at[0] - inner * apart.sum()], tried * chance - made + inner * apart])

    def curve(at: Floats) -> Floats:
        chance = _chance(expected + at[1:])
        bent = np.diag(np.concatenate([[outer + inner * len(made)], tried * chance * (1.0 - chance) + inner]))
        bent[0, 1:] = bent[1:, 0] = -inner
        return bent

    best = minimize(cost, np.zeros(1 + len(made)), jac=slope, hess=curve, method="trust-exact", options={"gtol": 1e-9})
    spread = np.sqrt(np.diag(np.linalg.inv(curve(best.x))))
    return ShotFit(best.x[1:], spread[1:], Belief(float(best.x[0]), float(spread[0])))


def _chance(logit: Floats) -> Floats:
    return np.asarray(0.5 * (1.0 + np.tanh(0.5 * logit)))
