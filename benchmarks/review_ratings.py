"""Whether ratings are right where the truth is known, and better than plus-minus and than nothing.

Prints; asserts nothing (run: python benchmarks/review_ratings.py [SEASONS]). Seasons are drawn here, not by the trial:
twelve players, 24 practices of 40 possessions, three against three; the coach keeps better players together more
often than chance would, form drifts from practice to practice, points are nothing, twos and threes. The truth of a
player is the mean of their form. Four practices more are foreseen: whether a possession scores.
"""

from __future__ import annotations

import sys
from typing import Any, Final, NamedTuple

import numpy as np

from courtwright.review import rows as at
from courtwright.review.events import Log
from courtwright.review.intervals import clopper_pearson
from courtwright.review.ratings import Ratings, rate_players
from courtwright.vocabulary import Side

PLAYERS, PRACTICES, LATER, POSSESSIONS, SIDE = 12, 24, 4, 40, 3
NAMES: Final = tuple(f"P{number:02}" for number in range(1, PLAYERS + 1))
USUAL, NOISE, DRIFT = 0.9, 1.1, 0.05
"""points a possession, what one varies by, and how far form moves in sixteen practices"""
A_BASKET: Final = 2.3


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
    return Season(on, points, form[:, :PRACTICES].mean(axis=1))


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


def main(seasons: int = 400) -> None:
    rng = np.random.default_rng(11)
    held, outer, losses, orders = [], [], [], []
    for seed in range(seasons):
        spread = abs(rng.normal(0, 0.15)) * NOISE
        season = drawn(rng, max(spread, 0.01))
        ratings = rate_players(log_of(season), draws=2000, seed=seed)
        mean, lows, highs = rated(ratings)
        # only differences between players can be told, so the truth is taken about its mean; the level takes the rest
        truth = season.truth - season.truth.mean(axis=1, keepdims=True)
        inside = (lows <= truth) & (truth <= highs)
        rank = truth.ravel().argsort().argsort()
        held.append(inside.ravel())
        outer.append(inside.ravel()[(rank < 5) | (rank >= 2 * PLAYERS - 5)])
        level = float(season.points[:PRACTICES].mean())
        losses.append([log_loss(season, effects, level) for effects in (mean, plus_minus(season), 0 * mean)])
        for one in range(0, PLAYERS, 2):
            ahead = ratings.order(NAMES[one], NAMES[one + 1], Side.OFFENCE).ahead
            if ahead:
                orders.append((ahead == NAMES[one]) == (truth[0, one] > truth[0, one + 1]))
    loss = np.array(losses)
    print(f"{seasons} seasons; 90 % ranges hold the truth: {np.mean(held):.3f}")
    print(f"  of the top and bottom fifth: {np.mean(outer):.3f}")
    low, high = clopper_pearson(sum(orders), len(orders))
    print(f"orders given: {len(orders)} of {seasons * PLAYERS // 2}")
    print(f"  right: {np.mean(orders):.3f} ({low:.3f} to {high:.3f})")
    ours, theirs, none = loss.mean(axis=0)
    print(f"log loss of later possessions: ratings {ours:.5f}, plus-minus {theirs:.5f}, all equal {none:.5f}")
    for name, column in (("plus-minus", 1), ("all equal", 2)):
        gain = loss[:, column] - loss[:, 0]
        print(f"  gain over {name}: {gain.mean():.5f} ± {1.96 * gain.std(ddof=1) / np.sqrt(seasons):.5f}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
