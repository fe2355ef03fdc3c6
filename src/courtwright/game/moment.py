"""A moment: who stood where, moving how, with the ball where, when play was stopped. Version 1."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import AfterValidator, Field

from courtwright.documents import (
    Migration,
    Part,
    Where,
    all_told,
    content_hash,
    json_text,
    object_of,
    one_line,
    read_bytes,
    read_leniently,
    text_of,
    up_to_date,
)
from courtwright.errors import Problem
from courtwright.floor.court import Court, Rules, court
from courtwright.floor.scene import MOST_PLAYERS
from courtwright.game.check import SAME_SPOT_M
from courtwright.game.document import FigureName, Game, Line, Place
from courtwright.game.read import place_in_words
from courtwright.vocabulary import Spot

FORMAT: Final = "courtwright.moment/1"
MIGRATIONS: Final[dict[int, Migration]] = {}
FASTEST_M_PER_S: Final = 9.0
STAND_INS: Final = {"name": "unnamed", "figures": [], "ball": "1"}

Speed = Annotated[float, Field(ge=-FASTEST_M_PER_S, le=FASTEST_M_PER_S)]


class Standing(Part):
    """One figure in a moment."""

    figure: FigureName
    at: Place
    moving_m_per_s: tuple[Speed, Speed] = Field(default=(0.0, 0.0), description="along x and y")
    guards: FigureName | None = None


class Moment(Part):
    """A frozen moment."""

    format: Literal["courtwright.moment/1"] = FORMAT
    name: Annotated[str, Field(min_length=1, max_length=80), AfterValidator(one_line)]
    cue: Line = ""
    court: Rules = Rules.FIBA
    figures: tuple[Standing, ...] = Field(max_length=16)
    ball: FigureName
    held_s: float = Field(default=0.0, ge=0, le=10, description="seconds since the catch; 0 for a ball just caught")

    @property
    def floor(self) -> Court:
        """The court it is on."""
        return court(self.court)

    def placed_m(self) -> dict[str, tuple[float, float]]:
        """Where each figure stands, in metres."""
        return {
            item.figure: self.floor.spot_m(Spot.parse(item.at)) if isinstance(item.at, str) else item.at
            for item in self.figures
        }

    @property
    def attackers(self) -> list[str]:
        """Attackers and neutral players, in drawing order."""
        return sorted((item.figure for item in self.figures if item.figure[0] not in "XC"), key=_order)

    @property
    def defenders(self) -> list[str]:
        """Defenders, in drawing order."""
        return sorted((item.figure for item in self.figures if item.figure[0] == "X"), key=_order)

    def guards(self) -> dict[str, str]:
        """The attacker each defender answers for: as said, else of his own number, else the nearest left."""
        places, said = self.placed_m(), {item.figure: item.guards for item in self.figures if item.guards}
        left = [figure for figure in self.attackers if figure not in said.values()]
        chosen = {figure: man for figure, man in said.items() if figure in self.defenders}
        for figure in (item for item in self.defenders if item not in chosen):
            if figure[1:] in left:
                chosen[figure] = figure[1:]
                left.remove(figure[1:])
        for figure in (item for item in self.defenders if item not in chosen):
            here = places[figure]
            chosen[figure] = min(left or self.attackers, key=lambda man: math.dist(places[man], here))
            left = [man for man in left if man != chosen[figure]]
        return chosen

    def to_json(self) -> dict[str, Any]:
        """Give the whole moment, defaults written out, as plain JSON data."""
        return self.model_dump(mode="json")

    @property
    def hash(self) -> str:
        """Name of the content."""
        return content_hash(self)


def _order(figure: str) -> tuple[int, int]:
    return "N" in figure, int(figure.strip("NXC") or 0)


def moment_of(game: Game, variant: int | None = None) -> Moment:
    """The start of a game as a moment: everyone still, the ball just caught (by the first attacker after a feed)."""
    guards = game.guards()
    figures = [
        {"figure": figure, "at": place, "guards": guards.get(figure)}
        for figure, place in game.placed_m(variant).items()
        if figure != "C"
    ]
    ball = game.start.ball if game.start.ball != "C" else (game.entry.to or "1")
    return Moment.model_validate({"name": game.name, "court": game.court, "figures": figures, "ball": ball})


def load_moment(path: Path) -> Moment:
    """Read a moment file; raise `DocumentError` with every problem found."""
    return parse_moment(read_bytes(path), source=path.name)


def parse_moment(raw: bytes | str, *, source: str = "moment") -> Moment:
    """Read a moment from JSON text; raise `DocumentError` with every problem found."""
    data, notes = object_of(text_of(raw, source), source)
    data = up_to_date(data, FORMAT, MIGRATIONS, source)
    reading = read_leniently(Moment, data, STAND_INS)
    problems = [Problem(_place(place, data), what, mend) for place, what, mend in reading.wrong]
    if reading.value is not None and "figures" not in reading.unread:
        problems += _problems_of(reading.value)
    if notes or problems or reading.value is None:
        raise all_told(source, [*notes, *problems])
    return reading.value


def _place(place: Where, data: dict[str, Any]) -> str:
    """The place of a mistake: an entry of the figures by its figure, where it says which."""
    match place:
        case ("figures", int(index), "figure"):
            return f"figures, entry {index + 1}"
        case ("figures", int(index), *rest):
            return ", ".join([_entry(data["figures"][index], index), *_part(rest)])
    return place_in_words(place)


def _entry(entry: Any, index: int) -> str:
    name = entry.get("figure") if isinstance(entry, dict) else None
    return f"figure {name}" if isinstance(name, str) else f"figures, entry {index + 1}"


def _part(rest: list[int | str]) -> list[str]:
    match rest:
        case ["moving_m_per_s", 0 | 1 as axis]:
            return [f"moving_m_per_s along {'xy'[axis]}"]
    return [str(rest[0])] if rest else []


def moment_from_json(data: Any, *, source: str = "moment") -> Moment:
    """Read a moment from JSON data; raise `DocumentError` with every problem found."""
    return parse_moment(json_text(data, source), source=source)


def _problems_of(moment: Moment) -> Iterator[Problem]:
    for figure, count in Counter(item.figure for item in moment.figures).items():
        if count > 1:
            yield Problem(f"figure {figure}", f"stands in {count} places", "Keep one.")
    if moment.ball not in moment.attackers:
        yield Problem("ball", f"figure {moment.ball} cannot have it", "Give it to an attacker who stands on the floor.")
    players = len(moment.attackers) + len(moment.defenders)
    if players > MOST_PLAYERS:
        yield Problem("figures", f"{players} players stand on the floor", f"Keep {MOST_PLAYERS} at most.")
    if not moment.defenders:
        yield Problem("figures", "there is no defender", "Place at least X1; without one there is nothing to read.")
    for item in moment.figures:
        yield from _problems_with(item, moment.attackers)
    yield from _misplaced(moment)


def _problems_with(item: Standing, attackers: list[str]) -> Iterator[Problem]:
    place, speed = f"figure {item.figure}", math.hypot(*item.moving_m_per_s)
    if item.guards is not None and item.figure[0] != "X":
        yield Problem(f"{place}, guards", "is no defender and guards nobody", "Leave it out.")
    elif item.guards is not None and item.guards not in attackers:
        yield Problem(f"{place}, guards", f"there is no attacker {item.guards}", "Name another.")
    if speed > FASTEST_M_PER_S:
        most = f"Write {FASTEST_M_PER_S:g} at most, both directions together."
        yield Problem(f"{place}, moving_m_per_s", f"comes to {speed:.1f} m/s, faster than anyone runs", most)


def _misplaced(moment: Moment) -> Iterator[Problem]:
    places = [(figure, place) for figure, place in moment.placed_m().items() if figure != "C"]
    for index, (figure, here) in enumerate(places):
        if not moment.floor.on_floor(*here):
            yield Problem(f"figure {figure}", "stands off the floor", "Move it inside the lines.")
        for other, there in places[index + 1 :]:
            if math.dist(here, there) < SAME_SPOT_M:
                yield Problem(f"figure {figure}", f"stands on the same spot as {other}", "Move one of them.")
