"""The game document, version 1, as typed parts. Reading and checking live in `courtwright.game.read`."""

from __future__ import annotations

import math
from enum import StrEnum
from typing import Annotated, Any, Final, Literal

from pydantic import AfterValidator, BeforeValidator, Field, StringConstraints, WithJsonSchema

from courtwright.documents import Part, content_hash, one_line, shown
from courtwright.errors import WordError
from courtwright.floor.court import Court, Rules, court
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.points import POINT_RULES
from courtwright.vocabulary import SPOTS, Cost, Live, Side, Spot, Token

FORMAT: Final = "courtwright.game/1"
MOST_FIGURES: Final = 16
"""Five attackers, two neutrals, five defenders, a coach, and room to see a mistake."""


def _known(register: dict[str, Any]) -> AfterValidator:
    def known(key: str) -> str:
        if key not in register:
            raise ValueError(f"{shown(key)} is not known; use one of {', '.join(register)}")
        return key

    return AfterValidator(known)


def _listed(texts: dict[str, str]) -> WithJsonSchema:
    return WithJsonSchema({"enum": list(texts), "description": "\n".join(f"{key}: {texts[key]}" for key in texts)})


_CONSTRAINT_TEXTS: Final = {
    key: kind.say(kind.limit.usual if kind.limit is not None else None) for key, kind in CONSTRAINTS.items()
}
_POINT_TEXTS: Final = {key: kind.text for key, kind in POINT_RULES.items()}


def _figure(text: str) -> str:
    return str(Token.parse(text))


def _place(at: Any) -> str | tuple[float, float]:
    """One check for both ways to name a place, so that a wrong one is told once."""
    mend = "name a spot, or give [x, y] in metres"
    if isinstance(at, str):
        try:
            return str(Spot.parse(at[:40]))
        except WordError as error:
            raise ValueError(f"{str(error).replace('; use one of', ' among')}; {mend}") from None
    if not isinstance(at, list | tuple) or len(at) != 2 or not all(map(_finite, at)):
        raise ValueError(f"{shown(at)} is no place; {mend}")
    return float(at[0]), float(at[1])


def _finite(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


FigureName = Annotated[
    str,
    StringConstraints(max_length=8),
    AfterValidator(_figure),
    WithJsonSchema({"type": "string", "pattern": "^([XN]?[1-9]|C)$", "examples": ["1", "X1", "N1", "C"]}),
]
Place = Annotated[
    str | tuple[float, float],
    BeforeValidator(_place),
    WithJsonSchema(
        {
            "description": "a spot, or [x, y] in metres from the point under the ring",
            "anyOf": [
                {"enum": [str(spot) for spot in SPOTS]},
                {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2},
            ],
            "examples": ["left slot", [1.5, 6.2]],
        }
    ),
]
Line = Annotated[str, Field(max_length=200), AfterValidator(one_line)]


class Sides(Part):
    """How many on each side, and who helps from outside."""

    offence: int = Field(ge=1, le=5)
    defence: int = Field(ge=1, le=5)
    neutral: int = Field(default=0, ge=0, le=2, description="attack with whoever has the ball")
    coach: bool = Field(default=False, description="a coach feeds or takes outlets")

    @property
    def figures(self) -> list[str]:
        """Every figure that must be placed, in drawing order."""
        attackers = [str(number + 1) for number in range(self.offence)]
        defenders = [f"X{number + 1}" for number in range(self.defence)]
        neutrals = [f"N{number + 1}" for number in range(self.neutral)]
        return [*attackers, *neutrals, *defenders, *(["C"] if self.coach else [])]


class Placement(Part):
    """Where a figure starts: a spot, or metres from the point under the ring."""

    figure: FigureName
    at: Place
    vary_m: float = Field(default=0.0, ge=0, le=2, description="random shift in any direction, at most this far")
    guards: FigureName | None = Field(default=None, description="the attacker this defender answers for")


class Variant(Part):
    """Another start, drawn at random by weight (the plain start weighs 1); figures not named stay where they are.

    A mirrored one swaps left and right after its figures have moved.
    """

    name: Line
    weight: float = Field(default=1.0, gt=0, le=100)
    mirror: bool = False
    placements: tuple[Placement, ...] = Field(default=(), max_length=MOST_FIGURES)


class Start(Part):
    """Where all begin and who has the ball."""

    placements: tuple[Placement, ...] = Field(max_length=MOST_FIGURES)
    ball: FigureName
    variants: tuple[Variant, ...] = Field(default=(), max_length=12)


class EntryKind(StrEnum):
    """What happens first."""

    NONE = "none"
    PASSES = "passes"
    FEED = "coach feeds"
    CUE = "cue"
    SWAP = "swap"


class Entry(Part):
    """What happens before it is live: so many passes, a feed, a cue, a swap of places."""

    kind: EntryKind = EntryKind.NONE
    passes: int = Field(default=0, ge=0, le=6)
    to: FigureName | None = Field(default=None, description="who has the ball when the entry is done")
    say: Line = ""


class Constraint(Part):
    """A limit, what breaking it costs, and whom it binds (everyone on the side unless a figure is named)."""

    rule: Annotated[str, _known(CONSTRAINTS), _listed(_CONSTRAINT_TEXTS)]
    limit: float | None = None
    cost: Cost | None = Field(default=None, description="the rule's usual cost if left out")
    figure: FigureName | None = None

    @property
    def costs(self) -> Cost:
        """What a breach costs."""
        return self.cost or CONSTRAINTS[self.rule].usual_cost

    @property
    def text(self) -> str:
        """The constraint in words."""
        said = CONSTRAINTS[self.rule].say(self.limit)
        return f"{self.figure}: {said}" if self.figure else said

    @property
    def played(self) -> bool:
        """Whether the trial plays it, for whom it binds."""
        return CONSTRAINTS[self.rule].played_for(self.figure)


class PointRule(Part):
    """What an event is worth, and to whom."""

    rule: Annotated[str, _known(POINT_RULES), _listed(_POINT_TEXTS)]
    points: int = Field(ge=-10, le=10)
    to: Side | None = None

    @property
    def side(self) -> Side:
        """Who is rewarded."""
        return self.to or POINT_RULES[self.rule].side

    @property
    def text(self) -> str:
        """The event in words, without its points."""
        return POINT_RULES[self.rule].text


class Action(StrEnum):
    """What a game can be about that the trial does not play."""

    ON_BALL_SCREEN = "on-ball screen"
    OFF_BALL_SCREEN = "screen off the ball"
    HAND_OFF = "hand-off"
    POST_UP = "post-up"
    DOUBLE_TEAM = "double team"


class Help(StrEnum):
    """When a helper leaves his man, as the coach asks for it."""

    WHEN_BEATEN = "when beaten"
    DRIBBLE_1 = "dribble 1"
    DRIBBLE_2 = "dribble 2"
    DRIBBLE_3 = "dribble 3"
    NEVER = "never"


class Then(StrEnum):
    """What an event leads to."""

    ENDS = "possession ends"
    PLAY_ON = "play on"
    AGAIN = "again from the start"
    FREE_THROWS = "free throws"


class Ending(Part):
    """What each event leads to, and how long until the next possession starts."""

    make: Literal[Then.ENDS, Then.AGAIN] = Then.ENDS
    offensive_rebound: Literal[Then.ENDS, Then.PLAY_ON] = Then.PLAY_ON
    defensive_rebound: Literal[Then.ENDS] = Then.ENDS
    foul: Literal[Then.ENDS, Then.AGAIN, Then.FREE_THROWS] = Then.AGAIN
    defence_must: Literal["nothing", "clear", "outlet"] = Field(
        default="nothing", description="what a stop needs before it counts; left to the coach's eye"
    )
    reset_s: float = Field(default=9.0, ge=0, le=60, description="seconds from one possession's end to the next start")


class Teams(StrEnum):
    """Whether the same players stay together: never, always, or in new teams from time to time."""

    MIXED = "mixed"
    FIXED = "fixed"
    HALF_MIXED = "half-mixed"


class AfterPossession(StrEnum):
    """Who plays next."""

    CYCLE = "defend, attack, off"
    """who defended attacks, who attacked goes off, who was off defends"""
    WINNERS_STAY = "winners stay"
    """who lost goes off, the winners attack, the next defend"""
    LOSERS_OFF = "losers off"
    """who lost goes off, the winners defend, the next attack"""
    ONE_IN_ONE_OUT = "one in, one out"
    """who has been on longest goes off, the next one comes on, sides change ends"""
    TIMED = "timed turns"
    """the whistle changes all; sides are dealt anew"""


class RotaRule(Part):
    """How groups come on and go off."""

    rule: AfterPossession = AfterPossession.CYCLE
    teams: Teams = Teams.MIXED


class Finish(Part):
    """When the game is over: after minutes, at a score, or whichever comes first."""

    minutes: float | None = Field(default=None, gt=0, le=60)
    points: int | None = Field(default=None, ge=1, le=200)


class Step(Part):
    """A changed form: what to say, and the change to the document (JSON Merge Patch, RFC 7396)."""

    say: Line
    change: dict[str, Any] = Field(default_factory=dict)


class Form(Part):
    """How to play with another number of players."""

    players: int = Field(ge=2, le=40)
    baskets: int = Field(default=1, ge=1, le=6)
    say: Line = ""
    change: dict[str, Any] = Field(default_factory=dict)


class Game(Part):
    """A small-sided game."""

    format: Literal["courtwright.game/1"] = FORMAT
    name: Annotated[str, Field(min_length=1, max_length=80), AfterValidator(one_line)]
    purpose: Annotated[str, Field(max_length=400), AfterValidator(one_line)] = ""
    court: Rules = Rules.FIBA
    sides: Sides
    start: Start
    entry: Entry = Entry()
    live: Live = Live.START
    help: Help = Help.WHEN_BEATEN
    actions: tuple[Action, ...] = Field(
        default=(), max_length=5, description="what it is about that the trial does not play: drawn, not simulated"
    )
    rotation: bool = Field(default=False, description="a mate takes the helper's man, the beaten one the man left over")
    constraints: tuple[Constraint, ...] = Field(default=(), max_length=12)
    points: tuple[PointRule, ...] = Field(default=(), max_length=12)
    ending: Ending = Ending()
    rota: RotaRule = RotaRule()
    finish: Finish = Finish(minutes=10)
    cues: tuple[Line, ...] = Field(default=(), max_length=4)
    question: Line = ""
    easier: tuple[Step, ...] = Field(default=(), max_length=4)
    harder: tuple[Step, ...] = Field(default=(), max_length=4)
    forms: tuple[Form, ...] = Field(default=(), max_length=20)
    cautions: tuple[Line, ...] = Field(default=(), max_length=6)

    @property
    def not_simulated(self) -> str:
        """Why the game is drawn and not simulated, as a sentence; empty where the trial may play it."""
        if not self.actions:
            return ""
        about = " and ".join(f"the {action.value}" for action in self.actions)
        return f"Drawn, not simulated: the trial does not play {about} that this game is about."

    @property
    def floor(self) -> Court:
        """The court it is played on."""
        return court(self.court)

    def placed_m(self, variant: int | None = None) -> dict[str, tuple[float, float]]:
        """Where each figure starts, in metres, in the plain start or in one of the variants."""
        chosen = None if variant is None else self.start.variants[variant]
        named = {item.figure: item.at for item in self.start.placements}
        named |= {item.figure: item.at for item in (chosen.placements if chosen else ())}
        places = {
            figure: self.floor.spot_m(Spot.parse(at)) if isinstance(at, str) else (at[0], at[1])
            for figure, at in named.items()
        }
        if chosen and chosen.mirror:
            places = {figure: (0.0 - x_m, y_m) for figure, (x_m, y_m) in places.items()}
        return places

    def vary_m(self, variant: int | None = None) -> dict[str, float]:
        """How far each figure may be shifted from there, in the plain start or in one of the variants."""
        moved = () if variant is None else self.start.variants[variant].placements
        return {item.figure: item.vary_m for item in (*self.start.placements, *moved)}

    def guards(self) -> dict[str, str]:
        """The attacker each defender answers for: as said, else the one of the same number, else the nearest left."""
        attackers = [figure for figure in self.sides.figures if figure[0] not in "XC"]
        defenders = [figure for figure in self.sides.figures if figure[0] == "X"]
        men = {item.figure: item.guards for item in self.start.placements if item.guards}
        for figure in defenders:
            if figure not in men and figure[1:] in attackers and figure[1:] not in men.values():
                men[figure] = figure[1:]
        places_m = self.placed_m()
        for figure in defenders:
            if figure not in men:
                left = [attacker for attacker in attackers if attacker not in men.values()] or attackers
                men[figure] = min(left, key=lambda attacker: math.dist(places_m[attacker], places_m[figure]))
        return {figure: men[figure] for figure in defenders}

    def to_json(self) -> dict[str, Any]:
        """Give the whole document, defaults written out, as plain JSON data."""
        return self.model_dump(mode="json")

    @property
    def hash(self) -> str:
        """Name of the content, 64 hexadecimal digits; see `courtwright.documents.content_hash`."""
        return content_hash(self)
