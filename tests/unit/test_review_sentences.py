"""Sentences: singular and plural, names, signs, and no claim where the range crosses the line."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from courtwright.review.effects import Effect, plan
from courtwright.review.events import Coverage
from courtwright.review.findings import NOTHING, Candidate, choose, difference, effect_p, sentences, share_p
from courtwright.review.forecast import Verdict
from courtwright.review.intervals import Interval
from courtwright.review.rates import rates
from courtwright.review.ratings import Order
from courtwright.review.sentences import (
    count_line,
    counted,
    counts_line,
    coverage_line,
    difference_line,
    effect_line,
    forecast_line,
    order_line,
    rate_line,
    streak_line,
)
from courtwright.review.streaks import Streak
from courtwright.vocabulary import Side


@pytest.mark.parametrize(
    ("count", "said"), [(0, "0 chances"), (1, "1 chance"), (2, "2 chances")], ids=["none", "one", "two"]
)
def test_singular_and_plural(count: int, said: str) -> None:
    assert counted(count, "chance") == said


def test_how_much_was_told() -> None:
    told = Coverage(played=104, scored=96, again=3, possessions=90, chances=101, tagged=41)
    assert coverage_line(told) == (
        "Scored 96 of 104 possessions, tagged 41. 3 of them were run again from a frozen moment: shown, not counted."
    )
    assert coverage_line(told, "low man").startswith("Scored 96 of 104 possessions, low man watched for in 41.")
    one = Coverage(played=1, scored=1, again=1, possessions=1, chances=1, tagged=0)
    assert coverage_line(one).startswith("Scored 1 of 1 possession, tagged 0. 1 of them was run again")
    assert counts_line(one).startswith("1 possession until the ball changed side, 1 chance until")
    assert coverage_line(Coverage(0, 0, 0, 0, 0, 0)) == "Nothing was played yet."


def test_a_rate_says_what_was_seen_and_what_is_likely() -> None:
    told = rates({"Ada": (7, 10), "Bex": (3, 10), "Cleo": (0, 0)})
    assert rate_line("Ada", "tag low man", told["Ada"]).startswith("Ada: tag low man, 7 of 10; likely ")
    assert rate_line("Cleo", "tag low man", told["Cleo"]) == "Cleo: no tag low man told yet."


@pytest.mark.parametrize(("count", "times"), [(0, "not once"), (1, "once"), (2, "twice"), (3, "3 times")])
def test_counts_without_a_denominator_say_so(count: int, times: str) -> None:
    line = count_line("Ada", "steal", count)
    assert line == f"Ada: steal told {times}; nobody counts how often it could have been."


@given(st.floats(0, 1))
def test_an_order_is_claimed_only_from_nine_in_ten(probability: float) -> None:
    line = order_line(Order("Ada", "Bex", Side.DEFENCE, probability))
    if probability >= 0.9:
        assert line.startswith("Ada likely does better than Bex in defence")
    elif 1 - probability >= 0.9:
        assert line.startswith("Bex likely does better than Ada in defence")
    else:
        assert line == "Too early to say whether Ada or Bex does better in defence."
    assert "100 in 100" not in line


@given(st.integers(1, 60), st.integers(1, 60), st.data())
def test_no_difference_is_claimed_where_the_range_crosses_the_line(of: int, since_of: int, data: st.DataObject) -> None:
    before = (data.draw(st.integers(0, of)), of)
    since = (data.draw(st.integers(0, since_of)), since_of)
    asked = difference("tag low man", before, since)
    claims = " in 100 " in asked.says
    assert claims == asked.clear
    assert ("chance alone" in asked.says) != claims
    if claims:
        more = since[0] / since[1] > before[0] / before[1]
        assert ("more." in asked.says) == more
        assert "not an effect" in asked.says
        assert "-" not in asked.says


def test_a_difference_by_hand() -> None:
    line = difference_line("tag low man", (12, 40), (30, 40), Interval(0.26, 0.59))
    assert line == ("tag low man: 12 of 40 before, 30 of 40 since: 26 to 59 in 100 more. A difference, not an effect.")
    line = difference_line("tag low man", (30, 40), (12, 40), Interval(-0.59, -0.26))
    assert "26 to 59 in 100 fewer" in line


def test_effects_are_claimed_or_what_is_needed_is_said() -> None:
    planned = plan(0.3, 1.12)
    found = Effect(400, -0.4, Interval(-0.7, -0.1), 0.001)
    assert effect_line("dribbles", found, planned, 40) == (
        "With “dribbles” the attack has 0.10 to 0.70 points a possession fewer, at this look and any other."
    )
    early = Effect(planned.blocks - 1, 0.1, Interval(-0.2, 0.5), 0.4)
    assert effect_line("dribbles", early, planned, 40).endswith(
        "2 more possessions (1 practice) would likely show 0.3 points a possession."
    )
    nothing = Effect(planned.blocks, 0.0, Interval(-0.3, 0.3), 0.9)
    assert "cannot be told" in effect_line("dribbles", nothing, planned, 40)
    empty = Effect(0, 0.0, Interval(-math.inf, math.inf), 1.0)
    assert "cannot be told" in effect_line("dribbles", empty, planned, 40)


@pytest.mark.parametrize(
    ("gain", "runs", "said"),
    [
        (Interval(0.1, 0.5), 9, "were better than the last 5 runs"),
        (Interval(-0.1, 0.5), 9, "were no better than the last 5 runs"),
        (Interval(-0.5, -0.1), 9, "were worse than the last 5 runs"),
        (Interval(0.1, 0.5), 1, "too few to say; 1 of 1 run came"),
    ],
)
def test_forecasts(gain: Interval, runs: int, said: str) -> None:
    told = Verdict(runs, 1.0, 1.2, 0.17, gain, runs, Interval(0.6, 1.0))
    assert said in forecast_line("points", told)


def test_streaks_are_held_against_chance_in_a_row_like_this() -> None:
    assert "no sign of streaks" in streak_line("Ada", Streak(0.45, 0.42, Interval(0.3, 0.5), 0.4))
    assert "streakier" in streak_line("Ada", Streak(0.7, 0.42, Interval(0.3, 0.5), 0.02))
    assert streak_line("Ada", None) == "Ada: too few shots to speak of streaks."


# --- findings


def asked(p: float, low: float = 0.1, about: str = "x") -> Candidate:
    return Candidate(about, p, Interval(low, 0.5), 0.0, f"{about} says.", {})


def test_at_most_three_findings_and_only_clear_ones() -> None:
    named = choose([asked(0.001 * number, about=str(number)) for number in range(1, 9)])
    assert [one.about for one in named] == ["1", "2", "3"]
    assert choose([asked(0.0001, low=-0.1)]) == []
    assert choose([asked(0.2)]) == []
    assert sentences([]) == [NOTHING]
    assert sentences(named) == ["1 says.", "2 says.", "3 says."]


def test_many_dull_questions_raise_the_bar() -> None:
    assert choose([asked(0.04)])
    assert not choose([asked(0.04), *(asked(0.9) for _ in range(9))])


def test_p_of_two_shares() -> None:
    """15 of 25 against 8 of 25: z 1.986, p .0470 (statsmodels 0.15.0)."""
    assert round(share_p((15, 25), (8, 25)), 4) == 0.0470
    assert share_p((0, 5), (0, 9)) == 1.0
    assert effect_p([], 0.1) == 1.0


def test_a_finding_without_ends_is_plain_json() -> None:
    told = Candidate("x", 1.0, Interval(-math.inf, math.inf), 0.0, "", {}).to_json()
    assert told["range"] == [None, None]
