"""What a reading is asked about: the moment, whose points count, and whose figures stand there."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from courtwright.errors import NotYoursError
from courtwright.game.document import Game
from courtwright.game.moment import Moment, moment_from_json
from courtwright.game.read import game_from_json
from courtwright.vocabulary import Level
from courtwright.web.bodies import ReadMoment
from courtwright.web.context import House
from courtwright.web.plans import club_squad

if TYPE_CHECKING:
    from courtwright.reading import Reading
    from courtwright.reading.people import People


@dataclass(frozen=True, slots=True)
class Asked:
    """One question, ready to be read."""

    moment: Moment
    game: Game | None
    level: Level
    people: People | None

    def reading(self, *, dragging: bool = False) -> Reading:
        """Read it."""
        from courtwright.reading import read_moment, sets_for  # noqa: PLC0415 (loads the compiler)

        sets = sets_for(len(self.moment.attackers) + len(self.moment.defenders), dragging=dragging)
        bodies = self.people.bodies(self.moment, sets) if self.people else None
        return read_moment(self.moment, level=self.level, game=self.game, bodies=bodies, sets=sets)

    @property
    def known(self) -> frozenset[str]:
        """Figures whose threes were tested."""
        return self.people.known if self.people else frozenset()

    @property
    def whose(self) -> str:
        """The same in words, for paper."""
        return self.people.whose if self.people else f"{self.level} preset"

    def to_json(self) -> dict[str, Any]:
        """Whose figures stood in, for the answer."""
        return {"level": self.level.value, "players": dict(self.people.names) if self.people else {}}


def asked(body: ReadMoment, house: House) -> Asked:
    """Make sense of a body; raise what is wrong with it."""
    from courtwright.reading.people import People  # noqa: PLC0415

    if body.squad and not house.visitor.coach:
        raise NotYoursError("only the coach's devices may read with the squad's own figures")
    house.kernels.check()
    moment = moment_from_json(body.moment)
    squad = club_squad(house.store) if body.squad else house.store.squad()[0]
    level = body.level or (squad.level if squad else Level.U16)
    people = People(squad, level, body.players) if squad and body.players else None
    return Asked(moment, _game(body, house), level, people)


def _game(body: ReadMoment, house: House) -> Game | None:
    """The game whose points count; nothing for plain twos and threes."""
    if body.points == "plain":
        return None
    if body.game is not None:
        return _read(json.dumps(house.store.game(body.game).document))
    return None if body.document is None else _read(json.dumps(body.document))


@lru_cache(maxsize=16)
def _read(text: str) -> Game:
    """A game is looked through once, not at every step of a drag."""
    return game_from_json(json.loads(text))
