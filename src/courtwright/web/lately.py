"""Trials played lately: the one a change is compared with need not be played again at every change."""

from __future__ import annotations

import os
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from courtwright.game.document import Game
from courtwright.squad import Squad

if TYPE_CHECKING:
    from courtwright.trial import TrialResult

KEPT: Final = 8
THREADS: Final = min(4, os.cpu_count() or 1)
"""They change the time it takes, never the result."""
MOST_RUNS: Final = 1000
"""Longer ones are not kept: they are asked for once, and are large."""


class Lately:
    """The last few trials, by everything that decides how they come out but the number of runs.

    A run does not depend on how many there are, so a shorter trial is the beginning of a longer one.
    """

    def __init__(self) -> None:
        self._trials: OrderedDict[tuple[object, ...], TrialResult] = OrderedDict()
        self._lock = threading.Lock()

    def play(
        self,
        game: Game,
        squad: Squad,
        *,
        minutes: float,
        runs: int,
        seed: int,
        threads: int = 1,
        progress: Callable[[int, int], None] | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> TrialResult:
        """Play a trial, unless it was played just now."""
        from courtwright.answers.compare import play_version  # noqa: PLC0415 (loads the compiler)

        key = (game.hash, squad.hash, minutes, seed)
        with self._lock:
            known = self._trials.get(key)
        if known is not None and known.runs >= runs:
            return replace(known, runs=runs, results=known.results.first(runs))
        trial = play_version(
            game,
            squad,
            minutes=minutes,
            runs=runs,
            seed=seed,
            threads=threads,
            progress=progress,
            cancelled=cancelled,
        )
        if runs <= MOST_RUNS:
            self._keep(key, trial)
        return trial

    def _keep(self, key: tuple[object, ...], trial: TrialResult) -> None:
        with self._lock:
            self._trials[key] = trial
            self._trials.move_to_end(key)
            while len(self._trials) > KEPT:
                self._trials.popitem(last=False)
