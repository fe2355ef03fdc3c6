"""The words of the trade as types, constants and parse/format pairs.

Everything else speaks this vocabulary. Axes: the origin is the point under the
ring, ``x`` runs along the end line (positive to the right of someone who stands
at centre court and looks at the basket), ``y`` runs away from the end line.
Metres, seconds and radians inside; units stand in every name.
"""

from __future__ import annotations

import re
from dataclasses import asdict, dataclass, field
from enum import StrEnum
from typing import Any, Final, Self

from courtwright.errors import WordError

FOOT_M: Final = 0.3048
INCH_M: Final = 0.0254


class Evidence(StrEnum):
    """How far a number can be trusted."""

    PUBLISHED = "published"
    """seen in a named source"""
    SECONDARY = "secondary"
    """the named source, seen through another text"""
    FITTED = "fitted"
    """computed by us from published rows"""
    PRACTICE = "common practice"
    """what coaches hold; no source"""
    MEMORY = "from memory"
    """believed to stand in the named source; not checked"""
    GUESS = "guess"
    """ours, to be replaced"""


class Side(StrEnum):
    """A side in one possession (a team keeps score across possessions)."""

    OFFENCE = "offence"
    DEFENCE = "defence"

    @property
    def other(self) -> Side:
        """The side across."""
        return Side.DEFENCE if self is Side.OFFENCE else Side.OFFENCE


class Role(StrEnum):
    """What a device in the gym is for; `courtwright.web.roles` says what each may do."""

    COACH = "coach"
    """everything, as on the coach's own computer"""
    ASSISTANT = "assistant"
    """reads games, moments and trials; leads a basket"""
    SCORER = "scorer"
    """taps what happens"""
    SCREEN = "screen"
    """shows it"""


class Level(StrEnum):
    """A preset of body, ball and shot figures."""

    U12 = "U12"
    U14 = "U14"
    U16 = "U16"
    U18 = "U18"
    WOMEN = "women"
    MEN = "men"

    @classmethod
    def parse(cls, text: str) -> Level:
        """Read a level in any case; raise `WordError` with the choices otherwise."""
        for level in cls:
            if level.value.casefold() == text.strip().casefold():
                return level
        raise WordError(f"no level “{text}”; use one of {', '.join(level.value for level in cls)}")


class Zone(StrEnum):
    """Where a shot is taken, as the floor keys name it."""

    RIM = "rim"
    MID = "mid"
    THREE = "three"


class Hand(StrEnum):
    """How the ball came to the shooter."""

    CATCH = "catch"
    DRIBBLE = "dribble"


class Flank(StrEnum):
    """Half of the court, seen from centre court looking at the basket."""

    LEFT = "left"
    RIGHT = "right"
    MIDDLE = "middle"


class SpotName(StrEnum):
    """The named places of a half court."""

    CORNER = "corner"
    WING = "wing"
    SLOT = "slot"
    TOP = "top"
    ELBOW = "elbow"
    NAIL = "nail"
    BLOCK = "block"
    SHORT_CORNER = "short corner"
    BASKET = "basket"


MIDDLE_SPOTS: Final = frozenset({SpotName.TOP, SpotName.NAIL, SpotName.BASKET})


@dataclass(frozen=True, slots=True, order=True)
class Spot:
    """A named place, such as the left corner or the nail."""

    name: SpotName
    flank: Flank = Flank.MIDDLE

    def __post_init__(self) -> None:
        if (self.name in MIDDLE_SPOTS) != (self.flank is Flank.MIDDLE):
            hint = "takes no side" if self.name in MIDDLE_SPOTS else "needs left or right"
            raise WordError(f"the {self.name.value} {hint}")

    def __str__(self) -> str:
        return self.name.value if self.flank is Flank.MIDDLE else f"{self.flank.value} {self.name.value}"

    @classmethod
    def parse(cls, text: str) -> Spot:
        """Read ``left corner``, ``nail``, ``Right Short-Corner``; raise `WordError` otherwise."""
        words = text.strip().casefold().replace("-", " ").replace("_", " ").split()
        flank = Flank(words.pop(0)) if words and words[0] in ("left", "right") else Flank.MIDDLE
        try:
            name = SpotName(" ".join(words))
        except ValueError:
            raise WordError(f"no spot “{text}”; use one of {', '.join(str(spot) for spot in SPOTS)}") from None
        return cls(name, flank)

    def mirrored(self) -> Spot:
        """The same place across the basket-to-basket line."""
        swap = {Flank.LEFT: Flank.RIGHT, Flank.RIGHT: Flank.LEFT, Flank.MIDDLE: Flank.MIDDLE}
        return Spot(self.name, swap[self.flank])


SPOTS: Final[tuple[Spot, ...]] = tuple(
    Spot(name, flank)
    for name in SpotName
    for flank in ((Flank.MIDDLE,) if name in MIDDLE_SPOTS else (Flank.LEFT, Flank.RIGHT))
)


@dataclass(frozen=True, slots=True, order=True)
class Token:
    """A figure on the drawing: attacker ``1``, defender ``X1``, neutral ``N1`` or coach ``C``."""

    kind: str
    number: int = 0

    def __str__(self) -> str:
        prefix = {"attacker": "", "defender": "X", "neutral": "N", "coach": "C"}[self.kind]
        return prefix if self.kind == "coach" else f"{prefix}{self.number}"

    @classmethod
    def parse(cls, text: str) -> Token:
        """Read ``3``, ``X3``, ``N1`` or ``C``; raise `WordError` otherwise."""
        match = re.fullmatch(r"([XN]?)([1-9])|(C)", text.strip().upper())
        if match is None:
            raise WordError(f"no figure “{text}”; use 1 to 5, X1 to X5 (defence), N1 or N2 (neutral), C (coach)")
        if match[3]:
            return cls("coach")
        return cls({"": "attacker", "X": "defender", "N": "neutral"}[match[1]], int(match[2]))


class Cost(StrEnum):
    """What breaking a constraint costs."""

    TURNOVER = "turnover"
    NO_POINTS = "no points"
    POINT = "point to the other side"
    AGAIN = "again"


class Live(StrEnum):
    """The event after which everything counts."""

    START = "start"
    FIRST_CATCH = "first catch"
    FIRST_DRIBBLE = "first dribble"
    ENTRY_DONE = "entry done"


class TurnoverKind(StrEnum):
    """How the ball was lost, as scorers count it."""

    BAD_PASS = "bad pass"
    LOST_BALL = "lost ball"
    OFFENSIVE_FOUL = "offensive foul"
    TRAVEL = "travel"
    CLOCK = "clock"
    OUT = "out of bounds"
    VIOLATION = "violation"


class FactKind(StrEnum):
    """What can happen in a run. Points are never facts: they are computed from facts.

    Frozen: a stored log must stay readable, so words are added, never changed.
    """

    MAKE = "make"
    MISS = "miss"
    OFFENSIVE_REBOUND = "offensive rebound"
    DEFENSIVE_REBOUND = "defensive rebound"
    TURNOVER = "turnover"
    STEAL = "steal"
    FOUL = "foul"
    FREE_THROW = "free throw"
    CHARGE = "charge"
    VIOLATION = "violation"
    DEFLECTION = "deflection"
    BLOCK = "block"
    PAINT_TOUCH = "paint touch"
    BOX_OUT = "box-out"
    EXTRA_PASS = "extra pass"
    KICK_OUT = "kick-out"
    TAG = "tag"
    FREEZE = "freeze"
    RUN_IT_AGAIN = "run it again"
    POSSESSION = "possession"
    SUBSTITUTION = "substitution"
    CONSTRAINT_SWITCHED = "constraint switched"
    GAME_CHANGED = "game changed"
    CLOCK = "clock"
    ATTENDANCE = "attendance"
    WATCHING = "watching"
    ROTA_CHANGED = "rota changed"
    UNDO = "undo"
    EDIT = "edit"
    CLAIM = "claim"


@dataclass(frozen=True, slots=True)
class HybridTime:
    """Hybrid logical time: wall milliseconds that never run backwards, and a counter for ties."""

    wall_ms: int
    counter: int = 0

    def __str__(self) -> str:
        return f"{self.wall_ms}.{self.counter}"

    @classmethod
    def parse(cls, text: str) -> HybridTime:
        """Read ``1700000000000.3``; raise `WordError` otherwise."""
        match = re.fullmatch(r"(\d{1,15})\.(\d{1,9})", text)
        if match is None:
            raise WordError(f"no hybrid time “{text}”; write milliseconds, a point and a counter")
        return cls(int(match[1]), int(match[2]))

    def next(self, now_ms: int, seen: HybridTime | None = None) -> HybridTime:
        """The time of the next event here, after ``self`` and after ``seen`` from another device."""
        wall_ms = max(now_ms, self.wall_ms, seen.wall_ms if seen else 0)
        counters = [time.counter for time in (self, seen) if time is not None and time.wall_ms == wall_ms]
        return HybridTime(wall_ms, max(counters) + 1 if counters else 0)


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that happened in a run, as one device told it.

    ``turn`` is the row of the rota, ``game_hash`` the game in force. ``detail``
    carries what the kind needs: shooter, zone, place, assist, hand, kind, whom.
    """

    event_id: str
    device: str
    sequence: int
    time: HybridTime
    run_id: str
    possession: int
    turn: int
    game_id: str
    game_hash: str
    kind: FactKind
    detail: dict[str, Any] = field(default_factory=dict)

    @property
    def order(self) -> tuple[int, int, int, str, int]:
        """Total order of facts, whatever the order of arrival."""
        return (self.possession, self.time.wall_ms, self.time.counter, self.device, self.sequence)

    def to_json(self) -> dict[str, Any]:
        """Give the fact as plain JSON data."""
        return asdict(self) | {"time": str(self.time), "kind": self.kind.value}

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Self:
        """Read what `to_json` wrote; raise `WordError` on anything else."""
        try:
            return cls(**(data | {"time": HybridTime.parse(data["time"]), "kind": FactKind(data["kind"])}))
        except (KeyError, TypeError, ValueError) as error:
            raise WordError(f"not a fact: {error}") from error


_FEET = re.compile(r"""(?:(\d+(?:[.,]\d+)?)\s*(?:ft|')\s*)?(?:(\d+(?:[.,]\d+)?)\s*(?:in|")\s*)?""")
_METRES = re.compile(r"(\d+(?:[.,]\d+)?)\s*(m|cm|mm)?")
_METRIC: Final = {"m": 1.0, "cm": 0.01, "mm": 0.001, "": 1.0}


def parse_length_m(text: str) -> float:
    """Read ``4.5``, ``4,5 m``, ``172 cm``, ``15 ft 9 in`` or ``15'9"`` as metres."""
    wanted = text.strip().casefold()
    if match := _METRES.fullmatch(wanted):
        return float(match[1].replace(",", ".")) * _METRIC[match[2] or ""]
    match = _FEET.fullmatch(wanted)
    if match is None or not wanted:
        raise WordError(f"no length “{text}”; write it like 4.5 m, 172 cm or 15 ft 9 in")
    feet, inches = (float((part or "0").replace(",", ".")) for part in match.groups())
    return feet * FOOT_M + inches * INCH_M


def format_length(length_m: float, *, feet: bool = False) -> str:
    """Write a length for a reader: ``4.50 m`` or ``14 ft 9 in``; inches are rounded to halves."""
    if not feet:
        return f"{length_m:.2f} m"
    half_inches = round(length_m / INCH_M * 2)
    whole_feet, rest = divmod(half_inches, 24)
    return f"{whole_feet} ft {rest / 2:g} in"


def format_clock(seconds: float) -> str:
    """Write whole seconds as ``m:ss``."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"
