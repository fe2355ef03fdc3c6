"""Whom the game's constraints bind, as arrays: the limits of each side and of each figure, and what breaking costs."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.document import Constraint, Game
from courtwright.trial import layout as at

Limits = tuple[NDArray[np.float64], NDArray[np.int64]]
"""Limits as floats, costs as numbers of `layout.COSTS`; the last axis is that of `layout.RULES`."""


def bound(game: Game, unlimited: NDArray[np.float64], figures: list[str]) -> tuple[Limits, Limits]:
    """The rules and costs of a side, shape (rules,), and as they bind each figure, shape (figures, rules).

    A limit that names a figure stands in place of the whole side's for him.
    """
    rules, costs = unlimited.copy(), np.zeros(len(at.RULES), np.int64)
    for item in game.constraints:
        kind = CONSTRAINTS[item.rule]
        if kind.slot and item.figure is None:
            slot = at.RULES.index(kind.slot)
            rules[slot], costs[slot] = _number(item), at.COSTS[item.costs.value]
    own, own_costs = np.tile(rules, (len(figures), 1)), np.tile(costs, (len(figures), 1))
    for figure, item in _personal(game, figures):
        where = figures.index(figure), at.RULES.index(CONSTRAINTS[item.rule].slot)
        own[where], own_costs[where] = _number(item), at.COSTS[item.costs.value]
    return (rules, costs), (own, own_costs)


def _number(item: Constraint) -> float:
    return 1.0 if item.limit is None else item.limit


def _personal(game: Game, figures: list[str]) -> Iterator[tuple[str, Constraint]]:
    """Figures and the limits that bind them and not their side: those who are spared nothing come first."""
    for rule, kind in CONSTRAINTS.items():
        items = [item for item in game.constraints if item.rule == rule]
        if kind.spares and items:
            spared = {item.figure for item in items}
            yield from ((figure, items[0]) for figure in figures if figure[0] != "X" and figure not in spared)
    for item in game.constraints:
        kind = CONSTRAINTS[item.rule]
        if item.figure in figures and kind.personal and not kind.spares:
            yield item.figure, item
