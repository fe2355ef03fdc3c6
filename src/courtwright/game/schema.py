"""The game document as a JSON Schema, for editors and other programs."""

from __future__ import annotations

from typing import Any, Final

from courtwright.game.document import FORMAT, Game

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def game_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a game; what contradicts within a game only `parse_game` finds."""
    schema = Game.model_json_schema()
    schema["required"] = ["format", *schema["required"]]  # a file names its format; `Game(...)` in Python need not
    return {"$schema": DIALECT, "$id": FORMAT} | schema
