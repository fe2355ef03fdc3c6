"""The trial: many simulated dry runs of a game with a squad.

`run_trial` is the way in. The data goes one way: documents → `prepare` (arrays)
→ `runs` and `possession` (compiled) → `measures` (estimates) → `result` (sentences).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from courtwright.game.document import Game
from courtwright.squad import Squad
from courtwright.trial.prepare import Turns, plan_trial
from courtwright.trial.result import TrialResult
from courtwright.trial.runs import play_runs

MOST_RUNS: Final = 100_000
MOST_MINUTES: Final = 600


def run_trial(
    game: Game,
    squad: Squad,
    turns: Turns,
    *,
    minutes: float,
    runs: int,
    seed: int,
    threads: int = 1,
    engine: str = "numba",
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> TrialResult:
    """Play ``runs`` dry runs of ``minutes`` each.

    Parameters
    ----------
    turns
        Who attacks and defends in each turn, as `courtwright.rota.Rota.arrays` gives them.
    threads
        Changes the time it takes, never the result.
    engine
        ``"numba"``, or ``"python"`` for the plain twin (the same answer, some hundred times slower).
    progress
        Called with runs done and runs in all.
    cancelled
        Asked between chunks of runs; `CancelledError` is raised once it says yes.

    Raises
    ------
    CannotPlayError
        If the turns do not fit the game.
    """
    if not 1 <= runs <= MOST_RUNS:
        raise ValueError(f"runs must be 1 to {MOST_RUNS}, not {runs}")
    if not 0 < minutes <= MOST_MINUTES:
        raise ValueError(f"minutes must be above 0 and at most {MOST_MINUTES}, not {minutes}")
    if not 0 <= seed < 2**63:
        raise ValueError(f"a seed is 0 to 2**63 - 1, not {seed}")
    plan = plan_trial(game, squad, turns, minutes=minutes, seed=seed)
    results = play_runs(plan, runs, threads=threads, engine=engine, progress=progress, cancelled=cancelled)
    return TrialResult(game, squad, minutes, runs, seed, results)


__all__ = ["MOST_RUNS", "TrialResult", "run_trial"]
