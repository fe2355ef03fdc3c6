"""Two versions, one setting: differences on common random numbers, their intervals, and what they are called."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from tests.unit.test_trial_kernels import small_game

from courtwright.answers import changed_to, compare_games, compare_trials, setting_of, settings_of, sweep_setting
from courtwright.answers.compare import play_version, say
from courtwright.answers.difference import LEAST, Difference, Verdict, difference
from courtwright.answers.doubts import doubts
from courtwright.answers.sweep import even_values
from courtwright.errors import CancelledError, DocumentError
from courtwright.game.document import Game
from courtwright.game.read import game_from_json, load_game
from courtwright.squad import Player, Squad
from courtwright.trial.histograms import points_reached, possession_lengths
from courtwright.trial.measures import MEASURES, POINTS
from courtwright.trial.parameters import DRAWS
from courtwright.trial.spread import FEWEST_RUNS, mean_error, ratio_deviations, spread_of
from courtwright.vocabulary import Level

SQUAD = Squad(name="s", level=Level.U16, players=tuple(Player(name=f"P{n}") for n in range(8)))
GAME = load_game(Path(__file__).parents[2] / "examples" / "low-mans-call.game.json")
BY_KEY = {measure.key: measure for measure in MEASURES}


# --- luck and what is not known


def test_luck_and_what_is_not_known_are_told_apart() -> None:
    """Made-up runs whose two spreads are known."""
    rng = np.random.default_rng(1)
    found = []
    for _ in range(40):
        sets = rng.normal(0.0, 0.5, DRAWS)
        runs = np.arange(1024)
        spread = spread_of(sets[runs % DRAWS] + rng.normal(0.0, 2.0, len(runs)))
        assert spread is not None
        found.append((spread.luck_sd, spread.sets_sd))
    luck_sd, sets_sd = np.mean(found, axis=0)
    assert luck_sd == pytest.approx(2.0, rel=0.02)
    assert sets_sd == pytest.approx(0.5, rel=0.06)


def test_sets_that_do_not_differ_are_not_said_to() -> None:
    rng = np.random.default_rng(2)
    spreads = [spread_of(rng.normal(0.0, 1.0, 640)) for _ in range(30)]
    assert sum(spread is not None and spread.sets_sd < 0.15 for spread in spreads) >= 24


def test_too_few_runs_are_not_taken_apart() -> None:
    assert spread_of(np.zeros(FEWEST_RUNS - 1)) is None
    assert spread_of(np.zeros(FEWEST_RUNS)) is not None


def test_a_ratio_is_a_mean_of_its_deviations() -> None:
    """The delta method against the scatter of many ratios."""
    rng = np.random.default_rng(3)
    ratios, errors = [], []
    for _ in range(400):
        below = rng.integers(30, 50, 60).astype(float)
        above = rng.binomial(below.astype(int), 0.3).astype(float)
        ratio, deviations = ratio_deviations(above, below)
        assert deviations.mean() == pytest.approx(0.0, abs=1e-12)
        ratios.append(ratio)
        errors.append(mean_error(deviations))
    assert np.mean(errors) == pytest.approx(np.std(ratios), rel=0.1)


def test_the_two_ranges_stand_inside_what_is_possible() -> None:
    trial = play_version(GAME, SQUAD, minutes=10, runs=320, seed=1)
    ranges, said = trial.ranges(), trial.estimates()
    assert {"points", "help_drawn", "turnovers"} <= set(ranges)
    for key, parts in ranges.items():
        for part in parts.values():
            assert part["low"] <= part["high"]
            assert not part["unit"].startswith("share") or 0 <= part["low"] <= part["high"] <= 1
        mean = said[key].mean
        assert mean is not None
        assert parts["parameters"]["low"] <= mean <= parts["parameters"]["high"] or parts["parameters"]["low"] == mean
    assert play_version(GAME, SQUAD, minutes=10, runs=40, seed=1).ranges() == {}


# --- distributions


def test_lengths_are_counted_in_bins_and_told_in_quantiles() -> None:
    counts = np.zeros((2, 49), np.int64)
    counts[0, 4], counts[1, 8], counts[1, 48] = 50, 40, 10  # 2.0 to 2.5 s, 4.0 to 4.5 s, 24 s and more
    lengths = possession_lengths(counts)
    reached = dict(lengths.reached)
    assert reached[0.25] == pytest.approx(2.2, abs=0.06)
    assert reached[0.75] == pytest.approx(4.3, abs=0.06)
    assert sum(share for _, _, share in lengths.bins) == pytest.approx(1.0)
    assert lengths.bins[2] == (2.0, 3.0, 0.5)
    assert "longer than" in lengths.sentence()


def test_possession_lengths_agree_with_the_seconds_played() -> None:
    results = play_version(GAME, SQUAD, minutes=10, runs=60, seed=3).results
    middles_s = 0.5 * (np.arange(results.lengths.shape[1]) + 0.5)
    possessions = results.lengths.sum()
    assert possessions == results.tally[:, 0].sum()
    assert (results.lengths.sum(axis=0) * middles_s).sum() / possessions == pytest.approx(
        results.tally[:, 1].sum() / possessions, abs=0.05
    )


def test_points_reached_are_whole_points_of_runs() -> None:
    assert points_reached(np.array([1.0, 2.0, 3.0, 4.0, 10.0]))[2] == (0.5, 3.0)


def test_a_run_is_the_same_whatever_their_number() -> None:
    long, short = (play_version(GAME, SQUAD, minutes=8, runs=runs, seed=5) for runs in (24, 9))
    for one, other in zip(long.results.first(9), short.results, strict=True):
        assert np.array_equal(np.asarray(one), np.asarray(other))


# --- differences


def told(change: float, reach: float, agree: float | None = None, key: str = "points") -> Verdict:
    return Difference(BY_KEY[key], 1.0, 1.0 + change, change - reach, change + reach, agree).verdict


def test_what_a_difference_is_called() -> None:
    assert LEAST[POINTS] == 0.03
    assert told(0.01, 0.01) is Verdict.NONE
    assert told(0.10, 0.04) is Verdict.UP
    assert told(-0.10, 0.04) is Verdict.DOWN
    assert told(0.02, 0.04) is Verdict.UNTOLD, "it may be nothing, and it may be more than nothing"
    assert told(0.05, 0.06) is Verdict.UNTOLD
    assert told(0.025, 0.01) is Verdict.NONE, "sure, and slight"
    assert told(0.025, 0.024) is Verdict.NONE
    assert told(0.10, 0.04, agree=0.7) is Verdict.UNTOLD, "it turns on what is not known"
    assert told(0.10, 0.04, agree=0.9) is Verdict.UP
    assert told(0.015, 0.004, key="scored") is Verdict.NONE
    assert told(0.10, math.inf) is Verdict.UNTOLD


def test_a_game_does_not_differ_from_itself() -> None:
    same = compare_games(GAME, GAME, SQUAD, runs=20)
    assert {item.verdict for item in same.differences} == {Verdict.NONE}
    assert same.sentences() == [f"No difference in any of {len(same.differences)} measures."]


def test_the_other_way_round_the_signs_turn() -> None:
    other = changed_to(GAME, "gap X1", 4.0)
    there, back = (compare_games(*pair, SQUAD, runs=60) for pair in ((GAME, other), (other, GAME)))
    for one, two in zip(there.differences, back.differences, strict=True):
        assert one.change == pytest.approx(-two.change)
        assert one.low == pytest.approx(-two.high)


def test_common_random_numbers_narrow_the_difference() -> None:
    """Against the same two trials on numbers of their own; at least by a third in variance, for most measures."""
    other = changed_to(GAME, "gap X1", 2.0)
    base, near = (play_version(game, SQUAD, minutes=10, runs=256, seed=1) for game in (GAME, other))
    gains = []
    for measure in MEASURES:
        if measure.said(base.results) and measure.said(near.results):
            (_, one), (_, two) = measure.deviations(base.results), measure.deviations(near.results)
            gains.append((one.var() + two.var()) / (two - one).var())
    assert np.median(gains) > 1.5


def test_a_distance_moves_what_it_should_and_the_sentence_says_it() -> None:
    """Dropping the rule against threes is beyond doubt: more shots from there."""
    bare = small_game(3)
    barred = Game.model_validate(bare.to_json() | {"constraints": [{"rule": "no threes"}]})
    moved = compare_games(barred, bare, SQUAD, runs=64)
    threes = next(item for item in moved.differences if item.measure.key == "three_share")
    assert threes.verdict is Verdict.UP
    assert threes.low > 0.1
    assert any("hots beyond the arc" in line and "up" in line for line in moved.sentences())


def test_measures_with_too_little_to_say_are_left_out() -> None:
    first, second = (play_version(GAME, SQUAD, minutes=2, runs=20, seed=1) for _ in range(2))
    assert difference(BY_KEY["charges"], first.results, second.results) is None
    assert "charges drawn" in compare_trials(first, second).left_out


def test_trials_that_were_not_played_alike_are_not_compared() -> None:
    first, second = (play_version(GAME, SQUAD, minutes=2, runs=8, seed=seed) for seed in (1, 2))
    with pytest.raises(ValueError, match="same squad"):
        compare_trials(first, second)


def test_few_pairs_have_no_interval_and_no_verdict() -> None:
    few = compare_games(GAME, changed_to(GAME, "gap X1", 4.0), SQUAD, runs=4)
    data = few.to_json()
    assert all(row["low"] is None for row in data["differences"] if row["change"])
    assert {row["verdict"] for row in data["differences"] if row["change"]} == {"cannot tell"}


def test_points_come_first_in_what_is_said() -> None:
    rows = [
        Difference(BY_KEY["help_drawn"], 0.2, 0.6, 0.38, 0.42, None),
        Difference(BY_KEY["points"], 0.7, 0.8, 0.06, 0.14, None),
        Difference(BY_KEY["passes"], 1.0, 1.1, 0.05, 0.15, 0.6),
        Difference(BY_KEY["length"], 5.0, 5.1, 0.05, 0.15, None),
    ]
    lines = say(rows)
    assert (
        lines[0] == "Points of the offence: up from 0.70 to 0.80 points per possession (+0.10, likely +0.06 to +0.14)."
    )
    assert lines[1] == "Help drawn: up from 20 % to 60 % of possessions (+40, likely +38 to +42)."
    assert lines[2] == "No difference: length of a possession."
    assert lines[3] == "The trial cannot tell: passes (turns on assumptions)."


# --- settings


def test_every_setting_takes_its_usual_values() -> None:
    for setting in settings_of(GAME):
        assert setting.usual(), setting.key
        for value in setting.usual():
            assert isinstance(changed_to(GAME, setting.key, value), Game)


def test_a_gap_that_is_offered_stays_on_the_floor() -> None:
    """A defender behind his man, near the end of the floor: what is offered can be played as it is."""
    moved = GAME.to_json()
    moved["start"]["placements"] = [
        {**item, "at": [2.3, 10.9]} if item["figure"] == "X1" else item for item in moved["start"]["placements"]
    ]
    game = game_from_json(moved)
    gap = next(setting for setting in settings_of(game) if setting.key == "gap X1")

    for value in gap.usual():
        assert game.floor.on_floor(*changed_to(game, "gap X1", value).placed_m()["X1"])
    assert gap.most < 9


@pytest.mark.parametrize("gap_m", [0.5, 2.0, 4.5])
def test_a_gap_is_set_along_the_line_to_his_man(gap_m: float) -> None:
    game = changed_to(GAME, "gap X1", gap_m)
    places, before = game.placed_m(), GAME.placed_m()
    man = GAME.guards()["X1"]
    assert math.dist(places["X1"], places[man]) == pytest.approx(gap_m, abs=0.002)
    towards = np.subtract(before["X1"], before[man])
    assert np.dot(np.subtract(places["X1"], places[man]), towards) == pytest.approx(
        gap_m * float(np.hypot(*towards)), abs=0.01
    )
    assert {figure: place for figure, place in places.items() if figure != "X1"} == {
        figure: place for figure, place in before.items() if figure != "X1"
    }


def test_limits_points_and_words_are_set() -> None:
    limit = next(item for item in changed_to(GAME, "dribbles", 1).constraints if item.rule == "dribbles")
    assert limit.limit == 1
    assert all(item.rule != "dribbles" for item in changed_to(GAME, "dribbles", "none").constraints)
    added = next(item for item in changed_to(GAME, "passes first", 2).constraints if item.rule == "passes first")
    assert added.limit == 2
    assert next(item for item in changed_to(GAME, "points for steal", 2).points if item.rule == "steal").points == 2
    assert changed_to(GAME, "help", "dribble 2").help == "dribble 2"
    assert changed_to(GAME, "reset", "12").ending.reset_s == 12
    assert changed_to(GAME, "/ending/reset_s", 4).ending.reset_s == 4
    assert changed_to(GAME, setting_of(GAME, "dribbles").key, 3).hash == GAME.hash


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("flying", 1, "is no setting of this game"),
        ("dribbles", "many", "is no value of"),
        ("dribbles", 40, "0 to 9"),
        ("/no/such", 1, "is not in this game"),
        ("/ending/reset_s", 99, "60"),
        ("help", "whenever", "is no value of"),
    ],
)
def test_what_cannot_be_set_is_refused(key: str, value: float | str, says: str) -> None:
    with pytest.raises(DocumentError, match=says):
        changed_to(GAME, key, value)


# --- sweeps


def test_a_sweep_holds_every_value_against_the_game_as_it_is() -> None:
    swept = sweep_setting(GAME, SQUAD, "dribbles", [1, 3, "none"], measure="drives", runs=48)
    one, now, without = swept.points
    assert now.apart is None
    assert [point.value for point in swept.points] == [1, 3, "none"]
    base = play_version(GAME, SQUAD, minutes=10, runs=48, seed=0)
    assert now.mean == pytest.approx(base.estimates()["drives"].mean, abs=1e-4)
    assert one.apart is not None
    assert without.apart is not None
    assert one.mean is not None
    assert one.apart.change == pytest.approx(one.mean - (now.mean or 0))
    data = swept.to_json()
    assert data["points"][1]["verdict"] is None
    assert data["points"][0]["low"] < data["points"][0]["mean"] < data["points"][0]["high"]
    assert swept.sentences()[0].startswith("Drives: from ")


def test_a_sweep_tells_how_far_it_is_and_stops_when_asked() -> None:
    seen: list[tuple[int, int]] = []
    sweep_setting(GAME, SQUAD, "dribbles", [0, 1], runs=16, minutes=2, progress=lambda *told: seen.append(told))
    assert seen[-1] == (48, 48)
    assert seen == sorted(seen)
    with pytest.raises(CancelledError):
        sweep_setting(GAME, SQUAD, "dribbles", [0, 1], runs=16, minutes=2, cancelled=lambda: True)


@pytest.mark.parametrize(
    ("values", "measure", "says"),
    [([], "points", "0 values"), (list(range(13)), "points", "13 values"), ([1], "joy", "no measure")],
)
def test_a_sweep_that_makes_no_sense_is_refused(values: list[float], measure: str, says: str) -> None:
    with pytest.raises(DocumentError, match=says):
        sweep_setting(GAME, SQUAD, "dribbles", values, measure=measure, runs=2)


def test_even_values_hold_both_ends() -> None:
    assert even_values(1, 5, 5) == [1, 2, 3, 4, 5]
    assert even_values(0.3, 1.0, 2) == [0.3, 1.0]


# --- what the trial is known not to tell


def with_dribbles(limit: int | None) -> Game:
    rules = [item for item in GAME.to_json()["constraints"] if item["rule"] != "dribbles"]
    rules += [] if limit is None else [{"rule": "dribbles", "limit": limit}]
    return game_from_json(GAME.to_json() | {"constraints": rules})


def test_what_no_dribble_is_worth_cannot_be_told_and_says_why() -> None:
    found = compare_games(with_dribbles(1), with_dribbles(0), SQUAD, minutes=2, runs=16)

    assert found.sentences()[0].startswith("The trial cannot tell what a game without dribbles is worth: ")
    by_key = {item.measure.key: item for item in found.differences}
    assert by_key["points"].verdict is Verdict.UNTOLD
    assert by_key["points"].to_json()["doubted"]
    assert by_key["passes"].verdict is Verdict.UNTOLD
    assert {key for key, item in by_key.items() if item.doubted} == {"points", "passes"}
    assert [doubt.what for doubt in doubts(with_dribbles(None), with_dribbles(0))] == [
        "what a game without dribbles is worth",
        "whether a game without dribbles brings more passes",
    ]
    assert doubts(with_dribbles(None), with_dribbles(1)) == []
    assert doubts(with_dribbles(0), with_dribbles(0)) == []


def test_a_sweep_says_what_cannot_be_told_between_its_values() -> None:
    game = with_dribbles(2)
    told = sweep_setting(game, SQUAD, "dribbles", [0, 1], minutes=2, runs=16)
    assert told.sentences()[0].startswith("The trial cannot tell what a game without dribbles")
    other = sweep_setting(game, SQUAD, "dribbles", [0, 1], measure="help_drawn", minutes=2, runs=16)
    assert other.doubts == ()
    single = sweep_setting(with_dribbles(1), SQUAD, "dribbles", [0], minutes=2, runs=16)
    assert single.points[0].apart is not None
    assert single.points[0].apart.verdict is Verdict.UNTOLD


def test_rotation_and_equal_baskets_are_doubted() -> None:
    rotating = game_from_json(GAME.to_json() | {"rotation": True})
    (doubt,) = doubts(GAME, rotating)
    assert doubt.what == "whether it pays the defence to rotate behind the helper"

    flat = game_from_json(GAME.to_json() | {"points": [{"rule": "basket", "points": 1}]})
    moved = changed_to(flat, "gap X1", 4.0)
    (doubt,) = doubts(flat, moved)
    assert {"drives", "help_drawn"} <= doubt.measures
    assert doubts(GAME, changed_to(GAME, "gap X1", 4.0)) == []
    assert doubts(flat, flat) == []
