"""What is asked of trials: two versions side by side, one setting over its range, one possession again.

`compare_games`, `sweep_setting` and `replay_possession` are the ways in. They play
with the rota that each game gets, and leave everything about a single trial to
`courtwright.trial`.
"""

from __future__ import annotations

from courtwright.answers.compare import Comparison, compare_games, compare_trials
from courtwright.answers.find import WANTED, Found, find_possession
from courtwright.answers.replay import Replay, replay_possession
from courtwright.answers.settings import Setting, Value, changed_to, setting_of, settings_of
from courtwright.answers.sweep import Sweep, even_values, sweep_setting

__all__ = [
    "WANTED",
    "Comparison",
    "Found",
    "Replay",
    "Setting",
    "Sweep",
    "Value",
    "changed_to",
    "compare_games",
    "compare_trials",
    "even_values",
    "find_possession",
    "replay_possession",
    "setting_of",
    "settings_of",
    "sweep_setting",
]
