"""Whether ratings are right where the truth is known, and better than plus-minus and than nothing.

Prints; asserts nothing (run: python benchmarks/review_ratings.py [SEASONS] [drawn|trial]). Twelve players, 24
practices of 40 possessions, three against three; the coach keeps better players together more often than chance would,
and form drifts. Four practices more are foreseen: whether a possession scores. Drawn seasons have known parts: a
player's truth is the mean of their form. In seasons of the trial players differ in every figure of the model, and the
truth is each one's part in 50,000 possessions more, by least squares; what that leaves uncertain counts against
the ratings.
"""

from __future__ import annotations

import sys
from typing import Any, Final, NamedTuple

import numpy as np

from courtwright.calibration.aggregate import BLOCK_SUMS, Sums, play_block
from courtwright.calibration.setting import setting_plan
from courtwright.floor.presets import preset
from courtwright.review import rows as at
from courtwright.review.events import Log
from courtwright.review.intervals import clopper_pearson
from courtwright.review.ratings import Ratings, rate_players
from courtwright.trial.layout import EVENTS, FAMILIES, GAP_BINS
from courtwright.trial.runs import Plan, new_world
from courtwright.vocabulary import Level, Side

PLAYERS, PRACTICES, LATER, POSSESSIONS, SIDE = 12, 24, 4, 40, 3
NAMES: Final = tuple(f"P{number:02}" for number in range(1, PLAYERS + 1))
USUAL, NOISE, DRIFT = 0.9, 1.1, 0.05
"""points a possession, what one varies by, and how far form moves in sixteen practices"""
A_BASKET: Final = 2.3
TRUE_POSSESSIONS: Final = 50_000
FIGURE_DRIFT: Final = 0.1
"""of a figure's spread, a practice"""


class Season(NamedTuple):
    """A season as it was played."""

    on: np.ndarray
    """(practices, possessions, 6) attackers, then defenders"""
    points: np.ndarray
    """(practices, possessions)"""
    truth: np.ndarray
    """(2, players) mean form in attack and in defence over the practices that are rated"""


def drawn(rng: np.random.Generator, spread: float) -> Season:
    """A season whose players differ by so many points a possession."""
    practices = PRACTICES + LATER
    start = rng.normal(0, spread, (2, PLAYERS))
    form = start[:, None] + np.cumsum(rng.normal(0, DRIFT / 4, (2, practices, PLAYERS)), axis=1)
    on = np.empty((practices, POSSESSIONS, 2 * SIDE), np.int64)
    for practice in range(practices):
        # the coach ranks by what they believe, and the better ones tend to be on the same side
        belief = form[:, practice].sum(axis=0) + rng.normal(0, 2 * spread, PLAYERS)
        for possession in range(POSSESSIONS):
            chosen = rng.permutation(PLAYERS)[: 2 * SIDE]
            ranked = chosen[np.argsort(-(belief[chosen] + rng.normal(0, 2 * spread, 2 * SIDE)))]
            sides = (ranked[:SIDE], ranked[SIDE:])
            first = rng.integers(2)
            on[practice, possession] = np.concatenate([sides[first], sides[1 - first]])
    at_practice = np.arange(practices)[:, None, None]
    added, taken = form[0][at_practice, on[:, :, :SIDE]], form[1][at_practice, on[:, :, SIDE:]]
    expected = USUAL + added.sum(axis=2) - taken.sum(axis=2)
    scored = rng.random(expected.shape) < np.clip(expected / A_BASKET, 0.02, 0.95)
    points = scored * rng.choice((2, 3), size=expected.shape, p=(0.7, 0.3))
    truth = form[:, :PRACTICES].mean(axis=1)
    # only differences between players can be told: the level takes the rest
    return Season(on, points, truth - truth.mean(axis=1, keepdims=True))


def played(plan: Plan, on: np.ndarray, bodies: np.ndarray, seed: int) -> np.ndarray:
    """(possessions,) points of possessions with these players on: (possessions, 6) and (players, figures)."""
    count = len(on)
    plan = plan._replace(offence=on[:, :SIDE].copy(), defence=on[:, SIDE:].copy(), bodies=bodies[None], seed=seed)
    plan = plan._replace(teams=np.tile([[0, 1]], (count, 1)))
    out = Sums(
        np.zeros((count, len(EVENTS)), np.int64),
        np.zeros((count, len(FAMILIES), 2), np.int64),
        np.zeros((count, GAP_BINS), np.int64),
        np.zeros((count, len(BLOCK_SUMS))),
    )
    world = new_world(plan)
    with np.errstate(over="ignore"):
        for possession in range(count):
            play_block(world, plan, out, possession, possession, possession + 1)
    points: np.ndarray = out.play[:, 2].copy()
    return points


def line_ups(rng: np.random.Generator, belief: np.ndarray, count: int) -> np.ndarray:
    """(count, 6) attackers, then defenders; the better as the coach believes tend to be on one side."""
    on = np.empty((count, 2 * SIDE), np.int64)
    for possession in range(count):
        chosen = rng.permutation(PLAYERS)[: 2 * SIDE]
        ranked = chosen[np.argsort(-(belief[chosen] + rng.normal(0, 1, 2 * SIDE)))]
        first = rng.integers(2)
        on[possession] = np.concatenate([ranked[SIDE * first :][:SIDE], ranked[SIDE * (1 - first) :][:SIDE]])
    return on


def truth_of(on: np.ndarray, points: np.ndarray) -> np.ndarray:
    """(2, players) parts by least squares, each role about its mean."""
    rows = np.zeros((len(on), 2 * PLAYERS))
    for place in range(2 * SIDE):
        rows[np.arange(len(on)), on[:, place] + (PLAYERS if place >= SIDE else 0)] = 1 if place < SIDE else -1
    parts = np.linalg.lstsq(np.column_stack([np.ones(len(on)), rows]), points, rcond=None)[0][1:].reshape(2, PLAYERS)
    centred: np.ndarray = parts - parts.mean(axis=1, keepdims=True)
    return centred


def by_trial(rng: np.random.Generator, plan: Plan, seed: int) -> Season:
    """A season of the trial, its truth and what came later."""
    figures = preset(Level.U16).figures
    middle = np.array([figure.mid for figure in figures])
    spread = np.array([figure.spread for figure in figures])
    base = rng.normal(0, 1, (PLAYERS, len(figures)))
    form = base + np.cumsum(rng.normal(0, FIGURE_DRIFT, (PRACTICES + LATER, PLAYERS, len(figures))), axis=0)
    bodies = middle + spread * np.clip(form, -2, 2)  # wide: the range of a figure ends a spread away
    belief = rng.normal(0, 1, PLAYERS)
    on = np.stack([line_ups(rng, belief, POSSESSIONS) for _ in bodies])
    points = np.stack([played(plan, on[at], bodies[at], 1000 * seed + at) for at in range(len(bodies))])
    free = np.stack([rng.permutation(PLAYERS)[: 2 * SIDE] for _ in range(TRUE_POSSESSIONS)])
    truth: np.ndarray = truth_of(free, played(plan, free, bodies[:PRACTICES].mean(axis=0), 1000 * seed + 999))
    return Season(on, points, truth)


def log_of(season: Season) -> Log:
    """The practices that are rated, as rows."""
    on, points = season.on[:PRACTICES].reshape(-1, 2 * SIDE), season.points[:PRACTICES].ravel()
    count = len(points)
    rows = np.zeros((count, len(at.POSSESSION)), np.int32)
    rows[:, at.CHAIN], rows[:, at.PLAIN] = np.arange(count), points
    rows[:, [at.SCORED, at.COUNTS, at.CLOSES, at.CHANCES]] = 1
    turns = np.zeros((count * 2 * SIDE, len(at.TURN)), np.int32)
    turns[:, at.ROW] = np.repeat(np.arange(count), 2 * SIDE)
    turns[:, at.PLAYER], turns[:, at.DEFENDS] = on.ravel(), np.tile(np.arange(2 * SIDE) >= SIDE, count)
    practice = np.repeat(np.arange(PRACTICES), POSSESSIONS)
    none: Any = np.zeros(count, np.int64)
    dates = tuple(map(str, range(PRACTICES)))
    empty = np.zeros((count, 0), np.bool_), turns, np.zeros((0, len(at.TOLD)), np.int32)
    return Log(NAMES, (), ("top",), ("any",), dates, ((),), (), ("run",), rows, none, none, practice, *empty)


def plus_minus(season: Season) -> np.ndarray:
    """(2, players) mean points with a player in attack, and less the mean with them in defence, against all."""
    on, points = season.on[:PRACTICES], season.points[:PRACTICES]
    told = np.zeros((2, PLAYERS))
    for side, sign, columns in ((0, 1, slice(0, SIDE)), (1, -1, slice(SIDE, None))):
        for player in range(PLAYERS):
            here = (on[:, :, columns] == player).any(axis=2)
            told[side, player] = sign * (points[here].mean() - points.mean()) if here.any() else 0.0
    return told


def log_loss(season: Season, effects: np.ndarray, level: float) -> float:
    """Of whether each later possession scores, by what its players add to the level."""
    on, scored = season.on[PRACTICES:], season.points[PRACTICES:] > 0
    expected = level + effects[0][on[:, :, :SIDE]].sum(axis=2) - effects[1][on[:, :, SIDE:]].sum(axis=2)
    chance = np.clip(expected / A_BASKET, 0.02, 0.98)
    return float(-np.mean(np.where(scored, np.log(chance), np.log(1 - chance))))


def rated(ratings: Ratings) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(2, players) means, and the ends of their ranges."""
    told = [[ratings.of(name, side) for name in NAMES] for side in (Side.OFFENCE, Side.DEFENCE)]
    numbers = np.array([[(one.mean, *one.likely) for one in row] for row in told])
    return numbers[:, :, 0], numbers[:, :, 1], numbers[:, :, 2]


def orders(ratings: Ratings, told: Season) -> list[bool]:
    """Of the pairs that are put in order, whether rightly."""
    right = []
    for one in range(0, PLAYERS, 2):
        for side, where in zip(Side, told.truth, strict=True):
            ahead = ratings.order(NAMES[one], NAMES[one + 1], side).ahead
            if ahead:
                right.append((ahead == NAMES[one]) == bool(where[one] > where[one + 1]))
    return right


def main(seasons: int = 400, how: str = "drawn") -> None:
    rng = np.random.default_rng(11)
    plan = setting_plan(level=Level.U16) if how == "trial" else None
    held, outer, losses = [], [], []
    right: list[bool] = []
    for seed in range(seasons):
        spread = max(0.01, abs(rng.normal(0, 0.15)) * NOISE)
        told = drawn(rng, spread) if plan is None else by_trial(rng, plan, seed)
        ratings = rate_players(log_of(told), draws=2000, seed=seed)
        mean, lows, highs = rated(ratings)
        inside = ((lows <= told.truth) & (told.truth <= highs)).ravel()
        rank = told.truth.ravel().argsort().argsort()
        held.append(inside)
        outer.append(inside[(rank < 5) | (rank >= 2 * PLAYERS - 5)])
        level = float(told.points[:PRACTICES].mean())
        losses.append([log_loss(told, effects, level) for effects in (mean, plus_minus(told), 0 * mean)])
        right += orders(ratings, told)
    print(f"{seasons} seasons; 90 % ranges hold the truth: {np.mean(held):.3f}")
    print(f"  of the top and bottom fifth: {np.mean(outer):.3f}")
    low, high = clopper_pearson(sum(right), len(right))
    print(f"orders given: {len(right)} of {seasons * PLAYERS}; right: {np.mean(right):.3f} ({low:.3f} to {high:.3f})")
    loss = np.array(losses)
    ours, theirs, none = loss.mean(axis=0)
    print(f"log loss of later possessions: ratings {ours:.5f}, plus-minus {theirs:.5f}, all equal {none:.5f}")
    for name, column in (("plus-minus", 1), ("all equal", 2)):
        gain = loss[:, column] - loss[:, 0]
        print(f"  gain over {name}: {gain.mean():.5f} ± {1.96 * gain.std(ddof=1) / np.sqrt(seasons):.5f}")


if __name__ == "__main__":
    main(int(next(iter(sys.argv[1:]), 400)), next(iter(sys.argv[2:]), "drawn"))
