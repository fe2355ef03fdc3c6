"""The commands rota, groups and teams."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from courtwright.cli import app

EXAMPLES = Path(__file__).parents[2] / "examples"
GAME, SQUAD = str(EXAMPLES / "low-mans-call.game.json"), str(EXAMPLES / "squad.csv")


def run(*arguments: str) -> Result:
    return CliRunner().invoke(app, list(arguments))


def out(*arguments: str) -> Any:
    result = run(*arguments, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_a_rota_without_a_squad() -> None:
    data = out("rota", "--players", "9", "--side", "3", "--turns", "12", "--rule", "timed turns")
    assert data["names"] == [f"P{number}" for number in range(1, 10)]
    judged = {mark["measure"]: mark["perfect"] for mark in data["judged"]}
    assert judged["team-mates"]
    assert judged["opponents"]
    text = run("rota", "--players", "9", "--side", "3", "--turns", "12", "--rule", "timed turns").stdout
    assert text.count("Turn ") == 12
    assert "Perfect in " in text


def test_wishes_on_the_command_line() -> None:
    data = out(
        *("rota", "-n", "8", "-k", "3", "--turns", "10", "--apart", "P1,P2", "--at-most", "P3=4"),
        *("--in-a-row", "P4=2", "--only-at", "P5=1,X1", "--until-turn", "P6=6", "--guest", "P7"),
    )
    assert data["team_mate_turns"][0][1] == 0
    assert data["players"][2]["total_turns"] <= 4
    figures = data["players"][4]["turns_by_figure"]
    assert {figure for figure, times in figures.items() if times} <= {"1", "X1"}
    assert all("P6" not in row["offence"] + row["defence"] for row in data["turns"][6:])
    assert [wish["kind"] for wish in data["asked"]["wishes"]] == [
        *("apart", "at most", "in a row", "only at", "to turn", "guest")
    ]


def test_winners_stay_says_what_to_expect() -> None:
    text = run("rota", GAME, "--squad", SQUAD, "--rule", "winners stay").stdout
    assert "An even share is" in text
    assert "Who wins decides who stays" in text


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--players", "9"], "Give GAME and --squad, or --players N and --side K."),
        (["--players", "5", "--side", "3"], "3-on-3 needs 6 players and 5 are here"),
        (["--players", "9", "--side", "3", "--apart", "P1,Zed"], "Zed: not among the players"),
        (["--players", "9", "--side", "3", "--apart", "P1"], "names one player; name two or more"),
        (["--players", "9", "--side", "3", "--at-most", "P1=x"], "is not NAME=TURNS"),
        (["--players", "9", "--side", "3", "--only-at", "P1"], "is not NAME=FIGURES"),
        (["--players", "9", "--side", "3", "--only-at", "P1=Z9"], "wish 1, figure 1: “Z9”"),
    ],
)
def test_what_cannot_be_is_said_with_its_mend(arguments: list[str], said: str) -> None:
    result = run("rota", *arguments)
    assert result.exit_code == 2
    assert said in " ".join(result.output.split())


def test_turns_are_written_to_paper(tmp_path: Path) -> None:
    path = tmp_path / "turns.pdf"
    assert out("rota", "-n", "9", "-k", "3", "--turns", "12", "-o", str(path))["file"] == str(path)
    assert path.read_bytes().startswith(b"%PDF")


def test_groups() -> None:
    text = run("groups", "-n", "15", "-k", "3", "-r", "7").stdout
    assert text.count("Round") == 7
    assert text.endswith("Perfect: no two players are together twice.\n")
    assert out("groups", "-n", "12", "-k", "3", "-r", "5")["repeats"] > 0  # never claiming five rounds without one


def test_even_teams_of_a_squad() -> None:
    data = out("teams", "--squad", SQUAD, "--count", "2")
    best = data["splits"][0]
    assert [team["bib"] for team in best["teams"]] == ["yellow", "blue"]
    two = [best["teams"][0]["names"][0], best["teams"][1]["names"][0]]
    again = out("teams", "--squad", SQUAD, "--together", ",".join(two))["splits"][0]
    assert any(set(two) <= set(team["names"]) for team in again["teams"])
    text = run("teams", "--squad", SQUAD).stdout
    assert text.startswith("Yellow: ")
    assert "more even" in text or "Exactly even" in text
    refused = run("teams", "--squad", SQUAD, "--together", ",".join(two), "--apart", ",".join(two))
    assert refused.exit_code == 2
    assert "Drop" in refused.output
