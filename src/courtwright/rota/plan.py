"""From a list of names and the sides of a game to a rota."""

from __future__ import annotations

import math
from collections.abc import Sequence

from courtwright.errors import RotaError
from courtwright.game.document import Teams
from courtwright.rota.fixed import plan_fixed
from courtwright.rota.mixed import plan_mixed
from courtwright.rota.request import Request
from courtwright.rota.teams import MIDDLE, even_teams
from courtwright.rota.turns import Rota
from courtwright.rota.words import listed


def plan_rota(
    names: Sequence[str],
    *,
    offence: int,
    defence: int,
    neutral: int = 0,
    turns: int,
    teams: Teams,
    grades: Sequence[float | None] | None = None,
    seed: int = 0,
) -> Rota:
    """Plan who plays where in each turn, by defend → attack → off.

    Mixed teams: turns in offence, in defence, as neutral and in all are each as even
    as counting allows (within one); a few moves against the rule pay for that and for
    mixing company, and `Rota.order_kept_share` says how few. Fixed teams: the rule is
    never broken, turns are even to within one inside a team, and the teams' own turns
    are within one in each role.

    Parameters
    ----------
    names
        The players who are here.
    offence, defence, neutral
        How many of each in a turn; neutral players attack with whoever has the ball.
    turns
        Possessions to plan; see `turns_needed`.
    teams
        Mixed, or fixed: even teams from the grades, or dealt out in the order of the list if nobody has one.
    grades
        The coach's 1–5, one per name; only fixed teams use them. A missing one counts as 3 and `Rota.notes` says so.
    seed
        Same request, same seed, same rota.
    """
    request = Request(len(names), offence, defence, neutral, turns, seed)
    if grades is not None and len(grades) != len(names):
        raise RotaError(f"{len(names)} players and {len(grades)} grades; give one grade for each player, empty if none")
    if teams is Teams.MIXED:
        return Rota(tuple(names), plan_mixed(request), seed=seed)
    squads, note = _fixed_teams(names, _team_count(request), grades, seed)
    return Rota(tuple(names), plan_fixed(request, squads), squads, seed, Teams.FIXED, note)


def turns_needed(minutes: float, seconds_per_possession: float) -> int:
    """Turns to plan so that the rota lasts the minutes: the last may be cut off by the clock."""
    if not (0 < minutes < math.inf and 0 < seconds_per_possession < math.inf):
        raise RotaError("minutes and seconds per possession must be more than nothing")
    # the small slack keeps ten minutes of 15 s at 40 turns whatever the rounding
    return max(1, math.ceil(minutes * 60 / seconds_per_possession - 1e-9))


def _team_count(request: Request) -> int:
    side = max(request.offence, request.defence)
    count = request.players // side
    if count < 2:
        raise RotaError(
            f"fixed teams for {request.sides} need {2 * side} players, two teams of {side}, "
            f"and {request.players} are here; mix the teams, or choose a form for fewer"
        )
    return count


def _fixed_teams(
    names: Sequence[str], count: int, grades: Sequence[float | None] | None, seed: int
) -> tuple[tuple[tuple[int, ...], ...], tuple[str, ...]]:
    """The teams, and what was assumed."""
    missing = [name for name, grade in zip(names, grades or (), strict=False) if grade is None or math.isnan(grade)]
    if grades is None or len(missing) == len(names):
        dealt = tuple(tuple(range(first, len(names), count)) for first in range(count))
        return dealt, ("Nobody has a grade, so teams are dealt out in the order of the list.",)
    teams = even_teams(grades, count, seed=seed, even="mean")
    if not missing:
        return teams, ()
    has, counts = ("has", "counts") if len(missing) == 1 else ("have", "count")
    return teams, (f"{listed(missing)} {has} no grade and {counts} as the middle, {MIDDLE:g}.",)
