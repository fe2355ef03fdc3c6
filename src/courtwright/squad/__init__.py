"""Players: who is here, how tall, how fast, how good a shot; read from and written to files."""

from courtwright.squad.assume import assumptions
from courtwright.squad.document import Player, Shots, Squad
from courtwright.squad.read import load_squad, parse_squad, squad_from_json
from courtwright.squad.table import squad_to_csv

__all__ = [
    "Player",
    "Shots",
    "Squad",
    "assumptions",
    "load_squad",
    "parse_squad",
    "squad_from_json",
    "squad_to_csv",
]
