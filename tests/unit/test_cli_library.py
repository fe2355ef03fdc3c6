"""The commands that list the library, take a game out and grow a 1-on-1."""

from __future__ import annotations

import json
from pathlib import Path

from typer.testing import CliRunner

from courtwright.cli import app
from courtwright.game.library import library
from courtwright.game.read import load_game


def test_the_library_is_listed_and_says_what_is_only_drawn() -> None:
    told = json.loads(CliRunner().invoke(app, ["library", "--json"]).stdout)["games"]

    assert [row["key"] for row in told] == list(library())
    assert not next(row for row in told if row["key"] == "hand-it-over")["simulated"]
    assert "drawn, not simulated" in CliRunner().invoke(app, ["library"]).stdout


def test_a_game_is_taken_out_and_grown(tmp_path: Path) -> None:
    alone, grown = tmp_path / "alone.game.json", tmp_path / "grown.game.json"

    assert CliRunner().invoke(app, ["library", "long-way-out", "-o", str(alone)]).exit_code == 0
    assert load_game(alone).hash == library()["long-way-out"].hash
    assert CliRunner().invoke(app, ["grow", str(alone), "--side", "3", "-o", str(grown)]).exit_code == 0
    assert load_game(grown).sides.offence == 3
    assert CliRunner().invoke(app, ["check", str(alone), str(grown)]).exit_code == 0
    again = CliRunner().invoke(app, ["grow", str(grown), "-o", str(tmp_path / "no.json")])
    assert (again.exit_code, "1 on 1" in again.stderr) == (2, True)


def test_half_a_question_is_refused(tmp_path: Path) -> None:
    assert CliRunner().invoke(app, ["library", "long-way-out"]).exit_code == 2
    assert CliRunner().invoke(app, ["library", "nothing", "-o", str(tmp_path / "a")]).exit_code == 2
