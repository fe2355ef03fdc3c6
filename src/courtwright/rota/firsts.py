"""First sheets for the search: players dealt round, or teams that are kept and meet by the rule."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from courtwright.errors import RotaError
from courtwright.game.document import AfterPossession
from courtwright.rota.designs import team_games
from courtwright.rota.problem import Problem, Role
from courtwright.rota.search import First, best_of
from courtwright.rota.sheet import Meetings, played_seats, presence

Teams = tuple[tuple[int, ...], ...]


def mixed_first(problem: Problem) -> First:
    """Everyone in one ring that is passed on by a side each turn: the rule kept, company not mixed yet."""
    here, rng = presence(problem), random.Random(problem.seed)
    played = played_seats(problem)
    who = np.empty((problem.turns, problem.players), dtype=np.int64)
    who[: len(played)] = played
    ring = rng.sample(range(problem.players), problem.players)
    for turn in range(len(played), problem.turns):
        who[turn] = sorted(ring, key=lambda player: not here[turn, player])
        ring = ring[-problem.attack :] + ring[: -problem.attack]
    return First(who, np.zeros_like(who))


def design_first(problem: Problem) -> First | None:
    """A perfect schedule played over and over, ends changed every time through; None where none fits."""
    if problem.offence != problem.defence or problem.neutral or problem.played or not presence(problem).all():
        return None
    design = team_games(problem.players, problem.offence, problem.baskets)
    if design is None or any(len(games) != problem.baskets for games in design.rounds):
        return None
    rng = random.Random(f"{problem.seed} design")
    called = rng.sample(range(problem.players), problem.players)
    who = np.empty((problem.turns, problem.players), dtype=np.int64)
    for turn in range(problem.turns):
        lap, number = divmod(turn, len(design.rounds))
        games = design.rounds[number]
        on = [called[player] for game in games for team in (game[::-1] if lap % 2 else game) for player in team]
        who[turn] = on + [player for player in range(problem.players) if player not in on]
    return First(who, np.zeros_like(who), near=True)


def kept_first(problem: Problem, spells: Sequence[tuple[int, Teams]]) -> First:
    """Teams that stay together for a spell of turns, who meets whom by the rule.

    Parameters
    ----------
    spells
        The turn each spell begins with, from the first turn that is still to be played on, and its teams.
    """
    played = played_seats(problem)
    who = np.empty((problem.turns, problem.players), dtype=np.int64)
    team = np.zeros_like(who)
    who[: len(played)] = played
    meetings: list[list[tuple[int, int]]] = [
        [(turn.offence_team, turn.defence_team) for turn in problem.played[first : first + problem.baskets]]
        for first in range(0, len(problem.played), problem.baskets)
    ]
    for (start, teams), (end, _) in pairwise([*spells, (problem.turns, ())]):
        order = team_meetings(problem, len(teams), end - start, start)
        meetings += order
        for turn in range(start, end):
            who[turn] = _seated(problem, teams, order[turn - start], turn)
            for number, members in enumerate(teams):
                team[turn, list(members)] = number + 1
    return First(who, team, meetings, spells[-1][1], _team_shares(problem, spells, meetings))


def _team_shares(problem: Problem, spells: Sequence[tuple[int, Teams]], meetings: Meetings) -> NDArray[np.float64]:
    """(players, roles) turns each is owed: of each turn of the team an even share; neutral is who has least so far."""
    shares, here = np.zeros((problem.players, 3)), presence(problem)
    off: list[list[int]] = []
    for turn, meeting in enumerate(meetings):
        teams = next((teams for start, teams in reversed(spells) if start <= turn), ())
        busy = set[int]()
        for numbers in meeting if teams else ():  # none where it was played before teams were made anew
            for role, count in enumerate((problem.offence, problem.defence)):
                there = [player for player in teams[numbers[role]] if here[turn, player]]
                shares[there, role] += count / len(there)
                busy.update(there if len(there) == count else ())  # of a larger team somebody is off
        off.append([player for player in range(problem.players) if here[turn, player] and player not in busy])
    for helpers in off:
        helpers.sort(key=lambda player: float(shares[player].sum()))
        shares[helpers[: problem.neutral * problem.baskets], Role.NEUTRAL] += 1
    return shares


def _seated(problem: Problem, teams: Teams, meeting: Sequence[tuple[int, int]], turn: int) -> list[int]:
    """The seats of one turn: each team's players passed on from turn to turn."""
    here = presence(problem)[turn]
    on: list[int] = []
    blanks: list[int] = []
    for offence, defence in meeting:
        on += _sent(problem, teams, offence, problem.offence, turn)
        blanks += range(len(on), len(on) + problem.neutral)
        on += [-1] * problem.neutral
        on += _sent(problem, teams, defence, problem.defence, turn)
    off = [player for player in range(problem.players) if player not in on]
    off.sort(key=lambda player: (not here[player], (player + turn) % problem.players))
    for seat in blanks:
        on[seat] = off.pop(0)
    return on + off


def _sent(problem: Problem, teams: Teams, number: int, count: int, turn: int) -> list[int]:
    here = presence(problem)[turn]
    there = [player for player in teams[number] if here[player]]
    if len(there) < count:
        raise RotaError(
            f"team {number + 1} needs {count} players in turn {turn + 1} and {len(there)} of it are there; "
            "mix the teams, or make them anew"
        )
    first = turn * count % len(there)
    return (there[first:] + there[:first])[:count]


def team_meetings(problem: Problem, teams: int, turns: int, start: int) -> list[list[tuple[int, int]]]:
    """Who attacks whom, turn by turn and basket by basket."""
    if problem.baskets == 1 and problem.rule is AfterPossession.CYCLE:
        return [[meeting] for meeting in team_order(teams, turns, random.Random(f"{problem.seed} {start}"))]
    as_players = Problem(
        tuple(str(number) for number in range(teams)), 1, 1, 0, problem.baskets, turns, problem.rule, seed=problem.seed
    )
    who = best_of(as_players, [mixed_first(as_players)]).who
    return [[(int(row[2 * at]), int(row[2 * at + 1])) for at in range(problem.baskets)] for row in who]


def team_order(teams: int, turns: int, rng: random.Random) -> list[tuple[int, int]]:
    """Who attacks whom by “defend, attack, off”: (offence, defence) by team number; the rule is never broken.

    Two teams change ends each possession. From four teams on there is a choice who
    comes on: of the two that have been off longest, the one that has met the team on
    the floor less. The team that starts keeps its place, so it parts the turns into
    laps in which every team comes on once: turns in offence, and in defence, stay
    within one.
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
