"""How far a 5 cm drag moves a reading: ``python -m benchmarks.reading_drags [DRAGS]``. Prints; asserts nothing.

Random sensible moments: attackers near spots, a defender on the ball who stands or
closes out (in half of them on the very line to the ring), the others between their
man and the ring. One figure is dragged by 5 cm in a random direction. Every chance
and every mean in points that a reading gives is compared; a drag that carries an
attacker across the arc is left out, because there a two becomes a three.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.floor.court import Rules, court
from courtwright.game.moment import Moment
from courtwright.reading.prepare import setting
from courtwright.reading.result import read_raw
from courtwright.vocabulary import SPOTS, Level

DRAG_M: Final = 0.05
FLOOR: Final = court(Rules.FIBA)
Places = NDArray[np.float64]


@dataclass(frozen=True)
class Play:
    """Who stands where, (players, 2), attackers then as many defenders, and how the defenders move."""

    places_m: Places
    velocities: Places
    held_s: float
    level: Level

    @property
    def side(self) -> int:
        """How many on each side."""
        return len(self.places_m) // 2

    def moment(self, *, mirrored: bool = False) -> Moment:
        """The moment, or what a mirror shows of it."""
        sign = np.array([-1.0 if mirrored else 1.0, 1.0])
        figures: list[dict[str, Any]] = [
            {"figure": f"{i + 1}" if i < self.side else f"X{i - self.side + 1}", "at": tuple(sign * at)}
            for i, at in enumerate(self.places_m)
        ]
        for i, figure in enumerate(figures[self.side :]):
            figure |= {"moving_m_per_s": tuple(sign * self.velocities[i]), "guards": str(i + 1)}
        return Moment.model_validate({"name": "drag", "ball": "1", "figures": figures, "held_s": self.held_s})

    def dragged(self, player: int, angle: float, by_m: float = DRAG_M) -> Play:
        """The same with one figure moved."""
        places_m = self.places_m.copy()
        places_m[player] += by_m * np.array([math.cos(angle), math.sin(angle)])
        return replace(self, places_m=places_m)

    def beyond_arc(self) -> list[bool]:
        """Which attackers stand beyond the arc."""
        return [FLOOR.beyond_arc(float(x), float(y)) for x, y in self.places_m[: self.side]]


def random_play(draw: np.random.Generator, side: int) -> Play:
    """A sensible moment."""
    spots = [FLOOR.spot_m(spot) for spot in SPOTS if str(spot) != "basket"]
    attackers = np.array([spots[i] for i in draw.permutation(len(spots))[:side]]) + draw.normal(0, 0.35, (side, 2))
    defenders = attackers * draw.uniform(0.25, 0.9, (side, 1)) + draw.normal(0, 0.4, (side, 2))
    away_m = math.hypot(*attackers[0])
    toward = -attackers[0] / away_m
    gap_m = min(draw.uniform(0.7, 5.5), max(0.7, away_m - 0.5))
    aside_m = draw.normal(0, 0.3) * (draw.random() < 0.5)
    defenders[0] = attackers[0] + gap_m * toward + aside_m * np.array([-toward[1], toward[0]])
    velocities = draw.normal(0, 1.2, (side, 2)) * (draw.random((side, 1)) < 0.4)
    velocities[0] = -toward * (draw.uniform(0, 4) if gap_m > 1.8 else 0.0)
    places_m = np.clip(np.vstack([attackers, defenders]), [-7.3, -1.3], [7.3, 12.0])
    held_s = float(draw.choice([0.0, 0.0, 0.0, 0.3, 1.0]))
    return Play(places_m, velocities, held_s, list(Level)[draw.integers(len(Level))])


def told(play: Play, sets: int) -> dict[str, float]:
    """Every chance and every mean in points."""
    raw = read_raw(setting(play.moment(), level=play.level, sets=sets))
    kinds = {
        "held": raw.drive[:, 0],
        "shot, chance": raw.shot[:, 1],
        "shot, points": raw.shot[:, 2],
        "drive, points": raw.drive[:, 3:6],
        "moment, points": raw.worth,
        "passes, chance": raw.passes[:, 1:, 1],
        "passes, lost": raw.passes[:, 1:, 2],
        "passes, points": raw.passes[:, 1:, 3],
        "help, points": raw.rows[:, 1:, :, :2],
    }
    return {
        f"{kind}/{index}": float(mean)
        for kind, values in kinds.items()
        for index, mean in enumerate(np.atleast_1d(values.mean(axis=0)).ravel())
    }


def drags(side: int, sets: int, count: int, seed: int) -> Iterator[dict[str, float]]:
    """How far each number moved, drag by drag."""
    draw = np.random.default_rng(seed)
    for _ in range(count):
        play = random_play(draw, side)
        moved = play.dragged(int(draw.integers(2 * side)), draw.uniform(0, 2 * math.pi))
        if play.beyond_arc() == moved.beyond_arc():
            before, after = told(play, sets), told(moved, sets)
            yield {name: abs(after[name] - before[name]) for name in before}


def main() -> None:
    """Print the worst of each kind."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    for side, sets, most in ((3, 64, 0.03), (5, 32, 0.05)):
        found = list(drags(side, sets, count, seed=side))
        over = sum(any(by > most for name, by in one.items() if not name.startswith("held")) for one in found)
        print(f"{side}-on-{side}, {sets} sets, {len(found)} drags: {over} move a number by over {most} (held apart)")
        for kind in dict.fromkeys(name.split("/")[0] for name in found[0]):
            worst = max(by for one in found for name, by in one.items() if name.startswith(f"{kind}/"))
            print(f"  {kind:16} {worst:.3f} at worst")


if __name__ == "__main__":
    main()
