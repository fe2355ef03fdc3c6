"""Runs on the command line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.logs import Device, opening_of
from tests.unit.test_cli import run as ran

from courtwright.live.log import written
from courtwright.live.opening import Opening
from courtwright.store import Store

if TYPE_CHECKING:
    from typer.testing import Result


def run(*arguments: str, code: int = 0) -> Result:
    done = ran(*arguments)
    assert done.exit_code == code, done.output
    return done


@pytest.fixture
def club(tmp_path: Path) -> Path:
    path = tmp_path / "club.sqlite"
    coach = Device()
    coach.tell("make", 1, zone="three", who="2")
    coach.tell("make", 2, zone="rim")
    coach.tell("make", 2, zone="rim")
    with Store.open(path) as store:
        store.runs.add(Opening.model_validate(opening_of()), coach.told)
    return path


def test_runs_are_listed_with_their_score(club: Path) -> None:
    assert "no run yet" in run("runs", "--store", str(club.with_name("other.sqlite"))).stdout
    (row,) = json.loads(run("runs", "--store", str(club), "--json").stdout)["runs"]
    assert (row["run"], row["facts"], row["possessions"], row["score"]) == ("run-1", 3, 2, [5, 0])
    assert "run-1" in run("runs", "--store", str(club)).stdout


def test_a_run_says_what_it_came_to_and_goes_out_and_in_as_a_file(club: Path, tmp_path: Path) -> None:
    told = run("run", "run-1", "--store", str(club)).stdout
    assert "attack 5, defence 0" in told
    assert "make three 1" in told
    assert "1 to look at" in told

    path, other = tmp_path / "a.run.jsonl", tmp_path / "other.sqlite"
    run("run", "run-1", "--store", str(club), "-o", str(path))
    kept = json.loads(run("run", str(path), "--keep", "--store", str(other), "--json").stdout)
    assert kept["score"] == [5, 0]
    assert json.loads(run("run", "run-1", "--store", str(other), "--json").stdout) == kept


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["run", "elsewhere"], "no run “elsewhere”"),
        (["run", "run-1", "--keep"], "needs a run's file"),
        (["run", "missing.run.jsonl"], "cannot be read"),
    ],
)
def test_what_cannot_be_done_is_said(club: Path, arguments: list[str], told: str) -> None:
    done = run(*arguments, "--store", str(club), code=2)
    assert told in done.stderr


def test_a_file_that_is_wrong_names_the_line(club: Path, tmp_path: Path) -> None:
    path = tmp_path / "bad.run.jsonl"
    coach = Device()
    make = coach.tell("make", 1, zone="rim")
    path.write_text(written(opening_of(), [make]).replace('"rim"', '"moon"') + "nonsense\n", "utf-8")
    done = run("run", str(path), code=2)
    assert "line 2, detail.zone" in done.stderr
    assert "line 3: is not JSON" in done.stderr
    path.write_text("", "utf-8")
    assert "is empty" in run("run", str(path), code=2).stderr
