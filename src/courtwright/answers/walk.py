"""One run of a trial possession by possession, as the compiled loop plays it, with what each one brought."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import COMPILED
from courtwright.trial import layout as at
from courtwright.trial.earned import due_at_stop, next_streak
from courtwright.trial.runs import Plan, new_world, play_possession

NO_TRACE: Final = np.empty((0, 0))
IN_A_ROW: Final = ((at.STOPS_2, 2), (at.STOPS_3, 3))


@dataclass(frozen=True, slots=True)
class Played:
    """One possession of a run; both are counted from 0, as the random numbers are."""

    run: int
    possession: int
    turn: int
    """line of the rota that played it"""
    length_s: float
    counts: NDArray[np.int64]
    """(events,)"""
    points: tuple[float, float]
    """to the offence and to the defence"""
    due: float = 0.0
    """net points that one more stop in a row brings the offence beside, as it is played"""

    def count(self, event: str) -> int:
        """How often something was counted."""
        return int(self.counts[at.EVENTS.index(event)])


def walk(plan: Plan, run: int) -> Iterator[Played]:
    """Every possession of a run, in order."""
    w = new_world(plan, compiled=COMPILED)
    score = np.zeros(int(plan.teams.max()) + 1)
    streak = [0] * len(score)
    clock_s, turn, possession = 0.0, 0, 0
    while clock_s < plan.minutes_s and score.max() < plan.to_points:
        line = turn % len(plan.offence)
        defends = int(plan.teams[line, 1])
        w.due = due = sum(due_at_stop(float(plan.worth[event]), streak[defends], needed) for event, needed in IN_A_ROW)
        with np.errstate(over="ignore"):  # the random numbers wrap around on purpose
            length_s = float(play_possession(w, plan, run, possession, line, NO_TRACE))
        streak[defends] = next_streak(w, streak[defends])
        counts = np.array(w.count)
        points = float(counts @ plan.points_offence), float(counts @ plan.points_defence)
        yield Played(run, possession, line, length_s, counts, points, due)
        clock_s += length_s + plan.reset_s
        for side in (0, 1):
            score[plan.teams[line, side]] += points[side]
        turn += 0 if counts[at.AGAIN] > 0 else 1
        possession += 1
