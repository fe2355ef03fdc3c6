"""Rules by which who wins decides who plays next: winners stay, losers off.

A turn's row holds the line itself: who is off stands in the order of coming on. Pure functions of
rows, so that the twin in the browser gives the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from courtwright.live.lineup import NOBODY, OnFloor

WINNERS_STAY, LOSERS_OFF = "winners stay", "losers off"
BY_RESULT: Final = frozenset({WINNERS_STAY, LOSERS_OFF})

Row = dict[str, Any]
Teams = Sequence[Sequence[str]]


def next_row(floor: OnFloor, attack_won: bool, rule: str, teams: Teams) -> Row:
    """The turn after one that was won: losers go to the end of the line, the first in it come on.

    Who stays moves on by a place, so that everyone lives at every spot; of a larger team who was off comes in.
    """
    winners, losers = _side(floor, not attack_won), _side(floor, attack_won)
    stays = floor.offence_team if attack_won else floor.defence_team
    comes, coming = _coming(floor, losers, stays, teams)
    bench = [name for name in floor.off if stays >= 0 and name in teams[stays]]
    staying = [*bench, *winners[1:], *winners[:1]]
    size = len(winners)
    line = [name for name in [*floor.off, *losers] if name not in coming and name not in bench]
    off = [*line, *staying[size:]] if comes < 0 else [*line, *coming[size:], *staying[size:]]
    sides = {stays: staying[:size]}, {comes: coming[:size]}
    return _row(floor, *(sides if rule == WINNERS_STAY else sides[::-1]), off)


def row_in_view(floor: OnFloor, rule: str, teams: Teams) -> Row:
    """What is known of the next turn while nobody has won yet: who comes on. Who stays is nobody yet."""
    known: list[str] = []
    comes = -1
    if teams:
        on = {floor.offence_team, floor.defence_team}
        comes = next((at for name in floor.off for at, team in enumerate(teams) if name in team and at not in on), -1)
        known = [name for name in floor.off if comes >= 0 and name in teams[comes]]
    else:
        known = floor.off
    size = len(_side(floor, False))
    coming = [*known[:size], *[NOBODY] * (size - len(known))]
    sides = {-1: [NOBODY] * size}, {comes: coming}
    return _row(floor, *(sides if rule == WINNERS_STAY else sides[::-1]), [n for n in floor.off if n not in coming])


def _side(floor: OnFloor, defends: bool) -> list[str]:
    return [name for figure, name in floor.figures.items() if figure.startswith("X") == defends]


def _coming(floor: OnFloor, losers: list[str], stays: int, teams: Teams) -> tuple[int, list[str]]:
    """The next team, or −1, and who comes on of it, in order."""
    line = [*floor.off, *(name for name in losers if name)]
    if not teams:
        return -1, line[: len(losers)]
    lost = floor.defence_team if stays == floor.offence_team else floor.offence_team
    others = [at for name in line for at, team in enumerate(teams) if name in team and at not in (stays, lost)]
    comes = others[0] if others else lost
    return comes, [name for name in line if name in teams[comes]]


def _row(floor: OnFloor, attack: dict[int, list[str]], defence: dict[int, list[str]], off: list[str]) -> Row:
    (offence_team, attackers), (defence_team, defenders) = *attack.items(), *defence.items()
    names = {False: iter(attackers), True: iter(defenders)}
    return {
        "figures": {figure: next(names[figure.startswith("X")], NOBODY) for figure in floor.figures},
        "off": off,
        "offence_team": offence_team,
        "defence_team": defence_team,
    }
