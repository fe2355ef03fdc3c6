"""What is asked of a rota: the one description every planner gets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import IntEnum, StrEnum
from typing import Final

from courtwright.errors import RotaError
from courtwright.game.document import AfterPossession, Teams
from courtwright.rota.anneal import MOST_PLAYERS, MOST_TURNS
from courtwright.rota.turns import Turn
from courtwright.rota.words import listed, turns_text


class Role(IntEnum):
    """What a player does in a turn; also the column of every array of counts by role."""

    OFFENCE = 0
    DEFENCE = 1
    NEUTRAL = 2
    OFF = 3


class WishKind(StrEnum):
    """What a coach may ask for one player or two."""

    APART = "apart"
    TOGETHER = "together"
    AT_MOST = "at most"
    IN_A_ROW = "in a row"
    ONLY_AT = "only at"
    FROM_TURN = "from turn"
    TO_TURN = "to turn"
    GUEST = "guest"


PRESENCE: Final = frozenset({WishKind.FROM_TURN, WishKind.TO_TURN})
"""Facts rather than wishes: nobody can play who is not there."""
HEALTH: Final = frozenset({WishKind.AT_MOST, WishKind.IN_A_ROW})
"""Given up last, and only by the coach."""


@dataclass(frozen=True, slots=True)
class Wish:
    """One wish. `players` by their place in the list of names."""

    kind: WishKind
    players: tuple[int, ...]
    number: int = 0
    """turns, or the number of a turn, counted from 1"""
    figures: tuple[str, ...] = ()
    """for ONLY_AT: 1, 2, X1 …"""

    def text(self, names: Sequence[str]) -> str:
        """The wish as a coach says it."""
        turns, figures = turns_text(self.number), listed(self.figures) if self.figures else ""
        said = {
            WishKind.APART: "never on one side",
            WishKind.TOGETHER: "always on one side",
            WishKind.AT_MOST: f"at most {turns}",
            WishKind.IN_A_ROW: f"at most {turns} in a row",
            WishKind.ONLY_AT: f"only at {figures}",
            WishKind.FROM_TURN: f"from turn {self.number}",
            WishKind.TO_TURN: f"until turn {self.number}",
            WishKind.GUEST: "as a guest",
        }
        return f"{listed([names[player] for player in self.players])} {said[self.kind]}"


@dataclass(frozen=True)
class Problem:
    """Players, sides, baskets, turns, the rule after a possession, wishes, what was played, and a seed.

    With several baskets a turn is one possession, or one spell of minutes, on all of them at once.
    """

    names: tuple[str, ...]
    offence: int
    defence: int
    neutral: int = 0
    baskets: int = 1
    turns: int = 1
    rule: AfterPossession = AfterPossession.CYCLE
    teams: Teams = Teams.MIXED
    wishes: tuple[Wish, ...] = ()
    seed: int = 0
    played: tuple[Turn, ...] = ()
    """turns that stand, `baskets` for each turn in time, counted among `turns`"""
    grades: tuple[float | None, ...] = field(default=())
    surprise: bool = False
    """no order that players could learn: the cycle is not kept to"""

    def __post_init__(self) -> None:
        if min(self.offence, self.defence, self.turns, self.baskets) < 1 or self.neutral < 0:
            raise RotaError(
                "a rota needs an attacker, a defender, a basket and a turn at least; check the sides and the minutes"
            )
        if self.players > MOST_PLAYERS or self.turns > MOST_TURNS:
            raise RotaError(
                f"a rota holds up to {MOST_PLAYERS} players and {MOST_TURNS} turns; "
                f"this asks for {self.players} and {self.turns}: split the group, or play fewer minutes"
            )
        if self.players < self.on_floor:
            baskets = f" on {self.baskets} baskets" if self.baskets > 1 else ""
            raise RotaError(
                f"{self.sides}{baskets} needs {self.on_floor} players and {self.players} are here; "
                "choose a form of the game for fewer, or mark more players as here"
            )

    @property
    def players(self) -> int:
        """How many there are, those who come late or leave among them."""
        return len(self.names)

    @property
    def sides(self) -> str:
        """The sides as a coach says them."""
        neutral = f" with {self.neutral} neutral" if self.neutral else ""
        return f"{self.offence}-on-{self.defence}{neutral}"

    @property
    def attack(self) -> int:
        """All who attack at one basket, neutral players too."""
        return self.offence + self.neutral

    @property
    def on_floor(self) -> int:
        """How many a turn needs, on all baskets."""
        return (self.attack + self.defence) * self.baskets

    @property
    def off(self) -> int:
        """How many a turn leaves off, if all are here."""
        return self.players - self.on_floor

    @property
    def usual_sit(self) -> int:
        """The shortest longest sit: if nobody sits more than L turns, L + 1 turns in a row must hold everybody."""
        return -(-self.players // self.on_floor) - 1

    @property
    def figures(self) -> tuple[str, ...]:
        """The figures at one basket, such as 1, 2, N1, X1 and X2."""
        marked = (("", self.offence), ("N", self.neutral), ("X", self.defence))
        return tuple(f"{mark}{place + 1}" for mark, count in marked for place in range(count))

    def of_kind(self, kind: WishKind) -> tuple[Wish, ...]:
        """The wishes of one kind."""
        return tuple(wish for wish in self.wishes if wish.kind is kind)
