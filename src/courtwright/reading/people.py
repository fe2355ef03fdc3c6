"""Who stands where: the figures of a moment as players of a squad."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from courtwright.errors import DocumentError, Problem
from courtwright.game.moment import Moment
from courtwright.reading.prepare import Array, level_bodies, parameter_sets
from courtwright.squad import Player, Squad
from courtwright.squad.measured import measured
from courtwright.vocabulary import Level, Zone

ENOUGH_TRIES: Final = 20
"""From so many threes in a test on, a shooter counts as known (ours)."""


@dataclass(frozen=True)
class People:
    """A squad, and which of its players stand at which figures; the level stands in for everyone else."""

    squad: Squad
    level: Level
    names: Mapping[str, str] = field(default_factory=dict)
    """figure → name"""

    def bodies(self, moment: Moment, sets: int) -> Array:
        """Figures of everyone on the floor, (sets, players, figures), attackers then defenders."""
        self._check(moment)
        quantiles, _ = parameter_sets(sets)
        figures = (*moment.attackers, *moment.defenders)
        bodies = level_bodies(self.level, len(figures), quantiles)
        named = [index for index, figure in enumerate(figures) if figure in self.names]
        if named:
            players = [self._player(figures[index]) for index in named]
            bodies[:, named] = measured(self.squad, players).drawn(quantiles)
        return bodies

    @property
    def known(self) -> frozenset[str]:
        """Figures whose threes were tested."""
        return frozenset(figure for figure in self.names if _tested(self._player(figure)))

    @property
    def whose(self) -> str:
        """The squad, and who of it stands there, for paper."""
        return f"{self.squad.name}: {', '.join(self.names.values())}"

    def _player(self, figure: str) -> Player:
        return next(player for player in self.squad.players if player.name == self.names[figure])

    def _check(self, moment: Moment) -> None:
        problems = list(self._problems(moment))
        if problems:
            raise DocumentError("players", problems)

    def _problems(self, moment: Moment) -> Iterator[Problem]:
        standing = {*moment.attackers, *moment.defenders}
        places = Counter(self.names.values())
        for figure, name in self.names.items():
            place = f"players, figure {figure}"
            if figure not in standing:
                yield Problem(place, "does not stand in the moment", "Take it out.")
            if places[name] > 1:
                yield Problem(place, f"{name} stands in {places[name]} places", "Name each player once.")
            if all(player.name != name for player in self.squad.players):
                yield Problem(place, f"there is no {name} in the squad", "Use a name from the squad.")


def _tested(player: Player) -> bool:
    test = player.shooting.get(Zone.THREE)
    return test is not None and test.attempts >= ENOUGH_TRIES


def first_here(moment: Moment, squad: Squad) -> dict[str, str]:
    """Players who are here in the order of the squad: attackers first, then defenders."""
    return dict(zip((*moment.attackers, *moment.defenders), (player.name for player in squad.here), strict=False))
