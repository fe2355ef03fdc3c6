"""Games of our own design that come with the program: the starters and, stored beside this module, the rest."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import Any, Final

from courtwright.game.document import Game
from courtwright.game.read import parse_game
from courtwright.game.starters import ENDING, starters

TRIAL_ENDING: Final = ".trial.json"


@cache
def library() -> dict[str, Game]:
    """Every game of the library by its key, such as ``low-mans-call``; the starters are among them."""
    names = [item.name for item in files(__name__).iterdir() if item.name.endswith(ENDING)]
    read = {name.removesuffix(ENDING): parse_game(_bytes(name), source=name) for name in names}
    return dict(sorted((starters() | read).items()))


@cache
def stored_trial(key: str) -> dict[str, Any] | None:
    """What a trial of the game said when it was stored; nothing where it is drawn, not simulated."""
    name = f"{key}{TRIAL_ENDING}"
    if not files(__name__).joinpath(name).is_file():
        return None
    told: dict[str, Any] = json.loads(_bytes(name))
    return told


def _bytes(name: str) -> bytes:
    return files(__name__).joinpath(name).read_bytes()
