"""Words: every one can be written and read back, and nothing else is taken for one."""

from __future__ import annotations

import math
from collections.abc import Callable
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from courtwright.errors import WordError
from courtwright.floor.court import Rules
from courtwright.vocabulary import (
    SPOTS,
    Cost,
    Evidence,
    Fact,
    FactKind,
    Flank,
    HybridTime,
    Level,
    Side,
    Spot,
    SpotName,
    Token,
    TurnoverKind,
    Zone,
    format_clock,
    format_length,
    parse_length_m,
)

WORDS = (Cost, Evidence, FactKind, Flank, Level, Rules, Side, SpotName, TurnoverKind, Zone)
TOKENS = ["1", "2", "3", "4", "5", "X1", "X5", "N1", "N2", "C"]
names = st.text(min_size=1, max_size=12)
counts = st.integers(0, 10**9)


@pytest.mark.parametrize("words", WORDS)
def test_every_word_reads_back(words: Any) -> None:
    for word in words:
        assert words(word.value) is word


@pytest.mark.parametrize("spot", SPOTS, ids=str)
def test_spots_read_back_in_any_writing(spot: Spot) -> None:
    assert Spot.parse(str(spot)) == spot
    assert Spot.parse(f" {str(spot).upper().replace(' ', '-')} ") == spot
    assert spot.mirrored().mirrored() == spot


@pytest.mark.parametrize("text", TOKENS)
def test_figures_read_back(text: str) -> None:
    assert str(Token.parse(text.lower())) == text


@pytest.mark.parametrize("level", list(Level))
def test_levels_and_courts_read_in_any_case(level: Level) -> None:
    assert Level.parse(f" {level.value.upper()} ") is level
    assert Rules.parse("FIBA-3x3") is Rules.FIBA_3X3


@pytest.mark.parametrize("parse", [Spot.parse, Token.parse, Level.parse, Rules.parse, parse_length_m, HybridTime.parse])
@given(text=st.text(max_size=20))
def test_other_text_is_refused_with_words(parse: Callable[[str], object], text: str) -> None:
    with suppress(WordError):  # nothing but this error comes out of any text
        parse(text)


@pytest.mark.parametrize(
    ("text", "length_m"),
    [
        ("4.5", 4.5),
        ("4,5 m", 4.5),
        ("172 cm", 1.72),
        ("15 ft 9 in", 4.8006),
        ("15'9\"", 4.8006),
        ("22 ft 1.75 in", 6.75005),
        ("63 in", 1.6002),
    ],
)
def test_lengths(text: str, length_m: float) -> None:
    """The foot is 0.3048 m and the inch 0.0254 m exactly (international agreement of 1959)."""
    assert math.isclose(parse_length_m(text), length_m, abs_tol=1e-9)


@given(st.floats(0, 99, allow_nan=False))
def test_lengths_come_back_in_feet_and_metres(length_m: float) -> None:
    assert abs(parse_length_m(format_length(length_m)) - length_m) <= 0.005 + 1e-9
    assert abs(parse_length_m(format_length(length_m, feet=True)) - length_m) <= 0.0254 / 4 + 1e-9


def test_a_clock() -> None:
    assert [format_clock(seconds) for seconds in (0, 59.4, 59.6, 402)] == ["0:00", "0:59", "1:00", "6:42"]


times = st.builds(HybridTime, st.integers(0, 2**43), st.integers(0, 10**6))


@given(times)
def test_hybrid_times_read_back(time: HybridTime) -> None:
    assert HybridTime.parse(str(time)) == time


@given(times, times, st.integers(0, 2**43))
def test_the_next_time_is_after_all_that_was_seen(mine: HybridTime, seen: HybridTime, now_ms: int) -> None:
    """Hybrid logical clocks (Kulkarni et al. 2014): later than both, and never behind the wall."""
    after = mine.next(now_ms, seen)

    assert (after.wall_ms, after.counter) > (mine.wall_ms, mine.counter)
    assert (after.wall_ms, after.counter) > (seen.wall_ms, seen.counter)
    assert after.wall_ms >= now_ms


facts = st.builds(
    Fact,
    event_id=names,
    device=names,
    sequence=counts,
    time=times,
    run_id=names,
    possession=counts,
    turn=counts,
    game_id=names,
    game_hash=names,
    kind=st.sampled_from(FactKind),
    detail=st.dictionaries(names, st.none() | st.booleans() | counts | names, max_size=3),
)


@given(facts)
def test_facts_read_back(fact: Fact) -> None:
    assert Fact.from_json(fact.to_json()) == fact


@given(st.lists(facts, max_size=8), st.randoms())
def test_the_order_of_facts_does_not_depend_on_arrival(log: list[Fact], chance: Any) -> None:
    shuffled = list(log)
    chance.shuffle(shuffled)

    def order(fact: Fact) -> tuple[int, int, int, str, int]:
        return fact.order

    assert [order(fact) for fact in sorted(shuffled, key=order)] == sorted(map(order, log))


@pytest.mark.parametrize("data", [{}, {"time": "1.0"}, {"time": "x", "kind": "make"}, {"time": "1.0", "kind": "dunk"}])
def test_what_is_no_fact_is_refused(data: dict[str, Any]) -> None:
    with pytest.raises(WordError):
        Fact.from_json(data)


@pytest.mark.parametrize(("name", "flank"), [(SpotName.NAIL, Flank.LEFT), (SpotName.CORNER, Flank.MIDDLE)])
def test_a_spot_takes_a_side_or_does_not(name: SpotName, flank: Flank) -> None:
    with pytest.raises(WordError):
        Spot(name, flank)
