"""Mixed teams: one turn after the other, each the cheapest step from the last.

Fairness is not weighed, it is kept. Every player is owed an exact number of turns
in each role (`balance.fair_shares`; off is a role too), and a turn may give a
player only a role still owed. A turn that does so always exists, and leaves a
rest for which the same holds: players and places, joined by the turns still
owed, form a bipartite multigraph with as many edges at every node as turns are
left, and such a graph splits into perfect matchings (Kőnig 1916). So the spread
in offence, in defence, as neutral and in all is at the end the least that
counting allows, whatever the costs below.

Among the turns allowed, the cheapest: first as an assignment of players to
roles, true to defend → attack → off, short sits and even counts on the way; then
by exchanging two players as long as it helps, now counting team-mates and
opponents who have met before.
"""

from __future__ import annotations

import random
from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.rota.assign import cheapest
from courtwright.rota.balance import Counts, fair_shares
from courtwright.rota.request import Request, Role
from courtwright.rota.spots import Figures
from courtwright.rota.turns import Turn

# Costs are whole numbers, so sums are exact and the same seed gives the same rota on every machine.
MEETING: Final = 1024
"""one earlier turn two players have shared, as team-mates or as opponents: the unit of all other costs"""
ORDER: Final = 3 * MEETING
"""one move against the rule. 1 mixes best and breaks one move in five; 6 keeps 19 in 20 and leaves cliques"""
LATER: Final = MEETING
"""per turn already sat (squared, over the usual sit) or played without rest"""
TOO_LONG: Final = 200 * MEETING
"""sitting two turns longer than the cycle would ask; one longer is what lets groups mix"""
EVEN: Final = MEETING
"""per turn a player is ahead of the mean, so that a game stopped early is fair too"""
EVEN_ROLE: Final = 2 * MEETING
"""the same for one role"""
DRAWS: Final = 8
"""about one rota in fifty needs a second"""
NOT_OWED: Final = 1 << 40
"""more than any sum of the rest, and n of them still exact in a double"""

ATTACKS, DEFENDS, RESTS = range(3)
_GROUP: Final = np.array([ATTACKS, DEFENDS, ATTACKS, RESTS])  # by Role
_PLAYING: Final = [Role.OFFENCE, Role.DEFENCE, Role.NEUTRAL]

Roles = NDArray[np.int64]


def plan_mixed(request: Request) -> tuple[Turn, ...]:
    """Plan all turns, anew (a few times) while somebody sits more than one turn longer than the cycle asks."""
    rng = random.Random(request.seed)
    best: tuple[Turn, ...] = ()
    shortest = request.turns + 1
    for _ in range(DRAWS):
        session = _Session(request, rng)
        turns = tuple(session.next_turn() for _ in range(request.turns))
        if session.longest_sit < shortest:
            best, shortest = turns, session.longest_sit
        if shortest <= request.usual_sit + 1:
            break
    return best


class _Session:
    """What has been played, what is still owed, and how the next turn is chosen."""

    def __init__(self, request: Request, rng: random.Random) -> None:
        n = request.players
        self.request, self.rng = request, rng
        self.longest_sit = 0
        self.start = self.rng.sample(range(n), n)
        seats = [places * request.turns for places in request.places[: Role.OFF]]
        self.shares: Counts = np.zeros((n, len(Role)), dtype=np.int64)
        self.shares[self.start, : Role.OFF] = fair_shares(n, seats)
        self.shares[:, Role.OFF] = request.turns - self.shares.sum(axis=1)
        self.done: Counts = np.zeros_like(self.shares)
        self.mates: Counts = np.zeros((n, n), dtype=np.int64)
        self.opponents: Counts = np.zeros((n, n), dtype=np.int64)
        self.sat: Counts = np.zeros(n, dtype=np.int64)
        self.played: Counts = np.zeros(n, dtype=np.int64)
        self.role_of_place: Roles = np.repeat(np.arange(len(Role)), request.places)
        self.group: Roles | None = None
        self.figures = [Figures(n, places, self.rng) for places in request.places[: Role.OFF]]

    def next_turn(self) -> Turn:
        """Choose a turn, place its players, remember it."""
        cost = self._opening_cost() if self.group is None else self._cost(self.group)
        self._trade_shares(self._assign(cost))
        cost[self.shares <= self.done] = NOT_OWED
        roles = self._exchanged(self._assign(cost), cost)
        self._remember(roles)
        offence, defence, neutral = (self.figures[role].place(np.flatnonzero(roles == role)) for role in _PLAYING)
        return Turn(offence, defence, neutral, tuple(np.flatnonzero(roles == Role.OFF).tolist()))

    def _ties(self) -> Counts:
        n = self.request.players
        return np.array([[self.rng.getrandbits(6) for _ in Role] for _ in range(n)], dtype=np.int64)

    def _opening_cost(self) -> Counts:
        """The first turn goes by the shuffled list: its first attack, the next defend."""
        cost = self._ties() + 10 * ORDER
        cost[self.start, self.role_of_place] -= 10 * ORDER
        return cost

    def _cost(self, group: Roles) -> Counts:
        """What it costs to give each player each role, company apart."""
        cost = self._ties()
        attacked, defended, rested = (group == kind for kind in (ATTACKS, DEFENDS, RESTS))
        tired = self.played * LATER // 2
        cost[defended, Role.DEFENCE] += ORDER + tired[defended]
        cost[defended, Role.OFF] += 2 * ORDER
        for role in (Role.OFFENCE, Role.NEUTRAL):
            # where some must come straight back or straight in, defence is nearer the rule
            cost[attacked, role] += ORDER * 3 // 2 + tired[attacked]
            cost[rested, role] += ORDER // 2
        cost[attacked, Role.DEFENCE] += ORDER + tired[attacked]
        usual = max(1, self.request.usual_sit)
        cost[:, Role.OFF] += self.sat**2 * LATER // usual + (self.sat > usual) * TOO_LONG
        self._add_evenness(cost)
        return cost

    def _add_evenness(self, cost: Counts) -> None:
        cost[:, _PLAYING] += (EVEN * _ahead(self.done[:, _PLAYING].sum(axis=1)))[:, None]
        for role in _PLAYING:
            cost[:, role] += EVEN_ROLE * _ahead(self.done[:, role])

    def _assign(self, cost: Counts) -> Roles:
        roles: Roles = self.role_of_place[cheapest(cost[:, self.role_of_place])]
        return roles

    def _trade_shares(self, wanted: Roles) -> None:
        """Who gets the left-over turns is open: swap two players' shares where the wanted role is spent.

        Without it the last turns break the rule more often than they must (a fifth more broken moves in all).
        """
        players = range(self.request.players)
        for one in players:
            if self.shares[one, wanted[one]] > self.done[one, wanted[one]]:
                continue
            for other in players:
                if self._may_trade(one, other, wanted):
                    self.shares[[one, other]] = self.shares[[other, one]]
                    break

    def _may_trade(self, one: int, other: int, wanted: Roles) -> bool:
        mine, theirs = self.shares[one], self.shares[other]
        return bool(
            theirs[wanted[one]] > self.done[one, wanted[one]]
            and mine[wanted[other]] > self.done[other, wanted[other]]
            and (theirs >= self.done[one]).all()
            and (mine >= self.done[other]).all()
        )

    def _exchanged(self, roles: Roles, cost: Counts) -> Roles:
        """Exchange the roles of two players while that makes the turn cheaper, company counted."""
        n = self.request.players
        for _ in range(n * n):  # each exchange lowers the cost; the cap only guards the loop
            gain = self._exchange_gain(roles, cost)
            one, other = divmod(int(np.argmax(gain)), n)
            if gain[one, other] <= 0:
                break
            roles[[one, other]] = roles[[other, one]]
        return roles

    def _exchange_gain(self, roles: Roles, cost: Counts) -> Counts:
        """(n, n) by how much the turn gets cheaper if two players exchange roles."""
        group = _GROUP[roles]
        attack, defence = group == ATTACKS, group == DEFENDS
        total = cost.copy()
        company = self.mates[:, attack].sum(axis=1) + self.opponents[:, defence].sum(axis=1)
        total[:, [Role.OFFENCE, Role.NEUTRAL]] += MEETING * company[:, None]
        total[:, Role.DEFENCE] += MEETING * (self.mates[:, defence].sum(axis=1) + self.opponents[:, attack].sum(axis=1))
        theirs = total[:, roles]
        mine = np.diagonal(theirs)[:, None]
        gain: Counts = mine + mine.T - theirs - theirs.T
        # two who change sides are still opponents, but the sums above made each the other's team-mate
        across = (attack[:, None] & defence) | (defence[:, None] & attack)
        gain[across] += 2 * MEETING * (self.mates - self.opponents)[across]
        return gain

    def _remember(self, roles: Roles) -> None:
        group = _GROUP[roles]
        attack, defence = (group == ATTACKS).astype(np.int64), (group == DEFENDS).astype(np.int64)
        self.mates += np.outer(attack, attack) + np.outer(defence, defence)
        np.fill_diagonal(self.mates, 0)
        self.opponents += np.outer(attack, defence) + np.outer(defence, attack)
        self.done[np.arange(roles.size), roles] += 1
        self.sat = np.where(group == RESTS, self.sat + 1, 0)
        self.played = np.where(group == RESTS, 0, self.played + 1)
        self.longest_sit = max(self.longest_sit, int(self.sat.max()))
        self.group = group


def _ahead(counts: Counts) -> Counts:
    """Turns ahead of the mean, rounded down to whole turns: near enough to steer by."""
    ahead: Counts = (counts * counts.size - counts.sum()) // counts.size
    return ahead
