"""The pages of a review, and the command that prints them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from tests.logs import NAMES, Device, opening_of
from typer.testing import CliRunner

from courtwright.cli import app
from courtwright.errors import WordError
from courtwright.live import fold
from courtwright.live.log import written
from courtwright.review.events import Log
from courtwright.review.pages import group_page, order_of_two, player_page
from courtwright.review.rows import run_rows
from courtwright.review.season import season


def practice(made: int, number: int) -> tuple[dict[str, Any], Device]:
    """Thirty shots, so many of them made, on one day."""
    coach = Device()
    coach.tell("watching", 1, tag="low man", on=True)
    for possession in range(1, 31):
        coach.tell("deflection", possession, who="X1")
        coach.tell("tag", possession, who="X2", tag="low man", did=possession % 2 == 0)
        if possession <= made:
            coach.tell("make", possession, who=str(possession % 3 + 1), zone="rim")
        else:
            coach.tell("miss", possession, who=str(possession % 3 + 1), zone="rim", rebound="defence")
    return opening_of() | {"run": f"run-{number}", "made_at": f"2026-11-{number:02}T18:00:00Z"}, coach


@pytest.fixture
def log() -> Log:
    runs = [practice(5, 2), practice(27, 4)]
    return season(run_rows(fold(opening, coach.told)) for opening, coach in runs)


def test_a_group_page_names_what_stands_out_and_players_by_name(log: Log) -> None:
    page = group_page(log)
    assert page["coverage"]["scored"] == 60
    assert page["tagged"] == {"low man": 60}
    assert [one["player"] for one in page["players"]] == sorted(NAMES)
    assert [one["about"] for one in page["findings"]] == ["shot rim"]
    assert page["asked"] == 2
    assert any(line.startswith("shot rim: 5 of 30 before, 27 of 30 since") for line in page["sentences"])
    assert json.loads(json.dumps(page)) == page


def test_where_nothing_changed_nothing_is_found() -> None:
    runs = [practice(12, 2), practice(14, 4)]
    page = group_page(season(run_rows(fold(opening, coach.told)) for opening, coach in runs))
    assert page["findings"] == []
    assert "Nothing stands out from chance yet." in page["sentences"]


def test_a_players_page_holds_only_their_own(log: Log) -> None:
    page = player_page(log, "Ada")
    told = json.dumps(page)
    assert not [name for name in NAMES if name != "Ada" and name in told]
    assert page["turns"]["offence"] + page["turns"]["defence"] == log.turns_of()["Ada",]
    assert all("Ada" in line for line in page["sentences"])
    with pytest.raises(WordError, match="Zed"):
        player_page(log, "Zed")


def test_counts_have_no_denominator(log: Log) -> None:
    outcomes = group_page(log)["outcomes"]
    assert outcomes["deflection"] == {"count": 60, "of": None}
    assert outcomes["shot rim"] == {"hits": 32, "of": 60}


def test_nothing_played_is_said() -> None:
    assert group_page(season([]))["sentences"] == ["Nothing was played yet."]


def test_two_practices_are_too_early_for_an_order(log: Log) -> None:
    orders, lines = order_of_two(log, "Ada", "Bex")
    assert len(orders) == 2
    assert all(line.startswith("Too early") for line in lines)


# --- the command


@pytest.fixture
def files(tmp_path: Path) -> list[str]:
    paths = []
    for number in (2, 4):
        opening, coach = practice(5 if number == 2 else 27, number)
        path = tmp_path / f"{number}.run.jsonl"
        path.write_text(written(opening, coach.told), "utf-8")
        paths.append(str(path))
    return paths


def test_the_command_says_and_prints(files: list[str]) -> None:
    said = CliRunner().invoke(app, ["review", *files])
    assert said.exit_code == 0
    assert "Scored 60 of 60 possessions, tagged 60." in said.stdout
    page = json.loads(CliRunner().invoke(app, ["review", *files, "--json"]).stdout)
    assert page["format"] == "courtwright.review/1"
    assert page["runs"] == ["run-2", "run-4"]


def test_a_run_in_two_files_is_one_run(files: list[str]) -> None:
    page = json.loads(CliRunner().invoke(app, ["review", *files, *files, "--json"]).stdout)
    assert page["coverage"]["scored"] == 60


def test_one_player_and_two(files: list[str]) -> None:
    page = json.loads(CliRunner().invoke(app, ["review", *files, "--player", "Ada", "--json"]).stdout)
    assert page["player"] == "Ada"
    told = CliRunner().invoke(app, ["review", *files, "--between", "Ada", "Bex"])
    assert told.stdout.count("Too early") == 2
    page = json.loads(CliRunner().invoke(app, ["review", *files, "--between", "Ada", "Bex", "--json"]).stdout)
    assert [one["ahead"] for one in page["orders"]] == [None, None]
    assert CliRunner().invoke(app, ["review", *files, "--player", "Ada", "--between", "Ada", "Bex"]).exit_code == 2
    assert CliRunner().invoke(app, ["review", *files, "--player", "Zed"]).exit_code == 2


def test_problems_of_every_file_are_named(tmp_path: Path) -> None:
    for name in ("one.run.jsonl", "two.run.jsonl"):
        (tmp_path / name).write_text("{", "utf-8")
    asked = ["review", *(str(tmp_path / name) for name in ("one.run.jsonl", "two.run.jsonl")), "--json"]
    told = CliRunner().invoke(app, asked)
    assert told.exit_code == 2
    assert [item["place"].split(",")[0] for item in json.loads(told.stdout)["problems"]] == [
        "one.run.jsonl",
        "two.run.jsonl",
    ]
