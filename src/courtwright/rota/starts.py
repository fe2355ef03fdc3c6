"""Which variant of the start comes when: by chance, yet each as often as it should be."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Final

BLOCK: Final = 12
"""turns after which every variant has had its share, to within one"""


def balanced_starts(weights: Sequence[float], turns: int, seed: int) -> tuple[int, ...]:
    """Draw the variant of each turn: in random order inside blocks, shares kept from block to block.

    Parameters
    ----------
    weights
        One for each variant, more than 0 in all.
    turns
        How many to draw.
    seed
        Same seed, same starts.

    Returns
    -------
    Variants by number. After each whole block the count of every variant is within one of
    its share of the turns so far.
    """
    rng = random.Random(seed)
    total = sum(weights)
    drawn: list[int] = []
    while len(drawn) < turns:
        block = shared_out([weight / total * (len(drawn) + BLOCK) for weight in weights], drawn)
        rng.shuffle(block)
        drawn += block
    return tuple(drawn[:turns])


def shared_out(due: Sequence[float], drawn: Sequence[int]) -> list[int]:
    """The next block: of each variant the whole turns still due, then one more where most is left over."""
    open_turns = [turns - drawn.count(variant) for variant, turns in enumerate(due)]
    block = [variant for variant, turns in enumerate(open_turns) for _ in range(int(max(0.0, turns)))]
    left = sorted(range(len(due)), key=lambda variant: -(open_turns[variant] % 1))
    return block + left[: BLOCK - len(block)]
