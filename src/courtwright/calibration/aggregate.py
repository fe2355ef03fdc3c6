"""Sums over many possessions of one plan: all that the published aggregates are compared with."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import kernel
from courtwright.trial import layout as at
from courtwright.trial.layout import World
from courtwright.trial.runs import Plan, new_world, play_possession

BLOCK: Final = 500
"""Possessions a worker plays at a time; fixed, so that threads change nothing."""
BLOCK_SUMS: Final = ("possessions", "play_s", "points", "with_help")


class Sums(NamedTuple):
    """Counts over blocks of possessions, blocks on the first axis."""

    events: NDArray[np.int64]
    """(blocks, events)"""
    shots: NDArray[np.int64]
    """(blocks, families, 2) taken and made"""
    gaps: NDArray[np.int64]
    """(blocks, bins) of threes"""
    play: NDArray[np.float64]
    """(blocks, BLOCK_SUMS)"""


@kernel
def play_block(w: World, plan: Plan, out: Sums, block: int, first: int, last: int) -> None:
    """Possessions ``first`` up to ``last``, each keyed and given parameters by its own number."""
    no_trace = np.empty((0, 0))
    for possession in range(first, last):
        turn = possession % plan.offence.shape[0]
        length_s = play_possession(w, plan, possession, possession, turn, no_trace)
        points = 0.0
        for event in range(w.count.shape[0]):
            out.events[block, event] += w.count[event]
            points += w.count[event] * plan.points_offence[event]
        for family in range(w.shots.shape[0]):
            out.shots[block, family, 0] += w.shots[family, 0]
            out.shots[block, family, 1] += w.shots[family, 1]
        for bin_ in range(w.gaps.shape[0]):
            out.gaps[block, bin_] += w.gaps[bin_]
        out.play[block, 0] += 1.0
        out.play[block, 1] += length_s
        out.play[block, 2] += points
        out.play[block, 3] += 1.0 if w.count[at.HELP] > 0 else 0.0


def add_up(plan: Plan, possessions: int, *, threads: int = 1) -> Sums:
    """Play so many possessions (a whole number of blocks) and add up."""
    blocks = max(1, possessions // BLOCK)
    out = Sums(
        np.zeros((blocks, len(at.EVENTS)), np.int64),
        np.zeros((blocks, len(at.FAMILIES), 2), np.int64),
        np.zeros((blocks, at.GAP_BINS), np.int64),
        np.zeros((blocks, len(BLOCK_SUMS))),
    )

    def work(block: int) -> None:
        with np.errstate(over="ignore"):  # the random numbers wrap around on purpose
            play_block(new_world(plan), plan, out, block, block * BLOCK, (block + 1) * BLOCK)

    with ThreadPoolExecutor(max_workers=threads) as pool:
        list(pool.map(work, range(blocks)))
    return out
