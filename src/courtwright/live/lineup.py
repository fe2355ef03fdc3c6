"""Who stands where in a turn: the rota, who has gone or come since, and who was put in by hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

GONE: Final = frozenset({"away", "late"})
NOBODY: Final = ""


@dataclass
class OnFloor:
    """The players at the figures in one turn, and who is off."""

    figures: dict[str, str]
    off: list[str]
    offence_team: int
    defence_team: int

    def put(self, figure: str, player: str) -> None:
        """Stand a player at a figure; whoever stood there takes the player's place."""
        if figure not in self.figures or self.figures[figure] == player:
            return
        before = self.figures[figure]
        other = next((name for name, who in self.figures.items() if who == player), None)
        if other is not None:
            self.figures[other] = before
        elif player in self.off:
            self.off[self.off.index(player)] = before
        elif before:
            self.off.append(before)
        self.off = [name for name in self.off if name]
        self.figures[figure] = player

    def side(self, side: str) -> list[str]:
        """The players of a side, in the order of the figures."""
        defends = side == "defence"
        return [name for figure, name in self.figures.items() if name and figure.startswith("X") == defends]

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        return {
            "figures": self.figures,
            "off": self.off,
            "offence_team": self.offence_team,
            "defence_team": self.defence_team,
        }


class Lineup:
    """The turns in force and the attendance."""

    def __init__(self, turns: list[dict[str, Any]]) -> None:
        self._plans = [(0, turns)]
        """with the turn that the first row stands for, in order"""
        self.attendance: dict[str, str] = {}
        self._decided: dict[int, dict[str, Any]] = {}
        """rows of turns that the turn before decided"""

    def decide(self, turn: int, row: dict[str, Any]) -> None:
        """Who plays in a turn by how the one before it ended."""
        self._decided[turn] = row

    def replan(self, turns: list[dict[str, Any]], turn: int) -> None:
        """New turns from this one on."""
        self._plans = [*(plan for plan in self._plans if plan[0] < turn), (turn, turns)]
        self._decided = {at: row for at, row in self._decided.items() if at < turn}

    def at(self, turn: int) -> OnFloor:
        """Who stands where: a player who is not here is replaced by the first who is off."""
        first, turns = next(plan for plan in reversed(self._plans) if plan[0] <= turn)
        return self.filled(self._decided.get(turn) or turns[(turn - first) % len(turns)])

    def filled(self, row: dict[str, Any]) -> OnFloor:
        """A row with those who are here."""
        figures = dict(row["figures"])
        here = [name for name, state in self.attendance.items() if state not in GONE]
        known = {*figures.values(), *row.get("off", [])}
        waiting = [name for name in row.get("off", []) if self._here(name)]
        waiting += [name for name in here if name not in known]
        for figure in sorted(figures):
            if not self._here(figures[figure]):
                figures[figure] = waiting.pop(0) if waiting else NOBODY
        return OnFloor(figures, waiting, row.get("offence_team", -1), row.get("defence_team", -1))

    def _here(self, name: str) -> bool:
        return self.attendance.get(name, "here") not in GONE
