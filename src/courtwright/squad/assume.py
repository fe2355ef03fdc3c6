"""What stands in for what a squad does not say, in plain sentences."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from courtwright.floor.presets import preset
from courtwright.squad.document import Player, Squad
from courtwright.vocabulary import Level

MOST_NAMED: Final = 3
"""More players than this are counted, not named."""


REFUSED: Final = {
    "too fast": "would need a top speed that no player has",
    "too slow": "are no sprints",
    "too sudden": "would need a start that no player has",
    "not one run": "do not go together as one run",
}
"""What is wrong with splits that are not used, by `courtwright.floor.fitting.Refusal`."""


def assumptions(squad: Squad) -> list[str]:
    """What is taken for granted about these players, one sentence for each kind of gap."""
    parts = (_levels, _heights, _grades, _sprints, _shots, _rest)
    return [sentence for part in parts for sentence in part(squad)]


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


def _sprints(squad: Squad) -> Iterator[str]:
    if not any(player.splits_s for player in squad.players):
        return
    from courtwright.squad.measured import sprint_of  # noqa: PLC0415 (loads the compiler)

    said = {}
    for player in squad.players:
        fit = sprint_of(player, _level(squad, player))
        said[player.name] = fit and (fit.refusal or "")
    if who := _who(squad, lambda player: said[player.name] == "", all_of_them="every player"):
        yield f"Speed of {who}: from the timed sprints, weighed against the preset."
    for refusal, words in REFUSED.items():
        if who := _who(squad, lambda player: said[player.name] == refusal, all_of_them="every player"):  # noqa: B023
            yield f"Timed sprints of {who} {words}: not used, the preset holds."


def _shots(squad: Squad) -> Iterator[str]:
    if who := _who(squad, _tested, all_of_them="every player"):
        how = "from the shooting tests, taken as unguarded and weighed against the group, in place of the grade"
        rest = "" if all(map(_tested, squad.players)) else "; players of the level without a test move a little too"
        yield f"Shots of {who}: {how}{rest}."


def _tested(player: Player) -> bool:
    return any(shots.attempts for shots in player.shooting.values())


def _rest(squad: Squad) -> Iterator[str]:
    if squad.players:
        levels = ", ".join(level for level in Level if any(_level(squad, player) is level for player in squad.players))
        measured = any(player.splits_s or _tested(player) for player in squad.players)
        first = "All other speed and shooting comes" if measured else "Speed and shooting come"
        yield f"{first} from the preset ({levels}); a grade moves the shooting a little."


def _level(squad: Squad, player: Player) -> Level:
    return player.level or squad.level


def _who(squad: Squad, is_meant: Callable[[Player], bool], *, all_of_them: str = "any player") -> str:
    """The players that are meant, as a sentence names them; empty if none."""
    names = [player.name for player in squad.players if is_meant(player)]
    if len(names) > MOST_NAMED:
        return all_of_them if len(names) == len(squad.players) else f"{len(names)} of {len(squad.players)} players"
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)
