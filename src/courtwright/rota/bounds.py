"""What no rota can better, by counting alone, and how near a rota came.

Each bound holds for every rota of its size, wishes or not. It need not be reachable;
where it is reached the rota is perfect in that measure, and that is proved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from courtwright.rota.turns import Rota


@dataclass(frozen=True, slots=True)
class Mark:
    """One measure of a rota, in turns: less is better."""

    measure: str
    found: int
    best_possible: int
    """no rota of this size is below it"""

    @property
    def perfect(self) -> bool:
        """Whether counting proves that no rota is better."""
        return self.found == self.best_possible

    @property
    def text(self) -> str:
        """`perfect`, or how far from what counting allows."""
        return "perfect" if self.perfect else f"within {self.found - self.best_possible} of the best possible"

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        return {
            "measure": self.measure,
            "found_turns": self.found,
            "best_possible_turns": self.best_possible,
            "perfect": self.perfect,
        }


def least_spread(seats: int, among: int) -> int:
    """Least difference between most and fewest when `seats` are shared `among` so many: 0 if they divide, else 1."""
    return 0 if seats % among == 0 else 1


def least_sit(players: int, on_floor: int, turns: int) -> int:
    """Shortest longest sit: if nobody sits more than L turns, any L + 1 turns in a row must hold everybody."""
    return min(turns, -(-players // on_floor) - 1)


def least_pair_spreads(players: int, attack: int, defence: int, games: int) -> tuple[int, int]:
    """Least spread of how often two are team-mates, and opponents, over all pairs.

    Zero needs the meetings to divide among the pairs. Where all are on the floor in
    every game of even sides, more is known: see `_least_where_all_play`.

    Parameters
    ----------
    players, attack, defence
        Players, and how many attack and defend in a game.
    games
        Games in all, on all baskets.
    """
    pairs = comb(players, 2)
    if players < 2:
        return 0, 0
    if attack == defence and attack + defence == players:
        both = _least_where_all_play(attack, games)
        return both, both
    mates = least_spread(games * (comb(attack, 2) + comb(defence, 2)), pairs)
    opponents = least_spread(games * attack * defence, pairs)
    if attack == defence and (games * 2 * attack) % players:
        # equal meetings would give everyone equally many turns, which do not divide
        mates, opponents = (1 if attack > 1 else 0), 1
    return mates, opponents


def _least_where_all_play(side: int, games: int) -> int:
    """2k players, k a side, nobody off: 0, 1 or 2.

    In each game three players are on one side, or two of them are. So, over T games,
    the times that the three pairs of them are team-mates add up to T and twice the
    games all three share: odd or even as T is, for any three. If all pairs have c or
    c + 1, mark those with c + 1: any three players have an odd number of marked pairs,
    or any three an even number. That leaves none marked, all marked, the pairs across
    two halves (even), or the pairs inside two halves (odd); everyone's T·(k − 1) turns
    with a team-mate make the halves equal. Each has its own sum, so T decides.

    It gives the spreads found for six players by trying everything: 1, 2, 2, 2, 2, 2, 2, 2, 1, 0 for 1 … 10 games.
    """
    if side == 1:
        return 0
    each, over = divmod(games * (side - 1), 2 * side - 1)
    even = (games - 3 * each) % 2 == 0
    if over == 0:
        return 0 if even else 2
    if (over == side and even) or (over == side - 1 and not even):
        return 1
    return 2


def judge(rota: Rota) -> tuple[Mark, ...]:
    """How near the rota comes to what counting allows, measure by measure.

    Where somebody comes late or leaves, turns are not owed evenly and only the sits are judged; kept teams are not
    judged by who meets whom.
    """
    players, waves = len(rota.names), len(rota.waves)
    first = rota.turns[0]
    on_floor = (len(first.attack) + len(first.defence)) * rota.baskets
    marks = []
    if all(on + off == waves for on, off in zip(rota.total_turns, rota.off_turns, strict=True)):
        named = {"turns" if role == "total" else role: turns for role, turns in rota.roles.items()}
        marks = [_evenness(role, [turns]) for role, turns in named.items()]
        marks.append(_evenness("spots", [[at[figure] for at in rota.spot_turns] for figure in rota.spot_turns[0]]))
        if not rota.teams:
            found = rota.pair_spread
            mates, across = least_pair_spreads(players, len(first.attack), len(first.defence), len(rota.turns))
            marks += [
                Mark("team-mates", found["team_mates"], mates),
                Mark("opponents", found["opponents"], across),
            ]
    return (*marks, Mark("longest sit", rota.longest_sit, least_sit(players, on_floor, waves)))


def _evenness(measure: str, counts: Sequence[Sequence[int]]) -> Mark:
    """The worst of several lists of counts, each against its own bound."""
    marks = [Mark(measure, max(turns) - min(turns), least_spread(sum(turns), len(turns))) for turns in counts]
    return max(marks, key=lambda mark: (mark.found - mark.best_possible, mark.found))


def judgement_text(marks: Sequence[Mark]) -> str:
    """What is perfect, and what is within how much of the best possible."""
    perfect = [mark.measure for mark in marks if mark.perfect]
    rest = [f"{mark.measure} {mark.text}" for mark in marks if not mark.perfect]
    said = [f"perfect in {_listed(perfect)}"] if perfect else []
    sentence = "; ".join([*said, *rest])
    return f"{sentence[:1].upper()}{sentence[1:]}."


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
