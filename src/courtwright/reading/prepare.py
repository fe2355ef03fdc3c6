"""From a moment to arrays: positions, bodies in each parameter set, what things are worth."""

from __future__ import annotations

from dataclasses import dataclass
from math import dist
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from courtwright.floor import body as its
from courtwright.floor.presets import FIGURES, drawn, fixed_quantiles, preset
from courtwright.floor.scene import ASSUMED, Scene, blank_scene
from courtwright.game.document import Game, Then
from courtwright.game.moment import Moment
from courtwright.game.worth import court_points, net_points
from courtwright.vocabulary import Level

Points = Literal["game", "plain"]
Array = NDArray[np.float64]

SEED: Final = 20260915
MAKES_PER_POINT: Final = 1 / 2.15
"""Baskets per point of a chance (from the shares of twos and threes in professional 3-on-3)."""
SECOND_SHOT: Final = 0.2
"""A fouled shooter who misses from the line still brings something: a fifth of a point each (ours)."""


@dataclass(frozen=True)
class Worth:
    """Net points to the offence of what ends a chance, per parameter set where it depends on one."""

    baskets: tuple[float, float, float]
    """at the rim, between, beyond the arc"""
    missed: float
    lost: float
    fouled: Array
    reset: Array
    unit: str


@dataclass(frozen=True)
class Setting:
    """A moment under many parameter sets."""

    moment: Moment
    figures: tuple[str, ...]
    """attackers, then defenders: the order of every array"""
    attackers: int
    bodies: Array
    """(sets, players, figures)"""
    assumed: Array
    """(sets, assumed)"""
    worth: Worth

    @property
    def holder(self) -> int:
        """Who has the ball."""
        return self.figures.index(self.moment.ball)

    def scene(self, *, pause_s: float = 0.0, turns: bool = True, compiled: bool = True) -> Scene:
        """The moment as the kernels see it; ``turns`` looks at the next man's help too."""
        s = blank_scene(compiled=compiled)
        count, places = len(self.figures), self.moment.placed_m()
        moving = {item.figure: item.moving_m_per_s for item in self.moment.figures}
        s.players, s.attackers, s.holder = count, self.attackers, self.holder
        s.here[:count] = [places[figure] for figure in self.figures]
        s.velocity[:count] = [moving[figure] for figure in self.figures]
        s.guard[:count] = self.guard
        s.held_s, s.pause_s, s.turns = self.moment.held_s, pause_s, int(turns)
        s.worth[:], s.missed, s.lost = self.worth.baskets, self.worth.missed, self.worth.lost
        floor = self.moment.floor
        s.arc_radius = floor.arc_radius.value_m if floor.arc_radius else 99.0
        s.arc_lateral = floor.arc_lateral.value_m if floor.arc_lateral else 99.0
        return s

    @property
    def guard(self) -> NDArray[np.int64]:
        """Attacker → the nearest of his defenders (−1 none); defender → his man."""
        guard, places = np.full(len(self.figures), -1, np.int64), self.moment.placed_m()
        for defender, man in self.moment.guards().items():
            here, there = self.figures.index(defender), self.figures.index(man)
            guard[here] = there
            other = guard[there]
            if other < 0 or dist(places[defender], places[man]) < dist(places[self.figures[other]], places[man]):
                guard[there] = here
        return guard


def parameter_sets(sets: int) -> tuple[Array, Array]:
    """Fixed quantiles for bodies and for what a reading assumes: (sets, figures) and (sets, assumed)."""
    return fixed_quantiles(sets, len(ASSUMED), seed=SEED)


def level_bodies(level: Level, players: int, quantiles: Array) -> Array:
    """Equal players of a level, (sets, players, figures)."""
    return np.repeat(preset(level).drawn(quantiles)[:, None, :], players, axis=1)


def setting(
    moment: Moment, *, level: Level, sets: int, game: Game | None = None, bodies: Array | None = None
) -> Setting:
    """Gather a moment: in a game's points if a game is given, else in plain twos and threes.

    ``bodies`` are those of known players, (sets, players, figures) in the order attackers, defenders.
    """
    figures = (*moment.attackers, *moment.defenders)
    quantiles, assumed = parameter_sets(sets)
    bodies = level_bodies(level, len(figures), quantiles) if bodies is None else bodies
    worth = game_worth(game, bodies) if game is not None and game.points else plain_worth(moment, bodies)
    return Setting(moment, figures, len(moment.attackers), bodies, drawn(ASSUMED, assumed), worth)


def plain_worth(moment: Moment, bodies: Array) -> Worth:
    """Baskets as the court counts them, nothing else."""
    floor = moment.floor
    inside, outside = float(floor.inside_value), float(floor.outside_value)
    line = bodies[:, :, its.FREE_THROW].mean(axis=1)
    fouled = inside / 2 * (2 * line + SECOND_SHOT * (2 - line))
    reset = bodies[:, :, FIGURES.index("reset_points")].mean(axis=1) * inside / 2
    return Worth((inside, inside, outside), 0.0, 0.0, fouled, reset, "points per chance")


def game_worth(game: Game, bodies: Array) -> Worth:
    """Baskets, misses and losses in the points of a game."""
    net = net_points(game)
    baskets = net if any(net.get(event) for event in court_points(game)) else net | court_points(game)
    rim, mid, three = (float(baskets.get(f"make_{zone}", 0)) for zone in ("rim", "mid", "three"))
    stop = float(net.get("stop", 0))
    missed, lost = stop + net.get("defensive_rebound", 0), stop + 0.7 * net.get("steal", 0)
    share = bodies[:, :, FIGURES.index("reset_points")].mean(axis=1) * MAKES_PER_POINT
    reset = share * (0.5 * rim + 0.2 * mid + 0.3 * three) + (1 - share) * stop
    line = 2 * bodies[:, :, its.FREE_THROW].mean(axis=1) * net.get("free_throw_make", 0)
    fouled = {Then.FREE_THROWS: line, Then.AGAIN: reset}.get(game.ending.foul, np.zeros_like(reset))
    return Worth((rim, mid, three), missed, lost, fouled, reset, "this game's points per chance, offence less defence")
