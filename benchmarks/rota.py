"""How long a rota takes, and how near the best possible it comes. Prints; asserts nothing."""

from __future__ import annotations

from statistics import median
from time import perf_counter

from courtwright.engine import plain
from courtwright.game.document import AfterPossession
from courtwright.rota import Problem, Rota, Wish, WishKind, judge, solve
from courtwright.rota.anneal import search
from courtwright.rota.firsts import mixed_first
from courtwright.rota.search import LOGS
from courtwright.rota.sheet import sheet_of

CASES = [(6, 3, 1, 30), (9, 3, 1, 30), (12, 3, 1, 30), (12, 3, 2, 30), (13, 3, 2, 20), (16, 4, 1, 30), (20, 2, 3, 30)]
NAMES = tuple(f"P{number}" for number in range(20))


def timed(problem: Problem) -> tuple[float, Rota]:
    start = perf_counter()
    rota = solve(problem)
    return (perf_counter() - start) * 1000, rota


def twin_ratio() -> float:
    """Compiled steps per second over plain ones."""
    problem = Problem(NAMES[:12], 3, 3, turns=30)
    first = mixed_first(problem)
    seconds = []
    for way, compiled, steps in ((search, True, 1_000_000), (plain(search), False, 4_000)):
        sheet = sheet_of(problem, first.who, first.team, compiled=compiled)
        start = perf_counter()
        way(sheet, LOGS, steps, 500, 30, 1)
        seconds.append((perf_counter() - start) / steps)
    return seconds[1] / seconds[0]


def main() -> None:
    solve(Problem(NAMES[:4], 1, 1, turns=2), 0.01)  # loads the kernels
    print("players  side  baskets  turns  rule                  ms  over the bounds, by measure")
    for players, side, baskets, turns in CASES:
        for rule in (AfterPossession.CYCLE, AfterPossession.TIMED):
            runs = [
                timed(Problem(NAMES[:players], side, side, 0, baskets, turns, rule, seed=seed)) for seed in range(5)
            ]
            over = {mark.measure: mark.found - mark.best_possible for mark in judge(runs[-1][1])}
            taken = median(run[0] for run in runs)
            said = ", ".join(f"{measure} {more}" for measure, more in over.items() if more) or "perfect"
            print(f"{players:7}  {side:4}  {baskets:7}  {turns:5}  {rule:20} {taken:5.0f}  {said}")
    before = solve(Problem(NAMES[:16], 4, 4, turns=30))
    anew = Problem(NAMES[:16], 4, 4, turns=30, wishes=(Wish(WishKind.TO_TURN, (0,), 10),), played=before.turns[:10])
    print(f"re-plan of 20 turns for 16: {median(timed(anew)[0] for _ in range(5)):.0f} ms")
    print(f"compiled over plain: {twin_ratio():.0f} times")


if __name__ == "__main__":
    main()
