"""What must hold for every game, and for every text that is none."""

from __future__ import annotations

import json
import random
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.strategies import JSON, games

from courtwright.errors import DocumentError
from courtwright.game.check import problems_of
from courtwright.game.document import FORMAT, Form, Game, Step
from courtwright.game.read import apply_step, game_from_json, load_game, parse_game
from courtwright.game.schema import game_schema
from courtwright.game.starters import starters

SCHEMA = jsonschema.Draft202012Validator(game_schema())


def check_told(error: DocumentError) -> None:
    """Each problem has its place, its words and a mend."""
    assert all(problem.place and problem.what and problem.mend for problem in error.problems)


@given(games())
def test_document_to_file_to_document(tmp_path_factory: pytest.TempPathFactory, game: Game) -> None:
    path = tmp_path_factory.mktemp("games") / "a.game.json"
    path.write_text(json.dumps(game.to_json(), ensure_ascii=False), "utf-8")

    again = load_game(path)

    assert again == game
    assert again.hash == game.hash


@given(games(), st.randoms(use_true_random=False))
def test_hash_is_blind_to_key_order_and_omitted_defaults(game: Game, order: random.Random) -> None:
    short = json.loads(game.model_dump_json(exclude_defaults=True)) | {"format": FORMAT}

    assert game_from_json(shuffled(short, order)).hash == game.hash
    assert game_from_json(shuffled(game.to_json(), order)).hash == game.hash


def shuffled(data: Any, order: random.Random) -> Any:
    if isinstance(data, dict):
        keys = list(data)
        order.shuffle(keys)
        return {key: shuffled(data[key], order) for key in keys}
    return [shuffled(item, order) for item in data] if isinstance(data, list) else data


@given(games(), games())
def test_hash_names_the_content(one: Game, other: Game) -> None:
    assert (one.hash == other.hash) == (one == other)


@given(games())
def test_every_sound_game_fits_the_schema(game: Game) -> None:
    assert problems_of(game) == []
    SCHEMA.validate(game.to_json())


@given(games())
def test_changed_forms_are_sound_games_without_forms(game: Game) -> None:
    steps: list[Step | Form] = [*game.easier, *game.harder, *game.forms]
    for step in steps:
        changed = apply_step(game, step)
        assert (changed.easier, changed.harder, changed.forms) == ((), (), ())
        assert changed.sides == game.sides


@given(games())
def test_everyone_guards_somebody_and_stands_somewhere(game: Game) -> None:
    figures = game.sides.figures
    attackers = [figure for figure in figures if figure[0] not in "XC"]
    for variant in (None, *range(len(game.start.variants))):
        assert set(game.placed_m(variant)) == set(game.vary_m(variant)) == set(figures)
    guards = game.guards()
    assert list(guards) == [figure for figure in figures if figure[0] == "X"]
    assert set(guards.values()) <= set(attackers)
    if all(item.guards is None for item in game.start.placements):
        assert len(set(guards.values())) == min(len(guards), len(attackers)), "nobody is left alone without need"


@given(st.text() | st.binary())
def test_any_text_is_refused_with_a_document_error(raw: str | bytes) -> None:
    with pytest.raises(DocumentError) as caught:
        parse_game(raw)
    check_told(caught.value)


def garbled(data: Any, draw: st.DrawFn) -> Any:
    """The data with one part, somewhere, replaced by garbage or given a stranger."""
    if isinstance(data, dict) and data and draw(st.integers(0, 3)):
        key = draw(st.sampled_from(sorted(data)))
        return data | {key: garbled(data[key], draw)}
    if isinstance(data, list) and data and draw(st.integers(0, 3)):
        index = draw(st.integers(0, len(data) - 1))
        return [*data[:index], garbled(data[index], draw), *data[index + 1 :]]
    garbage = draw(JSON)
    return data | {draw(st.text(max_size=5)): garbage} if isinstance(data, dict) and draw(st.booleans()) else garbage


@st.composite
def nearly_games(draw: st.DrawFn) -> Any:
    """A starter game with up to three parts replaced by anything."""
    data: Any = draw(st.sampled_from([game.to_json() for game in starters().values()]))
    for _ in range(draw(st.integers(1, 3))):
        data = garbled(data, draw)
    return data


@given(nearly_games())
def test_garbage_in_a_game_never_crashes_and_never_passes(data: Any) -> None:
    try:
        game = game_from_json(data)
    except DocumentError as error:
        check_told(error)
    else:
        SCHEMA.validate(game.to_json())
        assert game_from_json(game.to_json()) == game


@given(JSON)
def test_any_json_is_refused_with_a_document_error(data: Any) -> None:
    with pytest.raises(DocumentError):
        game_from_json(data)
