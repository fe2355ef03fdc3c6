"""What the API takes, as typed bodies; unknown fields are refused."""

from __future__ import annotations

import json
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator

from courtwright.documents import one_line
from courtwright.vocabulary import Level, Role

LARGEST_SEED = 2**53 - 1
"""A browser holds whole numbers exactly up to here."""


def true_json(document: dict[str, Any]) -> dict[str, Any]:
    """Python's reader lets through what no JSON may hold, and what no database could give back."""
    try:
        json.dumps(document, allow_nan=False, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        raise ValueError("holds half a character (a lone surrogate)") from None
    except ValueError:
        raise ValueError("holds a number that is not one (NaN or infinity)") from None
    except RecursionError:
        raise ValueError("is nested too deeply") from None
    return document


Document = Annotated[dict[str, Any], AfterValidator(true_json)]
Seed = Annotated[int, Field(ge=0, le=LARGEST_SEED)]
Minutes = Annotated[float, Field(gt=0, le=60, allow_inf_nan=False)]

Number = Annotated[float, Field(allow_inf_nan=False)]


class Body(BaseModel):
    """Base of every body."""

    model_config = ConfigDict(extra="forbid")


class SaveSquad(Body):
    """A squad, and the revision it was made from."""

    squad: Document
    base: int = Field(ge=0)


class SaveGame(Body):
    """A game, and the revision it was made from."""

    document: Document
    base: int = Field(ge=1)


class CheckGame(Body):
    """A game to look at."""

    document: Document


class DrawGame(Body):
    """A game to draw, saved or not."""

    document: Document
    variant: int | None = Field(default=None, ge=0)
    feet: bool = False


class NewGame(Body):
    """A new game: a document, a game of the library, a copy of a kept one, or a kept 1-on-1 grown to ``side``."""

    document: Document | None = None
    starter: str | None = None
    copy_of: str | None = None
    grow_of: str | None = None
    side: int | None = Field(default=None, ge=2, le=5)
    """players on each side, with ``grow_of``"""

    @model_validator(mode="after")
    def _one(self) -> Self:
        if sum(part is not None for part in (self.document, self.starter, self.copy_of, self.grow_of)) != 1:
            raise ValueError("name exactly one of document, starter, copy_of and grow_of")
        if (self.grow_of is None) != (self.side is None):
            raise ValueError("grow_of and side go together")
        return self


class NewTrial(Body):
    """A trial to run with the squad that is here."""

    minutes: Minutes
    runs: int = Field(ge=1, le=5000)
    seed: Seed = 0
    document: Document | None = None
    """a game that is not saved yet; its trial is not kept"""
    keep: bool = True
    behind: bool = False
    """whether nobody waits for it"""
    against: Document | None = None
    """another version, to be compared"""
    against_revision: int | None = Field(default=None, ge=1)

    @model_validator(mode="after")
    def _one(self) -> Self:
        if self.against is not None and self.against_revision is not None:
            raise ValueError("compare with a document or with a revision, not with both")
        return self


class NewSweep(Body):
    """One setting over its values."""

    minutes: Minutes
    seed: Seed = 0
    document: Document | None = None
    setting: str = Field(max_length=120)
    values: list[Number | Annotated[str, Field(max_length=40)]] = Field(min_length=1, max_length=12)
    measure: str = Field(default="points", max_length=40)
    runs: int = Field(default=200, ge=2, le=2000)


class NewReplay(Body):
    """A possession by its numbers, or the next of a kind after them."""

    minutes: Minutes
    seed: Seed = 0
    document: Document | None = None
    run: int | None = Field(default=None, ge=1, le=100_000)
    possession: int | None = Field(default=None, ge=1, le=10_000)
    want: str | None = Field(default=None, max_length=40)
    """what to look for; left out, the possession of those numbers itself"""

    @model_validator(mode="after")
    def _found(self) -> Self:
        if (self.run is None) != (self.possession is None):
            raise ValueError("give a run and a possession, or neither")
        if self.want is None and self.run is None:
            raise ValueError("give a run and a possession, or what is wanted")
        return self


class NewMoment(Body):
    """A moment to keep with a game; without a document, the game's start."""

    document: Document | None = None
    variant: int | None = Field(default=None, ge=0)

    @model_validator(mode="after")
    def _one(self) -> Self:
        if self.document is not None and self.variant is not None:
            raise ValueError("name a document or a variant of the start, not both")
        return self


class ReadMoment(Body):
    """A moment to read, and how: in whose points, and with whose figures."""

    moment: Document
    game: str | None = None
    document: Document | None = None
    """a game that need not be kept; instead of `game`"""
    points: Literal["game", "plain"] = "game"
    level: Level | None = None
    squad: bool = False
    players: dict[str, str] = Field(default_factory=dict, max_length=16)
    """figure → a name from the squad"""
    dragging: bool = False

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.game is not None and self.document is not None:
            raise ValueError("name a kept game or a document, not both")
        if self.players and not self.squad:
            raise ValueError("players come from the squad; set squad to true")
        return self


class ReplayMoment(ReadMoment):
    """One row of the help table to play through."""

    helper: str | None = None
    cue: str = "never"


class DrawMoment(ReplayMoment):
    """A moment to draw, saved or not; ``drive`` adds the drive, and the helper's answer to it where one is named."""

    drive: bool = False
    feet: bool = False


class ShowMoment(Body):
    """How a kept moment is shown, as the parts of an address."""

    helper: str | None = None
    cue: str | None = None
    points: Literal["game", "plain"] = "game"
    level: Level | None = None
    player: list[str] = Field(default_factory=list, max_length=16)
    """``1:Ada``, a figure and a name from the squad"""
    feet: bool = False
    width: int | None = Field(default=None, ge=100, le=4000)

    def question(self, moment: dict[str, Any], game_id: str) -> ReplayMoment:
        """The same as a question about this moment."""
        pairs = (item.partition(":") for item in self.player)
        players = {figure: name for figure, _, name in pairs}
        return ReplayMoment(
            moment=moment,
            game=game_id,
            points=self.points,
            level=self.level,
            squad=bool(players),
            players=players,
            helper=self.helper,
            cue=self.cue or "never",
        )


def _one_name(name: str) -> str:
    name = one_line(name).strip()
    if not name:
        raise ValueError("is empty; write a name")
    return name


def _all_different(names: list[str]) -> list[str]:
    doubled = sorted({name for name in names if names.count(name) > 1})
    if doubled:
        raise ValueError(f"{doubled[0]} stands there twice; name everybody once")
    return names


PlayerName = Annotated[str, Field(min_length=1, max_length=40), AfterValidator(_one_name)]
PlayerNames = Annotated[list[PlayerName], Field(max_length=60), AfterValidator(_all_different)]


class WatchFor(Body):
    """Something the coach may watch for, and what is an opportunity for it."""

    tag: PlayerName
    opportunity: Annotated[str, Field(max_length=200)] = ""


class NewRun(Body):
    """A run to open: of which game, and with whom (those who are here if left out)."""

    game_id: Annotated[str, Field(max_length=40)]
    basket: PlayerName = "main basket"
    players: PlayerNames | None = None
    minutes: Minutes | None = None
    tags: list[WatchFor] = Field(default_factory=list, max_length=12)
    seed: Seed = 0


class TellFacts(Body):
    """Facts of a run, oldest first; each is looked at by itself."""

    facts: list[Any] = Field(max_length=500)


class ReplanRun(Body):
    """Who is here now."""

    here: PlayerNames


class RunFile(Body):
    """The text of a run's file."""

    text: Annotated[str, Field(max_length=900_000)]


def _name_of_device(text: str) -> str:
    name = one_line(text).strip()
    if not name:
        raise ValueError("is empty")
    return name


DeviceName = Annotated[str, Field(max_length=40), AfterValidator(_name_of_device)]


class Join(Body):
    """A code, and what the device is to be called in the coach's list."""

    code: str = Field(max_length=40)
    name: DeviceName


class NewCode(Body):
    """What a device that joins by the code will be."""

    role: Role


class ChangeDevice(Body):
    """What is to be different."""

    name: DeviceName | None = None
    role: Role | None = None
