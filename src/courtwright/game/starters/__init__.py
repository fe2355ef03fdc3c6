"""Three games of our own to start from."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Final

from courtwright.game.document import Game
from courtwright.game.read import parse_game

ENDING: Final = ".game.json"


@cache
def starters() -> dict[str, Game]:
    """Every starter game by its key, such as ``low-mans-call``."""
    found = {item.name: item for item in files(__name__).iterdir() if item.name.endswith(ENDING)}
    return {name.removesuffix(ENDING): parse_game(found[name].read_bytes(), source=name) for name in sorted(found)}
