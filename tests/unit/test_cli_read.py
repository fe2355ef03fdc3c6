"""``courtwright read``: what a coach can follow, the same numbers as Python gives, problems with place and mend."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from courtwright.cli import app
from courtwright.errors import DocumentError
from courtwright.game.moment import load_moment, moment_of, parse_moment
from courtwright.game.starters import starters
from courtwright.reading import full_json, read_moment
from courtwright.reading.tables import percent_words, span_words, told, word_tables
from courtwright.vocabulary import Level

ROOT = Path(__file__).parents[2]
GAME, SQUAD = str(ROOT / "examples" / "low-mans-call.game.json"), str(ROOT / "examples" / "squad.csv")
MOMENT = str(ROOT / "examples" / "low-man-late.moment.json")


def run(*words: str) -> Result:
    return CliRunner().invoke(app, ["read", *words])


def out(*words: str) -> Any:
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def refused(*words: str) -> list[dict[str, str]]:
    result = run(*words, "--json")
    assert result.exit_code == 2, result.output
    problems: list[dict[str, str]] = json.loads(result.stdout)["problems"]
    return problems


def test_json_is_what_python_gives() -> None:
    told_ = out(MOMENT, "--preset", "men")
    own = full_json(read_moment(load_moment(Path(MOMENT)), level=Level.MEN))

    assert told_ == json.loads(json.dumps(own)) | {"level": "men", "players": {}}


def test_a_game_is_read_at_its_start_in_its_points() -> None:
    game = starters()["low-mans-call"]
    own = full_json(read_moment(moment_of(game), game=game))

    assert out(GAME) == json.loads(json.dumps(own)) | {"level": "U16", "players": {}}
    assert out(GAME, "--points", "plain")["unit"] == "points per chance"
    assert out(GAME, "--variant", "1")["moment_hash"] == moment_of(game, 0).hash


def test_squad_stands_in_its_order_or_as_said() -> None:
    in_order, named = out(GAME, "--squad", SQUAD), out(GAME, "--squad", SQUAD, "--player", "X1=Ada")

    assert in_order["players"] == {"1": "Ada", "2": "Bex", "3": "Cleo", "X1": "Dot", "X2": "Effie", "X3": "Fern"}
    assert named["players"] == {"X1": "Ada"}
    assert in_order["shot"] != out(GAME)["shot"], "their own figures count"


def test_text_for_people() -> None:
    result = run(MOMENT)
    lines = result.stdout.splitlines()

    assert result.exit_code == 0
    assert lines[0] == "Low man late · U16 preset · points per chance"
    assert max(map(len, (line for line in lines if line.startswith(("│", "┃"))))) <= 80
    for part in ("If X2 leaves 2", "If X3 leaves 3", "when beaten", "pause after the catch", "pass lost"):
        assert part in result.stdout
    for sentence in told(out(MOMENT)):
        assert sentence in result.stdout
    assert "estimates" in lines[-1]


def test_players_are_named_in_the_text() -> None:
    assert "1 Ada · 2 Bex" in run(GAME, "--squad", SQUAD).stdout


def test_of_the_youngest_it_is_not_said_how_often_they_score() -> None:
    assert "made" not in run(MOMENT, "--preset", "U12").stdout.split("If X2")[0]
    assert "made" in run(MOMENT, "--preset", "U14").stdout.split("If X2")[0]


@pytest.mark.parametrize(
    ("words", "place", "said"),
    [
        ([MOMENT, "--points", "game"], "points", "names no game"),
        ([MOMENT, "--variant", "1"], "variant", "has none"),
        ([GAME, "--variant", "9"], "variant", "9 is not in the game"),
        ([GAME, "--preset", "men", "--squad", SQUAD], "preset", "beside a squad"),
        ([GAME, "--player", "1=Ada"], "player", "no squad"),
        ([GAME, "--squad", SQUAD, "--player", "Ada"], "player", "is not FIGURE=NAME"),
        ([GAME, "--squad", SQUAD, "--player", "1=Nobody"], "players, figure 1", "there is no Nobody"),
        ([GAME, "--squad", SQUAD, "--player", "7=Ada"], "players, figure 7", "does not stand"),
        ([SQUAD], "line 1, column 1", "is not JSON"),
        (["no-such-file.json"], "file", "cannot be read"),
    ],
)
def test_problems_come_with_their_place(words: list[str], place: str, said: str) -> None:
    (problem,) = refused(*words)

    assert problem["place"] == place
    assert said in problem["what"]
    assert problem["mend"]


def test_a_row_that_is_not_there_is_refused_and_nothing_written(tmp_path: Path) -> None:
    picture = tmp_path / "drive.gif"
    for row in (["--helper", "X1", "--cue", "dribble 1"], ["--helper", "X2", "--cue", "at once"]):
        assert run(MOMENT, "-o", str(picture), *row).exit_code == 2
    assert refused(MOMENT, "-o", str(tmp_path / "drive.mp4"))[0]["mend"] == "Use .svg, .png, .pdf, .gif or .webp."
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("ending", "opening"),
    [("svg", b"<svg"), ("png", b"\x89PNG"), ("pdf", b"%PDF"), ("gif", b"GIF89a"), ("webp", b"RIFF")],
)
def test_it_is_drawn_in_every_form(tmp_path: Path, ending: str, opening: bytes) -> None:
    picture = tmp_path / f"drive.{ending}"
    result = run(MOMENT, "--helper", "X2", "--cue", "dribble 1", "-o", str(picture), "--feet")

    assert result.exit_code == 0, result.output
    assert picture.read_bytes().startswith(opening)
    assert f"wrote {picture}" in " ".join(result.stdout.split("\n"))


def test_check_takes_moments_too(tmp_path: Path) -> None:
    broken = tmp_path / "broken.moment.json"
    broken.write_text(json.dumps(json.loads(Path(MOMENT).read_text("utf-8")) | {"ball": "X1", "held_s": -1}), "utf-8")
    result = CliRunner().invoke(app, ["check", MOMENT, str(broken), GAME, "--json"])
    whole, wrong, game = json.loads(result.stdout)["files"]

    assert result.exit_code == 2
    assert (whole["problems"], whole["name"]) == ([], "Low man late")
    assert whole["format"] == "courtwright.moment/1"
    assert {problem["place"] for problem in wrong["problems"]} == {"ball", "held_s"}
    assert game["problems"] == []


def test_a_moment_of_the_first_format_is_still_read() -> None:
    """A stored sample of each version stays readable."""
    sample = ROOT / "tests" / "data" / "moment-1.json"
    moment = load_moment(sample)

    assert moment.name == "Low man late"
    assert moment.placed_m()["X1"] == (3.1, 3.1)
    assert parse_moment(json.dumps(moment.to_json())) == moment
    with pytest.raises(DocumentError, match="newer than this Courtwright reads"):
        parse_moment(sample.read_text("utf-8").replace("courtwright.moment/1", "courtwright.moment/2"))


def test_words_are_no_finer_than_the_numbers() -> None:
    assert span_words({"low": 0.512, "high": 0.538}) == "0.50 to 0.55"
    assert span_words({"low": -0.01, "high": 0.01}) == "0.00"
    assert span_words({"low": -0.12, "high": 0.02}) == "−0.10 to 0.00"
    assert percent_words({"low": 0.214, "high": 0.216}) == "21 to 22 %"
    assert percent_words({"low": 0.21, "high": 0.212}) == "21 %"


def test_tables_leave_out_what_is_not_there() -> None:
    alone = {"format": "courtwright.moment/1", "name": "x", "ball": "1"}
    figures = [{"figure": "1", "at": "top"}, {"figure": "X1", "at": "nail"}]
    data = full_json(read_moment(parse_moment(json.dumps(alone | {"figures": figures})), sets=8))

    assert [table.title for table in word_tables(data)] == ["If the holder waits"]
