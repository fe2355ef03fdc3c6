"""Rules by which a line forms: one in, one out; winners stay; losers off.

The first is fixed by counting. The others depend on who wins, so a list of turns
is only an example, drawn with a seed; what can be said beforehand is how many
turns a player may expect, and how far that may go wrong.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import mean, quantiles
from typing import Final

import numpy as np

from courtwright.errors import RotaError
from courtwright.floor.records import Ints
from courtwright.game.document import AfterPossession, Teams
from courtwright.rota.problem import Problem
from courtwright.rota.search import First
from courtwright.rota.sheet import played_seats, presence

ATTACK_WINS: Final = 0.45
"""share of possessions the offence wins, where nothing better is known (guess)"""
PER_GRADE: Final = 0.35
"""log-odds that one grade of difference between the sides' means is worth (guess)"""
MIDDLE: Final = 3.0
DRAWS: Final = 400
HARDLY: Final = 0.5
"""of an even share: fewer turns than that in one game of ten is worth a warning"""

Won = Callable[[Sequence[int], Sequence[int]], bool]
"""Whether the offence wins the possession, by who attacks and who defends."""


@dataclass(frozen=True)
class Expected:
    """What winners-stay rules bring, over many drawn games."""

    turns: tuple[float, ...]
    """per player, on the average"""
    low: tuple[float, ...]
    """in one game of ten it is no more than this"""
    high: tuple[float, ...]
    spread: float
    """most less fewest turns, on the average"""
    fewest: float
    """of the player with the fewest: in one game of ten no more than this"""
    even_share: float

    @property
    def hardly_play(self) -> bool:
        """Whether somebody would hardly play."""
        return self.fewest < HARDLY * self.even_share

    def text(self) -> str:
        """In a sentence or two."""
        said = f"An even share is {self.even_share:.1f} turns; most and fewest are {self.spread:.1f} apart on average."
        if not self.hardly_play:
            return said
        return f"{said} In one game of ten somebody plays {self.fewest:.0f} or fewer: somebody would hardly play."


def queue_first(problem: Problem, teams: Sequence[Sequence[int]] = (), attack_wins: float = ATTACK_WINS) -> First:
    """The turns by the rule as a first sheet, in which only places inside a side are still open."""
    rng = random.Random(problem.seed)
    sides = _played_out(problem, teams, rng, chance_of(problem, attack_wins, rng))
    who, team = np.empty((problem.turns, problem.players), np.int64), np.full((problem.turns, problem.players), -1)
    who[: len(problem.played) // problem.baskets] = played_seats(problem)
    for turn, groups in enumerate(sides):
        if not groups:
            continue  # it was played and stands
        on = [player for group in groups for player in group]
        who[turn] = on + [player for player in range(problem.players) if player not in on]
        for number, group in enumerate(groups):
            team[turn, list(group)] = number
    return First(who, team, _meetings(problem, teams, sides) if teams else None)


def _meetings(
    problem: Problem, teams: Sequence[Sequence[int]], sides: Sequence[Sequence[tuple[int, ...]]]
) -> list[list[tuple[int, int]]]:
    """Which teams met, turn by turn; a side made up of several is of none."""
    played = [[(turn.offence_team, turn.defence_team)] for turn in problem.played]
    number = {frozenset(team): at for at, team in enumerate(teams)}

    def of(group: tuple[int, ...]) -> int:
        return next((at for team, at in number.items() if team.issuperset(group)), -1)

    return [*played, *([(of(attack), of(defence))] for attack, defence in sides[len(played) :])]


def expected_turns(problem: Problem, teams: Sequence[Sequence[int]] = (), attack_wins: float = ATTACK_WINS) -> Expected:
    """Turns per player under a rule that depends on who wins, by drawing games.

    Parameters
    ----------
    teams
        The teams that are kept; none where sides are made up from the line.
    attack_wins
        Share of possessions the offence wins, 0–1, if the sides are equal.
    """
    rng = random.Random(problem.seed)
    won = chance_of(problem, attack_wins, rng)
    games = []
    for _ in range(DRAWS):
        turns = [0] * problem.players
        for groups in _played_out(problem, teams, rng, won):
            for player in (player for group in groups for player in group):
                turns[player] += 1
        games.append(turns)
    tenths = [quantiles(counts, n=10, method="inclusive") for counts in zip(*games, strict=True)]
    return Expected(
        tuple(mean(counts) for counts in zip(*games, strict=True)),
        tuple(cut[0] for cut in tenths),
        tuple(cut[-1] for cut in tenths),
        mean(max(turns) - min(turns) for turns in games),
        quantiles([min(turns) for turns in games], n=10, method="inclusive")[0],
        problem.on_floor * problem.turns / problem.players,
    )


def chance_of(problem: Problem, attack_wins: float, rng: random.Random) -> Won:
    """Draw who wins: by the usual share, moved by the difference of the sides' mean grades."""
    if not 0 < attack_wins < 1:
        raise RotaError("the share of possessions that the offence wins must lie between 0 and 1")
    base = math.log(attack_wins / (1 - attack_wins))
    given = problem.grades or (None,) * problem.players
    grades = [MIDDLE if grade is None or math.isnan(grade) else grade for grade in given]

    def won(attack: Sequence[int], defence: Sequence[int]) -> bool:
        difference = mean(grades[player] for player in attack) - mean(grades[player] for player in defence)
        return rng.random() < 1 / (1 + math.exp(-base - PER_GRADE * difference))

    return won


def _played_out(
    problem: Problem, teams: Sequence[Sequence[int]], rng: random.Random, won: Won
) -> list[list[tuple[int, ...]]]:
    """(turns) the groups at each basket: attack, defence."""
    if problem.offence != problem.defence or problem.neutral:
        raise RotaError(f"“{problem.rule}” needs even sides without neutral players; this is {problem.sides}")
    if problem.rule is AfterPossession.ONE_IN_ONE_OUT:
        if problem.teams is not Teams.MIXED:
            raise RotaError(f"“{problem.rule}” mixes the sides all the time; ask for mixed teams")
        return _one_by_one(problem, rng)
    if problem.baskets > 1:
        raise RotaError(f"“{problem.rule}” is played on one basket; plan each basket by itself")
    return _by_winning(problem, teams, rng, won)


def _line(problem: Problem, rng: random.Random) -> list[int]:
    """Who has been off longest first; before the first turn, drawn."""
    last = dict.fromkeys(range(problem.players), -1)
    for number, turn in enumerate(problem.played):
        last |= dict.fromkeys((*turn.attack, *turn.defence), number // problem.baskets)
    return sorted(rng.sample(range(problem.players), problem.players), key=lambda player: last[player])


def _one_by_one(problem: Problem, rng: random.Random) -> list[list[tuple[int, ...]]]:
    """At each basket who has been on longest makes room for the first in the line; then sides change ends."""
    here, side = presence(problem), problem.offence
    turns: list[list[tuple[int, ...]]] = [[] for _ in range(0, len(problem.played), problem.baskets)]
    line, on = _line(problem, rng), list[int]()
    since: dict[int, int] = {}
    for turn in range(len(turns), problem.turns):
        waiting = [player for player in line if here[turn, player]]
        if not on:
            on = waiting[: problem.on_floor]
            since = {player: rank - problem.on_floor for rank, player in enumerate(on)}
        else:
            for place, player in zip(_making_room(on, since, here[turn], 2 * side), waiting, strict=False):
                line.append(on[place])
                on[place], since[player] = player, turn
        line = [player for player in line if player not in on]
        groups = [tuple(on[first : first + side]) for first in range(0, problem.on_floor, side)]
        turns.append([groups[place ^ (turn % 2)] for place in range(len(groups))])
    return turns


def _making_room(on: list[int], since: dict[int, int], here: Ints, size: int) -> list[int]:
    """Places that change: of those who have left, then at each basket of who has been on longest, the longest first."""
    gone = [place for place, player in enumerate(on) if not here[player]]
    longest = [min(range(first, first + size), key=lambda place: since[on[place]]) for first in range(0, len(on), size)]
    return [*gone, *sorted(set(longest).difference(gone), key=lambda place: since[on[place]])]


def _by_winning(
    problem: Problem, teams: Sequence[Sequence[int]], rng: random.Random, won: Won
) -> list[list[tuple[int, ...]]]:
    """Losers go to the end of the line; the first in it come on, as a team or as single players."""
    here, side = presence(problem), problem.offence
    first = len(problem.played)
    turns: list[list[tuple[int, ...]]] = [[] for _ in range(first)]
    line: list[Sequence[int]] = [[player] for player in _line(problem, rng)]
    if teams:
        line = [teams[number] for number in rng.sample(range(len(teams)), len(teams))]
    attack: Sequence[int] = ()
    defence: Sequence[int] = ()
    for turn in range(first, problem.turns):
        attack = attack or _coming(line, here[turn], side)
        defence = defence or _coming(line, here[turn], side)
        attack, defence = (_filled(group, line, here[turn], side, turn) for group in (attack, defence))
        groups = [_on_floor(group, here[turn], side, turn) for group in (attack, defence)]
        turns.append(groups)
        stays, goes = (attack, defence) if won(*groups) else (defence, attack)
        line += [goes] if teams else [[player] for player in goes]
        attack, defence = (stays, ()) if problem.rule is AfterPossession.WINNERS_STAY else ((), stays)
    return turns


def _coming(line: list[Sequence[int]], here: Ints, side: int) -> list[int]:
    """Take the first of the line who are here, until they make a side."""
    coming: list[int] = []
    for members in list(line):
        there = [player for player in members if here[player]]
        if len(members) == 1 or len(there) >= side:  # a team with too few waits
            coming += members if there else ()
            line[:] = [other for other in line if other is not members or not there]
        if sum(bool(here[player]) for player in coming) >= side:
            break
    return coming


def _filled(group: Sequence[int], line: list[Sequence[int]], here: Ints, side: int, turn: int) -> Sequence[int]:
    """A side some of whom have left is filled up with single players from the line."""
    there = [player for player in group if here[player]]
    if len(there) >= side:
        return group
    alone = [members for members in line if len(members) == 1 and here[members[0]]][: side - len(there)]
    if len(there) + len(alone) < side:
        raise RotaError(f"no team is whole in turn {turn + 1}; mix the teams, or make them anew")
    line[:] = [members for members in line if members not in alone]
    line += [[player] for player in group if not here[player]]
    return there + [members[0] for members in alone]


def _on_floor(group: Sequence[int], here: Ints, side: int, turn: int) -> tuple[int, ...]:
    there = [player for player in group if here[player]]
    first = turn * side % len(there)
    return tuple((there[first:] + there[:first])[:side])
