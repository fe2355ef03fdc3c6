"""Speed of the trial: possessions per core-second by size, beside its plain twin and a lock-step NumPy core.

``python benchmarks/trial.py`` — CPU time of one thread, best of three, kernels warm.
The NumPy core (`lockstep`) moves 4,096 possessions at once by the same step and law,
and nothing else: nobody decides, passes or shoots, and goals stand still. Its rate is
therefore that of movement alone, in possessions of as many steps as the trial's.
"""

from __future__ import annotations

import math
import time
from typing import Any

import numpy as np

from courtwright.floor import body as its
from courtwright.floor.court import Rules, court
from courtwright.game.document import Game, Teams
from courtwright.rota import plan_rota
from courtwright.squad import Player, Squad
from courtwright.trial import parameters as par
from courtwright.trial.motion import BODY_M
from courtwright.trial.prepare import plan_trial
from courtwright.trial.runs import PLAY_S, Plan, play_runs
from courtwright.trial.step import CALMLY
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


TOGETHER = 4_096
STEPS = 40


def lockstep(plan: Plan) -> float:
    """Steps of a whole possession's players per CPU second, all possessions in step: movement only."""
    rng = np.random.default_rng(1)
    players = plan.starts.shape[1]
    body = plan.bodies[0, np.arange(players)]
    top, tau_s, brake = body[:, its.TOP], body[:, its.TAU], body[:, its.BRAKE]
    settle_s, dt_s = plan.models[0, par.SETTLE], plan.models[0, par.STEP]
    here = plan.starts[0, :, :2] + rng.normal(0.0, 0.5, (TOGETHER, players, 2))
    goal, velocity = here + rng.normal(0.0, 3.0, here.shape), np.zeros_like(here)
    fade = np.exp(-dt_s / tau_s)[:, None]
    begun = time.process_time()
    for _ in range(STEPS):
        off = goal - here
        away_m = np.maximum(1e-9, np.sqrt((off**2).sum(axis=2)))
        wants = off * (np.minimum(top, np.sqrt(2.0 * CALMLY * brake * away_m)) / away_m)[..., None]
        push = commanded(velocity, wants, top, tau_s, brake, settle_s)
        here = here + push * dt_s + (velocity - push) * (tau_s[:, None] * (1.0 - fade))
        velocity = push + (velocity - push) * fade
        give_way(here)
    return TOGETHER * STEPS / (time.process_time() - begun)


def commanded(velocity: Any, wants: Any, top: Any, tau_s: Any, brake: Any, settle_s: float) -> Any:
    """`courtwright.floor.movement.command` for arrays."""
    change = (wants - velocity) / settle_s
    size = np.maximum(1e-9, np.sqrt((change**2).sum(axis=2)))
    slows = ((change * velocity).sum(axis=2) < 0.0) & (size > brake)
    change = np.where(slows[..., None], change * (brake / size)[..., None], change)
    push = velocity + tau_s[:, None] * change
    pull = np.maximum(1e-9, np.sqrt((push**2).sum(axis=2)))
    held = (pull > top) & ((change * velocity).sum(axis=2) >= 0.0)
    return np.where(held[..., None], push * (top / pull)[..., None], push)


def give_way(here: Any) -> None:
    """Bodies that overlap give way by halves, pair by pair as the trial does it."""
    for one in range(here.shape[1]):
        for other in range(one + 1, here.shape[1]):
            off = here[:, other] - here[:, one]
            near = np.flatnonzero((np.abs(off) < BODY_M).all(axis=1))
            away_m = np.sqrt((off[near] ** 2).sum(axis=1))
            give = np.where((away_m > 1e-9) & (away_m < BODY_M), 0.5 * (BODY_M - away_m) / np.maximum(away_m, 1e-9), 0)
            here[near, one] -= off[near] * give[:, None]
            here[near, other] += off[near] * give[:, None]


def main() -> None:
    """Print one line for each size."""
    for side in range(1, 6):
        plan = plan_of(side)
        played = play_runs(plan, 8).tally
        steps = played[:, PLAY_S].sum() / played[:, 0].sum() / plan.models[0, par.STEP]
        compiled = max(rate(plan, 200, "numba") for _ in range(3))
        twin = rate(plan, 1, "python")
        moved = max(lockstep(plan) for _ in range(3)) / steps
        print(
            f"{side}-on-{side}: {compiled:9,.0f} possessions per core-second, {compiled / twin:4.0f} times the twin, "
            f"{compiled / moved:5.1f} times a lock-step NumPy core that only moves them ({moved:6,.0f})"
        )


if __name__ == "__main__":
    main()
