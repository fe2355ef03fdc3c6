"""Who plays where, when, with whom: fair turns by any of the rules, and even teams.

`plan_rota` is the way in: a `Problem` becomes first sheets (`firsts`, `queues`, `designs`), the search
(`anneal`) makes the best of them, and `Rota` counts what its turns add up to and does not care who made
them. `bounds` says what no rota could better.
"""

from courtwright.rota.asked import RotaAsked, asked_for
from courtwright.rota.bounds import Mark, judge, judgement_text
from courtwright.rota.changes import change_text, exchange_text, exchanged
from courtwright.rota.for_game import minutes_of, rota_for
from courtwright.rota.groups import groups_of
from courtwright.rota.plan import plan_rota, solve, turns_needed
from courtwright.rota.problem import Problem, Wish, WishKind
from courtwright.rota.queues import expected_turns
from courtwright.rota.sides import find_teams
from courtwright.rota.starts import balanced_starts
from courtwright.rota.teams import even_teams
from courtwright.rota.turns import Rota, Turn
from courtwright.rota.words import fairness_text, rota_text, teams_text

__all__ = [
    "Mark",
    "Problem",
    "Rota",
    "RotaAsked",
    "Turn",
    "Wish",
    "WishKind",
    "asked_for",
    "balanced_starts",
    "change_text",
    "even_teams",
    "exchange_text",
    "exchanged",
    "expected_turns",
    "fairness_text",
    "find_teams",
    "groups_of",
    "judge",
    "judgement_text",
    "minutes_of",
    "plan_rota",
    "rota_for",
    "rota_text",
    "solve",
    "teams_text",
    "turns_needed",
]
