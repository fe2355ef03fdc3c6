"""Four factors and an estimate of possessions from a box score that was kept elsewhere.

A run that was logged here counts its possessions; only an imported box score is estimated. Source: Oliver 2004. The
weights that are often quoted for the factors are contested and not used.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, Final

from courtwright.errors import DocumentError, Problem
from courtwright.review.rates import DIGITS

FREE_THROWS_A_POSSESSION: Final = {"common": 0.44, "Oliver": 0.4, "college": 0.475}
"""Share of free throws that end a possession, by who uses it."""
AGAIN: Final = 1.07
"""of the long estimate: rebounds that a box score does not tell"""


@dataclass(frozen=True, slots=True)
class Box:
    """One side's line of a box score; averages will do as well as counts."""

    shots: float
    makes: float
    threes: float
    """made"""
    free_throws: float
    """tried"""
    free_throws_made: float
    offensive_rebounds: float
    defensive_rebounds: float
    turnovers: float

    def __post_init__(self) -> None:
        problems = [
            Problem(item.name.replace("_", " "), "is below 0", "Give a count.")
            for item in fields(self)
            if getattr(self, item.name) < 0
        ]
        pairs = (("makes", "shots"), ("threes", "makes"), ("free_throws_made", "free_throws"))
        problems += [
            Problem(part.replace("_", " "), f"are more than {whole.replace('_', ' ')}", "One of the two is wrong.")
            for part, whole in pairs
            if getattr(self, part) > getattr(self, whole)
        ]
        if problems:
            raise DocumentError("box score", problems)

    @property
    def points(self) -> float:
        """In twos, threes and free throws."""
        return 2 * self.makes + self.threes + self.free_throws_made


@dataclass(frozen=True, slots=True)
class Factors:
    """What an attack comes down to; None where there is no denominator."""

    shooting: float | None
    """effective field goal share: a three counts half as much again"""
    turnovers: float | None
    """by plays: shots, .44 free throws and turnovers"""
    rebounds: float | None
    """offensive rebounds by those there were to get"""
    free_throws: float | None
    """made, by shots"""

    def to_json(self) -> dict[str, Any]:
        """Give them as plain JSON data."""
        values = {item.name: getattr(self, item.name) for item in fields(self)}
        return {name: None if value is None else round(value, DIGITS) for name, value in values.items()}


def four_factors(own: Box, opponents_defensive_rebounds: float) -> Factors:
    """The four factors of a side's attack."""
    plays = own.shots + FREE_THROWS_A_POSSESSION["common"] * own.free_throws + own.turnovers
    return Factors(
        _by(own.makes + own.threes / 2, own.shots),
        _by(own.turnovers, plays),
        _by(own.offensive_rebounds, own.offensive_rebounds + opponents_defensive_rebounds),
        _by(own.free_throws_made, own.shots),
    )


def _by(part: float, whole: float) -> float | None:
    return part / whole if whole else None


def simple_possessions(own: Box, weight: float = FREE_THROWS_A_POSSESSION["common"]) -> float:
    """Shots − offensive rebounds + turnovers + weight × free throws; 1 to 3 % too many in the worked example."""
    return own.shots - own.offensive_rebounds + own.turnovers + weight * own.free_throws


def possessions(own: Box, opponents: Box) -> float:
    """The long estimate, of both sides and halved: a game gives them equally many."""
    return (_long(own, opponents) + _long(opponents, own)) / 2


def _long(own: Box, other: Box) -> float:
    there = own.offensive_rebounds + other.defensive_rebounds
    share = own.offensive_rebounds / there if there else 0.0
    kept = AGAIN * share * (own.shots - own.makes)
    return own.shots + FREE_THROWS_A_POSSESSION["Oliver"] * own.free_throws - kept + own.turnovers


def chances(ones: float, twos: float, free_throws: float, extra_shots: float, turnovers: float) -> float:
    """What 3-on-3 statistics call possessions: tries at one and two, free-throw trips, turnovers.

    Offensive rebounds are not taken off, so these are chances here. ``extra_shots`` are
    free throws beyond the first of a trip and after a basket. Source: the federation's 3x3 manual, secondary.
    """
    return ones + twos + free_throws - extra_shots + turnovers
