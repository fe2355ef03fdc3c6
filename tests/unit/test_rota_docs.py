"""The tables of the rota page say what the code builds."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path

from courtwright.rota.designs import team_games
from courtwright.rota.groups import groups_of

PAGE = (Path(__file__).parents[2] / "docs" / "rota.md").read_text("utf-8")


def rows(heading: str) -> list[list[str]]:
    """The cells of the table under a heading, first two lines left out."""
    section = PAGE.split(f"## {heading}\n")[1].split("\n## ")[0]
    lines = [line for line in section.splitlines() if line.startswith("| ")][2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_perfect_schedules_are_those_of_the_page() -> None:
    told = 0
    for game, players_and_games, counts in rows("Perfect schedules"):
        for players, baskets, games in re.findall(r"(\d+) \((\d+)\): (\d+)", players_and_games):
            design = team_games(int(players), int(game[0]), int(baskets))
            assert design is not None
            assert len(design.games) == int(games)
            assert f"{design.team_mates}, {design.opponents}" == counts
            told += 1
    assert told > 20


def test_rounds_without_a_repeat_are_those_of_the_page() -> None:
    told = 0
    for players, sizes, rounds, _ in rows("Groups")[1:]:
        cells = [
            [int(number) for number in re.findall(r"\d+", cell.split(";")[0])] for cell in (players, sizes, rounds)
        ]
        cells[1] *= len(cells[0]) // len(cells[1])
        cells[2] *= len(cells[0]) // len(cells[2])
        for many, size, most in zip(*cells, strict=True):
            plan = groups_of(many, size, most)
            assert plan.repeats == 0
            if "every pair once" in rounds:
                assert all(plan.together[one][other] == 1 for one, other in combinations(range(many), 2))
            told += 1
    assert told >= 10
