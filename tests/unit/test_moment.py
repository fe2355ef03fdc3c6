"""Moments: what is read, what is refused, and that every refusal names the place and the mend."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from courtwright.errors import DocumentError, Problem
from courtwright.floor.court import Rules
from courtwright.game.moment import Moment, load_moment, moment_from_json, moment_of, parse_moment
from courtwright.game.starters import starters

SAMPLE = Path(__file__).parents[1] / "data" / "moment-1.json"
Json = dict[str, Any]


def sample(**changes: Any) -> Json:
    data: Json = json.loads(SAMPLE.read_text("utf-8"))
    return data | changes


def figures(index: int | None = None, **changes: Any) -> list[Json]:
    """The sample's figures, one of them changed."""
    items: list[Json] = sample()["figures"]
    if index is not None:
        items[index] = items[index] | changes
    return items


def problems(data: Any) -> list[Problem]:
    with pytest.raises(DocumentError) as refused:
        moment_from_json(data)
    return list(refused.value.problems)


# --- what is read ---------------------------------------------------------------------------------------------------


def test_the_stored_sample_of_version_1_is_still_read() -> None:
    moment = load_moment(SAMPLE)

    assert moment.format == "courtwright.moment/1"
    assert moment.hash.startswith("2958e567")
    assert moment.placed_m()["2"] == pytest.approx((-6.95, 0.0))
    assert moment.attackers == ["1", "2", "3"]
    assert moment.defenders == ["X1", "X2", "X3"]
    assert moment.guards() == {"X1": "1", "X2": "2", "X3": "3"}
    assert moment_from_json(moment.to_json()) == moment


@pytest.mark.parametrize("name", list(starters()))
def test_the_start_of_every_starter_game_is_a_moment(name: str) -> None:
    moment = moment_of(starters()[name])

    assert moment_from_json(moment.to_json()) == moment
    assert moment.ball in moment.attackers


def test_neutral_players_attack_and_may_have_the_ball() -> None:
    moment = moment_from_json(sample(figures=[*figures(), {"figure": "N1", "at": [0, 10]}], ball="N1"))

    assert moment.attackers == ["1", "2", "3", "N1"]


def test_who_guards_whom_as_said_else_by_number_else_the_nearest() -> None:
    items = [
        {"figure": "1", "at": [0, 7]},
        {"figure": "2", "at": [6, 1]},
        {"figure": "3", "at": [-6, 1]},
        {"figure": "X1", "at": [0, 5], "guards": "2"},
        {"figure": "X3", "at": [-4, 1]},
        {"figure": "X5", "at": [0, 6]},
    ]

    assert moment_from_json(sample(figures=items)).guards() == {"X1": "2", "X3": "3", "X5": "1"}


@pytest.mark.parametrize("rules", list(Rules))
def test_spots_follow_the_court(rules: Rules) -> None:
    moment = moment_from_json(sample(court=rules.value))

    assert moment.floor.on_floor(*moment.placed_m()["2"])


# --- what is refused ------------------------------------------------------------------------------------------------

REFUSED: list[tuple[Json, str, str]] = [
    ({"figures": figures(0, at=[9.0, 5.0])}, "figure 1", "stands off the floor"),
    ({"figures": figures(3, at=[0.0, -9.0])}, "figure X1", "stands off the floor"),
    ({"ball": "9"}, "ball", "figure 9 cannot have it"),
    ({"ball": "X1"}, "ball", "figure X1 cannot have it"),
    ({"ball": "4"}, "ball", "figure 4 cannot have it"),
    ({"ball": ["1", "2"]}, "ball", "is not text"),
    ({"figures": [*figures(), {"figure": "C", "at": [0, 10]}], "ball": "C"}, "ball", "figure C cannot have it"),
    ({"figures": figures(3, at=[5.0, 5.1])}, "figure 1", "stands on the same spot as X1"),
    ({"figures": figures()[:3]}, "figures", "there is no defender"),
    ({"figures": [*figures(), figures()[0]]}, "figure 1", "stands in 2 places"),
    ({"figures": figures(3, figure="1", guards=None)}, "figure 1", "stands in 2 places"),
    ({"figures": figures(4, guards="7")}, "figure X2, guards", "there is no attacker 7"),
    ({"figures": figures(0, guards="2")}, "figure 1, guards", "is no defender and guards nobody"),
    ({"figures": figures(3, moving_m_per_s=[20, 0])}, "figure X1, moving_m_per_s along x", "must be at most 9"),
    ({"figures": figures(3, moving_m_per_s=[8, -8])}, "figure X1, moving_m_per_s", "comes to 11.3 m/s"),
    ({"figures": figures(3, at="left nowhere")}, "figure X1, at", "no spot “left nowhere”"),
    ({"figures": figures(3, figure="Z1")}, "figures, entry 4", "no figure “Z1”"),
    ({"held_s": -1}, "held_s", "must be at least 0"),
    ({"name": ""}, "name", "is empty"),
    ({"format": "courtwright.moment/2"}, "format", "newer than this Courtwright reads"),
    ({"speed": 3}, "speed", "is not known here"),
]


@pytest.mark.parametrize(("changes", "place", "said"), REFUSED, ids=[f"{row[1]}: {row[2]}" for row in REFUSED])
def test_an_impossible_moment_is_refused_with_place_and_mend(changes: Json, place: str, said: str) -> None:
    found = problems(sample(**changes))

    assert any(problem.place == place and said in problem.what for problem in found), found
    assert all(problem.mend for problem in found)


@pytest.mark.parametrize("where", ["at", "moving_m_per_s", "held_s"])
@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity"])
def test_what_is_no_number_is_refused(where: str, value: str) -> None:
    data = sample(held_s=0.25) if where == "held_s" else sample(figures=figures(3, **{where: [0.25, 3.1]}))
    text = json.dumps(data).replace("0.25", value)

    with pytest.raises(DocumentError, match="no number"):
        parse_moment(text)


def test_all_problems_are_told_at_once() -> None:
    found = problems(sample(ball="9", figures=figures(0, at=[9.0, 5.0])[:3]))

    assert [problem.place for problem in found] == ["ball", "figures", "figure 1"]


def test_too_many_players_are_refused() -> None:
    """Twelve is what the arrays hold: five, two neutral and five is the most that can stand here."""
    names = [f"{n}" for n in range(1, 6)] + ["N1", "N2"] + [f"X{n}" for n in range(1, 6)]
    full = [{"figure": name, "at": [0.5 * place - 3, 9.0]} for place, name in enumerate(names)]

    assert len(moment_from_json(sample(figures=full)).attackers) == 7
    found = problems(sample(figures=[*full, {"figure": "X6", "at": [0, 1]}]))
    assert [(problem.place, problem.what) for problem in found] == [("figures", "13 players stand on the floor")]


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)
KEYS = st.sampled_from(["figures", "ball", "court", "name", "cue", "held_s", "format"])
INNER = st.sampled_from(["figure", "at", "moving_m_per_s", "guards"])


@settings(max_examples=200, deadline=None)
@given(data=JSON)
def test_anything_at_all_is_refused_with_words(data: Any) -> None:
    assert all(problem.place and problem.what and problem.mend for problem in problems(data))


@settings(max_examples=300, deadline=None)
@given(key=KEYS, value=JSON)
def test_a_moment_with_one_part_spoilt_is_read_or_refused_with_words(key: str, value: Any) -> None:
    read_or_refused(sample(**{key: value}))


@settings(max_examples=300, deadline=None)
@given(index=st.integers(0, 5), key=INNER, value=JSON | st.lists(st.floats(), min_size=2, max_size=2))
def test_a_figure_with_one_part_spoilt_is_read_or_refused_with_words(index: int, key: str, value: Any) -> None:
    read_or_refused(sample(figures=figures(index, **{key: value})))


@settings(max_examples=100, deadline=None)
@given(raw=st.binary(max_size=60))
def test_any_bytes_are_refused_with_words(raw: bytes) -> None:
    with pytest.raises(DocumentError):
        parse_moment(raw)


def read_or_refused(data: Json) -> None:
    try:
        moment = moment_from_json(data)
    except DocumentError:
        assert all(problem.place and problem.what and problem.mend for problem in problems(data))
        return
    assert isinstance(moment, Moment)
    assert moment_from_json(moment.to_json()) == moment
