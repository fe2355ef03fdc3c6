"""How much memory a trial takes: what is kept of each run, and nothing else that grows with them."""

from __future__ import annotations

import gc
import tracemalloc

from tests.unit.test_trial_kernels import plan_for, small_game

from courtwright.trial.runs import Plan, bytes_a_run, play_runs

FEW, MANY = 512, 4_096
SLACK_BYTES = 28_000
"""Worlds, tasks and threads come and go; eight bytes more kept for each run would show."""


def memory_bytes(plan: Plan, runs: int) -> tuple[int, int]:
    """What is held once the runs are played, and the most that was held on the way."""
    gc.collect()
    tracemalloc.start()
    try:
        results = play_runs(plan, runs)
        gc.collect()
        held, peak = tracemalloc.get_traced_memory()
        assert len(results.tally) == runs
        return held, peak
    finally:
        tracemalloc.stop()


def test_a_run_takes_what_is_said_and_no_more() -> None:
    plan = plan_for(small_game(3), minutes=0.1)
    memory_bytes(plan, FEW)  # what is loaded once

    few, many = memory_bytes(plan, FEW), memory_bytes(plan, MANY)
    held, peak = ((more - less) / (MANY - FEW) for less, more in zip(few, many, strict=True))

    said = bytes_a_run(teams=2, squad=6)
    assert held <= said + SLACK_BYTES / (MANY - FEW)
    assert peak <= 1.25 * said  # finished tasks may wait for the collector


def test_most_runs_fit_a_small_laptop() -> None:
    """100,000 runs of a squad of twelve in a tenth of a gigabyte."""
    assert 100_000 * bytes_a_run(teams=2, squad=12) < 0.1e9
