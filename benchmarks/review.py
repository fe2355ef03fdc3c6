"""How long a review takes: a practice, and five seasons of 60,000 facts and 20 players.

Prints; asserts nothing (run: python benchmarks/review.py). Rows of a run are kept until facts of it arrive, so a page
is made from rows; folding everything anew is shown beside it.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from random import Random
from statistics import median
from time import perf_counter
from typing import Any, Final

from courtwright.game.document import Game, Teams
from courtwright.game.starters import starters
from courtwright.live import fold, open_run
from courtwright.review.pages import group_page
from courtwright.review.rows import run_rows
from courtwright.review.season import season
from courtwright.rota import plan_rota
from courtwright.vocabulary import Fact, FactKind, HybridTime

NAMES: Final = tuple(f"P{number:02}" for number in range(1, 21))
SEASONS, PRACTICES, BASKETS, POSSESSIONS = 5, 60, 2, 40
ZONES: Final = ("rim", "mid", "three")
Run = tuple[dict[str, Any], list[Fact]]


def practice(game: Game, day: int, basket: int, random: Random) -> Run:
    """One run: a result a possession, about half a fact more, a tag watched for in every second."""
    names = random.sample(NAMES, 9)
    rota = plan_rota(names, offence=3, defence=3, turns=36, teams=Teams.MIXED, seed=day)
    at = datetime(2021, 9, 1, 17, tzinfo=UTC) + timedelta(days=day * 3 + 180 * (day // PRACTICES))
    opening = open_run(f"run-{day}-{basket}", "game", game, rota, made_at=at.isoformat(), basket=f"basket {basket}")
    facts: list[Fact] = []

    def tell(kind: FactKind, possession: int, **detail: Any) -> None:
        time = HybridTime(int(at.timestamp() * 1000) + len(facts) * 4000)
        name = f"e-{day}-{basket}-{len(facts)}"
        facts.append(Fact(name, "bench", len(facts), time, opening.run, possession, 0, "game", "", kind, detail))

    tell(FactKind.WATCHING, 1, tag="low man", on=True)
    for number in range(1, POSSESSIONS + 1):
        who = random.choice("123")
        if random.random() < 0.4:
            tell(FactKind.PAINT_TOUCH, number, who=who)
        if random.random() < 0.7:
            tell(FactKind.TAG, number, who=f"X{who}", tag="low man", did=random.random() < 0.5)
        if random.random() < 0.4:
            tell(FactKind.MAKE, number, who=who, zone=random.choice(ZONES))
        elif random.random() < 0.7:
            tell(FactKind.MISS, number, who=who, zone=random.choice(ZONES), rebound="defence", by=f"X{who}")
        else:
            tell(FactKind.TURNOVER, number, who=who)
        if random.random() < 0.37:
            tell(FactKind.KICK_OUT, number, who=who)
    return opening.to_json(), facts


def seasons(seasons: int = SEASONS) -> list[Run]:
    """All runs of so many seasons."""
    random, game = Random(1), starters()["low-mans-call"]
    return [practice(game, day, basket, random) for day in range(seasons * PRACTICES) for basket in range(BASKETS)]


def taken_s(work: Any, times: int = 3) -> float:
    """Seconds, the middle of a few."""
    took = []
    for _ in range(times):
        start = perf_counter()
        work()
        took.append(perf_counter() - start)
    return median(took)


def main() -> None:
    for name, runs in (("one practice", seasons(1)[:BASKETS]), ("five seasons", seasons())):
        facts = sum(len(facts) for _, facts in runs)
        kept = [run_rows(fold(*run)) for run in runs]
        folded_s = taken_s(lambda runs=runs: [run_rows(fold(*run)) for run in runs])
        page_s = taken_s(lambda kept=kept: group_page(season(kept)))
        print(f"{name}: {facts} facts; fold to rows {folded_s:.3f} s, rows to page {page_s:.3f} s")


if __name__ == "__main__":
    main()
