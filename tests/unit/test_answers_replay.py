"""A possession played again is the possession that was counted, to the last bit, and watching it changes nothing."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from tests.unit.test_trial_kernels import COUNTED, plan_for, small_game

from courtwright.answers import Found, find_possession, replay_possession
from courtwright.answers.find import KINDS, WANTED
from courtwright.answers.options import decision_of
from courtwright.answers.walk import walk
from courtwright.answers.watch import DRAWS, Watch
from courtwright.engine import COMPILED, watched
from courtwright.errors import DocumentError
from courtwright.game.document import Constraint, PointRule
from courtwright.squad import Player, Squad
from courtwright.trial import layout as at
from courtwright.trial.runs import Plan, new_world, play_possession, play_runs
from courtwright.vocabulary import Level

SQUAD = Squad(name="s", level=Level.MEN, players=tuple(Player(name=f"P{n}") for n in range(10)))
IN_A_ROW = [*COUNTED, PointRule(rule="two stops in a row", points=2)]


def compiled_trace(plan: Plan, played: Any) -> np.ndarray:
    """What the compiled kernels keep of a possession."""
    trace = np.full((4000, 3 + 2 * plan.starts.shape[1]), np.nan)
    w = new_world(plan, compiled=COMPILED)
    w.due = played.due
    with np.errstate(over="ignore"):
        play_possession(w, plan, played.run, played.possession, played.turn, trace)
    return trace[: w.row]


@pytest.mark.parametrize("side", [1, 2, 3, 5])
def test_what_is_seen_is_what_was_counted(side: int) -> None:
    plan = plan_for(small_game(side))
    for played in list(walk(plan, 3))[:4]:
        watch = Watch()
        length_s = watch.play(plan, played.run, played.possession, played.turn, played.due)

        trace = compiled_trace(plan, played)
        by_time = {look.t_s: look for look in watch.seen}
        assert length_s == played.length_s
        over_a_run = [at.STOPS_2, at.STOPS_3]  # counted once the possession is over
        assert np.delete(watch.seen[-1].counts - played.counts, over_a_run).any() == np.False_
        assert len(trace) > 10
        for row in trace:
            assert by_time[row[0]].places_m.ravel().tolist() == row[3:].tolist()


@pytest.mark.parametrize(
    "parts",
    [
        {},
        {"points": IN_A_ROW},
        {"ending": {"foul": "again from the start", "make": "again from the start"}},
        {"finish": {"minutes": 10, "points": 12}},
    ],
)
def test_a_walk_through_a_run_is_the_run(parts: dict[str, Any]) -> None:
    plan = plan_for(small_game(3, **parts))
    results = play_runs(plan, 6)
    for run in range(6):
        possessions = list(walk(plan, run))
        events = np.sum([played.counts for played in possessions], axis=0)
        assert events.tolist() == results.events[run].tolist()
        assert sum(played.points[0] + played.points[1] for played in possessions) == results.score[run].sum()
        assert results.lengths[run].sum() == len(possessions)


def test_watching_twice_shows_the_same_and_leaves_the_plain_twin_alone() -> None:
    plan = plan_for(small_game(3))
    before = play_runs(plan, 2, engine="python")
    first, again = Watch(), Watch()
    for watch in (first, again):
        watch.play(plan, 1, 5, 5)
    after = play_runs(plan, 2, engine="python")

    assert [look.t_s for look in first.seen] == [look.t_s for look in again.seen]
    assert [weighed.chosen for weighed in first.weighed] == [weighed.chosen for weighed in again.weighed]
    assert before.events.tolist() == after.events.tolist()


def test_watching_a_kernel_that_is_not_called_is_a_mistake() -> None:
    with pytest.raises(LookupError, match="no kernel nowhere"):
        watched(play_possession, {"nowhere": lambda kernel: kernel})


def test_chances_are_those_of_the_choice() -> None:
    """They add up, follow the worth, and over many decisions what was chosen comes as often as they say."""
    plan = plan_for(small_game(3))
    said, did, count = 0.0, 0, 0
    for possession in range(40):
        watch = Watch()
        watch.play(plan, 2, possession, possession)
        for weighed in watch.weighed:
            order = np.argsort(-weighed.worth, kind="stable")
            assert weighed.chance.sum() == pytest.approx(1.0)
            assert np.all(np.diff(weighed.chance[order]) <= 1.5 / DRAWS)
            best = int(order[0])
            said, did, count = said + float(weighed.chance[best]), did + (weighed.chosen == best), count + 1
    assert count > 150
    assert abs(did - said) < 4 * math.sqrt(count / 4)


def test_decisions_are_said_in_words_by_figure() -> None:
    plan = plan_for(small_game(3))
    watch = Watch()
    watch.play(plan, 0, 0, 0)
    figures = ["1", "2", "3", "X1", "X2", "X3"]
    decisions = [decision_of(weighed, figures) for weighed in watch.weighed]

    first = decisions[0]
    assert first.figure == "1"
    assert {option.key for option in first.options} == {"shoot", "drive left", "drive right", "wait", "pass"}
    assert {option.to for option in first.options if option.key == "pass"} == {"2", "3"}
    assert all(sum(option.chosen for option in decision.options) == 1 for decision in decisions)
    assert [option.worth_points for option in first.options] == sorted(
        (option.worth_points for option in first.options), reverse=True
    )


def test_the_ball_goes_from_hand_to_hand_and_never_jumps() -> None:
    game = small_game(3)
    passes = 0
    for possession in range(1, 13):
        replay = replay_possession(game, SQUAD, run=1, possession=possession)
        steps_m = np.hypot(*np.diff(replay.ball_m, axis=0).T)
        times_s = np.diff(replay.times_s)
        air = [event.what for event in replay.events].count("pass")
        passes += air
        assert np.all(times_s > 0)
        assert np.all(steps_m <= 16.0 * times_s + 0.35), "no faster than a thrown ball; a hand's width at a catch"
        assert replay.ball_m[0].tolist() == replay.places_m[0, 0].tolist()
        if any(event.what.startswith("make_") for event in replay.events):
            assert replay.ball_m[-1].tolist() == [0.0, 0.0]
    assert passes >= 6


def test_events_tell_the_possession_in_order() -> None:
    game = small_game(3)
    replay = find_possession(game, SQUAD, "kick-out")
    texts = [event.text for event in replay.events]
    times = [event.t_s for event in replay.events]
    assert times == sorted(times)
    assert texts[0] == "1 has the ball"
    assert any("kicks out to" in text for text in texts)
    assert times[-1] == pytest.approx(replay.played.length_s)
    assert replay.sentence().startswith(f"{replay.played.length_s:.1f} s:")


def test_a_broken_limit_is_named() -> None:
    game = small_game(3, constraints=[Constraint(rule="shot clock", limit=2)])
    replay = find_possession(game, SQUAD, "violation")
    assert "against the limit: shot within 2 s" in [event.text for event in replay.events]


@pytest.mark.parametrize("want", [key for key in KINDS if key != "violation"])
def test_what_is_looked_for_is_found_and_the_next_lies_beyond(want: str) -> None:
    game = small_game(3)
    first = find_possession(game, SQUAD, want, seed=4)
    after = Found(first.played.run + 1, first.played.possession + 1)
    second = find_possession(game, SQUAD, want, after=after, seed=4)
    for replay in (first, second):
        assert any(replay.played.count(event) for event in KINDS[want][1])
    assert (second.played.run, second.played.possession) > (first.played.run, first.played.possession)


def test_usual_ones_differ_and_next_is_the_next() -> None:
    game = small_game(3)
    usual = find_possession(game, SQUAD)
    after = Found(usual.played.run + 1, usual.played.possession + 1)
    other, following = (find_possession(game, SQUAD, want, after=after) for want in ("usual", "next"))
    assert (usual.played.run, usual.played.possession) != (other.played.run, other.played.possession)
    assert following.played.possession in (usual.played.possession + 1, 0)


def test_even_times_keep_the_ends() -> None:
    replay = replay_possession(small_game(3), SQUAD, run=2, possession=2)
    even = replay.even()
    assert np.allclose(np.diff(even.times_s), 0.05)
    assert np.allclose(even.places_m[0], replay.places_m[0])
    assert np.allclose(even.places_m[-1], replay.places_m[-1])
    for figure in range(6):
        for axis in (0, 1):
            back = np.interp(even.times_s, replay.times_s, replay.places_m[:, figure, axis])
            assert np.allclose(even.places_m[:, figure, axis], back)


@pytest.mark.parametrize("asked", [{"run": 1, "possession": 999}, {"run": 400, "possession": 120}])
def test_a_possession_that_was_not_played_is_refused(asked: dict[str, int]) -> None:
    with pytest.raises(DocumentError, match=f"run {asked['run']} has"):
        replay_possession(small_game(3), SQUAD, **asked)


def test_an_unknown_wish_is_refused() -> None:
    with pytest.raises(DocumentError, match="cannot be looked for"):
        find_possession(small_game(3), SQUAD, "dunk")
    assert "usual" in WANTED


def test_the_json_holds_what_the_board_needs() -> None:
    replay = replay_possession(small_game(3), SQUAD, run=1, possession=1)
    data = replay.to_json()
    times = len(data["times_s"])
    assert (data["run"], data["possession"]) == (1, 1)
    assert set(data["places_m"]) == set(data["players"]) == {"1", "2", "3", "X1", "X2", "X3"}
    assert all(len(path) == times for path in [*data["places_m"].values(), data["ball_m"]])
    assert data["decisions"][0]["options"][0]["worth_points"] >= data["decisions"][0]["options"][-1]["worth_points"]


def test_modes_have_words() -> None:
    """A kind of option that is added to the kernels must be said here too."""
    assert (at.SHOOT, at.DRIVE_LEFT, at.DRIVE_RIGHT, at.HOLD, at.PASS_TO) == (0, 1, 2, 3, 4)
