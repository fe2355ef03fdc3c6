"""Decisions in words: what could be done, what it was worth, how often he does it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from courtwright.answers.watch import Weighed
from courtwright.trial import layout as at

LEAST_SHOWN: Final = -1e6
"""An option worth less is not open at all."""
STANDING: Final = {
    at.SHOOT: ("shoot", "shoot"),
    at.DRIVE_LEFT: ("drive left", "drive left"),
    at.DRIVE_RIGHT: ("drive right", "drive right"),
    at.HOLD: ("wait", "wait and look"),
}
DRIVING: Final = {
    at.SHOOT: ("pull up", "pull up and shoot"),
    at.DRIVE_LEFT: ("pull out", "pull the drive out"),
    at.HOLD: ("go on", "go on with the drive"),
}
GATHERED: Final = {
    at.SHOOT: ("finish", "finish"),
    at.DRIVE_LEFT: ("pull out", "stop, ball in hand"),
}
WORDS: Final = {at.DRIVING: DRIVING, at.FINISHING: GATHERED}


@dataclass(frozen=True, slots=True)
class Option:
    """One thing that could be done."""

    key: str
    to: str | None
    """who would get a pass"""
    text: str
    worth_points: float
    """net points of this game to the offence, as he sees it"""
    chance: float
    """how often he does it, seeing this"""
    chosen: bool

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        return {
            "key": self.key,
            "to": self.to,
            "text": self.text,
            "worth_points": round(self.worth_points, 3),
            "share_of_choices": round(self.chance, 3),
            "chosen": self.chosen,
        }


@dataclass(frozen=True, slots=True)
class Decision:
    """What a player weighed at one time."""

    t_s: float
    figure: str
    options: tuple[Option, ...]
    """the best first"""

    @property
    def chosen(self) -> Option:
        """What was done."""
        return next(option for option in self.options if option.chosen)

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        options = [option.to_json() for option in self.options]
        return {"t_s": round(self.t_s, 3), "figure": self.figure, "options": options}


def decision_of(weighed: Weighed, figures: Sequence[str]) -> Decision:
    """A decision by figures and in words."""
    options = [
        _option(weighed, number, figures)
        for number, worth in enumerate(weighed.worth.tolist())
        if worth > LEAST_SHOWN or number == weighed.chosen
    ]
    options.sort(key=lambda option: -option.worth_points)
    return Decision(weighed.t_s, figures[weighed.holder], tuple(options))


def _option(weighed: Weighed, number: int, figures: Sequence[str]) -> Option:
    key, text = STANDING.get(number, ("other", f"option {number}"))
    to = None
    if weighed.mode in WORDS:
        key, text = WORDS[weighed.mode].get(number, (key, text))
    if number >= at.PASS_TO:
        to = figures[number - at.PASS_TO]
        key, text = ("kick out", f"kick out to {to}") if weighed.mode in WORDS else ("pass", f"pass to {to}")
    worth, chance = float(weighed.worth[number]), float(weighed.chance[number])
    return Option(key, to, text, worth, chance, number == weighed.chosen)
