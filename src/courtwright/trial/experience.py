"""What experience has taught players about each kind of option, and how it is learned.

A player's estimate of an option (`values`, `driving`) is geometry and chance;
what such options then really bring is learned by playing: for each kind of
option the net points that followed are regressed on the estimates, and the next
games are played with the corrected values, until they agree. The result ships
with the program (``experience.toml``): a fixed warm start, because learned
values have more than one resting point.
"""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import kernel
from courtwright.trial import layout as at
from courtwright.trial.layout import World
from courtwright.trial.runs import Plan, new_world, play_possession

PRIOR: Final = 400.0
"""Weight of the prior (shift 0, slope 1), in decisions."""
SLOPES: Final = (0.7, 1.1)
"""Slopes are held within this range: estimates may be too bold, hardly too timid."""


@cache
def _stored() -> dict[str, list[float]]:
    return tomllib.loads(files("courtwright.trial").joinpath("experience.toml").read_text("utf-8"))


def stored_beliefs() -> NDArray[np.float64]:
    """The shipped beliefs, shape (kinds, 2): shift in scales, and slope."""
    return np.array([_stored()[kind] for kind in at.KINDS])


@kernel
def play_and_learn(w: World, plan: Plan, first: int, last: int, sums: NDArray[np.float64]) -> None:
    """Play possessions of run 0 and add up, for each kind of option: n, Σx, Σx², Σy, Σxy (x estimate, y what came).

    Both in scales and relative to what playing on is worth.
    """
    no_trace = np.empty((0, 0))
    w.learning = 1
    for possession in range(first, last):
        turn = possession % plan.offence.shape[0]
        play_possession(w, plan, possession, possession, turn, no_trace)
        brought = 0.0
        for event in range(w.count.shape[0]):
            brought += w.count[event] * w.worth[event]
        for row in range(w.decided):
            kind = w.said[row]
            x = (w.thought[row, 0] - w.carry_on) / w.scale
            y = (brought - w.thought[row, 1] - w.carry_on) / w.scale
            sums[kind, 0] += 1.0
            sums[kind, 1] += x
            sums[kind, 2] += x * x
            sums[kind, 3] += y
            sums[kind, 4] += x * y
    w.learning = 0


def beliefs_from(sums: NDArray[np.float64]) -> NDArray[np.float64]:
    """Shift and slope of each kind by ridge regression towards "as estimated", shape (kinds, 2)."""
    out = np.empty((len(sums), 2))
    for kind, (n, x, xx, y, xy) in enumerate(sums):
        normal = np.array([[n + PRIOR, x], [x, xx + PRIOR * 0.25]])
        shift, slope = np.linalg.solve(normal, np.array([y, xy + PRIOR * 0.25]))
        held = min(max(slope, SLOPES[0]), SLOPES[1])
        if held != slope:
            shift = (y - held * x) / (n + PRIOR)
        out[kind] = shift, held
    return out


def learn(plan: Plan, *, possessions: int, rounds: int, pace: float = 0.6) -> NDArray[np.float64]:
    """Beliefs learned from a warm start, ``plan.beliefs``, by so many rounds of playing, shape (kinds, 2).

    ``pace`` is how far each round goes toward what it has seen, so that rounds settle.
    """
    beliefs = plan.beliefs.copy()
    for number in range(rounds):
        w = new_world(plan._replace(beliefs=beliefs))
        sums = np.zeros((len(at.KINDS), 5))
        with np.errstate(over="ignore"):
            play_and_learn(w, plan, number * possessions, (number + 1) * possessions, sums)
        beliefs = (1 - pace) * beliefs + pace * beliefs_from(sums)
    return beliefs
