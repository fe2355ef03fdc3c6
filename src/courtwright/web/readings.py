"""Readings of a moment that need not be kept: at once while a finger moves, the rest on release."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter
from fastapi.responses import JSONResponse, Response

from courtwright.vocabulary import Level
from courtwright.web.asked import asked
from courtwright.web.bodies import ReadMoment, ReplayMoment
from courtwright.web.context import InHouse

router: Final = APIRouter(prefix="/api/read")

# Answers are given as they are: the framework would walk through every cell of the map once more.


@router.post("")
def read(body: ReadMoment, house: InHouse) -> Response:
    """Gaps, help, map and sentences."""
    from courtwright.reading import quick_json, without_chances  # noqa: PLC0415 (loads the compiler)

    question = asked(body, house)
    data = quick_json(question.reading(dragging=body.dragging)) | question.to_json()
    return JSONResponse(without_chances(data) if question.level is Level.U12 else data)


@router.post("/more")
def read_more(body: ReadMoment, house: InHouse) -> Response:
    """What pauses cost, and early help by the shooter who is left."""
    from courtwright.reading import more_json  # noqa: PLC0415

    question = asked(body, house)
    return JSONResponse(more_json(question.reading(), known=question.known) | question.to_json())


@router.post("/timeline")
def read_timeline(body: ReplayMoment, house: InHouse) -> Response:
    """One row of the help table, to be played through."""
    from courtwright.reading import timeline  # noqa: PLC0415

    question = asked(body, house)
    played = timeline(question.reading(dragging=True), body.helper, body.cue)
    return JSONResponse(played.to_json() | question.to_json())
