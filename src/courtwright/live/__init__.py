"""A run on the floor: facts, and the state they fold to."""

from courtwright.live.details import checked
from courtwright.live.fold import State, fold
from courtwright.live.opening import Opening, open_run, turn_rows

__all__ = ["Opening", "State", "checked", "fold", "open_run", "turn_rows"]
