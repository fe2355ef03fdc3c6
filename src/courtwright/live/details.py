"""What each kind of fact carries, checked at the door. What has passed here is folded without another look.

Players of a possession are named by their figure (``2``, ``X1``): who stood there
is the rota's business, so a corrected substitution moves every credit with it.
"""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

from pydantic import AfterValidator, Field, ValidationError, model_validator

from courtwright.documents import Part, in_words, one_line
from courtwright.errors import DocumentError, Problem, WordError
from courtwright.game.document import Constraint, FigureName, Game, Placement, PointRule
from courtwright.vocabulary import Cost, Fact, FactKind, Hand, TurnoverKind, Zone

ID: Final = r"^[0-9A-Za-z_-]{1,40}$"
MOST_MS: Final = 24 * 3_600_000
"""A run is over within a day."""

EventId = Annotated[str, Field(pattern=ID)]
Name = Annotated[str, Field(min_length=1, max_length=60), AfterValidator(one_line)]
Words = Annotated[str, Field(max_length=200), AfterValidator(one_line)]
Metres = Annotated[float, Field(ge=-30, le=30)]
Ms = Annotated[int, Field(ge=0, le=MOST_MS)]


class Who(Part):
    """Something one player did; nobody named is an answer too."""

    who: FigureName | None = None
    inserted: int | None = Field(
        default=None, ge=1, le=9, description="told late, for a possession missed after this one; 1 is the first missed"
    )


class Shot(Who):
    """What a make and a miss have in common."""

    hand: Hand | None = None
    place: tuple[Metres, Metres] | None = Field(default=None, description="metres from the point under the ring")
    gap_m: float | None = Field(default=None, ge=0, le=20)


class Make(Shot):
    """A basket."""

    zone: Zone
    assist: FigureName | bool | None = Field(default=None, description="who passed, or that somebody did")
    kick_out: bool | None = None


class Miss(Shot):
    """A miss, and the rebound where it was tapped with it."""

    zone: Zone | None = None
    rebound: Literal["offence", "defence"] | None = None
    by: FigureName | None = Field(default=None, description="who got the rebound")


class Turnover(Who):
    """The ball lost, and to whom."""

    kind: TurnoverKind | None = None
    by: FigureName | None = Field(default=None, description="who stole it")


class Foul(Who):
    """A foul by somebody on somebody."""

    on: FigureName | None = None


class FreeThrow(Who):
    """One free throw."""

    made: bool


class Charge(Who):
    """A charge drawn; by whom."""

    by: FigureName | None = Field(default=None, description="who ran into him")


class Violation(Who):
    """A rule of the game broken."""

    rule: Annotated[str, Field(min_length=1, max_length=40)]
    cost: Cost | None = Field(default=None, description="what the rule in force says if left out")


class Tag(Who):
    """One opportunity for what is watched, and whether it was taken."""

    tag: Name
    did: bool


class Watching(Part):
    """Somebody begins to watch for a tag, or stops."""

    tag: Name
    on: bool


class Freeze(Part):
    """Play stopped to teach."""

    cue: Words = ""
    moment_id: str | None = Field(default=None, max_length=40)


class RunItAgain(Part):
    """The frozen moment is played from there."""

    freeze: EventId | None = None


class Possession(Part):
    """The possession is left without a result."""

    do: Literal["skip"] = "skip"


class Substitution(Part):
    """Another player stands at a figure, in this turn."""

    figure: FigureName
    player: Name


class Attendance(Part):
    """Who is here. ``limited`` and its note are for the coach's own device."""

    player: Name
    state: Literal["here", "late", "away", "limited"]
    note: Words = ""


class TurnRow(Part):
    """One turn of a rota, by name."""

    figures: dict[FigureName, Name] = Field(max_length=16)
    off: tuple[Name, ...] = Field(default=(), max_length=60)
    offence_team: int = Field(default=-1, ge=-1, le=20)
    defence_team: int = Field(default=-1, ge=-1, le=20)


class RotaChanged(Part):
    """A new rota from here on."""

    turns: tuple[TurnRow, ...] = Field(min_length=1, max_length=400)


class Switched(Part):
    """One constraint, point rule or distance goes on or off."""

    on: bool
    constraint: Constraint | None = None
    points: PointRule | None = None
    placement: Placement | None = None

    @model_validator(mode="after")
    def _one(self) -> Switched:
        if sum(part is not None for part in (self.constraint, self.points, self.placement)) != 1:
            raise ValueError("needs a constraint, a point rule or a placement; name one of them")
        if self.placement is not None and not self.on:
            raise ValueError("a placement cannot go off; switch another one on")
        return self


class GameChanged(Part):
    """Another form of the game from here on."""

    game: Game
    say: Words = ""


class Clock(Part):
    """The clock, as the device that touched it saw it."""

    do: Literal["start", "stop", "set", "end"]
    played_ms: Ms = Field(description="time played so far")
    server_ms: int = Field(ge=0, le=10**15, description="that device's best guess of the server's clock")


class Undo(Part):
    """A fact that does not hold."""

    event: EventId


class PutRight(Part):
    """What an edit may change in what happened; null takes a detail out."""

    zone: Zone | None = None
    who: FigureName | None = None
    inserted: int | None = Field(default=None, ge=1, le=9)
    hand: Hand | None = None
    place: tuple[Metres, Metres] | None = None
    gap_m: float | None = Field(default=None, ge=0, le=20)
    assist: FigureName | bool | None = None
    kick_out: bool | None = None
    rebound: Literal["offence", "defence"] | None = None
    by: FigureName | None = None
    kind: TurnoverKind | None = None
    on: FigureName | None = None
    made: bool | None = None
    rule: Annotated[str, Field(min_length=1, max_length=40)] | None = None
    cost: Cost | None = None
    did: bool | None = None
    cue: Words | None = None
    moment_id: str | None = Field(default=None, max_length=40)


class Edit(Part):
    """A fact put right: another possession, other details."""

    event: EventId
    possession: int | None = Field(default=None, ge=1, le=9999)
    detail: PutRight = PutRight()


class Claim(Part):
    """The score as the players call it."""

    score: tuple[Annotated[int, Field(ge=-999, le=999)], ...] = Field(min_length=1, max_length=20)


DETAILS: Final[dict[FactKind, type[Part]]] = {
    FactKind.MAKE: Make,
    FactKind.MISS: Miss,
    FactKind.OFFENSIVE_REBOUND: Who,
    FactKind.DEFENSIVE_REBOUND: Who,
    FactKind.TURNOVER: Turnover,
    FactKind.STEAL: Who,
    FactKind.FOUL: Foul,
    FactKind.FREE_THROW: FreeThrow,
    FactKind.CHARGE: Charge,
    FactKind.VIOLATION: Violation,
    FactKind.DEFLECTION: Who,
    FactKind.BLOCK: Who,
    FactKind.PAINT_TOUCH: Who,
    FactKind.BOX_OUT: Who,
    FactKind.EXTRA_PASS: Who,
    FactKind.KICK_OUT: Who,
    FactKind.TAG: Tag,
    FactKind.WATCHING: Watching,
    FactKind.FREEZE: Freeze,
    FactKind.RUN_IT_AGAIN: RunItAgain,
    FactKind.POSSESSION: Possession,
    FactKind.SUBSTITUTION: Substitution,
    FactKind.ATTENDANCE: Attendance,
    FactKind.ROTA_CHANGED: RotaChanged,
    FactKind.CONSTRAINT_SWITCHED: Switched,
    FactKind.GAME_CHANGED: GameChanged,
    FactKind.CLOCK: Clock,
    FactKind.UNDO: Undo,
    FactKind.EDIT: Edit,
    FactKind.CLAIM: Claim,
}


class Envelope(Part):
    """A fact as a device sends it; ``detail`` is looked at by its kind."""

    event_id: EventId
    device: Annotated[str, Field(pattern=ID)]
    sequence: int = Field(ge=0, le=10**9)
    time: Annotated[str, Field(pattern=r"^\d{1,15}\.\d{1,9}$")]
    run_id: Annotated[str, Field(pattern=ID)]
    possession: int = Field(ge=1, le=9999)
    turn: int = Field(ge=0, le=9999)
    game_id: Annotated[str, Field(max_length=40)]
    game_hash: Annotated[str, Field(max_length=64)]
    kind: FactKind
    detail: dict[str, Any] = Field(default_factory=dict)


def checked(data: Any, source: str = "fact") -> Fact:
    """Read one fact from JSON data; raise `DocumentError` with every problem in it."""
    try:
        envelope = Envelope.model_validate(data)
        kind = DETAILS[envelope.kind]
    except ValidationError as error:
        raise _refused(Envelope, error, source) from None
    try:
        detail = kind.model_validate(envelope.detail)
    except ValidationError as error:
        raise _refused(kind, error, source, "detail") from None
    told = detail.model_dump(mode="json", exclude_unset=True)
    kept = {key: value for key, value in told.items() if value is not None}
    try:
        return Fact.from_json(envelope.model_dump(mode="json") | {"detail": kept})
    except WordError as error:
        raise DocumentError(source, [Problem("fact", str(error), "Send it as the program made it.")]) from None


def _refused(model: type[Part], error: ValidationError, source: str, *above: str) -> DocumentError:
    problems = []
    for item in error.errors(include_url=False)[:20]:
        place = ".".join((*above, *map(str, item["loc"])))
        problems.append(Problem(place or "fact", *in_words(model, item)))
    return DocumentError(source, problems)
