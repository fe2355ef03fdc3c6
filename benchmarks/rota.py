"""How long a rota takes. Prints; asserts nothing (run: python benchmarks/rota.py)."""

from __future__ import annotations

from statistics import median
from time import perf_counter

from courtwright.game.document import Teams
from courtwright.rota import plan_rota

CASES = [(6, 3, 60), (9, 3, 60), (12, 3, 60), (12, 5, 60), (16, 4, 60), (20, 2, 60)]


def main() -> None:
    names = [f"P{number}" for number in range(20)]
    plan_rota(names[:4], offence=1, defence=1, turns=2, teams=Teams.MIXED)  # loads scipy
    print("players  side  turns  mixed ms  fixed ms  order kept  longest sit")
    for players, side, turns in CASES:
        taken_ms: dict[Teams, list[float]] = {teams: [] for teams in Teams}
        for seed in range(7):
            grades = [1.0 + (player * 7 + seed) % 5 for player in range(players)]
            for teams in Teams:
                start = perf_counter()
                rota = plan_rota(
                    names[:players], offence=side, defence=side, turns=turns, teams=teams, grades=grades, seed=seed
                )
                taken_ms[teams].append((perf_counter() - start) * 1000)
                if teams is Teams.MIXED:
                    kept, sit = rota.order_kept_share, rota.longest_sit
        mixed_ms, fixed_ms = median(taken_ms[Teams.MIXED]), median(taken_ms[Teams.FIXED])
        print(f"{players:7}  {side:4}  {turns:5}  {mixed_ms:8.1f}  {fixed_ms:8.1f}  {kept:10.2f}  {sit:11}")


if __name__ == "__main__":
    main()
