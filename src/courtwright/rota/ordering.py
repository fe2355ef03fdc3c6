"""The order of games that are given: on fewer baskets, and who attacks first."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from courtwright.rota.resolvable import Team

Game = tuple[Team, Team]
"""who attacks first, who defends first"""
Games = tuple[Game, ...]
"""at the same time, a basket each"""
Rounds = tuple[Games, ...]


def queued(players: int, rounds: Rounds, baskets: int) -> Rounds:
    """Deal the games of the rounds to fewer baskets, in an order in which nobody sits long.

    Games of a round stay together, so after each round all have played alike; which of them
    comes first is up to who has sat longest.
    """
    sat = [0] * players
    waiting = [list(games) for games in rounds]
    queue = []
    while waiting:
        together = _longest_sat(waiting, baskets, sat)
        waiting = [games for games in waiting if games]
        busy = {player for game in together for team in game for player in team}
        sat = [0 if player in busy else turns + 1 for player, turns in enumerate(sat)]
        queue.append(together)
    return tuple(queue)


def _longest_sat(waiting: list[list[Game]], baskets: int, sat: Sequence[int]) -> Games:
    """Take games whose players have sat longest; of the next round only where this one leaves a basket free."""
    taken: list[Game] = []
    busy: set[int] = set()
    for games in waiting[:2]:
        for game in sorted(games, key=lambda game: -sum(sat[player] ** 2 for team in game for player in team)):
            if len(taken) < baskets and busy.isdisjoint((*game[0], *game[1])):
                taken.append(game)
                busy.update(*game)
                games.remove(game)
    return tuple(taken)


def ends_evened(players: int, rounds: Rounds) -> Rounds:
    """Choose who attacks first so that all attack first about as often as they defend first.

    Turns one or two games round as long as that helps most; long leads weigh most, so the fourth
    power. Designs that come even are left as they are, the order of three teams too.
    """
    all_games = [game for games in rounds for game in games]
    first = np.zeros((len(all_games), players), dtype=np.int64)
    for number, (one, other) in enumerate(all_games):
        first[number, list(one)], first[number, list(other)] = 1, -1
    ends = np.ones(len(first), dtype=np.int64)
    while np.ptp(lead := ends @ first) > 1:
        turned = lead - 2 * ends[:, None] * first
        cost = ((turned[:, None] - 2 * ends[:, None] * first) ** 4).sum(axis=-1)
        np.fill_diagonal(cost, (turned**4).sum(axis=-1))
        best = np.unravel_index(cost.argmin(), cost.shape)
        if cost[best] >= (lead**4).sum():
            break
        ends[list(set(best))] *= -1
    kept = iter((ends > 0).tolist())
    return tuple(tuple(game if next(kept) else game[::-1] for game in games) for games in rounds)
