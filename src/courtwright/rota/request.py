"""What is asked of a rota, in numbers: the one thing every planner gets."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from courtwright.errors import RotaError


class Role(IntEnum):
    """What a player does in a turn; also the column of every array of counts by role."""

    OFFENCE = 0
    DEFENCE = 1
    NEUTRAL = 2
    OFF = 3


@dataclass(frozen=True, slots=True)
class Request:
    """Players, sides, turns and seed. A planner takes one and gives turns."""

    players: int
    offence: int
    defence: int
    neutral: int
    turns: int
    seed: int

    def __post_init__(self) -> None:
        if min(self.offence, self.defence, self.turns) < 1 or self.neutral < 0:
            raise RotaError("a rota needs an attacker, a defender and a turn at least; check the sides and the minutes")
        if self.players < self.on_floor:
            raise RotaError(
                f"{self.sides} needs {self.on_floor} players and {self.players} are here; "
                "choose a form of the game for fewer, or mark more players as here"
            )

    @property
    def sides(self) -> str:
        """The sides as a coach says them."""
        neutral = f" with {self.neutral} neutral" if self.neutral else ""
        return f"{self.offence}-on-{self.defence}{neutral}"

    @property
    def attack(self) -> int:
        """All who attack in a turn, neutral players too."""
        return self.offence + self.neutral

    @property
    def on_floor(self) -> int:
        """How many a turn needs."""
        return self.attack + self.defence

    @property
    def usual_sit(self) -> int:
        """Turns off between two stints if everyone keeps strictly to the cycle."""
        return -(-self.places[-1] // self.attack)

    @property
    def places(self) -> tuple[int, int, int, int]:
        """Places in a turn by role, in the order of `Role`."""
        return self.offence, self.defence, self.neutral, self.players - self.on_floor
