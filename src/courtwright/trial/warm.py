"""Compile the kernels ahead of the first trial, saying how far it is."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from courtwright.floor.presets import FIGURES
from courtwright.trial.layout import EVENTS, KINDS, RULES
from courtwright.trial.parameters import PARAMETERS
from courtwright.trial.runs import Plan, play_runs


def smallest_plan() -> Plan:
    """One on one on bare arrays: enough to compile everything, since sizes are run-time values."""
    return Plan(
        starts=np.zeros((1, 2, 3)),
        chances=np.ones(1),
        ball=0,
        attackers=1,
        guard=np.array([1, 0]),
        offence=np.zeros((1, 1), np.int64),
        defence=np.ones((1, 1), np.int64),
        teams=np.array([[0, 1]]),
        bodies=np.ones((1, 2, len(FIGURES))),
        models=np.array([[parameter.mid for parameter in PARAMETERS]]),
        carry_on=np.ones(1),
        stopped=np.ones(1),
        scale=1.0,
        beliefs=np.zeros((len(KINDS), 2)),
        rules=np.zeros(len(RULES)),
        costs=np.zeros(len(RULES), np.int64),
        own=np.zeros((2, len(RULES))),
        own_costs=np.zeros((2, len(RULES)), np.int64),
        worth=np.zeros(len(EVENTS)),
        points_offence=np.zeros(len(EVENTS)),
        points_defence=np.zeros(len(EVENTS)),
        minutes_s=0.0,
        reset_s=1.0,
        to_points=np.inf,
        seed=0,
    )


def warm(progress: Callable[[str], None] = print) -> None:
    """Compile, or load what an earlier start compiled."""
    progress("Preparing the trial (once; later starts are quick) …")
    play_runs(smallest_plan(), 1)
    progress("The trial is ready.")
