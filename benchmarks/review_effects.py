"""How often a planted effect is found at the promised number, and how often one is called where there is none.

Prints; asserts nothing (run: python benchmarks/review_effects.py). Points are those of a game: nothing, a two or a
three, and the chance of scoring drifts over the season. The constraint moves the chance of scoring.
"""

from __future__ import annotations

import numpy as np

from courtwright.review.effects import differences, log_evidence, plan, schedule
from courtwright.review.intervals import clopper_pearson

WORTH = 2.25
"""Points of a basket on average: three twos to a three."""
A_WEEK = 20
"""Blocks between two looks."""


def season(rng: np.random.Generator, blocks: int, effect: float, seed: int, block: int = 2) -> np.ndarray:
    """(blocks,) differences of a season."""
    bound = np.array(schedule(blocks, block=block, seed=seed))
    drift = 0.4 + 0.1 * np.sin(np.linspace(0, 3, len(bound)) + rng.uniform(0, 6))
    scored = rng.random(len(bound)) < drift + bound * effect / WORTH
    points = scored * rng.choice((2, 3), size=len(bound), p=(0.75, 0.25))
    return differences(points.tolist(), bound.tolist(), block=block)


def found(apart: np.ndarray, reach: float, every: int = A_WEEK) -> bool:
    """Whether any look, each week and at the end, rules out that there is no effect."""
    looks = [*range(every, len(apart) + 1, every), len(apart)]
    return any(log_evidence(apart[:look], reach) >= np.log(20) for look in looks)


def main() -> None:
    rng = np.random.default_rng(7)
    print("effect  block  blocks  possessions  found of 1000")
    for effect in (0.2, 0.3, 0.5, -0.3):
        for block in (2, 4):
            planned = plan(effect, 1.12, block=block)
            hits = sum(found(season(rng, planned.blocks, effect, seed, block), planned.reach) for seed in range(1000))
            print(f"{effect:6}  {block:5}  {planned.blocks:6}  {planned.possessions:11}  {hits / 1000:.3f}")
    reach = plan(0.3, 1.12).reach
    calls = sum(found(season(rng, 4000, 0.0, seed), reach, 5) for seed in range(2000))
    low, high = clopper_pearson(calls, 2000)
    print(f"no effect, 8000 possessions, a look every 10: called in {calls} of 2000 ({low:.4f} to {high:.4f})")


if __name__ == "__main__":
    main()
