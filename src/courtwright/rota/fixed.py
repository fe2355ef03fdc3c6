"""Fixed teams: the team that defended attacks next, the one that attacked goes off, the one off comes on in defence.

The rule is never broken here. Two teams change ends each possession. From four
teams on there is a choice who comes on: of the two that have been off longest, the
one that has met the team on the floor less, so no two teams pass by each other all
evening. A team is passed over once at most before it comes on. Inside a team bigger
than its side, every player is owed an exact number of the team's turns in offence
and in defence, even to within one, and gets them.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence

from courtwright.rota.balance import fair_shares
from courtwright.rota.request import Request, Role
from courtwright.rota.spots import Figures
from courtwright.rota.turns import Turn


def plan_fixed(request: Request, teams: Sequence[Sequence[int]]) -> tuple[Turn, ...]:
    """Plan all turns for teams that each fill a side."""
    rng = random.Random(request.seed)
    meetings = team_order(len(teams), request.turns, rng)
    attacks, defends = Counter(one for one, _ in meetings), Counter(other for _, other in meetings)
    benches = [
        _Bench(team, (request.offence, request.defence), (attacks[number], defends[number]), rng)
        for number, team in enumerate(teams)
    ]
    helpers = _Helpers(request.players, request.neutral)
    figures = [Figures(request.players, places, rng) for places in request.places[: Role.OFF]]
    turns = []
    for one, other in meetings:
        offence, defence = benches[one].send(Role.OFFENCE), benches[other].send(Role.DEFENCE)
        neutral = helpers.send({*offence, *defence})
        placed = [figures[role].place(group) for role, group in enumerate((offence, defence, neutral))]
        off = set(range(request.players)).difference(*placed)
        turns.append(Turn(placed[0], placed[1], placed[2], tuple(sorted(off)), one, other))
    return tuple(turns)


def team_order(teams: int, turns: int, rng: random.Random) -> list[tuple[int, int]]:
    """Who attacks whom, turn by turn: (offence, defence) by team number.

    The team that starts keeps its place, so it parts the turns into laps in which
    every team comes on once: turns in offence, and in defence, stay within one.
    """
    first, defends, *waiting = rng.sample(range(teams), teams)
    attacks, passed = first, -1
    met = Counter[frozenset[int]]()
    order = []
    for _ in range(turns):
        order.append((attacks, defends))
        met[frozenset((attacks, defends))] += 1
        waiting.append(attacks)
        choice = waiting[:2] if len(waiting) > 2 and passed != waiting[0] and first not in waiting[:2] else waiting[:1]
        coming = _least_met(choice, defends, met)
        passed = waiting[0]
        waiting.remove(coming)
        attacks, defends = defends, coming
    return order


def _least_met(choice: list[int], staying: int, met: Counter[frozenset[int]]) -> int:
    """The first of equals, and the list is in order of going off."""
    return min(choice, key=lambda team: met[frozenset((team, staying))])


class _Bench:
    """One team: sends players on so that each gets exactly the turns owed in each role."""

    def __init__(
        self, team: Sequence[int], places: tuple[int, int], turns: tuple[int, int], rng: random.Random
    ) -> None:
        self.team = rng.sample(list(team), len(team))
        self.places = places
        self.left = list(turns)
        seats = [place * count for place, count in zip(places, turns, strict=True)]
        self.owed = dict(zip(self.team, fair_shares(len(team), seats).tolist(), strict=True))
        self.played = Counter[int]()
        self.since = Counter[int]()

    def send(self, role: Role) -> list[int]:
        """Those who have all of what is left coming first, then who has waited longest, then who has played least."""

        def turn_of(player: int) -> tuple[bool, int, int, int]:
            owed = self.owed[player][role]
            return owed < self.left[role], -self.since[player], self.played[player], -owed

        sent = sorted((player for player in self.team if self.owed[player][role] > 0), key=turn_of)[: self.places[role]]
        self.left[role] -= 1
        for player in self.team:
            self.since[player] += 1
        for player in sent:
            self.owed[player][role] -= 1
            self.played[player] += 1
            self.since[player] = 0
        return sent


class _Helpers:
    """Neutral players come from those who would be off, whoever has played least: it evens out larger teams."""

    def __init__(self, players: int, places: int) -> None:
        self.players, self.places = players, places
        self.helped, self.played = Counter[int](), Counter[int]()

    def send(self, busy: set[int]) -> list[int]:
        """Choose from those who are free in this turn."""
        free = [player for player in range(self.players) if player not in busy]
        sent = sorted(free, key=lambda player: (self.played[player], self.helped[player]))[: self.places]
        self.helped.update(sent)
        self.played.update([*busy, *sent])
        return sent
