"""A game in plain sentences: the text twin of its drawing, and the lines of its sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from courtwright.floor.court import Court
from courtwright.game.document import Ending, Entry, EntryKind, Form, Game, Help, PointRule, Then
from courtwright.game.points import POINT_RULES
from courtwright.vocabulary import INCH_M, Flank, Live, Side, Spot, SpotName, format_length

NEAR_SPOT_M: Final = 0.75
"""A place by metres this near to a named spot is told by the spot."""

_IN: Final = frozenset({SpotName.CORNER, SpotName.SHORT_CORNER})
_ON: Final = frozenset({SpotName.WING, SpotName.BLOCK})


def text_twin(game: Game, variant: int | None = None, *, feet: bool = False) -> str:
    """What the drawing shows, in one plain paragraph: who stands where, who guards whom, what happens first."""
    chosen = "" if variant is None else f" Start “{game.start.variants[variant].name}”."
    stand = "; ".join(_standing(game, variant, feet))
    first = " ".join(sentence(words) for words in (say_entry(game.entry), say_live(game.live)) if words)
    return f"{game.floor.name} half court, basket at the top.{chosen} {stand}. {first}"


def sentence(words: str) -> str:
    """The words with a capital first and a full stop last, unless a quotation already brings its own."""
    return capital(words) if words[-2:-1] in (".", "!", "?") and words[-1] == "”" else f"{capital(words)}."


def capital(words: str) -> str:
    """The words with a capital first."""
    return words[:1].upper() + words[1:]


def _standing(game: Game, variant: int | None, feet: bool) -> Iterator[str]:
    places = game.placed_m(variant)
    guards = game.guards()
    for figure in (figure for figure in game.sides.figures if figure in places):
        where = say_place(game, figure, variant, feet=feet)
        man = guards.get(figure)
        if man is not None and man in places:
            away = say_distance(math.dist(places[figure], places[man]), feet=feet)
            yield f"{figure} guards {man}, {away} away, {where}"
        else:
            ball = " with the ball" if figure == game.start.ball else ""
            yield f"{'the coach' if figure == 'C' else figure}{ball} {where}"


def say_place(game: Game, figure: str, variant: int | None = None, *, feet: bool = False) -> str:
    """Where a figure starts: ``at the left slot``, ``near the nail``, or its distances."""
    placed = {item.figure: item for item in game.start.placements}
    chosen = None if variant is None else game.start.variants[variant]
    placed |= {item.figure: item for item in (chosen.placements if chosen else ())}
    at = placed[figure].at
    if isinstance(at, str):
        spot = Spot.parse(at)
        where = say_spot(spot.mirrored() if chosen and chosen.mirror else spot)
    else:
        where = say_metres(game.floor, game.placed_m(variant)[figure], feet=feet)
    vary_m = game.vary_m(variant)[figure]
    return f"{where}, up to {say_distance(vary_m, feet=feet)} from there" if vary_m else where


def say_spot(spot: Spot) -> str:
    """A spot as coaches say it: ``in the left corner``, ``on the right wing``, ``at the nail``."""
    if spot.name is SpotName.BASKET:
        return "under the basket"
    small = "in" if spot.name in _IN else "on" if spot.name in _ON else "at"
    return f"{small} the {spot}"


def say_metres(floor: Court, at_m: tuple[float, float], *, feet: bool = False) -> str:
    """A place by metres: the spot it is near, else its distances."""
    spots = floor.spots
    nearest = min(spots, key=lambda spot: math.dist(spots[spot], at_m))
    if math.dist(spots[nearest], at_m) <= NEAR_SPOT_M:
        return f"near the {nearest}"
    x_m, y_m = at_m
    out_m = y_m - floor.end_line_y_m
    flank = Flank.RIGHT if x_m > 0 else Flank.LEFT
    aside = f"{say_distance(abs(x_m), feet=feet)} {flank} of the middle" if abs(x_m) >= 0.05 else "in the middle"
    deep = f"{say_distance(abs(out_m), feet=feet)} {'behind' if out_m < 0 else 'from'} the end line"
    return f"{deep}, {aside}"


def say_distance(distance_m: float, *, feet: bool = False) -> str:
    """A distance on the floor as a coach would pace it: decimetres, or whole inches."""
    if feet:
        return format_length(round(distance_m / INCH_M) * INCH_M, feet=True)
    return f"{distance_m:.1f} m"


def say_entry(entry: Entry) -> str:
    """What happens first; empty where play simply starts."""
    whom = f" to {entry.to}" if entry.to else ""
    match entry.kind:
        case EntryKind.NONE:
            return ""
        case EntryKind.PASSES if entry.passes == 1:
            first = f"one pass{whom}"
        case EntryKind.PASSES:
            first = f"{entry.passes} passes{f', the last{whom}' if whom else ''}"
        case EntryKind.FEED:
            first = f"the coach feeds {entry.to or 'an attacker'}"
        case EntryKind.CUE:
            first = f"a cue{f', the ball{whom}' if whom else ''}"
        case EntryKind.SWAP:
            first = f"a swap of places{f', the ball{whom}' if whom else ''}"
    return f"{first}: “{entry.say}”" if entry.say else first


_LIVE: Final = {
    Live.START: "live from the start",
    Live.FIRST_CATCH: "live on the first catch",
    Live.FIRST_DRIBBLE: "live on the first dribble",
    Live.ENTRY_DONE: "live once the entry is done",
}


def say_live(live: Live) -> str:
    """The event after which everything counts."""
    return _LIVE[live]


def say_help(help_: Help, rotation: bool = False) -> str:
    """When a helper leaves his man, and whether the others rotate."""
    if help_ is Help.NEVER:
        return "no help"
    when = "when the on-ball defender is beaten" if help_ is Help.WHEN_BEATEN else f"on {help_.value}"
    return f"help {when}, the others rotate" if rotation else f"help {when}"


def say_ending(ending: Ending) -> list[tuple[str, str]]:
    """Each event and what it leads to."""
    stops = {"nothing": "", "clear": ", once the ball is cleared", "outlet": ", once the outlet is caught"}
    return [
        ("basket", _say_then(ending.make)),
        ("offensive rebound", _say_then(ending.offensive_rebound)),
        ("defensive rebound", _say_then(ending.defensive_rebound) + stops[ending.defence_must]),
        ("foul", _say_then(ending.foul)),
        ("next start", f"after {ending.reset_s:g} s"),
    ]


def _say_then(then: Then) -> str:
    return "ends the possession" if then is Then.ENDS else then.value


def say_points(game: Game, rule: PointRule) -> str:
    """What a point rule is worth, and to whom if not the offence: ``+1 defence``, ``+2 or +3``."""
    worth = f"{rule.points:+d}".replace("-", "−")
    if POINT_RULES[rule.rule].by_court:
        values = dict.fromkeys(value * rule.points for value in (game.floor.inside_value, game.floor.outside_value))
        worth = " or ".join(f"{value:+d}".replace("-", "−") for value in values)
    return f"{worth} {rule.side.value}" if rule.side is Side.DEFENCE or rule.to else worth


def say_finish(game: Game) -> str:
    """When it is over."""
    minutes = "" if game.finish.minutes is None else f"{game.finish.minutes:g} min"
    points = "" if game.finish.points is None else f"first to {game.finish.points}"
    return " or ".join(part for part in (minutes, points) if part)


def say_sides(game: Game) -> str:
    """How many on each side: ``3 on 3, 1 neutral, a coach``."""
    sides = game.sides
    neutral = f", {sides.neutral} neutral" if sides.neutral else ""
    return f"{sides.offence} on {sides.defence}{neutral}{', a coach' if sides.coach else ''}"


def say_form(form: Form) -> str:
    """How a form is played: the coach's words, else what it changes."""
    if form.say:
        return form.say
    sides = form.change.get("sides")
    if isinstance(sides, dict) and {"offence", "defence"} <= sides.keys():
        return f"{sides['offence']} on {sides['defence']}"
    return f"changes {', '.join(form.change)}" if form.change else "as it stands"
