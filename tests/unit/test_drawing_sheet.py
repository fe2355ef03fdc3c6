"""The printed sheet: one tagged page with its font inside, and whatever a coach wrote comes out as written."""

from __future__ import annotations

import io
import re
import struct
import zlib
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt
import pypdf
import pytest

from courtwright.drawing import draw_game, game_sheet, svg_to_png, text_twin
from courtwright.drawing.sheet import sheet_source, short_names
from courtwright.drawing.typeset import typeset
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.document import Game, Teams
from courtwright.game.points import POINT_RULES
from courtwright.game.read import game_from_json
from courtwright.game.starters import starters
from courtwright.rota import Rota, plan_rota
from courtwright.vocabulary import SPOTS, Side

NAMES = ("Ada", "Bex", "Cleo", "Dot", "Effie", "Fern", "Gus", "Hal")
GAME = starters()["low-mans-call"]


def rota_for(game: Game, names: tuple[str, ...] = NAMES, teams: Teams = Teams.MIXED) -> Rota:
    sides = game.sides
    return plan_rota(
        names, offence=sides.offence, defence=sides.defence, neutral=sides.neutral, turns=20, teams=teams, seed=5
    )


def pdf(sheet: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(sheet))


def words(sheet: bytes) -> str:
    """The page's text with every run of blanks as one."""
    return " ".join(pdf(sheet).pages[0].extract_text().replace("\u200b", "").split())


@cache
def usual_sheet() -> bytes:
    return game_sheet(GAME, rota_for(GAME), squad_name="Harbour Lane U16")


# --- one page that says everything


def test_one_a4_page() -> None:
    (page,) = pdf(usual_sheet()).pages

    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((595.28, 841.89), abs=0.1)


def test_page_carries_the_whole_game() -> None:
    said = words(usual_sheet())

    assert GAME.name in said
    assert "Harbour Lane U16" in said
    assert GAME.purpose in said
    assert GAME.question in said
    for rule in GAME.constraints:
        assert rule.text.lower() in said.lower()
        assert rule.costs.value in said
    for point in GAME.points:
        assert point.text.lower() in said.lower()
    for line in (*GAME.cues[:2], *GAME.cautions, *(step.say for step in (*GAME.easier, *GAME.harder))):
        assert line in said
    for form in GAME.forms:
        assert f"{form.players} {form.baskets} {form.say}" in said
    assert "once the ball is cleared" in said
    assert "notes" in said


def test_turns_are_the_rota_s_own() -> None:
    rota = rota_for(GAME)
    said = words(usual_sheet())

    for number, turn in enumerate(rota.turns[:8], start=1):
        attack, defend, off = (
            " · ".join(rota.names[player] for player in group) for group in (turn.offence, turn.defence, turn.off)
        )
        assert f"{number} {attack} {defend} {off}" in said


def test_fixed_teams_are_named() -> None:
    said = words(game_sheet(GAME, rota_for(GAME, (*NAMES, "Ivo"), teams=Teams.FIXED)))

    assert "Team 3:" in said
    assert "teams stay together" in said


def test_caution_of_a_point_rule_is_printed() -> None:
    data = GAME.to_json()
    data["points"].append({"rule": "charge", "points": 1})

    assert POINT_RULES["charge"].caution in words(game_sheet(game_from_json(data)))
    assert POINT_RULES["charge"].caution not in words(game_sheet(GAME))


def test_without_a_rota_there_are_no_turns() -> None:
    said = words(game_sheet(GAME))

    assert "attack: 1" not in said
    assert "notes" in said


def test_feet_and_variants_reach_the_page() -> None:
    plain, mirrored = words(game_sheet(GAME, feet=True)), words(game_sheet(GAME, variant=0))

    assert "4 ft" in plain
    assert GAME.start.variants[0].name in mirrored


# --- a page that can be read aloud, anywhere


def test_page_is_tagged_titled_and_declares_pdf_ua_1() -> None:
    reader = pdf(usual_sheet())
    catalogue: Any = reader.trailer["/Root"]

    assert catalogue["/MarkInfo"]["/Marked"] is not None
    assert bool(catalogue["/MarkInfo"]["/Marked"])
    assert "/StructTreeRoot" in catalogue
    assert str(catalogue["/Lang"]).startswith("en")
    assert bool(catalogue["/ViewerPreferences"]["/DisplayDocTitle"])
    assert reader.metadata is not None
    assert reader.metadata.title == GAME.name
    assert b"pdfuaid:part>1<" in catalogue["/Metadata"].get_data()


def test_drawing_has_its_text_twin_and_the_page_its_headings() -> None:
    tags = tagged(pdf(usual_sheet()))
    alternatives = [alt for _, alt in tags if alt]

    assert alternatives == [text_twin(GAME)]
    kinds = [kind for kind, _ in tags]
    assert kinds.count("/Figure") == 1
    assert kinds.count("/H1") == 1
    assert kinds.count("/H2") >= 6
    assert kinds.count("/TH") == 3 + 4


def tagged(reader: pypdf.PdfReader) -> list[tuple[str, str]]:
    """Every element of the tag tree with its alternative text, in reading order."""
    catalogue: Any = reader.trailer["/Root"]
    found: list[tuple[str, str]] = []

    def walk(node: Any) -> None:
        node = node.get_object()
        if isinstance(node, pypdf.generic.ArrayObject):
            for child in node:
                walk(child)
        elif isinstance(node, pypdf.generic.DictionaryObject):
            if "/S" in node:
                found.append((str(node["/S"]), str(node.get("/Alt", ""))))
            if "/K" in node:
                walk(node["/K"])

    walk(catalogue["/StructTreeRoot"])
    return found


def test_every_font_is_inside_the_file() -> None:
    resources: Any = pdf(usual_sheet()).pages[0]["/Resources"]
    fonts = [font.get_object() for font in resources["/Font"].values()]

    assert fonts
    for font in fonts:
        descriptor = font["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
        assert "SourceSans3" in font["/BaseFont"]
        assert {"/FontFile2", "/FontFile3"} & set(descriptor)


def test_same_game_same_bytes_from_any_thread() -> None:
    with ThreadPoolExecutor(4) as pool:
        sheets = list(pool.map(lambda _: game_sheet(GAME, rota_for(GAME), squad_name="Harbour Lane U16"), range(4)))

    assert set(sheets) == {usual_sheet()}


# --- names are data


@pytest.mark.parametrize(
    "name",
    [
        "#panic() $x^2$ *bold* _it_ @ref <label> \\ \" ' ` // /* [x] {y} ~ -- ...",
        "שירה ורותם",
        "Zoë Ñandú Łucja Đorđe Ơn",
        "W" * 80,
        "four and twenty long words that go on and on until the very last letter fits in.",
    ],
    ids=["markup", "right to left", "accents", "80 wide letters", "80 letters"],
)
def test_names_come_out_literally(name: str) -> None:
    game = game_from_json(GAME.to_json() | {"name": name, "question": name})
    players = (name[:40], *NAMES[1:])
    sheet = game_sheet(game, rota_for(game, players), squad_name=name[:40])

    assert len(pdf(sheet).pages) == 1
    assert pdf(sheet).metadata.title == name  # type: ignore[union-attr]
    said = words(sheet)
    for word in name.split():  # readers order the words of right-to-left lines in their own way
        assert said.replace(" ", "").count(word) >= 2, "as title and as question"
    assert name.split(maxsplit=1)[0][:9] in said.split("attack: 1")[1], "the player's name among the turns"
    assert_inside_the_margins(game, rota_for(game, players), name[:40])


def test_short_names_can_still_be_told_apart() -> None:
    names = ["Ada", "Maximilian-Alexander A", "Maximilian-Alexander B", "Maximilian Ott"]

    assert short_names(names, 40) == names
    assert short_names(names, 14) == ["Ada", "Maximilian-…2", "Maximilian-…3", "Maximilian Ott"]


def assert_inside_the_margins(game: Game, rota: Rota, squad_name: str) -> None:
    """No ink in the margins; only the drawing's own margin hangs 2.6 mm into the left one."""
    source, inputs = sheet_source(game, rota, squad_name=squad_name)
    grey = pixels(typeset(source, inputs, form="png", ppi=25.4))  # a pixel a millimetre
    inked = grey < 250

    assert inked.any()
    assert not inked[:, :12].any(), "left"
    assert not inked[:, 196:].any(), "right"
    assert not inked[293:].any(), "foot"


def pixels(png: bytes) -> npt.NDArray[np.uint8]:
    """The red channel of an 8-bit PNG without interlacing."""
    width, height, depth, colour = struct.unpack(">IIBB", png[16:26])
    channels = {2: 3, 6: 4}[colour]
    assert depth == 8
    data, at = b"", 8
    while at < len(png):
        (length,) = struct.unpack(">I", png[at : at + 4])
        data += png[at + 8 : at + 8 + length] if png[at + 4 : at + 8] == b"IDAT" else b""
        at += length + 12
    rows = np.frombuffer(zlib.decompress(data), np.uint8).reshape(height, 1 + width * channels)
    image = np.zeros((height + 1, width + 1, channels), np.int64)
    for row in range(height):
        _unfilter(image, row + 1, int(rows[row, 0]), rows[row, 1:].reshape(width, channels).astype(np.int64))
    return image[1:, 1:, 0].astype(np.uint8)


def _unfilter(image: npt.NDArray[np.int64], row: int, kind: int, raw: npt.NDArray[np.int64]) -> None:
    """Undo a row's filter (PNG specification, section 9)."""
    if kind in (0, 2):
        image[row, 1:] = (raw + (image[row - 1, 1:] if kind == 2 else 0)) % 256
        return
    for column, value in enumerate(raw, start=1):
        left, above, corner = image[row, column - 1], image[row - 1, column], image[row - 1, column - 1]
        guess = {1: left, 3: (left + above) // 2, 4: _paeth(left, above, corner)}[kind]
        image[row, column] = (value + guess) % 256


def _paeth(
    left: npt.NDArray[np.int64], above: npt.NDArray[np.int64], corner: npt.NDArray[np.int64]
) -> npt.NDArray[np.int64]:
    guess = left + above - corner
    to_left, to_above, to_corner = abs(guess - left), abs(guess - above), abs(guess - corner)
    nearer = np.where(to_above <= to_corner, above, corner)
    return np.where((to_left <= to_above) & (to_left <= to_corner), left, nearer)


def test_letters_that_no_font_has_are_owned_up_to() -> None:
    game = game_from_json(GAME.to_json() | {"question": "\U0001fad7 \ue000"})
    sheet = game_sheet(game)

    assert len(pdf(sheet).pages) == 1
    assert "Some letters are in no font of this computer." in words(sheet)
    assert "no font" not in words(usual_sheet())


# --- the fullest game


def fullest(word: str) -> Game:
    """As much of everything as a document may hold."""
    line = (word * 200)[:200].strip() or "x"
    places = iter(spot for spot in SPOTS if str(spot) != "basket")
    figures = ["1", "2", "3", "4", "5", "N1", "N2", "X1", "X2", "X3", "X4", "X5"]
    placements = [{"figure": figure, "at": str(next(places)), "vary_m": 2} for figure in figures]
    limits = [kind for kind in CONSTRAINTS.values() if kind.key not in ("no threes", "passes first")]
    return game_from_json(
        {
            "format": "courtwright.game/1",
            "name": (word * 80)[:80].strip(),
            "purpose": (word * 400)[:400].strip(),
            "court": "nba",
            "sides": {"offence": 5, "defence": 5, "neutral": 2, "coach": True},
            "start": {"placements": [*placements, {"figure": "C", "at": [0, 11.5]}], "ball": "1"},
            "entry": {"kind": "cue", "say": line},
            "live": "entry done",
            "constraints": [
                {"rule": kind.key, "cost": "point to the other side", "figure": figure}
                | ({"limit": kind.limit.most} if kind.limit else {})
                for kind in limits
                for figure in (("X1", "X2") if kind.side is Side.DEFENCE else ("1", "2"))
            ][:12],
            "points": [{"rule": rule, "points": -10, "to": "defence"} for rule in list(POINT_RULES)[:11]]
            + [{"rule": "charge", "points": 10, "to": "offence"}],
            "ending": {"foul": "again from the start", "defence_must": "outlet", "reset_s": 59.5},
            "finish": {"minutes": 59.5, "points": 200},
            "cues": [line] * 4,
            "question": line,
            "easier": [{"say": line}] * 4,
            "harder": [{"say": line}] * 4,
            "forms": [{"players": 12 + number, "say": line} for number in range(20)],
            "cautions": [line] * 6,
        }
    )


@pytest.mark.parametrize("word", ["hedge-sparrow ", "W", "il "])
def test_fullest_game_stays_on_one_page_and_says_what_gave_way(word: str) -> None:
    game = fullest(word)
    names = tuple(f"{number:02d} {(word * 40)[:37].strip()}" for number in range(20))
    sheet = game_sheet(game, rota_for(game, names), squad_name=(word * 40)[:40])
    said = words(sheet)

    assert len(pdf(sheet).pages) == 1
    assert "Not on this page:" in said
    assert "2 cues" in said
    assert "Long lines are cut at" in said
    # what may never give way
    for rule in game.constraints:
        assert rule.text.lower() in said.lower()
    for point in game.points:
        assert point.text.lower() in said.lower()
    assert POINT_RULES["charge"].caution in said
    assert said.count(word.strip()[:4]) >= 6 + 2
    assert_inside_the_margins(game, rota_for(game, names), (word * 40)[:40])
    assert tagged(pdf(sheet)).count(("/Figure", text_twin(game))) == 1


def test_turns_beyond_the_eighth_give_way_before_anything_a_coach_wrote() -> None:
    data = GAME.to_json()
    data["cautions"] = ["Water every four minutes, and stop at the first sign of dizziness."] * 6
    game = game_from_json(data)
    said = words(game_sheet(game, rota_for(game)))

    assert "of 20 turns" in said
    shown = int(said.split("First ")[1].split()[0])
    assert 8 <= shown < 20
    assert "Not on this page" not in said
    assert all(form.say in said for form in game.forms)


# --- pictures


def test_png_has_the_width_asked_for_and_the_drawing_s_shape() -> None:
    png = svg_to_png(draw_game(GAME), 640)

    assert png.startswith(b"\x89PNG")
    assert struct.unpack(">II", png[16:24]) == (640, 600)  # 16 m by 15 m


def test_words_of_a_drawing_are_in_its_png() -> None:
    svg = draw_game(GAME)
    wordless = re.sub(r">[^<]+ gap</text>", "></text>", svg)
    said, silent = (pixels(svg_to_png(drawing, 640)) < 128 for drawing in (svg, wordless))

    assert (said != silent).sum() > 100, "the letters of “1.2 m gap” are some hundred dark pixels"
    assert said.sum() > silent.sum()


@pytest.mark.parametrize("width_px", [0, -5, 100_000])
def test_png_of_an_absurd_width_is_refused(width_px: int) -> None:
    with pytest.raises(ValueError, match="pixels wide"):
        svg_to_png(draw_game(GAME), width_px)
