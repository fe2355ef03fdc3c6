"""The squad document, version 1, as typed parts. Reading lives in `courtwright.squad.read`."""

from __future__ import annotations

import re
from collections import Counter
from typing import Annotated, Any, Final, Literal

from pydantic import AfterValidator, BeforeValidator, Field, PlainSerializer

from courtwright.documents import Part, content_hash, one_line
from courtwright.vocabulary import Level, Zone

FORMAT: Final = "courtwright.squad/1"
MOST_PLAYERS: Final = 60


def distance_text(distance_m: float) -> str:
    """A distance as a key or a heading, in full: ``10``, ``22.86``."""
    return repr(float(distance_m)).removesuffix(".0")


def _by_distance(splits: Any) -> Any:
    """Take the text of JSON keys for numbers; refuse ``5`` beside ``5.0``, of which one would be lost."""
    if not isinstance(splits, dict):
        return splits
    distances = [float(key) if re.fullmatch(r"\d{1,3}(\.\d{1,20})?", str(key)) else key for key in splits]
    for distance, count in Counter(distances).items():
        if count > 1:
            raise ValueError(f"has {count} times over {distance:g} m; keep one")
    return dict(zip(distances, splits.values(), strict=True))


def _nearest_first(splits: dict[float, float]) -> dict[float, float]:
    return dict(sorted(splits.items()))


Splits = Annotated[
    dict[Annotated[float, Field(ge=1, le=100)], Annotated[float, Field(gt=0, le=60)]],
    Field(max_length=8, description="timed sprints: distance in metres → seconds"),
    BeforeValidator(_by_distance),
    AfterValidator(_nearest_first),
    PlainSerializer(
        lambda splits: {distance_text(distance_m): time_s for distance_m, time_s in splits.items()},
        return_type=dict[str, float],
        when_used="json",
    ),
]


class Shots(Part):
    """A shooting test from one zone."""

    makes: int = Field(ge=0, le=9999)
    attempts: int = Field(ge=0, le=9999)


class Player(Part):
    """One player. Only the name is needed; the level's preset stands in for the rest."""

    name: Annotated[str, Field(min_length=1, max_length=40), AfterValidator(one_line)]
    number: int | None = Field(default=None, ge=0, le=99)
    height_cm: float | None = Field(default=None, ge=100, le=240)
    level: Level | None = Field(default=None, description="the squad's level if left out")
    here: bool = True
    grade: int | None = Field(default=None, ge=1, le=5, description="the coach's own, 1 to 5")
    splits_s: Splits = Field(default_factory=dict)
    shooting: dict[Zone, Shots] = Field(default_factory=dict, description="shooting tests by zone")


class Squad(Part):
    """A squad."""

    format: Literal["courtwright.squad/1"] = FORMAT
    name: Annotated[str, Field(min_length=1, max_length=80), AfterValidator(one_line)]
    level: Level = Field(default=Level.U16, description="the preset for every player without a level")
    players: tuple[Player, ...] = Field(default=(), max_length=MOST_PLAYERS)

    @property
    def here(self) -> tuple[Player, ...]:
        """The players who are available."""
        return tuple(player for player in self.players if player.here)

    def to_json(self) -> dict[str, Any]:
        """Give the whole squad, defaults written out, as plain JSON data."""
        return self.model_dump(mode="json")

    @property
    def hash(self) -> str:
        """Name of the content, 64 hexadecimal digits; see `courtwright.documents.content_hash`."""
        return content_hash(self)
