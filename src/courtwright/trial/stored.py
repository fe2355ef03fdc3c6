"""Trials stored beside the games of the library; ``python -m courtwright.trial.stored FOLDER`` makes them anew.

They are played with the demo squad. The turns are dealt here, and not by the rota, so that a
stored trial changes with the game and the model only.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any, Final

import numpy as np

from courtwright.game.document import Game
from courtwright.game.library import TRIAL_ENDING, library
from courtwright.squad.demo import DEMO_SQUAD
from courtwright.trial import run_trial
from courtwright.trial.prepare import Turns

RUNS: Final = 40
SEED: Final = 7


def dealt_turns(game: Game, players: int) -> Turns:
    """Turns for so many players, one after the other: who comes next attacks, those after them defend."""
    attack, defence = game.sides.offence + game.sides.neutral, game.sides.defence
    waves = (np.arange(players)[:, None] + np.arange(attack + defence)) % players
    return waves[:, :attack], waves[:, attack:], np.full((players, 2), -1)


def store_trial(game: Game) -> dict[str, Any]:
    """A trial of a library game as it is stored; raises `CannotPlayError` for one that is drawn, not simulated."""
    turns = dealt_turns(game, len(DEMO_SQUAD.here))
    minutes = game.finish.minutes or 8.0
    told = run_trial(game, DEMO_SQUAD, turns, minutes=minutes, runs=RUNS, seed=SEED).to_json()
    kept = ("game_hash", "squad_hash", "minutes", "runs", "seed", "model", "range", "measures", "left_to_the_eye")
    return {"format": told["format"], **{name: told[name] for name in kept}}


def main(folder: Path) -> None:
    """Write every stored trial into a folder."""
    for key, game in library().items():
        if not game.not_simulated:
            text = json.dumps(store_trial(game), indent=1, ensure_ascii=False)
            (folder / f"{key}{TRIAL_ENDING}").write_text(f"{text}\n", "utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
