"""Limits that forbid each other, or leave nothing to do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from courtwright.errors import Problem
from courtwright.game.document import Constraint, Game

NEED_A_MATE: Final = {
    "passes first": "there is nobody to pass to",
    "no drive off a drive": "there is no team-mate to catch a kick-out",
}


def holders_of(game: Game) -> list[str]:
    """The figures that can have the ball."""
    return [figure for figure in game.sides.figures if figure[0] != "X"]


def named(item: Constraint) -> str:
    """A constraint as a problem's place names it."""
    return f"constraint “{item.rule}”"


def contradictions(game: Game) -> Iterator[Problem]:
    """Every pair of limits that cannot stand together."""
    limits = {item.rule: item.limit for item in game.constraints if item.figure is None}
    yield from _threes(game, limits)
    yield from _nowhere(limits)
    yield from _nobody(game)
    yield from _alone(game, limits)
    asked = game.help.rpartition("dribble ")[2]
    if asked.isdecimal() and int(asked) < (limits.get("help no earlier") or 0):
        what = f"forbids the help that is asked for on {game.help}"
        yield Problem("constraint “help no earlier”", what, "Lower the limit, or ask for help later.")


def _threes(game: Game, limits: dict[str, float | None]) -> Iterator[Problem]:
    if {"no threes", "paint before three"} <= limits.keys():
        yield Problem("constraints", "threes are both forbidden and asked for", "Keep one of the two.")
    if "no threes" in limits and any(item.rule == "may shoot threes" for item in game.constraints):
        yield Problem("constraint “no threes”", "forbids threes to one who may shoot them", "Keep one of the two.")


def _nowhere(limits: dict[str, float | None]) -> Iterator[Problem]:
    inside = {"no rim shots", "no paint shots"} & limits.keys()
    if inside and {"no threes", "no mid-range"} <= limits.keys():
        yield Problem("constraints", "leave no place to shoot from", "Take one out.")


def _nobody(game: Game) -> Iterator[Problem]:
    """Whoever may shoot by name and may not by another rule; and a side of which nobody may."""
    may, may_not = (
        {item.figure for item in game.constraints if item.rule == rule and item.figure} for rule in _BY_NAME
    )
    for figure in sorted(may & may_not):
        yield Problem(f"constraints of {figure}", "say both that he may shoot and that he may not", "Keep one.")
    attackers = set(holders_of(game)) - {"C"}
    if attackers <= may_not and not may:
        yield Problem("constraints", "leave nobody who may shoot", "Take one out.")


_BY_NAME: Final = ("may shoot", "no shot")


def _alone(game: Game, limits: dict[str, float | None]) -> Iterator[Problem]:
    """What one attacker without a team-mate cannot be asked."""
    if holders_of(game) != ["1"]:
        return
    for rule, what in NEED_A_MATE.items():
        if rule in limits:
            yield Problem(f"constraint “{rule}”", what, "Take it out.")
    if {"no threes", "no mid-range"} <= limits.keys() and limits.get("dribbles") == 0:
        yield Problem("constraints", "leave no way to score: only rim shots, and no dribble", "Take one out.")
