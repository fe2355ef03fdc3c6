"""A drawn game shows who stands where, who has the ball, and no more than the document says."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from courtwright.drawing import Svg, draw_game, text_twin
from courtwright.drawing.game import entry_passes
from courtwright.drawing.room import Box, Room
from courtwright.game.document import Game
from courtwright.game.read import game_from_json
from courtwright.game.starters import starters

BASE: dict[str, Any] = {
    "format": "courtwright.game/1",
    "name": "Wing to slot",
    "sides": {"offence": 2, "defence": 1, "neutral": 1, "coach": True},
    "start": {
        "placements": [
            {"figure": "1", "at": "left slot"},
            {"figure": "2", "at": "right wing", "vary_m": 1.0},
            {"figure": "N1", "at": [-6.9, 0.4]},
            {"figure": "X1", "at": [-2.0, 5.3], "guards": "1"},
            {"figure": "C", "at": [0.0, 10.0]},
        ],
        "ball": "1",
        "variants": [{"name": "other side", "mirror": True}],
    },
}


def game(**changes: Any) -> Game:
    return game_from_json(BASE | changes)


def duel(**entry: Any) -> Game:
    """Two attackers on one defender, with an entry."""
    placements = [{"figure": "1", "at": "top"}, {"figure": "2", "at": "left wing"}, {"figure": "X1", "at": "nail"}]
    start = {"placements": placements, "ball": "1"}
    return game(sides={"offence": 2, "defence": 1}, start=start, entry=entry)


def figures(svg: str) -> dict[str, ET.Element]:
    return {item.get("data-figure", ""): item for item in ET.fromstring(svg).iter() if item.get("data-figure")}


def place(figure: ET.Element) -> tuple[float, float]:
    found = re.fullmatch(r"translate\((\S+) (\S+)\)", figure.get("transform", ""))
    assert found
    return float(found[1]), float(found[2])


def classes(svg: str) -> list[str]:
    return [item.get("class", "") for item in ET.fromstring(svg).iter()]


def texts(svg: str) -> list[str]:
    return [item.text or "" for item in ET.fromstring(svg).iter() if item.tag.endswith("}text")]


def test_every_figure_stands_where_the_game_puts_it() -> None:
    found = figures(draw_game(game()))
    end_line_y_m = game().floor.end_line_y_m

    assert list(found) == ["1", "2", "N1", "X1", "C"]
    for figure, (x_m, y_m) in game().placed_m().items():
        assert place(found[figure]) == pytest.approx((x_m, y_m - end_line_y_m), abs=1e-4)


def test_sides_differ_by_shape_not_only_by_colour() -> None:
    found = figures(draw_game(game()))
    marks = {name: next(item for item in group if item.get("class") == "mark") for name, group in found.items()}
    shapes = {name: (mark.tag.rpartition("}")[2], mark.get("d", "").count("M")) for name, mark in marks.items()}

    assert {name: group.get("class") for name, group in found.items()} == {
        "1": "figure attacker",
        "2": "figure attacker",
        "N1": "figure neutral",
        "X1": "figure defender",
        "C": "figure coach",
    }
    assert shapes == {"1": ("circle", 0), "2": ("circle", 0), "N1": ("rect", 0), "X1": ("path", 2), "C": ("path", 1)}


def test_each_figure_is_named_and_only_the_holder_has_a_ball() -> None:
    svg = draw_game(game())
    balls = {name for name, group in figures(svg).items() if any(item.get("class") == "ball" for item in group)}

    assert {"1", "2", "N1", "X1", "C"} <= set(texts(svg))
    assert balls == {"1"}


def test_a_mirrored_start_gives_a_mirrored_drawing() -> None:
    plain, mirrored = draw_game(game()), draw_game(game(), variant=0)
    here, there = figures(plain), figures(mirrored)

    for name in here:
        x_m, y_m = place(here[name])
        assert place(there[name]) == pytest.approx((-x_m, y_m), abs=1e-4)
    label = {
        svg: next(item for item in figures(svg)["X1"] if item.get("class") == "label") for svg in (plain, mirrored)
    }
    assert {label[plain].get("text-anchor"), label[mirrored].get("text-anchor")} == {"start", "end"}


def test_gap_on_the_ball_in_metres_and_in_feet() -> None:
    placements = [{"figure": "1", "at": [-3.0, 6.4]}, {"figure": "X1", "at": [-2.1, 5.2]}]  # 0.9, 1.2, 1.5
    alone = game(sides={"offence": 1, "defence": 1}, start={"placements": placements, "ball": "1"})

    assert "1.5 m gap" in texts(draw_game(alone))
    assert "4 ft 11 in gap" in texts(draw_game(alone, feet=True))
    assert classes(draw_game(alone)).count("dimension") == 1


def test_no_gap_where_nobody_guards_the_ball() -> None:
    feed = game(start=BASE["start"] | {"ball": "C"}, entry={"kind": "coach feeds", "to": "1"}, live="first catch")

    assert "dimension" not in classes(draw_game(feed))


def test_a_start_that_varies_has_a_dotted_ring_of_that_radius() -> None:
    found = figures(draw_game(game()))
    rings = {name: [item.get("r") for item in group if item.get("class") == "vary"] for name, group in found.items()}

    assert rings == {"1": [], "2": ["1"], "N1": [], "X1": [], "C": []}


def test_guard_lines_only_when_asked_for() -> None:
    assert "guard" not in classes(draw_game(game()))
    assert classes(draw_game(game(), guards=True)).count("guard") == 1


# --- entries: what is said is drawn, what is left open is not


def test_one_pass_to_a_named_man() -> None:
    to_two = game(entry={"kind": "passes", "passes": 1, "to": "2"})

    assert entry_passes(to_two) == [("1", "2")]
    assert classes(draw_game(to_two)).count("pass") == 1


def test_passes_between_two_are_a_numbered_chain() -> None:
    there_and_back = duel(kind="passes", passes=3)

    assert entry_passes(there_and_back) == [("1", "2"), ("2", "1"), ("1", "2")]
    svg = draw_game(there_and_back)
    assert classes(svg).count("pass") == 2, "the third goes the way of the first"
    assert {"1, 3", "2"} <= set(texts(svg))


@pytest.mark.parametrize("entry", [{"passes": 1}, {"passes": 2, "to": "2"}, {"passes": 4, "to": "1"}])
def test_passes_that_leave_a_choice_are_not_drawn(entry: dict[str, Any]) -> None:
    open_ended = game(entry={"kind": "passes"} | entry)

    assert entry_passes(open_ended) == []
    assert "pass" not in classes(draw_game(open_ended))


def test_a_feed_comes_from_the_coach() -> None:
    feed = game(start=BASE["start"] | {"ball": "C"}, entry={"kind": "coach feeds", "to": "2"}, live="first catch")
    to_anyone = game(start=BASE["start"] | {"ball": "C"}, entry={"kind": "coach feeds"}, live="first catch")

    assert entry_passes(feed) == [("C", "2")]
    assert classes(draw_game(feed)).count("pass coach") == 1
    assert entry_passes(to_anyone) == []


def test_a_swap_or_a_cue_names_nobody_so_nothing_is_drawn() -> None:
    for entry in ({"kind": "swap"}, {"kind": "cue", "say": "Go"}):
        svg = draw_game(game(entry=entry))
        assert not {"run", "pass", "pass coach"} & set(classes(svg))


# --- the text twin


def test_text_twin_says_who_stands_where() -> None:
    assert text_twin(duel(kind="passes", passes=1)) == (
        "FIBA half court, basket at the top. 1 with the ball at the top; 2 on the left wing; "
        "X1 guards 1, 2.9 m away, at the nail. One pass. Live from the start."
    )


def test_text_twin_is_the_picture_s_description() -> None:
    for variant, feet in ((None, False), (0, True)):
        svg = draw_game(game(), variant=variant, feet=feet)
        root = ET.fromstring(svg)
        title, desc = (next(item for item in root if item.tag.endswith(f"}}{tag}")) for tag in ("title", "desc"))

        assert title.text == "Wing to slot"
        assert desc.text == text_twin(game(), variant, feet=feet)
        assert root.get("role") == "img"
        assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"


def test_text_twin_of_a_mirrored_start_names_the_mirrored_places() -> None:
    assert "1 with the ball at the left slot" in text_twin(game())
    assert "1 with the ball at the right slot" in text_twin(game(), 0)
    assert "Start “other side”." in text_twin(game(), 0)


# --- safe and sound


def test_names_are_data_never_markup() -> None:
    name = "<script>alert('&')</script> ]]> \"x\""
    root = ET.fromstring(draw_game(game(name=name)))

    assert next(item for item in root if item.tag.endswith("}title")).text == name
    assert not [item for item in root.iter() if item.tag.endswith("script")]


def test_nothing_in_the_picture_needs_a_style_sheet_or_the_network() -> None:
    svg = draw_game(game())

    assert "<style" not in svg
    assert "style=" not in svg
    assert re.findall(r"https?://[^\"']+", svg) == ["http://www.w3.org/2000/svg"]


def test_a_coach_outside_the_court_is_still_in_the_picture() -> None:
    placements = [*BASE["start"]["placements"][:-1], {"figure": "C", "at": [9.5, 3.0]}]
    root = ET.fromstring(draw_game(game(start=BASE["start"] | {"placements": placements})))
    left, _, width, _ = map(float, root.get("viewBox", "").split())

    assert left == -8.0
    assert left + width > 9.5


def test_svg_is_text_that_notebooks_show() -> None:
    svg = draw_game(game())

    assert isinstance(svg, Svg)
    assert svg._repr_svg_() == svg


def test_two_games_on_a_page_have_different_ids() -> None:
    keys = {ET.fromstring(draw_game(one)).get("aria-labelledby") for one in starters().values()}

    assert len(keys) == len(starters())


@pytest.mark.parametrize("name", starters())
@pytest.mark.parametrize("theme", ["screen", "print"])
def test_labels_of_the_starter_games_touch_no_mark(name: str, theme: Any) -> None:
    """Boxes are taken from the drawing, with a letter's width as wide screen fonts have it."""
    found = figures(draw_game(starters()[name], theme=theme))
    places = {figure: place(group) for figure, group in found.items()}
    for figure, group in found.items():
        for item in group:
            if item.get("class") == "label":
                label = _label_box(item, places[figure])
                for other, at in places.items():
                    assert label.clearance_m(at) > 0.25, f"{figure}'s name lies on {other}"


def _label_box(item: ET.Element, at: tuple[float, float]) -> Box:
    words, size_m = item.text or "", float(item.get("font-size", "")) / 100
    found = re.match(r"translate\((\S+) (\S+)\)", item.get("transform", ""))
    assert found
    half_m = len(words) * 0.66 * size_m / 2
    shift_m = {"start": half_m, "end": -half_m, "middle": 0.0}[item.get("text-anchor", "")]
    return Box(at[0] + float(found[1]) + shift_m, at[1] + float(found[2]) - 0.33 * size_m, half_m, 0.33 * size_m)


def test_a_label_takes_the_side_with_room() -> None:
    room = Room(-5, -5, 5, 5)
    right, left = Box(1.0, 0.0, 0.4, 0.2), Box(-1.0, 0.0, 0.4, 0.2)

    assert room.best([right, left]) == 0, "of equal places the first"
    room.disc((1.2, 0.0), 0.4)
    assert room.best([right, left]) == 1
    room.line([(-2.0, -1.0), (-1.0, 0.0), (-2.0, 1.0)], 0.3)
    room.disc((0.0, 0.0), 0.1)
    assert room.best([left, Box(4.9, 0.0, 0.4, 0.2), Box(3.0, 3.0, 0.4, 0.2)]) == 2, "nor off the page"
