"""What the API takes, as typed bodies; unknown fields are refused."""

from __future__ import annotations

import json
from typing import Annotated, Any, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator

LARGEST_SEED = 2**53 - 1
"""A browser holds whole numbers exactly up to here."""


def _true_json(document: dict[str, Any]) -> dict[str, Any]:
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


Document = Annotated[dict[str, Any], AfterValidator(_true_json)]
Seed = Annotated[int, Field(ge=0, le=LARGEST_SEED)]
Minutes = Annotated[float, Field(gt=0, le=60, allow_inf_nan=False)]


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
    """A new game: a document, a starter game, or a copy of a kept one."""

    document: Document | None = None
    starter: str | None = None
    copy_of: str | None = None

    @model_validator(mode="after")
    def _one(self) -> Self:
        if sum(part is not None for part in (self.document, self.starter, self.copy_of)) != 1:
            raise ValueError("name exactly one of document, starter and copy_of")
        return self


class NewTrial(Body):
    """A trial to run with the squad that is here."""

    minutes: Minutes
    runs: int = Field(ge=1, le=5000)
    seed: Seed = 0
