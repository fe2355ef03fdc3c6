"""What stands in for what a squad does not say, in plain sentences."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from courtwright.floor.presets import preset
from courtwright.squad.document import Player, Squad
from courtwright.vocabulary import Level

MOST_NAMED: Final = 3
"""More players than this are counted, not named."""


def assumptions(squad: Squad) -> list[str]:
    """What is taken for granted about these players, one sentence for each kind of gap."""
    return [sentence for part in (_levels, _heights, _grades, _tests) for sentence in part(squad)]


def _levels(squad: Squad) -> Iterator[str]:
    if who := _who(squad, lambda player: player.level is None):
        yield f"No level for {who}: taken as {squad.level}, the squad's own."


def _heights(squad: Squad) -> Iterator[str]:
    for level in Level:
        tall = preset(level).height_cm
        if who := _who(squad, lambda player: player.height_cm is None and _level(squad, player) is level):  # noqa: B023
            size = f"{tall.mid:g} ± {tall.spread:g} cm"
            yield f"No height for {who}: taken as {size}, the {level} preset ({tall.evidence})."


def _grades(squad: Squad) -> Iterator[str]:
    if who := _who(squad, lambda player: player.grade is None):
        yield f"No grade for {who}: taken as the middle, 3."


def _tests(squad: Squad) -> Iterator[str]:
    """Sprints and shooting tests are kept for the model that will be fitted to them; until then the preset holds."""
    if squad.players:
        levels = ", ".join(level for level in Level if any(_level(squad, player) is level for player in squad.players))
        yield f"Speed and shooting come from the preset ({levels}); a grade moves the shooting a little."
    if any(player.splits_s or player.shooting for player in squad.players):
        yield "Timed sprints and shooting tests are kept, and not used yet."


def _level(squad: Squad, player: Player) -> Level:
    return player.level or squad.level


def _who(squad: Squad, lacks: Callable[[Player], bool]) -> str:
    """The players something is missing for, as a sentence names them; empty if none."""
    names = [player.name for player in squad.players if lacks(player)]
    if len(names) > MOST_NAMED:
        return "any player" if len(names) == len(squad.players) else f"{len(names)} of {len(squad.players)} players"
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)
