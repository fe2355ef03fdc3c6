"""From documents to arrays: a game, a squad and an array of turns become a `Plan`."""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.errors import CannotPlayError
from courtwright.floor.presets import FIGURES
from courtwright.game.document import EntryKind, Game, Help, Then
from courtwright.game.points import POINT_RULES
from courtwright.game.worth import court_points, event_points
from courtwright.squad import Squad
from courtwright.squad.measured import measured
from courtwright.trial import layout as at
from courtwright.trial.binding import bound
from courtwright.trial.experience import stored_beliefs
from courtwright.trial.parameters import model_draws, quantile_sets
from courtwright.trial.runs import Plan
from courtwright.vocabulary import Live, Side

MAKES_PER_POINT: Final = 1 / 2.15
"""Baskets per point of a chance: turns the preset's reset points into this game's (from the 2P and 3P shares)."""
_LIVE: Final = {Live.START: 0, Live.FIRST_CATCH: 1, Live.FIRST_DRIBBLE: 2, Live.ENTRY_DONE: 3}
_HELP: Final = {Help.WHEN_BEATEN: 0, Help.DRIBBLE_1: 1, Help.DRIBBLE_2: 2, Help.DRIBBLE_3: 3, Help.NEVER: -1}
_FOUL: Final = {Then.ENDS: 0, Then.AGAIN: 1, Then.FREE_THROWS: 2}

Turns = tuple[NDArray[np.integer[Any]], NDArray[np.integer[Any]], NDArray[np.integer[Any]]]
"""(turns, attackers) and (turns, defenders) squad indices, (turns, 2) teams."""


def plan_trial(game: Game, squad: Squad, turns: Turns, *, minutes: float, seed: int) -> Plan:
    """Gather everything a trial needs; raises `CannotPlayError` for a game the trial does not play."""
    if game.not_simulated:
        raise CannotPlayError(game.not_simulated)
    offence, defence, teams = (np.ascontiguousarray(part, np.int64) for part in turns)
    figures = floor_figures(game)
    _check_turns(game, offence, defence, len(squad.here))
    quantiles, own = quantile_sets()
    bodies = measured(squad).drawn(quantiles)
    points = {side: points_of(game, side) for side in Side}
    worth = points[Side.OFFENCE] - points[Side.DEFENCE]
    guided = worth if np.any(worth[at.MAKE_RIM : at.MAKE_THREE + 1]) else worth + _on_events(court_points(game))
    usual, stop = _usual_make(guided), float(guided[at.STOP])
    (rules, costs), (each, each_costs) = bound(game, rules_of(game, figures), figures)
    share = bodies[:, :, FIGURES.index("reset_points")].mean(axis=1) * MAKES_PER_POINT
    return Plan(
        starts=_starts(game, figures),
        chances=_chances(game),
        ball=figures.index(game.start.ball) if game.start.ball != "C" else 0,
        attackers=game.sides.offence + game.sides.neutral,
        guard=_guard(game, figures),
        offence=offence,
        defence=defence,
        teams=teams if teams.min() >= 0 else np.tile(np.array([0, 1], np.int64), (len(teams), 1)),
        bodies=bodies,
        models=model_draws(own),
        carry_on=share * usual + (1 - share) * stop,
        stopped=1 - share,
        scale=max(0.05, abs(usual - stop) / 2),
        beliefs=stored_beliefs(),
        rules=rules,
        costs=costs,
        own=each,
        own_costs=each_costs,
        worth=guided,
        points_offence=points[Side.OFFENCE],
        points_defence=points[Side.DEFENCE],
        minutes_s=60.0 * minutes,
        reset_s=game.ending.reset_s,
        to_points=float(game.finish.points or math.inf),
        seed=seed,
    )


def floor_figures(game: Game) -> list[str]:
    """Figures in the kernels' order: attackers, neutrals, defenders; the coach is not a player."""
    return [figure for figure in game.sides.figures if figure != "C"]


def _check_turns(game: Game, offence: NDArray[np.int64], defence: NDArray[np.int64], players: int) -> None:
    attackers = game.sides.offence + game.sides.neutral
    needs_mate = game.entry.kind is EntryKind.PASSES or any(item.rule == "passes first" for item in game.constraints)
    if attackers == 1 and needs_mate:
        raise CannotPlayError("the game asks for passes, and the trial has nobody to pass to but a coach")
    if offence.shape[1] != attackers or defence.shape[1] != game.sides.defence or not len(offence):
        turns, wanted = f"{offence.shape[1]} on {defence.shape[1]}", f"{attackers} on {game.sides.defence}"
        raise CannotPlayError(f"the turns are for {turns}, the game is {wanted}")
    if max(offence.max(), defence.max()) >= players:
        raise CannotPlayError("the turns name players who are not here; make the rota again")


def points_of(game: Game, side: Side) -> NDArray[np.float64]:
    """Points of each event to one side, shape (events,)."""
    points = _on_events(event_points(game, side))
    points[at.POINT_TO_OFFENCE if side is Side.OFFENCE else at.POINT_TO_DEFENCE] += 1
    return points


def _on_events(worth: dict[str, int]) -> NDArray[np.float64]:
    points = np.zeros(len(at.EVENTS))
    for event, value in worth.items():
        points[at.EVENTS.index(event)] = value
    return points


def _usual_make(worth: NDArray[np.float64]) -> float:
    """Net points of a usual basket: half at the rim, a fifth between, the rest beyond the arc."""
    return float(0.5 * worth[at.MAKE_RIM] + 0.2 * worth[at.MAKE_MID] + 0.3 * worth[at.MAKE_THREE])


def _starts(game: Game, figures: list[str]) -> NDArray[np.float64]:
    """Where each figure may start, shape (1 + variants, figures, 3)."""
    variants: list[int | None] = [None, *range(len(game.start.variants))]
    starts = [(game.placed_m(variant), game.vary_m(variant)) for variant in variants]
    return np.array([[(*places[figure], shifts[figure]) for figure in figures] for places, shifts in starts])


def _chances(game: Game) -> NDArray[np.float64]:
    weights = np.array([1.0, *(variant.weight for variant in game.start.variants)])
    running = np.cumsum(weights / weights.sum())
    running[-1] = 1.0
    return running


def _guard(game: Game, figures: list[str]) -> NDArray[np.int64]:
    """Attacker → the first defender who answers for him (−1 none); defender → his man."""
    guard = np.full(len(figures), -1, np.int64)
    for defender, man in game.guards().items():
        here, there = figures.index(defender), figures.index(man)
        guard[here] = there
        if guard[there] < 0:
            guard[there] = here
    return guard


def rules_of(game: Game, figures: list[str]) -> NDArray[np.float64]:
    """The game's endings and court as numbers, with nothing limited yet, shape (rules,)."""
    floor, entry, ending = game.floor, game.entry, game.ending
    coach = game.placed_m().get("C", (0.0, 9.0))
    values = dict.fromkeys(at.RULES, 0.0) | dict.fromkeys(("dribbles_each", "dribbles_all", "clock_s", "catch_s"), -1.0)
    values |= {
        "help_rule": _HELP[game.help],
        "rotation": float(game.rotation),
        "play_on_rebound": float(ending.offensive_rebound is Then.PLAY_ON),
        "foul_then": _FOUL[ending.foul],
        "make_again": float(ending.make is Then.AGAIN),
        "entry_passes": entry.passes if entry.kind is EntryKind.PASSES else 0,
        "entry_to": figures.index(entry.to) if entry.to else -1,
        "entry_delay_s": 1.0 if entry.kind is EntryKind.CUE else 0.0,
        "live_on": _LIVE[game.live],
        "coach_x": coach[0],
        "coach_y": coach[1],
        "coach_feeds": float(entry.kind is EntryKind.FEED),
        "arc_radius_m": floor.arc_radius.value_m if floor.arc_radius else 99.0,
        "arc_lateral_m": floor.arc_lateral.value_m if floor.arc_lateral else 99.0,
        "lane_half_m": floor.lane_width.value_m / 2,
        "lane_top_y": floor.free_throw_y_m,
        "board_y": floor.board_from_end_line.value_m - floor.basket_from_end_line.value_m,
        "side_x": floor.side_x_m,
        "far_y": floor.far_y_m,
        "ring_height_m": floor.ring_height.value_m,
        "reset_s": ending.reset_s,
    }
    return np.array([values[name] for name in at.RULES])


def left_to_the_eye(game: Game) -> list[str]:
    """What the trial does not play and the coach must watch, in words."""
    unplayed = [item.text for item in game.constraints if not item.played]
    unplayed += [f"points for {rule.text}" for rule in game.points if not POINT_RULES[rule.rule].played]
    if game.entry.kind is EntryKind.SWAP:
        unplayed.append("the swap before it is live")
    if game.ending.defence_must != "nothing":
        unplayed.append(f"a stop needs the defence to {game.ending.defence_must}")
    return unplayed


def played(game: Game) -> list[str]:
    """The constraints the trial plays, in words."""
    return [item.text for item in game.constraints if item.played]
