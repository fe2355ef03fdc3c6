"""What events are worth to a side under a game's point rules."""

from __future__ import annotations

from collections import Counter

from courtwright.game.document import Game
from courtwright.game.points import BASKETS, POINT_RULES
from courtwright.vocabulary import Side


def event_points(game: Game, side: Side) -> dict[str, int]:
    """Points of each counted event to one side; events that bring nothing are left out."""
    points: Counter[str] = Counter()
    for rule in game.points:
        if rule.side is not side:
            continue
        kind = POINT_RULES[rule.rule]
        for event in kind.counts:
            points[event] += rule.points * (court_value(game, event) if kind.by_court else 1)
    return {event: worth for event, worth in points.items() if worth}


def court_value(game: Game, event: str) -> int:
    """What the rule book gives for a basket."""
    return game.floor.outside_value if event == "make_three" else game.floor.inside_value


def court_points(game: Game) -> dict[str, int]:
    """Every basket as the rule book counts it."""
    return {event: court_value(game, event) for event in BASKETS}


def net_points(game: Game) -> dict[str, int]:
    """Points of each event to the offence less those to the defence."""
    net = Counter(event_points(game, Side.OFFENCE))
    net.subtract(event_points(game, Side.DEFENCE))
    return dict(net)
