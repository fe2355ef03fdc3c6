"""The commands that ask something of trials: the same words for people, the same data for programs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from tests.unit.test_cli import GAME, SQUAD, numbers, run

from courtwright.answers import changed_to
from courtwright.game.read import load_game

UNIT_IN_NAME = ("_s", "_m", "_points", "minutes", "runs", "seed", "run", "possession", "turn", "parameter_set")


@pytest.fixture(scope="module")
def other(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The game with its defender two metres farther off."""
    path = tmp_path_factory.mktemp("versions") / "farther.game.json"
    path.write_text(json.dumps(changed_to(load_game(Path(GAME)), "gap X1", 3.5).to_json()), "utf-8")
    return str(path)


def out(*arguments: str) -> Any:
    result = run(*arguments, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_compare_says_what_moved(other: str) -> None:
    asked = ("compare", GAME, other, "--squad", SQUAD, "--runs", "64")
    data, text = out(*asked), run(*asked).stdout
    assert data["sentences"]
    assert all(sentence in text for sentence in data["sentences"])
    assert data == out(*asked, "--threads", "1")
    for path, holder in numbers(data):
        assert path[-1].endswith((*UNIT_IN_NAME, "agreeing")) or holder.get("unit"), path


def test_sweep_follows_a_setting() -> None:
    asked = ("sweep", GAME, "-s", SQUAD, "--set", "gap X1", "--from", "1", "--to", "5", "--steps", "3", "-n", "16")
    data, text = out(*asked, "--measure", "help_drawn"), run(*asked, "--measure", "help_drawn").stdout
    assert [point["value"] for point in data["points"]] == [1, 3, 5]
    assert all(sentence in text for sentence in data["sentences"])
    words = out("sweep", GAME, "-s", SQUAD, "--set", "dribbles", "--values", "0, none", "-n", "8")
    assert [row["value"] for row in words["points"]] == [0, "none"]
    usual = out("sweep", GAME, "-s", SQUAD, "--set", "help", "-n", "8", "-m", "2")
    assert [row["value"] for row in usual["points"]][-1] == "never"


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (["--set", "dribbles", "--from", "1"], "one end only"),
        (["--set", "dribbles", "--values", "1,2", "--from", "1", "--to", "2"], "both as a list"),
        (["--set", "flying"], "is no setting of this game"),
        (["--set", "dribbles", "--measure", "joy"], "is no measure"),
    ],
)
def test_a_sweep_that_makes_no_sense_is_refused(more: list[str], says: str) -> None:
    result = run("sweep", GAME, "-s", SQUAD, *more)
    assert result.exit_code == 2
    assert says in result.stderr


def test_replay_tells_a_possession_and_what_was_weighed(tmp_path: Path) -> None:
    asked = ("replay", GAME, "--squad", SQUAD, "--run", "2", "--possession", "3")
    data, text = out(*asked), run(*asked).stdout
    assert (data["run"], data["possession"]) == (2, 3)
    assert data["sentence"] in text
    assert text.count("weighed:") == len({decision["t_s"] for decision in data["decisions"]})
    gif = tmp_path / "a.gif"
    assert run(*asked, "-o", str(gif)).exit_code == 0
    with Image.open(gif) as picture:
        assert getattr(picture, "n_frames", 0) > 20


def test_replay_finds_what_is_wanted() -> None:
    data = out("replay", GAME, "-s", SQUAD, "--want", "kick-out", "--seed", "5")
    assert any("kicks out" in event["text"] for event in data["events"])


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (["--run", "1"], "Give both --run and --possession"),
        (["--run", "1", "--possession", "400"], "so no 400"),
        (["--want", "dunk"], "cannot be looked for"),
        (["-o", "a.png"], "neither .gif nor .webp"),
    ],
)
def test_a_replay_that_cannot_be_is_refused(more: list[str], says: str) -> None:
    result = run("replay", GAME, "-s", SQUAD, *more)
    assert result.exit_code == 2
    assert says in result.stderr
