"""Ratings from logs: who is ahead is found with enough of them, and "too early" is said before."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from tests.logs import NAMES

from courtwright.errors import WordError
from courtwright.review import rows as at
from courtwright.review.events import Log
from courtwright.review.ratings import Order, rate_players
from courtwright.vocabulary import Side


def mixed_log(possessions: int, attack: dict[str, float], defend: dict[str, float], seed: int = 0) -> Log:
    """Possessions of three against three, drawn anew each time, where players add and take so many points."""
    rng = np.random.default_rng(seed)
    rows = np.zeros((possessions, len(at.POSSESSION)), np.int32)
    rows[:, at.CHAIN] = np.arange(possessions)
    rows[:, [at.SCORED, at.COUNTS, at.CLOSES, at.CHANCES]] = 1
    turns = []
    for row in range(possessions):
        on = rng.permutation(len(NAMES))[:6]
        expected = (
            0.9 + sum(attack.get(NAMES[who], 0) for who in on[:3]) - sum(defend.get(NAMES[who], 0) for who in on[3:])
        )
        rows[row, at.PLAIN] = 2 * (rng.random() < min(max(expected / 2, 0), 1))
        turns += [(row, who, place >= 3, 0) for place, who in enumerate(on)]
    none = np.zeros(possessions, np.int64)
    shared: dict[str, Any] = {"run": none, "game": none, "practice": none}
    return Log(
        players=NAMES,
        words=(),
        spots=("top",),
        games=("any",),
        practices=("2026-11-02",),
        forms=((),),
        tags=(),
        runs=("run-1",),
        possessions=rows,
        watched=np.zeros((possessions, 0), np.bool_),
        turns=np.array(turns, np.int32),
        told=np.zeros((0, len(at.TOLD)), np.int32),
        **shared,
    )


def test_a_practice_is_too_early_and_many_tell() -> None:
    attack, defend = {"Ada": 0.4}, {"Bex": 0.4}
    early = rate_players(mixed_log(40, attack, defend)).order("Cleo", "Dot", Side.OFFENCE)
    assert early.ahead == ""
    late = rate_players(mixed_log(3000, attack, defend))
    assert late.order("Ada", "Dot", Side.OFFENCE).ahead == "Ada"
    assert late.order("Dot", "Ada", Side.OFFENCE).ahead == "Ada"
    assert late.order("Bex", "Dot", Side.DEFENCE).ahead == "Bex"
    assert late.of("Ada", Side.OFFENCE).likely.low > 0
    assert late.of("Ada", Side.DEFENCE).likely.holds(0)


def test_players_who_do_not_differ_are_seldom_put_in_order() -> None:
    """At nine in ten, two in ten of level pairs would be put in order; the prior makes that far fewer."""
    told = [
        rate_players(mixed_log(150, {}, {}, seed), draws=1000).order(one, other, Side.OFFENCE).ahead
        for seed in range(20)
        for one, other in zip(NAMES[:6:2], NAMES[1:6:2], strict=True)
    ]
    assert sum(map(bool, told)) <= 6


def test_a_rating_says_its_turns_and_range_and_strangers_are_named() -> None:
    log = mixed_log(60, {}, {})
    ratings = rate_players(log)
    told = ratings.of("Ada", Side.DEFENCE).to_json()
    assert told["turns"] == sum(1 for _, who, defends, _ in log.turns.tolist() if NAMES[who] == "Ada" and defends)
    assert told["likely"][0] < told["points_per_possession"] < told["likely"][1]
    with pytest.raises(WordError, match="Zed"):
        ratings.of("Zed", Side.OFFENCE)


def test_what_a_line_up_is_expected_to_score() -> None:
    ratings = rate_players(mixed_log(3000, {"Ada": 0.4}, {}))
    with_ada = ratings.expected(["Ada", "Bex", "Cleo"], ["Dot", "Effie", "Fern"]).mean()
    without = ratings.expected(["Gus", "Bex", "Cleo"], ["Dot", "Effie", "Fern"]).mean()
    assert 0.2 < with_ada - without < 0.6


@pytest.mark.parametrize(("probability", "ahead"), [(0.9, "Ada"), (0.89, ""), (0.5, ""), (0.11, ""), (0.1, "Bex")])
def test_an_order_is_given_from_nine_in_ten_on(probability: float, ahead: str) -> None:
    assert Order("Ada", "Bex", Side.OFFENCE, probability).ahead == ahead
