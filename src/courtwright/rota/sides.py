"""Even teams with all that goes with them: bibs, how even, who guards whom, and the next best splits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from courtwright.errors import RotaError
from courtwright.rota.bibs import bibs_for
from courtwright.rota.matching import matched_pairs
from courtwright.rota.team_wishes import TeamWish
from courtwright.rota.teams import EvenSplit, ranked_teams
from courtwright.squad import Player


@dataclass(frozen=True)
class TeamsFound:
    """The most even splits of some players, best first."""

    players: tuple[Player, ...]
    splits: tuple[EvenSplit, ...]

    def to_json(self) -> dict[str, Any]:
        """Give them as plain JSON data: teams by name, with bibs, and for two teams who guards whom."""
        return {"splits": [self._split_json(split) for split in self.splits]}

    def lines(self) -> tuple[str, ...]:
        """The best split for people, then how even the next ones are."""
        next_best: list[str] = []
        best, *others = (self._split_json(split) for split in self.splits)
        told = [f"{team['bib'].capitalize()}: {', '.join(team['names'])}." for team in best["teams"]]
        next_best = [
            f"Or {' / '.join(', '.join(team['names']) for team in one['teams'])}: {one['words']}" for one in others
        ]
        return (*told, best["words"], *best["pairs"], *next_best)

    def _split_json(self, split: EvenSplit) -> dict[str, Any]:
        names = [player.name for player in self.players]
        bibs = bibs_for(len(split.teams))
        heights = [player.height_cm for player in self.players]
        pairs: tuple[str, ...] = ()
        if len(split.teams) == 2 and any(height is not None for height in heights):
            pairs = matched_pairs(*split.teams, heights).words(names)
        return {
            "teams": [
                {"bib": bib.name, "colour": bib.colour, "ink": bib.ink, "names": [names[player] for player in team]}
                for bib, team in zip(bibs, split.teams, strict=True)
            ],
            "difference": split.difference,
            "proven": split.proven,
            "words": split.words,
            "pairs": list(pairs),
        }


def find_teams(
    players: Sequence[Player],
    count: int,
    *,
    together: Sequence[Sequence[str]] = (),
    apart: Sequence[Sequence[str]] = (),
    how_many: int = 3,
    seed: int = 0,
) -> TeamsFound:
    """The most even teams of players of a squad, from the coach's grades; wishes by name.

    Parameters
    ----------
    players
        Those who are here.
    count
        How many teams.
    together, apart
        Names to keep in one team, or all in different ones.
    how_many
        Splits to give, best first.
    """
    names = [player.name for player in players]
    place = {name: number for number, name in enumerate(names)}
    if strangers := sorted({name for group in (*together, *apart) for name in group} - set(place)):
        raise RotaError(f"{', '.join(strangers)}: not among the players who are here; add them or mend the name")
    wishes = [TeamWish(tuple(place[name] for name in group), True) for group in together]
    wishes += [TeamWish(tuple(place[name] for name in group), False) for group in apart]
    grades = [player.grade for player in players]
    splits = ranked_teams(grades, count, how_many=how_many, seed=seed, even="mean", wishes=wishes, names=names)
    return TeamsFound(tuple(players), splits)
