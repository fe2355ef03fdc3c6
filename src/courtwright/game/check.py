"""What a well-formed game can still get wrong: figures, places, limits, words that contradict.

Places are named by figure and rule, never by a number in a list: parts that could
not be read may have been left out of the lists.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import combinations
from typing import Final

from courtwright.errors import Problem
from courtwright.game.constraints import CONSTRAINTS, Limit
from courtwright.game.contradictions import contradictions, holders_of, named
from courtwright.game.document import Constraint, EntryKind, Game, Placement
from courtwright.vocabulary import Cost, Live, Side, Spot

SAME_SPOT_M: Final = 0.3
"""Two bodies cannot stand nearer than this (shoulder to shoulder; common practice, no source)."""

COACH_OUTSIDE_M: Final = 3.0
"""A coach may stand off the floor, but near it."""

NEEDS_ARC: Final = frozenset({"no threes", "no mid-range", "paint before three", "may shoot threes", "three"})


def problems_of(game: Game, unread: frozenset[str] = frozenset()) -> list[Problem]:
    """Everything wrong with a well-formed game.

    ``unread`` names top fields that could not be read whole; checks that would
    blame the game for what is missing there are left out.
    """
    return [problem for needs, check in _CHECKS if not unread & set(needs) for problem in check(game)]


# --- who stands where


def _all_placed(game: Game) -> Iterator[Problem]:
    placed = {item.figure for item in game.start.placements}
    for figure in game.sides.figures:
        if figure not in placed:
            yield Problem(f"start, figure {figure}", "has no place", "Give it a spot or metres.")


def _on_a_side(game: Game) -> Iterator[Problem]:
    figures = game.sides.figures
    attackers = [figure for figure in figures if figure[0] not in "XC"]
    for item in game.start.placements:
        place = f"start, figure {item.figure}"
        if item.figure not in figures:
            yield Problem(place, "is not on a side", "Change the sides or take it out.")
        if item.guards is not None and (item.figure[0] != "X" or item.guards not in attackers):
            yield Problem(place, f"cannot guard {item.guards}", f"A defender guards one of {', '.join(attackers)}.")
    for limit in game.constraints:
        if limit.figure is not None and limit.figure not in figures:
            yield Problem(f"{named(limit)}, figure", f"{limit.figure} is not on a side", "Name a figure of the game.")


def _placed_once(game: Game) -> Iterator[Problem]:
    for where, placements in _starts(game):
        for figure, count in Counter(item.figure for item in placements).items():
            if count > 1:
                yield Problem(f"{where}, figure {figure}", f"is placed {count} times", "Keep one.")


def _on_floor(game: Game) -> Iterator[Problem]:
    floor = game.floor
    reach = (
        f"x from {-floor.side_x_m:.2f} to {floor.side_x_m:.2f}, y from {floor.end_line_y_m:.2f} to {floor.far_y_m:.2f}"
    )
    for where, placements in _starts(game):
        for item in placements:
            x_m, y_m = floor.spot_m(Spot.parse(item.at)) if isinstance(item.at, str) else item.at
            if item.figure != "C" and not floor.on_floor(x_m, y_m):
                yield Problem(f"{where}, figure {item.figure}", "stands off the floor", f"Keep {reach}.")
            near_x_m = min(max(x_m, -floor.side_x_m), floor.side_x_m)
            near_y_m = min(max(y_m, floor.end_line_y_m), floor.far_y_m)
            if item.figure == "C" and math.dist((x_m, y_m), (near_x_m, near_y_m)) > COACH_OUTSIDE_M:
                mend = f"Keep the coach within {COACH_OUTSIDE_M:g} m of it."
                yield Problem(f"{where}, figure C", "stands far from the floor", mend)


def _starts(game: Game) -> Iterator[tuple[str, tuple[Placement, ...]]]:
    yield "start", game.start.placements
    for variant in game.start.variants:
        yield f"start, variant “{variant.name}”", variant.placements


def _apart(game: Game) -> Iterator[Problem]:
    for index, (where, _) in enumerate(_starts(game)):
        placed_m = game.placed_m(index - 1 if index else None)
        for one, other in combinations(placed_m, 2):
            if math.dist(placed_m[one], placed_m[other]) < SAME_SPOT_M:
                yield Problem(f"{where}, figures {one} and {other}", "stand on one spot", "Move one of them.")


def _variants(game: Game) -> Iterator[Problem]:
    placed = {item.figure for item in game.start.placements}
    for variant in game.start.variants:
        where = f"start, variant “{variant.name}”"
        if not variant.mirror and not variant.placements:
            yield Problem(
                where, "is the plain start again", "Mirror it or move a figure; the plain start is drawn anyway."
            )
        for item in variant.placements:
            if item.figure not in placed:
                mend = "A variant moves figures of the start."
                yield Problem(f"{where}, figure {item.figure}", "is not in the start", mend)
            if item.guards is not None:
                mend = "Say it in the start; it holds for every variant."
                yield Problem(f"{where}, figure {item.figure}", "cannot change whom it guards", mend)


# --- ball, entry, live


def _ball(game: Game) -> Iterator[Problem]:
    holders, ball = holders_of(game), game.start.ball
    if ball not in holders:
        yield Problem("start, ball", f"figure {ball} cannot start with it", f"Give it to one of {', '.join(holders)}.")
    elif game.entry.kind is EntryKind.FEED and game.sides.coach and ball != "C":
        yield Problem("start, ball", f"the coach feeds, and figure {ball} has it", "Give it to C.")


def _entry(game: Game) -> Iterator[Problem]:
    entry, ball, holders = game.entry, game.start.ball, holders_of(game)
    if entry.kind is EntryKind.PASSES and len(holders) < 2:
        yield Problem("entry, kind", "there is nobody to pass to", "Choose another entry.")
    if entry.kind is EntryKind.PASSES and entry.passes == 0:
        yield Problem("entry, passes", "an entry by passes has none", "Write how many.")
    if entry.kind is not EntryKind.PASSES and entry.passes > 0:
        yield Problem("entry, passes", f"are not part of “{entry.kind}”", "Take them out, or set the kind to “passes”.")
    if entry.kind is EntryKind.FEED and not game.sides.coach:
        yield Problem("entry, kind", "the coach feeds but is not on the floor", "Set sides, coach to true and place C.")
    if entry.kind is EntryKind.CUE and not entry.say:
        yield Problem("entry, say", "nobody knows the cue", "Write what is called or shown.")
    if ball == "C" and entry.kind is not EntryKind.FEED:
        yield Problem("entry, kind", "the coach has the ball and nobody is fed", "Set the entry to “coach feeds”.")
    yield from _entry_to(game)


def _entry_to(game: Game) -> Iterator[Problem]:
    entry, ball = game.entry, game.start.ball
    if entry.to is None:
        return
    if entry.to == "C" or entry.to not in holders_of(game):
        yield Problem("entry, to", f"figure {entry.to} is not an attacker", "Name an attacker.")
    elif entry.kind not in (EntryKind.PASSES, EntryKind.FEED) and entry.to != ball:
        yield Problem("entry, to", "the ball does not move in this entry", "Take it out, or choose passes or a feed.")
    elif entry.kind is EntryKind.PASSES and entry.passes == 1 and entry.to == ball:
        yield Problem("entry, to", f"one pass cannot end with figure {ball}, who throws it", "Name another attacker.")
    elif (
        entry.kind is EntryKind.PASSES and len(holders_of(game)) == 2 and (entry.passes % 2 == 0) != (entry.to == ball)
    ):
        what = f"{entry.passes} passes between two cannot end with figure {entry.to}"
        yield Problem("entry, to", what, "Name the other, or change the passes.")


def _live(game: Game) -> Iterator[Problem]:
    if game.entry.kind is EntryKind.NONE and game.live is Live.ENTRY_DONE:
        yield Problem("live", "waits for an entry, and there is none", "Choose another moment or add an entry.")
    if game.live is Live.FIRST_CATCH and len(holders_of(game)) < 2:
        yield Problem("live", "waits for a catch, and there is nobody to pass", "Choose another moment.")


# --- constraints and points


def _constraints(game: Game) -> Iterator[Problem]:
    for (rule, figure), count in Counter((item.rule, item.figure) for item in game.constraints).items():
        if count > 1:
            yield Problem(f"constraint “{rule}”", f"is set twice{f' for {figure}' if figure else ''}", "Keep one.")
    for item in game.constraints:
        kind = CONSTRAINTS[item.rule]
        yield from _limit(item, kind.limit)
        if item.figure is not None and (kind.side is Side.DEFENCE) != (item.figure[0] == "X"):
            yield Problem(
                f"{named(item)}, figure", f"binds the {kind.side}, not {item.figure}", "Name one of that side."
            )
        if kind.names and item.figure is None:
            yield Problem(f"{named(item)}, figure", "is missing", "Name the one it is about.")
        if kind.side is Side.DEFENCE and item.costs is Cost.TURNOVER:
            yield Problem(
                f"{named(item)}, cost", "the defence has no ball to lose", f"Choose “{Cost.POINT}” or another."
            )


def _limit(item: Constraint, limit: Limit | None) -> Iterator[Problem]:
    place = f"{named(item)}, limit"
    if limit is None:
        if item.limit is not None:
            yield Problem(place, "takes no number", "Take the limit out.")
    elif item.limit is None:
        yield Problem(place, "is missing", f"Write {_range(limit)}.")
    elif not limit.least <= item.limit <= limit.most:
        yield Problem(place, f"{item.limit:g} {limit.unit} makes no sense", f"Write {_range(limit)}.")
    elif limit.whole and not item.limit.is_integer():
        yield Problem(place, f"{item.limit:g} {limit.unit} is not whole", "Write a whole number.")


def _range(limit: Limit) -> str:
    return f"{limit.least:g} to {limit.most:g} {limit.unit}"


def _arc(game: Game) -> Iterator[Problem]:
    if game.floor.arc_radius is None:
        limits = [(named(item), item.rule) for item in game.constraints]
        for place, rule in [*limits, *((f"point rule “{item.rule}”", item.rule) for item in game.points)]:
            if rule in NEEDS_ARC:
                yield Problem(place, f"the {game.floor.name} court has no arc", "Take it out, or choose another court.")


def _points_once(game: Game) -> Iterator[Problem]:
    for rule, count in Counter(item.rule for item in game.points).items():
        if count > 1:
            yield Problem(f"point rule “{rule}”", f"is set {count} times", "Keep one.")


def _points(game: Game) -> Iterator[Problem]:
    if game.points and not any(item.points for item in game.points):
        yield Problem("points", "nothing is worth anything", "Give at least one rule a number.")
    if game.finish.points is not None and not any(item.points > 0 for item in game.points):
        yield Problem("finish, points", "a score ends the game, and nothing scores", "Add a point rule.")


# --- the rest


def _finish(game: Game) -> Iterator[Problem]:
    if game.finish.minutes is None and game.finish.points is None:
        yield Problem("finish", "the game never ends", "Set minutes or points.")


def _forms(game: Game) -> Iterator[Problem]:
    for players, count in Counter(form.players for form in game.forms).items():
        if count > 1:
            yield Problem(f"form for {players} players", f"is there {count} times", "Keep one.")


_CHECKS: Final[tuple[tuple[tuple[str, ...], Callable[[Game], Iterator[Problem]]], ...]] = (
    (("sides", "start"), _all_placed),
    (("sides",), _on_a_side),
    ((), _placed_once),
    (("court",), _on_floor),
    (("court",), _apart),
    (("start",), _variants),
    (("sides", "start", "entry"), _ball),
    (("sides", "start", "entry"), _entry),
    (("sides", "entry", "live"), _live),
    ((), _constraints),
    (("sides", "help"), contradictions),
    (("court",), _arc),
    ((), _points_once),
    (("points", "finish"), _points),
    (("finish",), _finish),
    ((), _forms),
)
"""Each check with the top fields it must have seen whole."""
