"""A game's start as a picture: the court, who stands where, the ball, and what the entry says."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from itertools import islice
from xml.etree import ElementTree as ET

from courtwright.drawing.court import court_box_m, court_lines
from courtwright.drawing.figures import ball_dot, figure_group, figure_kind, rings, vary_ring
from courtwright.drawing.marks import pass_line, trimmed
from courtwright.drawing.scene import (
    CLEAR_M,
    Places,
    Scene,
    beside,
    defender_names,
    gap_line,
    middle,
    on_page,
    place_words,
    room_for,
    widened,
)
from courtwright.drawing.svg import THEMES, Point, Svg, ThemeName, element, path, picture, written
from courtwright.drawing.words import say_distance, text_twin
from courtwright.game.document import EntryKind, Game


def draw_game(
    game: Game, *, variant: int | None = None, feet: bool = False, theme: ThemeName = "screen", guards: bool = False
) -> Svg:
    """The start of a game, to scale; ``guards`` adds a thin line from each defender to his man."""
    inks, places = THEMES[theme], drawn_places(game, variant)
    area_m = widened(court_box_m(game.floor), places, inks)
    root = picture(
        title=game.name,
        description=text_twin(game, variant, feet=feet),
        box_m=area_m,
        theme=inks,
        key=f"game-{game.hash[:8]}-{'start' if variant is None else variant}",
    )
    root.append(court_lines(game.floor, inks))
    scene = Scene(places, inks, room_for(game.floor, area_m, places, inks))
    if guards:
        _guard_lines(root, scene, game)
    _entry(root, scene, game)
    dimensions = element("g", root, class_="dimensions")
    groups = {name: figure_group(root, name, at, inks) for name, at in places.items()}
    for name, vary_m in game.vary_m(variant).items():
        if name in groups and rings(vary_m, inks):
            vary_ring(groups[name], vary_m)
    _gap(dimensions, scene, game, feet)
    if game.start.ball in groups:
        ball_dot(groups[game.start.ball], scene.room, places[game.start.ball], inks)
    defender_names(groups, scene)
    return written(root)


def drawn_places(game: Game, variant: int | None = None) -> Places:
    """Where each figure stands on the drawing, in drawing order."""
    placed = game.placed_m(variant)
    return {name: on_page(game.floor, placed[name]) for name in game.sides.figures if name in placed}


def _guard_lines(root: ET.Element, scene: Scene, game: Game) -> None:
    group = element("g", root, class_="guards", stroke=scene.theme.line, stroke_width=0.035)
    clear_m = scene.theme.figure_m
    for defender, man in game.guards().items():
        if defender in scene.places and man in scene.places:
            ends = trimmed([scene.places[defender], scene.places[man]], start_m=clear_m, end_m=clear_m)
            path(group, "M", *ends[0], "L", *ends[-1], class_="guard")


def _entry(root: ET.Element, scene: Scene, game: Game) -> None:
    """The entry's passes as dashed arrows, numbered where there are several."""
    group = element("g", root, class_="moves")
    chain = entry_passes(game)
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


def _pass_ends(scene: Scene, giver: str, taker: str, *, back: bool) -> list[Point]:
    """The line of a pass from rim to rim; there and back, each keeps to its own right."""
    line = [scene.places[giver], scene.places[taker]]
    clear_m = scene.theme.figure_m + CLEAR_M
    return trimmed(beside(line, 0.16) if back else line, start_m=clear_m, end_m=clear_m)


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


def _order_label(group: ET.Element, line: list[Point], words: str, scene: Scene) -> None:
    centres = [middle(beside(line, aside_m)) for aside_m in (0.36, -0.36)]
    place_words(group, scene, centres, words, 0.9 * scene.theme.label_m, str(group[0].get("stroke")))


def _gap(parent: ET.Element, scene: Scene, game: Game, feet: bool) -> None:
    """How far the man on the ball stands off."""
    ball, places = game.start.ball, scene.places
    on_ball = [places[name] for name, man in game.guards().items() if man == ball and name in places]
    if ball in places and on_ball:
        holder = places[ball]
        guard = min(on_ball, key=lambda at: math.dist(at, holder))
        gap_line(parent, scene, holder, guard, f"{say_distance(math.dist(holder, guard), feet=feet)} gap")
