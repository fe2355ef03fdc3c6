"""Bibs: plain colours that come in every bag (common practice, no source), always said by name too."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Bib:
    """What a team wears. The name says it without the colour."""

    name: str
    colour: str
    ink: str
    """for a name or number on it; at least 4.5 : 1 against the colour"""


BIBS: Final = (
    Bib("yellow", "#ffd91a", "#111111"),
    Bib("blue", "#0b5fa5", "#ffffff"),
    Bib("white", "#ffffff", "#111111"),
    Bib("red", "#b71c1c", "#ffffff"),
    Bib("green", "#1b6e3c", "#ffffff"),
    Bib("orange", "#f08a24", "#111111"),
    Bib("black", "#111111", "#ffffff"),
    Bib("purple", "#6a2c91", "#ffffff"),
)
"""Light and dark by turns for the first four, so that teams who meet are told apart by those who see no colour."""


def bibs_for(teams: int) -> tuple[Bib, ...]:
    """A bib for each team; from the ninth team on the colours come again with a number to the name: yellow 2."""
    laps = [divmod(team, len(BIBS)) for team in range(teams)]
    return tuple(_lap(BIBS[place], lap) for lap, place in laps)


def _lap(bib: Bib, lap: int) -> Bib:
    return Bib(f"{bib.name} {lap + 1}", bib.colour, bib.ink) if lap else bib
