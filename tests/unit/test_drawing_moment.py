"""A drawn moment: who stands where and moves how; with a reading, the drive, the help and the answer, as it says."""

from __future__ import annotations

import io
import math
import re
import time
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np
import pypdf
import pytest
from PIL import Image

from courtwright.drawing import Svg
from courtwright.drawing.animation import FIRST_MS, LAST_MS, animate
from courtwright.drawing.moment import draw_moment
from courtwright.drawing.moment_sheet import moment_sheet
from courtwright.drawing.moment_words import moment_twin
from courtwright.game.moment import Moment, load_moment, moment_from_json, moment_of
from courtwright.game.starters import starters
from courtwright.reading import Reading, read_moment, timeline
from courtwright.reading.timeline import CUES, STEP_S

MOMENT = load_moment(Path(__file__).parents[2] / "examples" / "low-man-late.moment.json")
KICK = ("X2", "dribble 1")


@cache
def reading() -> Reading:
    return read_moment(MOMENT, sets=64)


@cache
def drawn(helper: str | None = None, cue: str = "never", *, feet: bool = False) -> Svg:
    return draw_moment(MOMENT, reading=reading(), row=(helper, cue), feet=feet)


def changed(**changes: Any) -> Moment:
    return moment_from_json(MOMENT.to_json() | changes)


def items(svg: str, kind: str) -> list[ET.Element]:
    return [item for item in ET.fromstring(svg).iter() if item.get("class") == kind]


def texts(svg: str) -> list[str]:
    return [item.text or "" for item in ET.fromstring(svg).iter() if item.tag.endswith("}text")]


def place(item: ET.Element) -> tuple[float, float]:
    found = re.fullmatch(r"translate\((\S+) (\S+)\)", item.get("transform", ""))
    assert found
    return float(found[1]), float(found[2])


def on_page(at_m: tuple[float, float]) -> tuple[float, float]:
    return at_m[0], at_m[1] - MOMENT.floor.end_line_y_m


def points(item: ET.Element) -> list[tuple[float, float]]:
    numbers = [float(part) for part in re.findall(r"-?[\d.]+", item.get("d", ""))]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


# --- who stands where


def test_every_figure_stands_where_the_moment_puts_it() -> None:
    svg = draw_moment(MOMENT)
    found = {item.get("data-figure", ""): item for item in ET.fromstring(svg).iter() if item.get("data-figure")}

    assert set(found) == {figure.figure for figure in MOMENT.figures}
    for figure, at_m in MOMENT.placed_m().items():
        assert place(found[figure]) == pytest.approx(on_page(at_m), abs=1e-4)
    assert [figure for figure, group in found.items() if any(item.get("class") == "ball" for item in group)] == ["1"]


def test_who_moves_has_a_short_arrow_that_way() -> None:
    (arrow,) = items(draw_moment(MOMENT), "velocity defender")
    head = next(item for item in arrow if item.get("class") == "head")
    tip, start = points(head)[0], on_page(MOMENT.placed_m()["X1"])

    across, down = tip[0] - start[0], tip[1] - start[1]
    assert across == pytest.approx(down, abs=1e-3), "he runs out at 45 degrees"
    assert 0.6 < math.hypot(across, down) < 1.8
    assert arrow.get("data-runs") == "X1"
    assert "velocity " not in draw_moment(moment_of(starters()["low-mans-call"]))


def test_the_gap_on_the_ball_is_drawn_and_said() -> None:
    gap_m = math.dist(MOMENT.placed_m()["1"], MOMENT.placed_m()["X1"])

    assert f"{gap_m:.1f} m gap" in texts(draw_moment(MOMENT))
    assert any("ft" in text and "gap" in text for text in texts(draw_moment(MOMENT, feet=True)))


def test_without_a_reading_nothing_is_foretold() -> None:
    svg = draw_moment(MOMENT)
    assert not any(items(svg, kind) for kind in ("dribble", "pass", "run", "touch", "ghost"))


# --- what follows


def test_the_drive_is_drawn_dribble_by_dribble() -> None:
    line = timeline(reading(), *KICK)
    touched = [event for event in line.events if event.what == "dribble"]
    dots = [(float(item.get("cx", "")), float(item.get("cy", ""))) for item in items(drawn(*KICK), "touch")]

    assert len(items(drawn(*KICK), "dribble")) == 1
    assert dots == [pytest.approx(on_page(event.at_m), abs=1e-3) for event in touched]
    for event in touched:
        assert any(text.endswith(f"· {event.t_s:.1f} s") for text in texts(drawn(*KICK)))


def test_the_kick_goes_to_the_man_who_was_left() -> None:
    (kick,) = items(drawn(*KICK), "pass")
    stroke = next(item for item in kick if item.get("stroke-dasharray"))
    start, end = points(stroke)[0], points(stroke)[-1]
    line = timeline(reading(), *KICK)
    thrown = line.event("kick")
    assert thrown is not None

    assert line.shooter == "2"
    assert math.dist(start, on_page(thrown.at_m)) < 0.6
    assert math.dist(end, on_page(MOMENT.placed_m()["2"])) < 1.2


def test_the_helper_s_run_and_the_gap_he_leaves() -> None:
    line = timeline(reading(), *KICK)
    assert line.gap is not None
    (run,) = items(drawn(*KICK), "run")
    (ghost,) = items(drawn(*KICK), "ghost")
    shaft = next(item for item in run if item.get("class") is None)

    assert math.dist(points(shaft)[0], on_page(MOMENT.placed_m()["X2"])) < 0.7
    assert place(ghost) == pytest.approx(on_page(line.gap.defender_m), abs=1e-3)
    left = reading().rows(1)[0].left_gap
    assert left.low <= line.gap.gap_m <= left.high
    assert f"about {round(line.gap.gap_m * 2) / 2:g} m" in texts(drawn(*KICK))
    assert any(text.startswith("about") and text.endswith("ft") for text in texts(drawn(*KICK, feet=True)))


def test_nobody_helps_unless_a_row_says_so() -> None:
    assert draw_moment(MOMENT, reading=reading()) == drawn(None, "never")
    assert items(drawn(None, "never"), "run") == []
    assert len(items(drawn(None, "never"), "dribble")) == 1


@pytest.mark.parametrize("helper", ["X2", "X3"])
@pytest.mark.parametrize("cue", CUES)
def test_every_row_can_be_drawn_and_its_words_lie_apart(helper: str, cue: str) -> None:
    svg = drawn(helper, cue)
    spots = [
        (float(found[1]), float(found[2]))
        for group in ET.fromstring(svg).iter()
        if not group.get("class", "").startswith("figure")  # a figure's name is placed within its group
        for item in group
        if item.get("class") in ("label", "label order")
        and (found := re.match(r"translate\((\S+) (\S+)\)", item.get("transform", "")))
        and item.get("text-anchor") == "middle"
    ]
    assert len(spots) == len(set(spots))
    for index, one in enumerate(spots):
        assert all(math.dist(one, other) > 0.3 for other in spots[index + 1 :])


def test_a_reading_of_another_moment_is_refused() -> None:
    with pytest.raises(ValueError, match="another moment"):
        draw_moment(changed(name="Other"), reading=reading())


def test_the_text_twin_says_what_the_picture_shows() -> None:
    twin = moment_twin(MOMENT, timeline(reading(), *KICK))
    desc = next(item for item in ET.fromstring(drawn(*KICK)) if item.tag.endswith("}desc"))

    assert desc.text == twin
    assert "1 with the ball" in twin
    assert "X1 guards 1, 2.7 m away," in twin
    assert "moving away from the end line at 2.0 m/s" in twin
    assert re.search(r"1 drives: 1st dribble after 0\.\d s, .*kick to 2 after \d\.\d s.*X2 about [\d.]+ m away\.", twin)
    assert "caught 0.4 s ago" in moment_twin(changed(held_s=0.4))


def test_nothing_in_the_picture_needs_a_style_sheet_or_the_network() -> None:
    svg = drawn(*KICK)

    assert "<style" not in svg
    assert "style=" not in svg
    assert re.findall(r"https?://[^\"']+", svg) == ["http://www.w3.org/2000/svg"]


def test_names_are_data_never_markup() -> None:
    name = "<script>alert('&')</script> ]]>"
    root = ET.fromstring(draw_moment(changed(name=name)))

    assert next(item for item in root if item.tag.endswith("}title")).text == name
    assert not [item for item in root.iter() if item.tag.endswith("script")]


# --- paper


def words(sheet: bytes) -> str:
    (page,) = pypdf.PdfReader(io.BytesIO(sheet)).pages
    return " ".join(page.extract_text().replace("\u200b", "").split())


def test_the_sheet_is_one_page_with_everything_on_it() -> None:
    said = words(moment_sheet(MOMENT, reading(), row=KICK, whose="U16 preset"))

    assert MOMENT.name in said
    assert MOMENT.cue in said
    assert "U16 preset" in said
    assert "points per chance" in said
    for helper, man in (("X2", "2"), ("X3", "3")):
        assert f"If {helper} leaves {man}" in said
    for part in ("dribble 3", "when beaten", "never", "to gap at the shot made pass lost", "notes", "estimates"):
        assert part in said
    assert "shown: X2 leaves on dribble 1" in said
    assert MOMENT.hash[:8] in said


def test_what_is_not_known_of_the_young_is_not_printed() -> None:
    young = words(moment_sheet(MOMENT, reading(), chances=False))

    assert young.count("not known") == 2, "of both mates"
    assert "not known" not in words(moment_sheet(MOMENT, reading()))


def test_the_sheet_is_tagged_and_described() -> None:
    reader = pypdf.PdfReader(io.BytesIO(moment_sheet(MOMENT, reading(), row=KICK)))
    catalogue: Any = reader.trailer["/Root"]

    assert catalogue["/MarkInfo"]["/Marked"]
    assert reader.metadata is not None
    assert reader.metadata.title == MOMENT.name


def crowd(defenders: int) -> Moment:
    at = {"1": [0.0, 8.0], "2": [6.9, 0.0], "3": [-6.9, 0.0], "4": [5.0, 5.0], "5": [-5.0, 5.0]}
    at |= {f"X{number}": [number - 4.0, 3.0 + 0.4 * (number % 3)] for number in range(1, defenders + 1)}
    figures = [{"figure": figure, "at": place} for figure, place in at.items()]
    return changed(figures=figures, name="W" * 80, cue="il " * 60)


@pytest.mark.parametrize(("defenders", "left_out"), [(5, False), (7, True)])
def test_the_fullest_moment_stays_on_one_page_and_says_what_gave_way(defenders: int, left_out: bool) -> None:
    full = crowd(defenders)
    said = words(moment_sheet(full, read_moment(full, sets=16)))

    assert ("Not on this page" in said) == left_out
    assert "estimates" in said


# --- played through


@cache
def film(kind: Any) -> Any:
    return Image.open(io.BytesIO(animate(timeline(reading(), *KICK), format=kind, width_px=320)))


@pytest.mark.parametrize("kind", ["gif", "webp"])
def test_the_animation_loops_in_real_time(kind: str) -> None:
    moving, line = film(kind), timeline(reading(), *KICK)
    length_ms = 0
    for index in range(moving.n_frames):
        moving.seek(index)
        moving.load()  # a WebP knows how long a frame stands only then
        length_ms += moving.info["duration"]

    assert moving.width == 320
    assert moving.info["loop"] == 0
    assert length_ms == pytest.approx(1000 * line.times_s[-1] + FIRST_MS + LAST_MS - 1000 * STEP_S, abs=60)


@pytest.mark.parametrize("kind", ["gif", "webp"])
def test_the_animation_shows_the_drive_to_scale(kind: str) -> None:
    """Blue is where the offence is: it leaves the driver's start, and stands where he ends."""
    moving, line = film(kind), timeline(reading(), *KICK)
    frames = []
    for index in (0, moving.n_frames - 1):
        moving.seek(index)
        frames.append(np.asarray(moving.convert("RGB"), np.int64))

    start, end = line.at_m("1", 0.0), line.at_m("1", 99.0)
    for frame, here, gone in ((frames[0], start, end), (frames[1], end, start)):
        assert bluish(frame, here) > 12
        assert bluish(frame, gone) < bluish(frame, here) / 2


def bluish(frame: Any, at_m: tuple[float, float]) -> int:
    """Pixels in the offence's ink within half a metre of a place."""
    scale = frame.shape[1] / 16.0
    x, y = on_page(at_m)
    left, top = round((x + 8.0) * scale), round((y + 0.5) * scale)
    reach = round(0.5 * scale)
    part = frame[top - reach : top + reach + 1, left - reach : left + reach + 1]
    return int(np.sum(part[..., 2] - part[..., 0] > 60))


def test_making_it_takes_no_longer_than_promised() -> None:
    """Two seconds on a quiet machine; other programs may make it slower, so the best of three counts."""
    line = timeline(reading(), *KICK)
    taken_s = []
    for _ in range(3):
        start_s = time.perf_counter()
        animate(line, format="gif")
        taken_s.append(time.perf_counter() - start_s)

    assert min(taken_s) < 2.0


@pytest.mark.parametrize("width_px", [0, 50, 100_000])
def test_an_absurd_width_is_refused(width_px: int) -> None:
    with pytest.raises(ValueError, match="pixels wide"):
        animate(timeline(reading()), width_px=width_px)


def test_other_courts_and_neutral_players_are_drawn_too() -> None:
    figures = [
        {"figure": "1", "at": [0.0, 6.0]},
        {"figure": "N1", "at": [5.0, 4.0]},
        {"figure": "X1", "at": [0.0, 4.6]},
        {"figure": "X2", "at": [2.5, 3.0], "guards": "N1"},
    ]
    other = changed(figures=figures, court="fiba 3x3")
    read = read_moment(other, sets=8)

    assert items(draw_moment(other, reading=read, row=("X2", "dribble 1")), "figure neutral")
    assert animate(timeline(read, "X2", "dribble 1"), width_px=200).startswith(b"GIF89a")
    assert moment_sheet(other, read).startswith(b"%PDF")
