"""A game's start as a picture: the court, who stands where, the ball, and what the entry says."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Final
from xml.etree import ElementTree as ET

from courtwright.drawing.court import court_box_m, court_lines, line_points
from courtwright.drawing.figures import ball_dot, figure_group, figure_kind, name_label, rings, vary_ring
from courtwright.drawing.marks import (
    DIMENSION_OFFSET_M,
    dimension_line,
    dimension_text_at,
    pass_line,
    trimmed,
)
from courtwright.drawing.room import Box, Room, sampled
from courtwright.drawing.svg import (
    CAP_EM,
    THEMES,
    Point,
    Svg,
    Theme,
    ThemeName,
    element,
    label,
    path,
    picture,
    text_width_m,
    written,
)
from courtwright.drawing.words import say_distance, text_twin
from courtwright.game.document import EntryKind, Game

CLEAR_M: Final = 0.12
"""Air between a figure's mark and a line that starts or ends at it."""

Area = tuple[float, float, float, float]
Places = dict[str, Point]


@dataclass(frozen=True, slots=True)
class _Scene:
    """What is being drawn, and what already takes up room."""

    game: Game
    places: Places
    theme: Theme
    room: Room


def draw_game(
    game: Game, *, variant: int | None = None, feet: bool = False, theme: ThemeName = "screen", guards: bool = False
) -> Svg:
    """The start of a game, to scale; ``guards`` adds a thin line from each defender to his man."""
    inks, places = THEMES[theme], drawn_places(game, variant)
    area_m = _widened(court_box_m(game.floor), places, inks)
    root = picture(
        title=game.name,
        description=text_twin(game, variant, feet=feet),
        box_m=area_m,
        theme=inks,
        key=f"game-{game.hash[:8]}-{'start' if variant is None else variant}",
    )
    root.append(court_lines(game.floor, inks))
    scene = _Scene(game, places, inks, _room(game, area_m, places, inks))
    if guards:
        _guard_lines(root, scene)
    _entry(root, scene)
    dimensions = element("g", root, class_="dimensions")
    groups = {name: figure_group(root, name, at, inks) for name, at in places.items()}
    for name, vary_m in game.vary_m(variant).items():
        if name in groups and rings(vary_m, inks):
            vary_ring(groups[name], vary_m)
    _gap(dimensions, scene, feet)
    if game.start.ball in groups:
        ball_dot(groups[game.start.ball], scene.room, places[game.start.ball], inks)
    _names(groups, scene)
    return written(root)


def drawn_places(game: Game, variant: int | None = None) -> Places:
    """Where each figure stands on the drawing, in drawing order."""
    placed, end_line_m = game.placed_m(variant), game.floor.end_line_y_m
    return {name: (placed[name][0], placed[name][1] - end_line_m) for name in game.sides.figures if name in placed}


def _widened(area_m: Area, places: Places, theme: Theme) -> Area:
    """The court's area, wider where the coach stands outside it."""
    left_m, top_m, width_m, height_m = area_m
    reach_m = 1.5 * theme.figure_m
    across_m = [left_m, left_m + width_m, *(x_m + side * reach_m for x_m, _ in places.values() for side in (-1, 1))]
    down_m = [top_m, top_m + height_m, *(y_m + side * reach_m for _, y_m in places.values() for side in (-1, 1))]
    return min(across_m), min(down_m), max(across_m) - min(across_m), max(down_m) - min(down_m)


def _room(game: Game, area_m: Area, places: Places, theme: Theme) -> Room:
    left_m, top_m, width_m, height_m = area_m
    room = Room(left_m, top_m, left_m + width_m, top_m + height_m)
    room.thin = [point for line in line_points(game.floor) for point in sampled(line)]
    for name, at in places.items():
        room.disc(at, theme.figure_m * (0.85 if figure_kind(name) == "defender" else 1.05))
    return room


def _guard_lines(root: ET.Element, scene: _Scene) -> None:
    group = element("g", root, class_="guards", stroke=scene.theme.line, stroke_width=0.035)
    clear_m = scene.theme.figure_m
    for defender, man in scene.game.guards().items():
        if defender in scene.places and man in scene.places:
            ends = trimmed([scene.places[defender], scene.places[man]], start_m=clear_m, end_m=clear_m)
            path(group, "M", *ends[0], "L", *ends[-1], class_="guard")


def _entry(root: ET.Element, scene: _Scene) -> None:
    """The entry's passes as dashed arrows, numbered where there are several."""
    group = element("g", root, class_="moves")
    chain = entry_passes(scene.game)
    orders: defaultdict[tuple[str, str], list[str]] = defaultdict(list)
    for order, ends in enumerate(chain, start=1):
        orders[ends].append(str(order))
    lines = {ends: _pass_ends(scene, *ends, back=ends[::-1] in orders) for ends in orders}
    for (giver, _), line in lines.items():
        mark = pass_line(line, ink="currentColor" if giver == "C" else scene.theme.offence)
        mark.set("class", "pass coach" if giver == "C" else "pass")
        group.append(mark)
        scene.room.line(line, 0.12)
    if len(chain) > 1:
        for ends, line in lines.items():
            _order_label(group, line, ", ".join(orders[ends]), scene)


def _pass_ends(scene: _Scene, giver: str, taker: str, *, back: bool) -> list[Point]:
    """The line of a pass from rim to rim; there and back, each keeps to its own right."""
    line = [scene.places[giver], scene.places[taker]]
    clear_m = scene.theme.figure_m + CLEAR_M
    return trimmed(_beside(line, 0.16) if back else line, start_m=clear_m, end_m=clear_m)


def entry_passes(game: Game) -> list[tuple[str, str]]:
    """Who passes to whom in the entry, as far as the game says so; nothing where it leaves a choice.

    So many passes from the first holder to the last are drawn only if there is
    exactly one way to play them (one pass to a named man; two players; ...).
    """
    entry, placed = game.entry, {item.figure for item in game.start.placements}
    attackers = [name for name in game.sides.figures if figure_kind(name) in ("attacker", "neutral") and name in placed]
    hands = [*attackers, *(["C"] if game.sides.coach and "C" in placed else [])]
    if entry.kind is EntryKind.FEED and "C" in hands:
        taker = entry.to or (attackers[0] if len(attackers) == 1 else None)
        return [("C", taker)] if taker in attackers and taker is not None else []
    if entry.kind is not EntryKind.PASSES or game.start.ball not in hands:
        return []
    ways = list(islice(_ways(game.start.ball, entry.to, entry.passes, hands), 2))
    return ways[0] if len(ways) == 1 else []


def _ways(holder: str, to: str | None, passes: int, hands: list[str]) -> Iterator[list[tuple[str, str]]]:
    """Every way to play so many passes, ending with a named man if one is named."""
    if passes == 0:
        if to is None or to == holder:
            yield []
        return
    for taker in hands:
        if taker != holder:
            for rest in _ways(taker, to, passes - 1, hands):
                yield [(holder, taker), *rest]


def _beside(line: list[Point], aside_m: float) -> list[Point]:
    """The line moved to its own right (on the page: turned clockwise from its direction)."""
    (x_m, y_m), (to_x_m, to_y_m) = line[0], line[-1]
    long_m = math.dist(line[0], line[-1]) or 1.0
    right_m, down_m = -(to_y_m - y_m) / long_m * aside_m, (to_x_m - x_m) / long_m * aside_m
    return [(x_m + right_m, y_m + down_m), (to_x_m + right_m, to_y_m + down_m)]


def _order_label(group: ET.Element, line: list[Point], words: str, scene: _Scene) -> None:
    size_m = 0.9 * scene.theme.label_m
    centres = [_middle(_beside(line, aside_m)) for aside_m in (0.36, -0.36)]
    boxes = [_words_box(centre, words, size_m) for centre in centres]
    best = scene.room.best(boxes)
    scene.room.box(boxes[best])
    ink = str(group[0].get("stroke"))
    label(group, centres[best], words, size_m, class_="label order", fill=ink, stroke=scene.theme.paper)


def _middle(line: list[Point]) -> Point:
    return (line[0][0] + line[-1][0]) / 2, (line[0][1] + line[-1][1]) / 2


def _words_box(at: Point, words: str, size_m: float) -> Box:
    return Box(*at, text_width_m(words, size_m) / 2, CAP_EM * size_m / 2)


def _gap(parent: ET.Element, scene: _Scene, feet: bool) -> None:
    """How far the man on the ball stands off, as a dimension line."""
    ball, places, room = scene.game.start.ball, scene.places, scene.room
    on_ball = [places[name] for name, man in scene.game.guards().items() if man == ball and name in places]
    if ball not in places or not on_ball:
        return
    holder = places[ball]
    guard = min(on_ball, key=lambda at: math.dist(at, holder))
    line, words = [holder, guard], f"{say_distance(math.dist(holder, guard), feet=feet)} gap"
    # the side away from the middle comes first, so that a mirrored start gives a mirrored drawing
    out = 1.0 if holder[0] * (guard[1] - holder[1]) <= 0 else -1.0
    ways = [
        (out * side * far * DIMENSION_OFFSET_M, slide_m)
        for far in (1.0, 1.4)
        for side in (1, -1)
        for slide_m in (0.0, -0.35, 0.35)  # towards the holder, towards his guard
    ]
    size_m = 0.92 * scene.theme.label_m
    centres = [dimension_text_at(line, words, offset_m=at_m, slide_m=slide_m, size_m=size_m) for at_m, slide_m in ways]
    boxes = [_words_box(centre, words, size_m) for centre in centres]
    best = room.best(boxes)
    offset_m, slide_m = ways[best]
    paper = scene.theme.paper
    parent.append(dimension_line(line, words, paper=paper, offset_m=offset_m, slide_m=slide_m, size_m=size_m))
    room.box(boxes[best])
    room.line(_beside(line, offset_m), 0.1)


def _names(groups: dict[str, ET.Element], scene: _Scene) -> None:
    for name, group in groups.items():
        if figure_kind(name) == "defender":
            name_label(group, scene.room, scene.places[name], name, scene.theme)
