"""The command line: the same bytes for the same question, problems with place and mend, nothing half-written."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner, Result

from courtwright.cli import app
from courtwright.game.starters import starters

EXAMPLES = Path(__file__).parents[2] / "examples"
GAME, SQUAD = str(EXAMPLES / "low-mans-call.game.json"), str(EXAMPLES / "squad.csv")
TRIAL = ["trial", GAME, "--squad", SQUAD, "--minutes", "10", "--runs", "60", "--seed", "7", "--json"]


def run(*arguments: str) -> Result:
    return CliRunner().invoke(app, list(arguments))


def out(*arguments: str) -> Any:
    result = run(*arguments)
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_a_trial_gives_the_same_bytes_twice_and_on_two_threads() -> None:
    first, again = run(*TRIAL, "--threads", "1"), run(*TRIAL, "--threads", "1")
    threaded = run(*TRIAL, "--threads", "2")

    assert first.exit_code == 0
    assert first.stdout == again.stdout == threaded.stdout


def numbers(data: Any, path: tuple[str, ...] = ()) -> list[tuple[tuple[str, ...], dict[str, Any]]]:
    """Every number in JSON data: its path, and the object it stands in."""
    found: list[tuple[tuple[str, ...], dict[str, Any]]] = []
    for key, value in data.items() if isinstance(data, dict) else enumerate(data):
        here = (*path, str(key))
        if isinstance(value, dict | list):
            found += numbers(value, here)
        elif isinstance(value, int | float) and not isinstance(value, bool):
            found.append((here, data if isinstance(data, dict) else {}))
    return found


UNIT_IN_NAME = ("_s", "_points", "_of_runs", "_of_possessions", "minutes", "runs", "seed")


def test_every_number_of_a_trial_has_its_unit_and_every_estimate_a_range() -> None:
    data = out(*TRIAL)
    for path, holder in numbers(data):
        assert path[-1].endswith(UNIT_IN_NAME) or holder.get("unit"), path
        if "mean" in holder:
            assert holder["low"] <= holder["high"], path


def test_the_trial_says_what_it_does_not_play() -> None:
    data = out(*TRIAL)

    assert data["played"] == ["3 dribbles at most", "shot within 10 s"]
    assert "call help before it comes" in data["left_to_the_eye"]
    assert data["model"]["calibrated"] is True


def test_trial_for_people() -> None:
    result = run(*TRIAL[:-1])

    assert "Help is drawn in" in result.stdout
    assert "Calibrated to grown professionals" in result.stdout


def test_rota_and_its_json_agree() -> None:
    text = run("rota", GAME, "--squad", SQUAD, "--minutes", "10", "--seed", "3").stdout
    data = out("rota", GAME, "--squad", SQUAD, "--minutes", "10", "--seed", "3", "--json")

    assert text.count("Turn ") == len(data["turns"])
    assert all(name in text for name in data["names"])


def test_draw_svg_and_png(tmp_path: Path) -> None:
    svg, png = tmp_path / "a.svg", tmp_path / "a.png"

    assert out("draw", GAME, "-o", str(svg), "--json")["size_bytes"] == svg.stat().st_size
    assert run("draw", GAME, "-o", str(png), "--variant", "1").exit_code == 0
    assert svg.read_text("utf-8").startswith("<svg")
    assert png.read_bytes().startswith(b"\x89PNG")


def test_print_a_sheet(tmp_path: Path) -> None:
    pdf = tmp_path / "a.pdf"

    assert run("print", GAME, "--squad", SQUAD, "-o", str(pdf)).exit_code == 0

    pages = PdfReader(pdf).pages
    assert len(pages) == 1
    assert "Low Man" in pages[0].extract_text()
    assert "Ada" in pages[0].extract_text()


def test_check_names_good_files() -> None:
    files = [str(path) for path in sorted(EXAMPLES.iterdir())]
    data = out("check", *files, "--json")

    assert [report["problems"] for report in data["files"]] == [[]] * len(files)
    assert {starter.name for starter in starters().values()} < {report["name"] for report in data["files"]}


TEN_IN_A_GAME: dict[str, Any] = {
    "format": "courtwright.game/1",
    "nam": "misspelt",
    "court": "moon",
    "sides": {"offence": 7, "defence": 3},
    "start": {"placements": [{"figure": "1", "at": "left slut"}, {"figure": "Q", "at": "nail"}], "ball": "X1"},
    "constraints": [{"rule": "dribbles"}, {"rule": "fly", "limit": 3}],
    "points": [{"rule": "stop", "points": "many"}],
    "finish": {"minutes": -1},
}
TEN_IN_A_SQUAD = """name,number,height_cm,level,grade,here,rim_makes,rim_attempts,split_10m_s,colour
Ada,4,999,U16,3,yes,,,2.0,blue
Ada,5,170,U99,3,yes,,,2.0,
,6,170,U16,9,yes,,,2.0,
Cleo,x,170,U16,3,maybe,9,3,0.9,
"""


@pytest.mark.parametrize(("name", "text"), [("b.game.json", json.dumps(TEN_IN_A_GAME)), ("b.csv", TEN_IN_A_SQUAD)])
def test_ten_problems_in_one_go(tmp_path: Path, name: str, text: str) -> None:
    path = tmp_path / name
    path.write_text(text, "utf-8")

    result = run("check", str(path), "--json")
    problems = json.loads(result.stdout)["files"][0]["problems"]

    assert result.exit_code == 2
    assert len(problems) >= 10
    assert all(problem["place"] and problem["what"] and problem["mend"] for problem in problems)


def test_both_files_wrong_are_both_reported_and_nothing_is_written(tmp_path: Path) -> None:
    game, squad, pdf = tmp_path / "b.game.json", tmp_path / "b.csv", tmp_path / "x.pdf"
    game.write_text("{}", "utf-8")
    squad.write_text("colour\nblue\n", "utf-8")

    result = run("print", str(game), "--squad", str(squad), "-o", str(pdf))

    assert result.exit_code == 2
    assert "b.game.json" in result.output
    assert "b.csv" in result.output
    assert sorted(path.name for path in tmp_path.iterdir()) == [squad.name, game.name]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["draw", GAME, "-o", "x.jpg"], "neither .svg nor .png"),
        (["draw", GAME, "-o", "x.svg", "--variant", "9"], "is not in the game"),
        (["draw", GAME, "-o", "no/such/folder/x.svg"], "cannot be written"),
        (["trial", GAME, "--squad", "nobody.csv"], "cannot be read"),
    ],
)
def test_what_cannot_be_done_is_said(arguments: list[str], told: str) -> None:
    result = run(*arguments)

    assert result.exit_code == 2
    assert told in result.output


def test_too_few_players(tmp_path: Path) -> None:
    squad = tmp_path / "few.csv"
    squad.write_text("name\nAda\nBex\n", "utf-8")

    result = run("rota", GAME, "--squad", str(squad), "--json")

    assert result.exit_code == 2
    assert json.loads(result.stdout)["problems"][0]["what"]


def test_version() -> None:
    assert run("--version").stdout.startswith("courtwright ")
