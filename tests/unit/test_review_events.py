"""Runs as flat rows, and what they add up to. Every number here was counted by hand."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from tests.logs import Device, opening_of, random_log, three_on_three

from courtwright.errors import WordError
from courtwright.live import fold
from courtwright.review.events import Log
from courtwright.review.rows import CHANCES, PLAIN, RunRows, run_rows
from courtwright.review.season import season
from courtwright.vocabulary import Fact, Side


def told(*devices: Device, **changes: Any) -> RunRows:
    """The rows of a run that opens as changed."""
    facts: list[Fact] = [fact for device in devices for fact in device.told]
    return run_rows(fold(opening_of() | changes, facts))


def a_run(**changes: Any) -> RunRows:
    """A miss kept alive and put in, a foul and the same again, a skip, a frozen moment run again, a watched tag."""
    coach = Device()
    coach.tell("miss", 1, who="1", zone="three", rebound="offence", by="2")
    coach.tell("make", 1, who="2", zone="rim", assist="3")
    coach.tell("foul", 2, who="X1")
    coach.tell("make", 3, who="1", zone="three")
    coach.tell("possession", 4)
    coach.tell("freeze", 5, cue="See the low man.")
    coach.tell("run it again", 5)
    coach.tell("make", 5, who="1", zone="rim")
    coach.tell("watching", 6, tag="low man", on=True)
    coach.tell("tag", 6, who="X2", tag="low man", did=True)
    coach.tell("turnover", 6, who="1", by="X3")
    return told(coach, **changes)


@pytest.fixture
def log() -> Log:
    return season([a_run()])


def figures(turn: int) -> dict[str, str]:
    row: dict[str, str] = opening_of()["turns"][turn]["figures"]
    return row


def test_possessions_and_chances_are_two_counts(log: Log) -> None:
    """Two chances in the first; the foul is a chance and no possession of its own."""
    assert log.possessions[:, CHANCES].tolist() == [2, 1, 1, 0, 1, 1]
    coverage = log.coverage()
    assert (coverage.possessions, coverage.chances) == (3, 5)


def test_how_much_was_told_is_told(log: Log) -> None:
    assert log.coverage("low man").to_json() == {
        "played": 6,
        "scored": 5,
        "again": 1,
        "possessions": 3,
        "chances": 5,
        "tagged": 1,
    }
    assert log.coverage("talk").tagged == 0


def test_a_possession_that_was_run_again_is_shown_and_not_counted(log: Log) -> None:
    assert log.tries_of("shot rim") == {(figures(0)["2"],): (1, 1)}
    assert sum(log.turns_of().values()) == 6 * 6


def test_outcomes_by_player_spot_and_role(log: Log) -> None:
    start, after = figures(0), figures(1)
    assert log.tries_of("shot three") == {(start["1"],): (0, 1), (after["1"],): (1, 1)}
    ((one, spot, role),) = log.tries_of("tag low man", "spot", "role")
    assert (one, role) == (figures(4)["X2"], "defence")
    assert spot in log.spots
    assert log.tries_of("shot rim", pass_to=True) == {(start["3"],): (1, 1)}


def test_counts_alone_where_there_is_no_denominator(log: Log) -> None:
    assert log.counts_of("steal") == {(figures(4)["X3"],): 1}
    assert not log.has_tries("steal")
    assert log.has_tries("tag low man")
    with pytest.raises(WordError, match="only the count"):
        log.tries_of("steal")


def test_unwatched_is_not_zero(log: Log) -> None:
    """Nobody watched for talk, so no player has a rate of it."""
    assert log.tries_of("tag talk") == {}


def test_plain_points_are_twos_and_threes(log: Log) -> None:
    assert log.possessions[:, PLAIN].tolist() == [2, 0, 3, 0, 2, 0]
    points = log.points_of(Side.OFFENCE)
    assert points[figures(0)["1"]][0] >= 2
    assert sum(times for _, times in points.values()) == 3 * 4  # four rows count: 1, 2, 3 and 6


def test_runs_close_together_are_one_practice_and_dates_follow_the_zone() -> None:
    runs = [
        a_run(run="b", basket="side", made_at="2026-11-03T00:10:00Z"),
        a_run(run="a", made_at="2026-11-02T23:30:00Z"),
        a_run(run="c", made_at="2026-12-01T18:00:00Z"),
    ]
    both = season(runs)
    assert both.runs == ("a", "b", "c")
    assert both.practices == ("2026-11-02", "2026-12-01")
    months = both.turns_of("month")
    assert sum(count for (_, month), count in months.items() if month == "2026-11") == 72
    assert len(set(both.possessions[:, 1].tolist())) == 3 * 4  # chains are numbered through


def test_constraints_in_force_are_known_of_every_possession() -> None:
    coach = Device()
    coach.tell("make", 1, who="1", zone="rim")
    coach.tell("constraint switched", 2, on=False, constraint={"rule": "dribbles", "limit": 3})
    coach.tell("make", 2, who="1", zone="rim")
    log = season([told(coach)])
    assert log.with_rule("dribbles").tolist() == [True, False]
    assert log.with_rule("help no earlier").tolist() == [True, True]


def test_nothing_yet_is_nothing() -> None:
    log = season([])
    assert log.coverage().played == 0
    assert log.turns_of("spot") == {}
    assert log.counts_of("steal", "spot") == {}
    assert season([told()]).coverage().played == 0


@pytest.mark.parametrize("seed", range(40))
def test_rows_agree_with_the_state_of_the_run_whatever_is_told(seed: int) -> None:
    """Turns are the tally's; so are counts, where no moment was run again."""
    random = Random(seed)
    state = fold(opening_of(three_on_three()), random_log(random))
    log = season([run_rows(state)])
    turns = {name: sum(of.values()) for name, of in state.tally.turns.items()}
    assert {name: count for (name,), count in log.turns_of().items()} == turns
    assert log.coverage().played == len(state.possessions)
    for tag, kept in state.tally.tags.items():
        assert log.coverage(tag).tagged <= kept["watched_possessions"]
    for player, counts in state.tally.players.items():
        for word in ("steal", "deflection", "box-out"):
            assert log.counts_of(word).get((player,), 0) <= counts.get(word, 0)
    if not any(one.segment for one in state.possessions):
        assert sum(log.counts_of("block").values()) <= state.tally.counts.get("block", 0)
