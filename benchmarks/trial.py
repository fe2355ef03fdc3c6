"""Speed of the trial: possessions per core-second by size, and the ratio to the plain twin in the same run.

``python benchmarks/trial.py`` — CPU time of one thread, best of three, kernels warm.
"""

from __future__ import annotations

import math
import time
from typing import Any

from courtwright.floor.court import Rules, court
from courtwright.game.document import Game, Teams
from courtwright.rota import plan_rota
from courtwright.squad import Player, Squad
from courtwright.trial.prepare import plan_trial
from courtwright.trial.runs import Plan, play_runs
from courtwright.vocabulary import Level, Spot

SPOTS = ("top", "left wing", "right wing", "left corner", "right corner")


def game_of(side: int) -> Game:
    """So many on each side: attackers on the arc, each defender on the line to the ring."""
    placements: list[dict[str, Any]] = []
    for number, name in enumerate(SPOTS[:side], start=1):
        x_m, y_m = court(Rules.FIBA).spot_m(Spot.parse(name))
        share = 1 - 1.3 / math.hypot(x_m, y_m) if number == 1 else 0.65
        placements += [{"figure": f"{number}", "at": name}, {"figure": f"X{number}", "at": [x_m * share, y_m * share]}]
    data = {
        "name": "benchmark",
        "sides": {"offence": side, "defence": side},
        "start": {"placements": placements, "ball": "1"},
        "points": [{"rule": "basket by the court", "points": 1}],
    }
    return Game.model_validate(data)


def plan_of(side: int) -> Plan:
    """Grown men, ten minutes a run."""
    men = Squad(name="men", level=Level.MEN, players=tuple(Player(name=f"P{n}") for n in range(2 * side)))
    names = [player.name for player in men.players]
    rota = plan_rota(names, offence=side, defence=side, turns=40, teams=Teams.MIXED)
    return plan_trial(game_of(side), men, rota.arrays(), minutes=10, seed=1)


def rate(plan: Plan, runs: int, engine: str) -> float:
    """Possessions per CPU second."""
    begun = time.process_time()
    results = play_runs(plan, runs, engine=engine)
    return float(results.tally[:, 0].sum()) / (time.process_time() - begun)


def main() -> None:
    """Print one line for each size."""
    for side in range(1, 6):
        plan = plan_of(side)
        play_runs(plan, 8)
        compiled = max(rate(plan, 200, "numba") for _ in range(3))
        twin = rate(plan, 1, "python")
        print(f"{side}-on-{side}: {compiled:9,.0f} possessions per core-second, {compiled / twin:4.0f} times the twin")


if __name__ == "__main__":
    main()
