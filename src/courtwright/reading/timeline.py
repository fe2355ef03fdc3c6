"""One row of the help table played through: everybody and the ball at even times, and what happens when."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final, Literal

import numpy as np

from courtwright.errors import WordError
from courtwright.floor.leaving import NOBODY
from courtwright.floor.readout import TIMINGS
from courtwright.game.moment import Moment
from courtwright.reading.play import NOT_AT_ALL_S, Play, Point, best_play
from courtwright.reading.prepare import Array
from courtwright.reading.result import Reading

FORMAT: Final = "courtwright.timeline/1"
STEP_S: Final = 0.05
NEVER: Final = "never"
CUES: Final = (*TIMINGS, NEVER)
ASSUMES: Final = (
    "The drive gets past its man, the kick goes as soon as help is seen, mates stand still, "
    "and everyone has his middle figures."
)
ORDINALS: Final = ("1st", "2nd", "3rd", "4th", "5th", "6th", "7th", "8th", "9th")

Outcome = Literal["kick", "finish", "starts over"]


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happens: when, to whom, where."""

    t_s: float
    what: str
    figure: str
    text: str
    at_m: Point

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        at_m = [round(part, 3) for part in self.at_m]
        return {"t_s": round(self.t_s, 3), "what": self.what, "figure": self.figure, "text": self.text, "at_m": at_m}


@dataclass(frozen=True, slots=True)
class Gap:
    """The shooter and a defender when the ball leaves the hand: the helper at a finish, else whoever is nearest."""

    shooter: str
    defender: str
    gap_m: float
    shooter_m: Point
    defender_m: Point

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        return {"shooter": self.shooter, "defender": self.defender, "gap_m": round(self.gap_m, 3)}


@dataclass(frozen=True)
class Timeline:
    """A drive played through under the middle parameters."""

    moment: Moment
    helper: str | None
    cue: str
    outcome: Outcome
    shooter: str | None
    figures: tuple[str, ...]
    times_s: Array
    """(times,) from the moment on"""
    places_m: Array
    """(times, figures, 2)"""
    ball_m: Array
    """(times, 2)"""
    events: tuple[Event, ...]
    """in order of time"""
    gap: Gap | None

    def event(self, what: str) -> Event | None:
        """The first event of a kind."""
        return next((event for event in self.events if event.what == what), None)

    def path_m(self, figure: str, start_s: float = 0.0, end_s: float = NOT_AT_ALL_S) -> list[Point]:
        """Where a figure goes between two times, at even times and at the ends."""
        end_s = min(end_s, float(self.times_s[-1]))
        inner = self.times_s[(self.times_s > start_s) & (self.times_s < end_s)]
        return [self.at_m(figure, float(t_s)) for t_s in (start_s, *inner, end_s)]

    def at_m(self, figure: str, t_s: float) -> Point:
        """Where a figure is at a time, on the straight line between two samples."""
        places = self.places_m[:, self.figures.index(figure)]
        x, y = (float(np.interp(t_s, self.times_s, places[:, axis])) for axis in (0, 1))
        return x, y

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        return {
            "format": FORMAT,
            "moment": self.moment.name,
            "moment_hash": self.moment.hash,
            "helper": self.helper,
            "cue": self.cue,
            "outcome": self.outcome,
            "shooter": self.shooter,
            "assumes": ASSUMES,
            "step_s": STEP_S,
            "figures": list(self.figures),
            "times_s": self.times_s.round(3).tolist(),
            "places_m": {figure: self.places_m[:, i].round(3).tolist() for i, figure in enumerate(self.figures)},
            "ball_m": self.ball_m.round(3).tolist(),
            "events": [event.to_json() for event in self.events],
            "gap": self.gap.to_json() if self.gap else None,
        }


def timeline(reading: Reading, helper: str | None = None, cue: str = NEVER) -> Timeline:
    """Play one row through: the drive, a helper who leaves on a cue, and the offence's best reply.

    Parameters
    ----------
    helper
        A defender who does not guard the ball; may be left out where nobody helps.
    cue
        ``dribble 1``, ``dribble 2``, ``dribble 3``, ``when beaten`` or ``never``.
    """
    setting = reading.setting
    helping = _helping(reading, helper, cue)
    play = best_play(setting, helping, None if cue == NEVER else TIMINGS.index(cue))
    figures, players = setting.figures, range(len(setting.figures))
    times_s = STEP_S * np.arange(math.ceil(play.over_s / STEP_S - 1e-9) + 1)
    return Timeline(
        moment=setting.moment,
        helper=helper,
        cue=cue,
        outcome="finish" if play.finishes else "starts over" if play.shooter == NOBODY else "kick",
        shooter=None if play.shooter == NOBODY else figures[play.shooter],
        figures=figures,
        times_s=np.asarray(times_s, np.float64),
        places_m=np.array([[play.place(player, t_s) for player in players] for t_s in times_s.tolist()]),
        ball_m=np.array([play.ball(t_s) for t_s in times_s.tolist()]),
        events=tuple(sorted(_events(play, figures), key=lambda event: event.t_s)),
        gap=None if play.shooter == NOBODY else _gap(play, figures),
    )


def _helping(reading: Reading, helper: str | None, cue: str) -> int:
    """The helper by his place in the arrays."""
    helpers = {reading.figure(reading.setting.attackers + d): reading.setting.attackers + d for d in reading.helpers}
    if cue not in CUES:
        raise WordError(f"“{cue}” is no cue to help; use one of {', '.join(CUES)}")
    if helper is None and cue == NEVER:
        return NOBODY
    if helper not in helpers:
        who = f"one of {', '.join(helpers)}" if helpers else "nobody, on the cue “never”"
        raise WordError(f"{helper or 'nobody'} cannot help here; use {who}")
    return helpers[helper]


def _gap(play: Play, figures: tuple[str, ...]) -> Gap:
    shooter_m = play.place(play.shooter, play.released_s)
    defenders = range(play.scene.attackers, play.scene.players)
    places = {d: play.place(d, play.released_s) for d in defenders}
    met = play.finishes and play.helper != NOBODY
    who = play.helper if met else min(places, key=lambda d: math.dist(places[d], shooter_m))
    return Gap(figures[play.shooter], figures[who], math.dist(places[who], shooter_m), shooter_m, places[who])


def _events(play: Play, figures: tuple[str, ...]) -> Iterator[Event]:
    """What happens, as far as it comes to that."""
    for t_s, what, player, text in [*_drive_events(play, figures), *_shot_events(play, figures)]:
        if t_s <= play.over_s:
            yield Event(float(t_s), what, figures[player], text, play.place(player, t_s))


def _drive_events(play: Play, figures: tuple[str, ...]) -> Iterator[tuple[float, str, int, str]]:
    s, driver = play.scene, play.scene.holder
    ends_s = min(play.drive_ends_s, s.gather_s)
    yield s.go_s, "go", driver, "first step"
    for touch in range(s.touches):
        if s.touch_s[touch] <= ends_s:
            yield s.touch_s[touch], "dribble", driver, f"{ORDINALS[touch]} dribble"
    if s.guard[driver] != NOBODY and s.bend_s <= ends_s:
        yield s.bend_s, "beat", driver, "past his man"
    if s.gather_s <= play.drive_ends_s:
        yield s.gather_s, "gather", driver, "picks the ball up"
    if play.leave_s < min(play.drive_ends_s, play.released_s):
        yield play.leave_s, "help leaves", play.helper, f"{figures[play.helper]} leaves"
    if play.stop_s < NOT_AT_ALL_S:
        yield play.stop_s, "stopped", play.helper, f"{figures[play.helper]} stops the ball"


def _shot_events(play: Play, figures: tuple[str, ...]) -> Iterator[tuple[float, str, int, str]]:
    if play.shooter == NOBODY:
        yield play.over_s, "starts over", play.scene.holder, "starts over"
        return
    shooter = figures[play.shooter]
    if play.kick_to != NOBODY:
        yield play.kick_s, "kick", play.scene.holder, f"kick to {shooter}"
        yield play.caught_s, "catch", play.kick_to, f"{shooter} catches"
    yield play.released_s, "release", play.shooter, f"{shooter} {'finishes' if play.finishes else 'shoots'}"
    yield play.over_s, "ring", play.shooter, "at the ring"
