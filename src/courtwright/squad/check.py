"""What well-formed players can still get wrong: doubles, impossible times, more makes than shots."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from courtwright.documents import Where
from courtwright.squad.document import Player, distance_text

Finding = tuple[Where, str, str]
"""Path within the player, what, mend."""


def fastest_s(distance_m: float) -> float:
    """The shortest time to believe over a distance from a standing start.

    Through 1.3 s over 10 m and 3.4 s over 30 m: the published 3x3 professionals'
    mean less two standard deviations (1.5 ± 0.1 and 4.0 ± 0.3 s).
    """
    return 0.13 * distance_m if distance_m <= 10 else 1.3 + 0.105 * (distance_m - 10)


def slowest_s(distance_m: float) -> float:
    """The longest time to believe: a brisk walk, 1.5 m/s (common practice, no source)."""
    return distance_m / 1.5


def problems_of(player: Player) -> Iterator[Finding]:
    """Everything that contradicts within one player."""
    for zone, shots in player.shooting.items():
        if shots.makes > shots.attempts:
            what = f"{shots.makes} makes are more than {shots.attempts} attempts"
            yield ("shooting", zone.value, "makes"), what, "Correct one of the two."
    for distance_m, time_s in player.splits_s.items():
        place: Where = ("splits_s", distance_text(distance_m))
        if time_s < fastest_s(distance_m):
            what = f"{distance_m:g} m in {time_s:g} s is faster than any published player"
            yield place, what, f"Check the time and the distance; {fastest_s(distance_m):.2f} s is the limit."
        elif time_s > slowest_s(distance_m):
            yield place, f"{distance_m:g} m in {time_s:g} s is a walk", "Check the time and the distance."
    for (near_m, early_s), (far_m, late_s) in pairwise(player.splits_s.items()):
        if late_s <= early_s:
            what = f"{far_m:g} m takes no longer than {near_m:g} m ({late_s:g} s and {early_s:g} s)"
            yield ("splits_s", distance_text(far_m)), what, "Correct one of the two."


def doubles(players: Sequence[tuple[str, Player]]) -> Iterator[tuple[str, Finding]]:
    """Names and numbers that stand twice; players come with the label of their row."""
    names: dict[str, str] = {}
    numbers: dict[int, str] = {}
    for label, player in players:
        first = names.setdefault(player.name.casefold(), label)
        if first != label:
            yield label, (("name",), f"“{player.name}” is also in {first}", "Add an initial, or take one out.")
        if player.number is not None:
            first = numbers.setdefault(player.number, label)
            if first != label:
                yield label, (("number",), f"{player.number} is also in {first}", "Give each a number of their own.")
