"""Drawings, paper and files to take away."""

from __future__ import annotations

import re
import unicodedata
from contextlib import suppress
from typing import Annotated, Final
from urllib.parse import quote

from fastapi import APIRouter, Query
from fastapi.responses import Response

from courtwright.drawing import Svg, draw_game
from courtwright.errors import RotaError
from courtwright.game.document import Game
from courtwright.game.read import game_from_json
from courtwright.rota import rota_for
from courtwright.squad import squad_to_csv
from courtwright.web.bodies import DrawGame, Minutes, Seed
from courtwright.web.context import InHouse
from courtwright.web.plans import check_variant, club_squad

router: Final = APIRouter()

PICTURE_POLICY: Final = "default-src 'none'; frame-ancestors 'none'"
"""For a picture opened on its own: it carries all it needs as attributes."""
PNG_WIDTH_PX: Final = 1600

VariantNumber = Annotated[int | None, Query(ge=0, description="counted from 0; the plain start if left out")]
Width = Annotated[int, Query(ge=100, le=4000, description="pixels")]


@router.get("/games/{game_id}.svg")
def game_svg(game_id: str, house: InHouse, variant: VariantNumber = None, feet: bool = False) -> Response:
    """The start of a kept game, to scale."""
    game = house.store.game(game_id).game
    return named(_drawn(game, variant, feet), "image/svg+xml", game.name, "svg")


@router.post("/api/draw")
def draw_any(body: DrawGame) -> Response:
    """The start of a game that need not be kept."""
    game = game_from_json(body.document)
    return named(_drawn(game, body.variant, body.feet), "image/svg+xml", game.name, "svg")


@router.get("/games/{game_id}.png")
def game_png(
    game_id: str, house: InHouse, variant: VariantNumber = None, feet: bool = False, width: Width = PNG_WIDTH_PX
) -> Response:
    """The same as a picture of points."""
    from courtwright.drawing.typeset import svg_to_png  # noqa: PLC0415 (the typesetter is large; only paper needs it)

    game = house.store.game(game_id).game
    return named(svg_to_png(_drawn(game, variant, feet), width), "image/png", game.name, "png")


@router.get("/games/{game_id}.pdf")
def game_pdf(
    game_id: str,
    house: InHouse,
    *,
    minutes: Minutes | None = None,
    seed: Seed = 0,
    variant: VariantNumber = None,
    feet: bool = False,
) -> Response:
    """The sheet to print, with the turns of those who are here."""
    from courtwright.drawing.sheet import game_sheet  # noqa: PLC0415

    game, squad = house.store.game(game_id).game, house.store.squad()[0]
    rota = None
    with suppress(RotaError):  # too few are here: the sheet is still good for reading
        rota = rota_for(game, squad, minutes, seed) if squad else None
    check_variant(game, variant)
    sheet = game_sheet(game, rota, squad_name=squad.name if squad else "", variant=variant, feet=feet)
    return named(sheet, "application/pdf", game.name, "pdf")


@router.get("/squad.csv")
def squad_csv(house: InHouse) -> Response:
    """The squad as a table for a spreadsheet."""
    squad = club_squad(house.store)
    return named(squad_to_csv(squad), "text/csv; charset=utf-8", squad.name, "csv", inline=False)


@router.get("/squad.json")
def squad_json(house: InHouse) -> Response:
    """The squad as its own document."""
    squad = club_squad(house.store)
    return named(squad.model_dump_json(indent=2), "application/json", squad.name, "json", inline=False)


@router.get("/games/{game_id}.json")
def game_json(game_id: str, house: InHouse) -> Response:
    """The game as its own document."""
    game = house.store.game(game_id).game
    return named(game.model_dump_json(indent=2), "application/json", game.name, "game.json", inline=False)


def _drawn(game: Game, variant: int | None, feet: bool) -> Svg:
    check_variant(game, variant)
    return draw_game(game, variant=variant, feet=feet)


def named(content: bytes | str, media_type: str, name: str, ending: str, *, inline: bool = True) -> Response:
    """An answer with a file name: plain ASCII for old readers, the true one beside it (RFC 6266)."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", plain).strip("-.") or "courtwright"
    full = quote(re.sub(r'[\x00-\x1f\x7f/\\:*?"<>|]+', "-", name), safe="")
    place = "inline" if inline else "attachment"
    headers = {"Content-Disposition": f"{place}; filename=\"{plain}.{ending}\"; filename*=UTF-8''{full}.{ending}"}
    if media_type == "image/svg+xml":
        headers["Content-Security-Policy"] = PICTURE_POLICY
    return Response(content, media_type=media_type, headers=headers)
