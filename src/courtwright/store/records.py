"""What the store hands out."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from courtwright.game.document import Game
from courtwright.game.moment import Moment, moment_from_json
from courtwright.game.read import game_from_json
from courtwright.vocabulary import Role

GAME: Final = "game"


@dataclass(frozen=True)
class Kept:
    """One game as it now stands, or as it stood at an earlier revision."""

    id: str
    document: dict[str, Any]
    hash: str
    revision: int
    changed_at: str
    """UTC, ISO 8601"""

    @cached_property
    def game(self) -> Game:
        """The game; raise `DocumentError` if this version of the product no longer takes it."""
        return game_from_json(self.document, source=f"kept game {self.id}")

    @property
    def name(self) -> str:
        """The game's name, readable even where the game itself is not."""
        return str(self.document.get("name", "unnamed"))


@dataclass(frozen=True, slots=True)
class Listed:
    """One row of the list of games."""

    id: str
    name: str
    purpose: str
    court: str
    sides: dict[str, Any]
    revision: int
    changed_at: str

    @property
    def sides_text(self) -> str:
        """The sides as coaches say them: “3 on 3”, “3 on 2 with a neutral”."""
        neutrals = {0: "", 1: " with a neutral", 2: " with two neutrals"}[self.sides["neutral"]]
        return f"{self.sides['offence']} on {self.sides['defence']}{neutrals}"


@dataclass(frozen=True)
class KeptMoment:
    """One moment of a game as it now stands."""

    id: str
    game_id: str
    document: dict[str, Any]
    hash: str
    revision: int
    changed_at: str

    @cached_property
    def moment(self) -> Moment:
        """The moment; raise `DocumentError` if this version of the product no longer takes it."""
        return moment_from_json(self.document, source=f"kept moment {self.id}")


@dataclass(frozen=True, slots=True)
class ListedMoment:
    """One row of the moments of a game."""

    id: str
    name: str
    cue: str
    revision: int
    changed_at: str


@dataclass(frozen=True, slots=True)
class Revision:
    """One saved state of a document: when, and by whom where that is known."""

    revision: int
    hash: str
    name: str
    saved_at: str
    who: str


def revisions_of(rows: Iterable[Any]) -> list[Revision]:
    """The saved states in rows of the table of revisions."""
    return [
        Revision(row.revision, row.hash, str(json.loads(row.document)["name"]), row.saved_at, row.who) for row in rows
    ]


@dataclass(frozen=True, slots=True)
class Device:
    """A device that joined: a tablet, a phone, a screen on the wall. Times are UTC, ISO 8601."""

    id: str
    name: str
    role: Role
    made_at: str
    seen_at: str | None
    revoked_at: str | None
    welcome: bool
    """whether it may come in; not after it was revoked, nor from a backup, which holds no secrets"""


@dataclass(frozen=True, slots=True)
class OpenCode:
    """A role that can be joined now, and until when; the code itself is not kept."""

    role: Role
    expires_at: str


@dataclass(frozen=True, slots=True)
class KeptTrial:
    """A trial's summary, with what is needed to run it again."""

    id: str
    game_id: str
    game_hash: str
    squad_hash: str
    model_version: str
    seed: int
    kept_at: str
    summary: dict[str, Any]
