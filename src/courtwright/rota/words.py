"""A rota in plain sentences."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from courtwright.rota.turns import Rota


def listed(names: Sequence[str]) -> str:
    """Ada; Ada and Bex; Ada, Bex and Cleo."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def rota_text(rota: Rota) -> tuple[str, ...]:
    """One line a turn: who attacks, who defends, who comes on next."""
    return tuple(_turn_text(rota, number) for number in range(len(rota.turns)))


def teams_text(rota: Rota) -> tuple[str, ...]:
    """One line a fixed team; nothing where teams are mixed."""
    return tuple(f"Team {number}: {_named(rota, team)}." for number, team in enumerate(rota.teams, start=1))


def fairness_text(rota: Rota) -> str:
    """How even it came out, in two sentences."""
    roles = {role: f"{between(turns)} in {role}" for role, turns in rota.roles.items() if role in _IN}
    if rota.roles.get("neutral"):
        roles["neutral"] = f"{between(rota.neutral_turns)} as neutral"
    total = between(rota.total_turns)
    sit = rota.longest_sit
    rest = "Nobody sits out." if sit == 0 else f"Nobody sits longer than {turns_text(sit)} in a row."
    return f"Everyone plays {total} turn{'' if total == '1' else 's'}: {listed(list(roles.values()))}. {rest}"


_IN = ("offence", "defence")


def between(turns: Sequence[int]) -> str:
    """4; 4 or 5; 4 to 6."""
    least, most = min(turns), max(turns)
    if least == most:
        return str(least)
    return f"{least} {'or' if most - least == 1 else 'to'} {most}"


def turns_text(count: int) -> str:
    """1 turn; 2 turns."""
    return "1 turn" if count == 1 else f"{count} turns"


def _named(rota: Rota, players: Sequence[int]) -> str:
    return listed([rota.names[player] for player in players])


def _verb(players: Sequence[int], verb: str) -> str:
    return f"{verb}s" if len(players) == 1 else verb


def _turn_text(rota: Rota, number: int) -> str:
    turn = rota.turns[number]
    parts = [
        f"{_named(rota, turn.offence)} {_verb(turn.offence, 'attack')}",
        f"{_named(rota, turn.defence)} {_verb(turn.defence, 'defend')}",
    ]
    if turn.neutral:
        parts.append(f"{_named(rota, turn.neutral)} {'is' if len(turn.neutral) == 1 else 'are'} neutral")
    after = rota.turns[number + 1] if number + 1 < len(rota.turns) else None
    coming = [player for player in turn.off if after is not None and player not in after.off]
    if coming:
        parts.append(f"{_named(rota, coming)} {_verb(coming, 'come')} on next")
    return f"Turn {number + 1}: {'; '.join(parts)}."
