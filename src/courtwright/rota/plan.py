"""From a problem to a rota."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from courtwright.errors import RotaError
from courtwright.game.document import AfterPossession
from courtwright.game.document import Teams as TeamsKind
from courtwright.rota.contradictions import HARD, PAIRS, cannot_keep, check_wishes, fewest_to_drop
from courtwright.rota.firsts import Teams, design_first, kept_first, mixed_first
from courtwright.rota.problem import Problem, Wish, WishKind
from courtwright.rota.queues import queue_first
from courtwright.rota.search import First, best_of, broken, hardly_plays
from courtwright.rota.sheet import sheet_of, turns_of
from courtwright.rota.team_wishes import TeamWish
from courtwright.rota.teams import MIDDLE, even_teams
from courtwright.rota.turns import Rota, Turn
from courtwright.rota.words import listed

SPELL_TURNS: Final = 6
"""half-mixed: new teams after so many turns at the most"""
QUEUES: Final = frozenset({AfterPossession.WINNERS_STAY, AfterPossession.LOSERS_OFF, AfterPossession.ONE_IN_ONE_OUT})
"""rules that leave no choice who comes on"""
BY_RESULT: Final = QUEUES - {AfterPossession.ONE_IN_ONE_OUT}
"""rules by which who wins decides"""


def plan_rota(
    names: Sequence[str],
    *,
    offence: int,
    defence: int,
    neutral: int = 0,
    baskets: int = 1,
    turns: int,
    rule: AfterPossession = AfterPossession.CYCLE,
    teams: TeamsKind = TeamsKind.MIXED,
    wishes: Iterable[Wish] = (),
    played: Sequence[Turn] = (),
    grades: Sequence[float | None] | None = None,
    surprise: bool = False,
    seed: int = 0,
    longer: float = 1,
) -> Rota:
    """Plan who plays where in each turn; see `solve`.

    Parameters
    ----------
    names
        The players, those who come late or leave among them.
    offence, defence, neutral
        How many of each at one basket in a turn; neutral players attack with whoever has the ball.
    baskets
        Baskets played on at one time.
    turns
        Turns in time, those played among them; see `turns_needed`.
    rule
        Who plays next.
    teams
        Mixed; fixed, that is even teams from the grades, or dealt out in the order of the list if nobody has one;
        half-mixed, that is new even teams every few turns.
    wishes
        What is asked for single players.
    played
        Turns that stand, basket by basket; the rest is planned anew.
    grades
        The coach's 1–5, one per name. A missing one counts as 3 and `Rota.notes` says so.
    surprise
        The order is no cycle that players could learn.
    seed
        Same request, same seed, same rota.
    longer
        How many times the usual number of steps it is looked for.

    Raises
    ------
    RotaError
        No such rota exists; the text says why and what to change.
    """
    if grades is not None and len(grades) != len(names):
        raise RotaError(f"{len(names)} players and {len(grades)} grades; give one grade for each player, empty if none")
    return solve(
        Problem(
            tuple(names),
            offence,
            defence,
            neutral,
            baskets,
            turns,
            rule,
            teams,
            tuple(wishes),
            seed,
            tuple(played),
            tuple(grades or ()),
            surprise,
        ),
        longer,
    )


def solve(problem: Problem, longer: float = 1) -> Rota:
    """Find a rota for a problem: a construction where theory has one, and a search for what is left open."""
    check_wishes(problem)
    notes: tuple[str, ...] = ()
    if problem.rule in QUEUES:
        teams: Teams = ()
        if problem.teams is not TeamsKind.MIXED:
            teams, notes = team_split(problem, problem.seed)
        first = queue_first(problem, teams)
        if problem.rule in BY_RESULT:
            notes = (*notes, "Who wins decides who stays; these turns are one example.")
        firsts = [replace(first, teams=teams)]
    elif problem.teams is TeamsKind.MIXED:
        firsts = mixed_firsts(problem)
    else:
        spells, notes = team_spells(problem)
        firsts = [kept_first(problem, spells)]
    best = _wishes_kept(problem, best_of(problem, firsts, longer), longer)
    return Rota(
        problem.names,
        turns_of(problem, best.who, best.meetings),
        best.teams,
        problem.seed,
        problem.teams,
        notes,
        problem.rule,
        problem.baskets,
    )


def _wishes_kept(problem: Problem, best: First, longer: float) -> First:
    """The same where no wish is broken, else found anew from a sheet that keeps all; `RotaError` says what to drop."""
    sheet = sheet_of(problem, best.who, best.team)
    if not broken(sheet) and not (any(wish.kind in HARD for wish in problem.wishes) and hardly_plays(sheet)):
        return best
    if problem.rule in QUEUES or problem.teams is not TeamsKind.MIXED:
        kept = ", ".join(wish.text(problem.names) for wish in problem.wishes if wish.kind in HARD)
        raise RotaError(
            f"not all of this can be kept ({kept}) where “{problem.rule}”, teams {problem.teams}, leaves no choice; "
            "mix the teams and go by “defend, attack, off”, or give up a wish"
        )
    dropped, who = fewest_to_drop(problem)
    if dropped:
        raise cannot_keep(problem, dropped)
    return best_of(problem, [First(who, np.zeros_like(who), near=True)], longer)


def mixed_firsts(problem: Problem) -> list[First]:
    """Where to search from: players dealt round, and a perfect schedule if one fits."""
    design = design_first(problem)
    return [mixed_first(problem)] if design is None else [mixed_first(problem), design]


def turns_needed(minutes: float, seconds_per_possession: float) -> int:
    """Turns to plan so that the rota lasts the minutes: the last may be cut off by the clock."""
    if not (0 < minutes < math.inf and 0 < seconds_per_possession < math.inf):
        raise RotaError("minutes and seconds per possession must be more than nothing")
    # the small slack keeps ten minutes of 15 s at 40 turns whatever the rounding
    return max(1, math.ceil(minutes * 60 / seconds_per_possession - 1e-9))


def team_spells(problem: Problem) -> tuple[list[tuple[int, Teams]], tuple[str, ...]]:
    """The turn each spell of teams begins with, its teams, and what was assumed.

    Fixed teams are one spell. Half-mixed ones are made anew, as evenly, so that few
    have been team-mates before.
    """
    start = len(problem.played) // problem.baskets
    if problem.teams is TeamsKind.FIXED:
        teams, notes = team_split(problem, problem.seed)
        return [(start, teams)], notes
    count = max(2, -(-(problem.turns - start) // SPELL_TURNS))
    spells: list[tuple[int, Teams]] = []
    met: dict[frozenset[int], int] = {}
    notes = ()
    for number in range(min(count, problem.turns - start)):
        tried = [team_split(problem, problem.seed * 1000 + number * 20 + attempt) for attempt in range(20)]
        teams, notes = min(tried, key=lambda split: _met_again(split[0], met))
        for pair in _pairs(teams):
            met[pair] = met.get(pair, 0) + 1
        spells.append((start + (problem.turns - start) * number // count, teams))
    return spells, notes


def _pairs(teams: Teams) -> list[frozenset[int]]:
    return [frozenset((one, other)) for team in teams for one in team for other in team if one < other]


def _met_again(teams: Teams, met: dict[frozenset[int], int]) -> int:
    return sum(2 * met.get(pair, 0) + 1 for pair in _pairs(teams))


def team_split(problem: Problem, seed: int) -> tuple[Teams, tuple[str, ...]]:
    """Even teams that each fill a side, and what was assumed."""
    count = _team_count(problem)
    names, grades = problem.names, problem.grades
    wishes = [TeamWish(wish.players, wish.kind is WishKind.TOGETHER) for wish in problem.wishes if wish.kind in PAIRS]
    missing = [name for name, grade in zip(names, grades, strict=False) if grade is None or math.isnan(grade)]
    if not grades or len(missing) == len(names):
        if problem.teams is TeamsKind.FIXED and not wishes:
            dealt = tuple(tuple(range(first, len(names), count)) for first in range(count))
            return dealt, ("Nobody has a grade, so teams are dealt out in the order of the list.",)
        drawn = even_teams([None] * len(names), count, seed=seed, wishes=wishes, names=names)
        return drawn, ("Nobody has a grade, so teams are drawn.",)
    teams = even_teams(grades, count, seed=seed, even="mean", wishes=wishes, names=names)
    if not missing:
        return teams, ()
    has, counts = ("has", "counts") if len(missing) == 1 else ("have", "count")
    return teams, (f"{listed(missing)} {has} no grade and {counts} as the middle, {MIDDLE:g}.",)


def _team_count(problem: Problem) -> int:
    side, needed = max(problem.offence, problem.defence), 2 * problem.baskets
    count = problem.players // side
    if count < needed:
        raise RotaError(
            f"teams that stay together for {problem.sides} need {needed * side} players, {needed} teams of {side}, "
            f"and {problem.players} are here; mix the teams, or choose a form for fewer"
        )
    return count
