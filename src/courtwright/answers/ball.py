"""Where the ball is in what was seen: in a hand, on its way to a mate, to the ring, or coming down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from courtwright.answers.watch import Floats, Seen
from courtwright.floor.ball import DRAG_PER_M
from courtwright.trial import layout as at
from courtwright.trial.boards import FALL_S

Point = tuple[float, float]
RING: Final[Point] = (0.0, 0.0)
CUT: Final = 2
"""A pass that a defender gets (`World.lost`)."""
BASKETS: Final = (at.MAKE_RIM, at.MAKE_MID, at.MAKE_THREE, at.MAKE_VOID)


def ball_places(seen: Sequence[Seen]) -> Floats:
    """Shape (seen, 2)."""
    places = [_place(seen, index) for index in range(len(seen))]
    return np.array(places)


def _place(seen: Sequence[Seen], index: int) -> Point:
    now = seen[index]
    if now.mode == at.PASSING:
        return _passed(seen, index, now)
    if now.mode == at.LOOSE:
        return _missed(seen, index)
    if now.mode == at.OVER:
        return _at_the_end(seen, index)
    return _of(now, now.holder)


def _of(now: Seen, player: int) -> Point:
    x, y = now.places_m[player].tolist()
    return x, y


def _passed(seen: Sequence[Seen], index: int, now: Seen) -> Point:
    """On a straight line, slowed by drag, to where it is caught or cut."""
    start = now.thrown_m
    if now.t_s <= now.release_s:
        return start
    return _between(start, _caught(seen, index), _flown(start, _caught(seen, index), now))


def _flown(start: Point, end: Point, now: Seen) -> float:
    """Share of the way that a pass has come."""
    way = DRAG_PER_M * math.dist(start, end)
    time = min(1.0, (now.t_s - now.release_s) / max(1e-9, now.due_s - now.release_s))
    return math.log1p(math.expm1(way) * time) / way if way > 1e-9 else time


def _caught(seen: Sequence[Seen], index: int) -> Point:
    """Where this pass ends: in the hands of its receiver, or of the defender nearest to its way."""
    after = next((later for later in seen[index:] if later.mode != at.PASSING), seen[-1])
    receiver = _of(after, seen[index].target)
    if after.mode != at.OVER or after.lost != CUT:
        return receiver
    defenders = [_of(after, player) for player in range(after.attackers, len(after.places_m))]
    return min((_nearest(seen[index].thrown_m, receiver, place) for place in defenders), key=lambda found: found[0])[1]


def _nearest(start: Point, end: Point, place: Point) -> tuple[float, Point]:
    """How far a place is from a way, and the point of the way that is nearest to it."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    along = ((place[0] - start[0]) * dx + (place[1] - start[1]) * dy) / max(1e-9, dx * dx + dy * dy)
    on = _between(start, end, min(1.0, max(0.3, along)))
    return math.dist(on, place), on


def _missed(seen: Sequence[Seen], index: int) -> Point:
    """To the ring, then to where it comes down, or into the hands of the attacker who gets it."""
    now, released = seen[index], _released(seen, index)
    ring_s = max(now.due_s - FALL_S, released.t_s + 1e-9)
    if now.t_s <= ring_s:
        return _between(_of(released, released.holder), RING, (now.t_s - released.t_s) / (ring_s - released.t_s))
    after = next((later for later in seen[index:] if later.mode != at.LOOSE), now)
    down = _of(after, after.holder) if after.mode == at.HELD else now.lands_m
    return _between(RING, down, min(1.0, (now.t_s - ring_s) / FALL_S))


def _released(seen: Sequence[Seen], index: int) -> Seen:
    """The last sight of the shooter with the ball."""
    return next((seen[back] for back in range(index, -1, -1) if seen[back].mode != at.LOOSE), seen[0])


def _at_the_end(seen: Sequence[Seen], index: int) -> Point:
    now, before = seen[index], seen[max(0, index - 1)]
    if np.any(now.counts[list(BASKETS)] > before.counts[list(BASKETS)]):
        return RING
    if before.mode == at.LOOSE:
        return now.lands_m
    if before.mode == at.PASSING:
        return _caught(seen, index - 1)
    return _of(now, now.holder)


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
