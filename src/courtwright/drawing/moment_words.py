"""A moment in plain sentences: the text twin of its drawing."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from courtwright.drawing.words import say_distance, say_metres, say_spot, sentence
from courtwright.game.moment import Moment, Standing
from courtwright.reading import Timeline
from courtwright.reading.sentences import listed, metres
from courtwright.vocabulary import FOOT_M, Spot

STILL_M_PER_S: Final = 0.2
"""Slower than this stands still."""
TOLD: Final = ("dribble", "help leaves", "stopped", "kick", "catch", "release", "starts over")


def moment_twin(moment: Moment, played: Timeline | None = None, *, feet: bool = False) -> str:
    """What the drawing shows, in one plain paragraph."""
    held = f" The ball was caught {moment.held_s:g} s ago." if moment.held_s else ""
    said = f"{moment.floor.name} half court, basket at the top. {'; '.join(_standing(moment, feet))}.{held}"
    return said if played is None else f"{said} {sentence(timeline_words(played, feet=feet))}"


def _standing(moment: Moment, feet: bool) -> Iterator[str]:
    places, guards = moment.placed_m(), moment.guards()
    for item in sorted(moment.figures, key=lambda item: item.figure.startswith("X")):
        ball = " with the ball" if item.figure == moment.ball else ""
        man = guards.get(item.figure)
        away = "" if man is None else say_distance(math.dist(places[item.figure], places[man]), feet=feet)
        duty = f" guards {man}, {away} away," if man else ""
        yield f"{item.figure}{ball}{duty} {_where(moment, item, feet)}{_moving(item)}"


def _where(moment: Moment, item: Standing, feet: bool) -> str:
    if isinstance(item.at, str):
        return say_spot(Spot.parse(item.at))
    return say_metres(moment.floor, item.at, feet=feet)


def _moving(item: Standing) -> str:
    across, away = item.moving_m_per_s
    speed = math.hypot(across, away)
    if speed < STILL_M_PER_S:
        return ""
    if abs(away) >= abs(across):
        where = "away from the end line" if away > 0 else "towards the end line"
    else:
        where = f"to the {'right' if across > 0 else 'left'}"
    return f", moving {where} at {speed:.1f} m/s"


def timeline_words(played: Timeline, *, feet: bool = False) -> str:
    """What happens when: ``1st dribble after 0.6 s, X2 leaves after 0.9 s …``."""
    told = [f"{event.text} after {event.t_s:.1f} s" for event in played.events if event.what in TOLD]
    gap = f", {played.gap.defender} {say_about(played.gap.gap_m, feet=feet)} away" if played.gap else ""
    return f"{played.moment.ball} drives: {listed(told)}{gap}"


def say_about(distance_m: float, *, feet: bool = False) -> str:
    """A distance that is worked out, not seen: no finer than it can be known."""
    return f"about {round(distance_m / FOOT_M)} ft" if feet else f"about {metres(distance_m)}"
