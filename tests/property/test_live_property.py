"""Whatever is tapped, in whatever order it arrives: one state, in both languages, and back from a file."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.logs import NAMES, Device, opening_of, random_log

from courtwright.game.document import AfterPossession, Teams
from courtwright.live import checked, fold
from courtwright.live.corrections import corrected
from courtwright.live.log import read_log, written
from courtwright.vocabulary import FactKind

ROOT = Path(__file__).parents[2]
OPENINGS = {
    "mixed": opening_of(),
    "teams": opening_of(teams=Teams.FIXED),
    "winners": opening_of(rule=AfterPossession.WINNERS_STAY),
    "losers": opening_of(names=(*NAMES, "Jo", "Kit"), rule=AfterPossession.LOSERS_OFF, teams=Teams.FIXED),
}
LOGS_COMPARED = 150

seeds = st.integers(0, 10**9)
openings = st.sampled_from(sorted(OPENINGS))


@given(openings, seeds, st.randoms())
def test_every_order_of_arrival_and_every_doubling_gives_one_state(name: str, seed: int, random: Any) -> None:
    opening, log = OPENINGS[name], random_log(Random(seed))
    arrived = [*log, *random.choices(log, k=5)]
    random.shuffle(arrived)

    assert fold(opening, arrived).to_json() == fold(opening, log).to_json()


@given(openings, seeds)
def test_a_log_written_to_a_file_and_read_back_folds_to_the_same(name: str, seed: int) -> None:
    opening, log = OPENINGS[name], random_log(Random(seed))
    kept, facts = read_log(written(opening, log))

    assert facts == log
    assert fold(kept.to_json(), facts).to_json() == fold(opening, log).to_json()


@given(openings, seeds)
def test_points_are_what_the_possessions_earned(name: str, seed: int) -> None:
    opening, log = OPENINGS[name], random_log(Random(seed))
    state = fold(opening, log).to_json()

    won = [sum(points) for points in zip(*(one["points"] for one in state["possessions"]), strict=True)] or [0, 0]
    if not opening["teams"]:
        assert state["score"] == won
    assert all(
        len(set(one["figures"].values()) - {""}) == len([*filter(None, one["figures"].values())])
        for one in state["possessions"]
    )  # nobody stands in two places
    numbers = [(one["number"], one["inserted"]) for one in state["possessions"]]
    assert numbers == sorted(set(numbers))


@given(seeds)
def test_undoing_everything_that_holds_leaves_nothing_and_undoing_the_undos_brings_it_back(seed: int) -> None:
    log = random_log(Random(seed))
    late = Device("late", ahead_ms=10**9)
    before = corrected(log)
    undos = [late.tell("undo", 1, event=fact.event_id) for fact in before]
    assert corrected([*log, *undos]) == []

    back = [late.tell("undo", 1, event=undo.event_id) for undo in undos]
    assert corrected([*log, *undos, *back]) == before


@given(seeds)
def test_every_fact_passes_the_door_again(seed: int) -> None:
    log = random_log(Random(seed))
    for fact in log:
        again = checked(json.loads(json.dumps(fact.to_json())))
        assert again == fact
        assert FactKind(again.to_json()["kind"]) is fact.kind


def test_the_browser_folds_random_logs_to_the_same_states(tmp_path: Path) -> None:
    node = shutil.which("node")
    if node is None:
        if os.environ.get("CI") == "true":
            pytest.fail("CI must not skip this: it needs Node")
        pytest.skip("needs Node to run the browser's fold")
    cases = []
    for seed in range(LOGS_COMPARED):
        log, name = random_log(Random(seed)), list(OPENINGS)[seed % len(OPENINGS)]
        facts = [fact.to_json() for fact in log]
        cases.append({"name": f"{seed}", "opening": name, "facts": facts, "state": fold(OPENINGS[name], log).to_json()})
    path = tmp_path / "cases.json"
    path.write_text(json.dumps({"openings": OPENINGS, "cases": cases}), "utf-8")

    done = subprocess.run(
        [node, "--test", "tests/web/js/fold.test.mjs"],
        cwd=ROOT,
        env=os.environ | {"FOLD_CASES": str(path)},
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stdout[-4000:]


def test_logs_of_earlier_days_keep_their_meaning() -> None:
    kept = json.loads((ROOT / "tests" / "data" / "fold-cases.json").read_text("utf-8"))
    for case in kept["cases"]:
        facts = [checked(fact) for fact in case["facts"]]
        assert fold(kept["openings"][case["opening"]], facts).to_json() == case["state"], case["name"]
