"""Fit the free parameters to the published rows: damped Gauss-Newton on common random numbers.

Each round first lets players learn what their options bring (`experience`), then
moves the parameters against the rows' gaps in units of half a tolerance. A gap of
many tolerances counts less than its square, so that one row that cannot be met
does not bend all others.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.calibration.aggregate import add_up
from courtwright.calibration.rows import targets, values
from courtwright.calibration.setting import setting_plan
from courtwright.trial.experience import learn, stored_beliefs
from courtwright.trial.parameters import PARAMETERS
from courtwright.trial.runs import Plan

FREE: Final[dict[str, tuple[float, float, float]]] = {
    "rim_shift": (-0.6, 0.6, 0.1),
    "mid_shift": (-0.5, 0.5, 0.1),
    "three_shift": (-0.5, 0.4, 0.1),
    "fouls": (0.3, 4.0, 0.3),
    "bad_pass": (0.002, 0.06, 0.006),
    "strip": (0.0, 0.15, 0.01),
    "offensive_foul": (0.0, 0.12, 0.008),
    "grab_scale_m": (0.3, 2.5, 0.12),
    "on_ball_gap_m": (0.8, 2.2, 0.15),
    "gap_spread": (0.05, 0.8, 0.08),
    "taste_three": (-0.4, 0.4, 0.05),
    "taste_mid": (-0.4, 0.4, 0.05),
    "taste_drive": (-0.3, 0.5, 0.05),
}
"""Free parameters: least, most, and the step by which a difference is taken."""
FIRST_SEED: Final = 100
CHECK_SEED: Final = 99
"""Every round plays its own numbers; which of them is kept is decided on these."""
DAMPING: Final = (0.3, 3.0, 20.0)
LONGEST_STEP: Final = 2.0
ROBUST: Final = 3.0
"""From so many units on a gap counts less than its square."""

_NAMES: Final = tuple(parameter.name for parameter in PARAMETERS)
Vector = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Fit:
    """Where a fit stands."""

    parameters: dict[str, float]
    beliefs: Vector
    """(kinds of options, 2)"""
    loss: float
    sureness: dict[str, float]
    """standard error of each parameter by the rows' tolerances, in its steps; large where the rows do not tell"""


def _start() -> dict[str, float]:
    return {name: PARAMETERS[_NAMES.index(name)].mid for name in FREE}


def _plan(parameters: dict[str, float], beliefs: Vector, seed: int) -> Plan:
    plan = setting_plan(seed=seed)
    models = plan.models.copy()
    for name, value in parameters.items():
        models[0, _NAMES.index(name)] = value
    return plan._replace(models=models, beliefs=beliefs)


def gaps(parameters: dict[str, float], beliefs: Vector, *, seed: int, possessions: int, threads: int) -> Vector:
    """Gaps of the fitted rows in units of half a tolerance, shape (rows,)."""
    found = values(add_up(_plan(parameters, beliefs, seed), possessions, threads=threads))
    rows = [row for row in targets() if row.fitted]
    return np.array([(found[row.key] - row.target) / (0.5 * row.tolerance) for row in rows])


def loss_of(found: Vector) -> float:
    """Robust sum of squares."""
    return float(np.log1p((found / ROBUST) ** 2).sum())


def slopes(look: Callable[[dict[str, float]], Vector], at_: dict[str, float], here: Vector) -> Vector:
    """Change of each gap for one step of each parameter, shape (rows, parameters)."""
    columns = []
    for name, (_, most, step) in FREE.items():
        signed = step if at_[name] + step <= most else -step
        columns.append((look(at_ | {name: at_[name] + signed}) - here) * np.sign(signed))
    return np.array(columns).T


def moved(parameters: dict[str, float], steps: NDArray[np.floating[Any]]) -> dict[str, float]:
    """Parameters after so many steps each, kept within their bounds."""
    held = np.clip(steps, -LONGEST_STEP, LONGEST_STEP)
    return {
        name: float(np.clip(parameters[name] + by * step, least, most))
        for by, (name, (least, most, step)) in zip(held, FREE.items(), strict=True)
    }


def one_round(before: Fit, number: int, *, possessions: int, threads: int) -> Fit:
    """Learn, then one damped step; the best of a few dampings, or none."""
    seed = FIRST_SEED + number
    learning = _plan(before.parameters, before.beliefs, seed + 1000)
    beliefs = learn(learning, possessions=possessions, rounds=2)

    def look(parameters: dict[str, float]) -> Vector:
        return gaps(parameters, beliefs, seed=seed, possessions=possessions, threads=threads)

    here = look(before.parameters)
    weight = 1.0 / np.sqrt(1.0 + (here / ROBUST) ** 2)
    slope = slopes(look, before.parameters, here) * weight[:, None]
    normal, pull = slope.T @ slope, slope.T @ (here * weight)
    tried = [moved(before.parameters, -np.linalg.solve(normal + d * np.eye(len(FREE)), pull)) for d in DAMPING]
    losses = [loss_of(here), *(loss_of(look(parameters)) for parameters in tried)]
    best = int(np.argmin(losses))
    spread = np.sqrt(np.diag(np.linalg.inv(normal + 1e-3 * np.eye(len(FREE)))))
    sureness = {name: round(float(value), 2) for name, value in zip(FREE, spread, strict=True)}
    return Fit([before.parameters, *tried][best], beliefs, losses[best], sureness)


def fit(
    rounds: int, *, possessions: int = 12_000, threads: int = 1, told: Callable[[int, Fit], None] | None = None
) -> Fit:
    """Fit from the shipped parameters and beliefs, and keep the best round; ``told`` hears after each."""
    state = best = Fit(_start(), stored_beliefs(), np.inf, {})
    for number in range(rounds):
        state = one_round(state, number, possessions=possessions, threads=threads)
        found = gaps(state.parameters, state.beliefs, seed=CHECK_SEED, possessions=possessions, threads=threads)
        state = replace(state, loss=loss_of(found))
        best = min(best, state, key=lambda fit_: fit_.loss)
        if told is not None:
            told(number, state)
    return best
