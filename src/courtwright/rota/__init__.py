"""Who plays where and when: fair turns for defend → attack → off, and even teams.

`plan_rota` is the way in. A planner (`mixed`, `fixed`) takes a `Request` and gives
turns; `Rota` counts what they add up to and does not care who made them.
"""

from courtwright.rota.for_game import minutes_of, rota_for
from courtwright.rota.plan import plan_rota, turns_needed
from courtwright.rota.teams import even_teams
from courtwright.rota.turns import Rota, Turn
from courtwright.rota.words import fairness_text, rota_text, teams_text

__all__ = [
    "Rota",
    "Turn",
    "even_teams",
    "fairness_text",
    "minutes_of",
    "plan_rota",
    "rota_for",
    "rota_text",
    "teams_text",
    "turns_needed",
]
