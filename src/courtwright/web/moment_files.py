"""A moment as a picture, on paper, and played through."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Final, Literal

from fastapi import APIRouter, Query
from fastapi.responses import Response

from courtwright.game.moment import moment_from_json
from courtwright.vocabulary import Level
from courtwright.web.asked import Asked, asked
from courtwright.web.bodies import DrawMoment, ReplayMoment, ShowMoment
from courtwright.web.context import House, InHouse
from courtwright.web.files import PNG_WIDTH_PX, named

if TYPE_CHECKING:
    from courtwright.drawing import Svg
    from courtwright.reading import Timeline

# Readings load the compiler and paper the typesetter: both only where they are asked for.

router: Final = APIRouter()

ANIMATION_WIDTH_PX: Final = 640

How = Annotated[ShowMoment, Query()]


@router.post("/api/draw/moment")
def draw_any(body: DrawMoment, house: InHouse) -> Response:
    """A moment that need not be kept."""
    svg = _drawn(body, house, drive=body.drive, feet=body.feet)
    return named(svg, "image/svg+xml", "moment", "svg")


@router.get("/games/{game_id}/moments/{moment_id}.svg")
def moment_svg(game_id: str, moment_id: str, how: How, house: InHouse) -> Response:
    """A kept moment, to scale; with the drive where a cue is named."""
    kept = house.store.moments.get(game_id, moment_id)
    svg = _drawn(how.question(kept.document, game_id), house, drive=how.cue is not None, feet=how.feet)
    return named(svg, "image/svg+xml", kept.moment.name, "svg")


@router.get("/games/{game_id}/moments/{moment_id}.png")
def moment_png(game_id: str, moment_id: str, how: How, house: InHouse) -> Response:
    """The same as a picture of points."""
    from courtwright.drawing import svg_to_png  # noqa: PLC0415

    kept = house.store.moments.get(game_id, moment_id)
    svg = _drawn(how.question(kept.document, game_id), house, drive=how.cue is not None, feet=how.feet)
    return named(svg_to_png(svg, how.width or PNG_WIDTH_PX), "image/png", kept.moment.name, "png")


def _drawn(body: ReplayMoment, house: House, *, drive: bool, feet: bool) -> Svg:
    from courtwright.drawing.moment import draw_moment  # noqa: PLC0415

    if not drive:
        return draw_moment(moment_from_json(body.moment), feet=feet)
    question = asked(body, house)
    return draw_moment(question.moment, reading=question.reading(), row=(body.helper, body.cue), feet=feet)


@router.get("/games/{game_id}/moments/{moment_id}.pdf")
def moment_pdf(game_id: str, moment_id: str, how: How, house: InHouse) -> Response:
    """The sheet to print."""
    from courtwright.drawing.moment_sheet import moment_sheet  # noqa: PLC0415

    body, question = _question(game_id, moment_id, how, house)
    sheet = moment_sheet(
        question.moment,
        question.reading(),
        row=(body.helper, body.cue),
        whose=question.whose,
        known=question.known,
        chances=question.level is not Level.U12,
        feet=how.feet,
    )
    return named(sheet, "application/pdf", question.moment.name, "pdf")


@router.get("/games/{game_id}/moments/{moment_id}.gif")
def moment_gif(game_id: str, moment_id: str, how: How, house: InHouse) -> Response:
    """One row of the help table, played through."""
    return _animation(game_id, moment_id, how, house, "gif")


@router.get("/games/{game_id}/moments/{moment_id}.webp")
def moment_webp(game_id: str, moment_id: str, how: How, house: InHouse) -> Response:
    """The same, in more colours."""
    return _animation(game_id, moment_id, how, house, "webp")


def _animation(game_id: str, moment_id: str, how: ShowMoment, house: House, kind: Literal["gif", "webp"]) -> Response:
    from courtwright.drawing.animation import MOST_PX, animate  # noqa: PLC0415

    body, question = _question(game_id, moment_id, how, house)
    width_px = min(how.width or ANIMATION_WIDTH_PX, MOST_PX)
    moving = animate(_played(body, question), format=kind, width_px=width_px, feet=how.feet)
    return named(moving, f"image/{kind}", question.moment.name, kind)


def _played(body: ReplayMoment, question: Asked) -> Timeline:
    from courtwright.reading import timeline  # noqa: PLC0415

    return timeline(question.reading(), body.helper, body.cue)


def _question(game_id: str, moment_id: str, how: ShowMoment, house: House) -> tuple[ReplayMoment, Asked]:
    body = how.question(house.store.moments.get(game_id, moment_id).document, game_id)
    return body, asked(body, house)
