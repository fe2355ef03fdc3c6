"""What changes a rota that is in use: a re-plan, two players who change places; each said in a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from courtwright.errors import RotaError
from courtwright.rota.bounds import judge
from courtwright.rota.turns import Rota, Turn
from courtwright.rota.words import between, listed, turns_text


def change_text(after: Rota, first: int, before: Sequence[str] | None = None) -> str:
    """What a re-plan changed, in one sentence.

    Parameters
    ----------
    after
        The rota with the turns planned anew.
    first
        The first of them, counted from 1.
    before
        Who was reckoned with until then; those of the turns before if left out.
    """
    waves = after.waves
    was = set(before) if before is not None else _there(after, waves[first - 2 : first - 1])
    now = _there(after, waves[first - 1 :])
    moves = [f"{listed(sorted(now - was))} {_verb(now - was, 'comes', 'come')} in"] if was and now - was else []
    moves += [f"{listed(sorted(was - now))} {_verb(was - now, 'goes', 'go')}"] if was - now else []
    who = listed(moves) if moves else "the turns are dealt anew"
    there = [after.total_turns[player] for player, name in enumerate(after.names) if name in now]
    kept = f"turns 1 to {first - 1} stand" if first > 2 else "turn 1 stands" if first == 2 else "nothing was played yet"
    return f"From turn {first} {who}; {kept}, and who is here ends with {between(there)} turns."


def _there(rota: Rota, waves: Sequence[Sequence[Turn]]) -> set[str]:
    """Who is on or off, and so there, in some turns."""
    return {
        rota.names[player] for wave in waves for turn in wave for player in (*turn.attack, *turn.defence, *turn.off)
    }


def _verb(names: set[str], one: str, more: str) -> str:
    return one if len(names) == 1 else more


def exchanged(rota: Rota, turn: int, one: str, other: str) -> Rota:
    """The rota with two players in each other's places in a turn (counted from 1); off is a place too."""
    places = {name: number for number, name in enumerate(rota.names)}
    strangers = [name for name in (one, other) if name not in places]
    if strangers or not 1 <= turn <= len(rota.waves):
        what = f"{listed(strangers)} is not in this rota" if strangers else f"there are turns 1 to {len(rota.waves)}"
        raise RotaError(f"{what}; name two of its players and one of its turns")
    a, b = places[one], places[other]
    first = (turn - 1) * rota.baskets
    there = {player for at in rota.waves[turn - 1] for player in (*at.attack, *at.defence, *at.off)}
    if not {a, b} <= there:
        gone = listed([rota.names[player] for player in (a, b) if player not in there])
        raise RotaError(f"{gone} is not here in turn {turn}; choose two who are")
    swapped = {a: b, b: a}

    def renamed(group: Sequence[int]) -> tuple[int, ...]:
        return tuple(swapped.get(player, player) for player in group)

    turns = list(rota.turns)
    for number in range(first, first + rota.baskets):
        was = turns[number]
        turns[number] = Turn(
            renamed(was.offence),
            renamed(was.defence),
            renamed(was.neutral),
            tuple(sorted(renamed(was.off))),
            was.offence_team,
            was.defence_team,
        )
    return replace(rota, turns=tuple(turns))


def exchange_text(before: Rota, after: Rota, turn: int, one: str, other: str) -> str:
    """What it costs that two change places, in a sentence: every measure that moved, and the two players' turns."""
    was = {mark.measure: mark for mark in judge(before)}
    moved = [
        f"{mark.measure} {mark.text} instead of {was[mark.measure].text}"
        for mark in judge(after)
        if mark.found != was[mark.measure].found
    ]
    moved += [
        f"{name} now plays {turns_text(after.total_turns[at])} instead of {before.total_turns[at]}"
        for at, name in enumerate(before.names)
        if after.total_turns[at] != before.total_turns[at]
    ]
    moved += [
        f"{name} now sits {turns_text(after.longest_sits[at])} in a row"
        for at, name in enumerate(before.names)
        if after.longest_sits[at] > before.longest_sits[at]
    ]
    cost = "; ".join(moved) if moved else "it costs nothing that is counted"
    return f"{one} and {other} change places in turn {turn}: {cost}."
