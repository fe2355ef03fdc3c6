"""The JSON Schema, judged by a library that is not ours."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.points import POINT_RULES
from courtwright.game.schema import game_schema
from courtwright.game.starters import starters

ROOT = Path(__file__).parents[2]
FILES = [*sorted((ROOT / "examples").glob("*.game.json")), ROOT / "tests" / "data" / "game-1.json"]
GAME = starters()["low-mans-call"].to_json()
VALIDATOR = jsonschema.Draft202012Validator(game_schema())


def test_it_is_a_schema_of_draft_2020_12() -> None:
    schema = game_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"] == "courtwright.game/1"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_every_shipped_file_fits(path: Path) -> None:
    VALIDATOR.validate(json.loads(path.read_text("utf-8")))


@pytest.mark.parametrize("key", starters())
def test_every_starter_with_its_defaults_written_out_fits(key: str) -> None:
    VALIDATOR.validate(starters()[key].to_json())


@pytest.mark.parametrize(
    "change",
    [
        {"format": "courtwright.game/2"},
        {"name": ""},
        {"court": "moon"},
        {"sides": {"offence": 6, "defence": 3}},
        {"sides": {"offence": "3", "defence": 3}},
        {"start": {"placements": [{"figure": "1", "at": "mars"}], "ball": "1"}},
        {"start": {"placements": [{"figure": "1", "at": [1]}], "ball": "1"}},
        {"start": {"placements": [{"figure": "Z", "at": [1, 2]}], "ball": "1"}},
        {"constraints": [{"rule": "steps"}]},
        {"points": [{"rule": "stop", "points": 11}]},
        {"cues": ["a", "b", "c", "d", "e"]},
        {"colour": "blue"},
    ],
    ids=str,
)
def test_what_does_not_fit(change: dict[str, Any]) -> None:
    assert not VALIDATOR.is_valid(GAME | change)


def test_the_format_must_be_named() -> None:
    assert not VALIDATOR.is_valid({name: value for name, value in GAME.items() if name != "format"})


def test_the_registers_are_spelled_out() -> None:
    parts = game_schema()["$defs"]
    for part, register in (("Constraint", CONSTRAINTS), ("PointRule", POINT_RULES)):
        rule = parts[part]["properties"]["rule"]
        assert rule["enum"] == list(register)
        assert [line.split(": ")[0] for line in rule["description"].splitlines()] == list(register)
    assert "dribbles: 3 dribbles at most" in parts["Constraint"]["properties"]["rule"]["description"]


def test_units_stand_in_the_name_or_the_description() -> None:
    """Every number of the document says what it counts."""
    plain = {"offence", "defence", "neutral", "passes", "points", "players", "baskets", "weight", "limit", "minutes"}
    for part in [game_schema(), *game_schema()["$defs"].values()]:
        for name, field in part.get("properties", {}).items():
            kinds = {field.get("type"), *(choice.get("type") for choice in field.get("anyOf", []))}
            if kinds & {"number", "integer"}:
                assert name in plain or name.endswith(("_m", "_s")), name
