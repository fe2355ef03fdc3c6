"""Any sound game can be drawn, told and printed."""

from __future__ import annotations

import io
import math
from xml.etree import ElementTree as ET

import pypdf
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.strategies import games

from courtwright.drawing import ThemeName, draw_game, game_sheet, text_twin
from courtwright.drawing.game import entry_passes
from courtwright.game.document import Game

THEMES: st.SearchStrategy[ThemeName] = st.sampled_from(["screen", "print"])


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(games(), st.booleans(), st.booleans(), THEMES)
def test_any_game_draws_as_sound_xml(game: Game, feet: bool, guards: bool, theme: ThemeName) -> None:
    for variant in (None, *range(len(game.start.variants))):
        svg = draw_game(game, variant=variant, feet=feet, guards=guards, theme=theme)
        root = ET.fromstring(svg)
        left, top, width, height = map(float, root.get("viewBox", "").split())
        figures = {item.get("data-figure", ""): item for item in root.iter() if item.get("data-figure")}

        assert list(figures) == game.sides.figures
        for group in figures.values():
            x_m, y_m = map(float, group.get("transform", "")[len("translate(") : -1].split())
            assert left < x_m < left + width
            assert top < y_m < top + height
        for item in root.iter():
            assert not {"nan", "inf", "None"} & set(" ".join(item.attrib.values()).split())


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(games())
def test_text_twin_names_every_figure_once_and_is_one_paragraph(game: Game) -> None:
    told = text_twin(game.model_copy(update={"entry": game.entry.model_copy(update={"say": ""})}))
    standing = told.split(". ")[1].split("; ")

    assert len(standing) == len(game.sides.figures)
    for figure, words in zip(game.sides.figures, standing, strict=True):
        assert words.startswith("the coach" if figure == "C" else f"{figure} ")
    assert "\n" not in told
    assert told.count("with the ball") == 1


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(games())
def test_drawn_passes_are_a_chain_from_the_ball_that_says_no_more_than_the_game(game: Game) -> None:
    chain = entry_passes(game)
    if chain:
        givers, takers = zip(*chain, strict=True)
        assert givers[0] == game.start.ball
        assert givers[1:] == takers[:-1]
        assert all(giver != taker for giver, taker in chain)
        assert game.entry.to in (None, takers[-1])
        assert len(chain) == (game.entry.passes or 1)


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(games())
def test_any_game_prints_on_one_page(game: Game) -> None:
    reader = pypdf.PdfReader(io.BytesIO(game_sheet(game)))

    assert len(reader.pages) == 1


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(games(), st.integers(0, 99))
def test_a_mirrored_start_has_its_figures_mirrored(game: Game, choice: int) -> None:
    mirrors = [index for index, variant in enumerate(game.start.variants) if variant.mirror and not variant.placements]
    if not mirrors:
        return
    plain, mirrored = (_places(draw_game(game, variant=at)) for at in (None, mirrors[choice % len(mirrors)]))

    for figure, (x_m, y_m) in plain.items():
        assert math.isclose(mirrored[figure][0], -x_m, abs_tol=1e-4)
        assert math.isclose(mirrored[figure][1], y_m, abs_tol=1e-4)


def _places(svg: str) -> dict[str, tuple[float, float]]:
    found: dict[str, tuple[float, float]] = {}
    for item in ET.fromstring(svg).iter():
        if item.get("data-figure"):
            x_m, y_m = item.get("transform", "")[len("translate(") : -1].split()
            found[item.get("data-figure", "")] = (float(x_m), float(y_m))
    return found
