"""A rota: who stands where in each turn, and what that adds up to. How one is found is not known here."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from courtwright.game.document import AfterPossession, Teams
from courtwright.rota.bounds import judge

FORMAT: Final = "courtwright.rota/1"

Matrix = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Turn:
    """One possession: the players (by their place in the list of names) at each figure, and who is off."""

    offence: tuple[int, ...]
    """at attacker figures 1, 2, 3 ..."""
    defence: tuple[int, ...]
    """at defender figures X1, X2, X3 ..."""
    neutral: tuple[int, ...] = ()
    """at N1, N2 ..., attacking with whoever has the ball"""
    off: tuple[int, ...] = ()
    offence_team: int = -1
    """-1 where teams are mixed"""
    defence_team: int = -1

    @property
    def attack(self) -> tuple[int, ...]:
        """All who attack, neutral players too."""
        return self.offence + self.neutral

    @property
    def figures(self) -> dict[str, int]:
        """The player at each figure."""
        marked = (("", self.offence), ("N", self.neutral), ("X", self.defence))
        return {f"{mark}{place + 1}": player for mark, group in marked for place, player in enumerate(group)}


_DOING: Final = ("attack", "defence", "off")


class _Groups(NamedTuple):
    """Who does what at one time, on all baskets."""

    attack: frozenset[int]
    defence: frozenset[int]
    off: frozenset[int]
    offence_teams: frozenset[int]
    defence_teams: frozenset[int]


def _wave_groups(wave: tuple[Turn, ...]) -> _Groups:
    return _Groups(
        frozenset(player for turn in wave for player in turn.attack),
        frozenset(player for turn in wave for player in turn.defence),
        frozenset(wave[0].off),
        frozenset(turn.offence_team for turn in wave),
        frozenset(turn.defence_team for turn in wave),
    )


@dataclass(frozen=True)
class Rota:
    """Turns for a list of players, with every count a coach may ask for."""

    names: tuple[str, ...]
    turns: tuple[Turn, ...]
    """with several baskets: of each turn in time, basket by basket"""
    teams: tuple[tuple[int, ...], ...] = ()
    """who belongs to which team; empty where teams are mixed"""
    seed: int = 0
    teams_kind: Teams = Teams.MIXED
    notes: tuple[str, ...] = ()
    """what was assumed, in sentences"""
    rule: AfterPossession = AfterPossession.CYCLE
    baskets: int = 1

    @cached_property
    def waves(self) -> tuple[tuple[Turn, ...], ...]:
        """The turns that are played at one time."""
        return tuple(self.turns[first : first + self.baskets] for first in range(0, len(self.turns), self.baskets))

    def at_basket(self, basket: int) -> Rota:
        """The turns at one basket, counted from 0; who plays elsewhere is off there."""
        turns = []
        for wave in self.waves:
            there = wave[basket]
            elsewhere = [player for turn in wave if turn is not there for player in (*turn.attack, *turn.defence)]
            turns.append(replace(there, off=tuple(sorted([*there.off, *elsewhere]))))
        return replace(self, turns=tuple(turns), baskets=1)

    def _count(self, groups: list[tuple[int, ...]]) -> tuple[int, ...]:
        counts = [0] * len(self.names)
        for group in groups:
            for player in group:
                counts[player] += 1
        return tuple(counts)

    @cached_property
    def offence_turns(self) -> tuple[int, ...]:
        """Turns in offence, per player (neutral turns not among them)."""
        return self._count([turn.offence for turn in self.turns])

    @cached_property
    def defence_turns(self) -> tuple[int, ...]:
        """Turns in defence, per player."""
        return self._count([turn.defence for turn in self.turns])

    @cached_property
    def neutral_turns(self) -> tuple[int, ...]:
        """Turns as a neutral player, per player."""
        return self._count([turn.neutral for turn in self.turns])

    @cached_property
    def off_turns(self) -> tuple[int, ...]:
        """Turns off the floor, per player."""
        return self._count([wave[0].off for wave in self.waves])

    @cached_property
    def total_turns(self) -> tuple[int, ...]:
        """Turns on the floor, per player."""
        roles = zip(self.offence_turns, self.defence_turns, self.neutral_turns, strict=True)
        return tuple(sum(turns) for turns in roles)

    @property
    def roles(self) -> dict[str, tuple[int, ...]]:
        """Turns per player by role; `neutral` only where the game has neutral players."""
        neutral = {"neutral": self.neutral_turns} if any(self.neutral_turns) else {}
        return {"offence": self.offence_turns, "defence": self.defence_turns, **neutral, "total": self.total_turns}

    @property
    def spread(self) -> dict[str, int]:
        """Most turns of a player less fewest, by role."""
        return {role: max(turns) - min(turns) for role, turns in self.roles.items()}

    @cached_property
    def spot_turns(self) -> tuple[dict[str, int], ...]:
        """Turns at each figure (1, 2, X1, X2, N1 ...), per player."""
        figures = self.turns[0].figures
        counts = [dict.fromkeys(figures, 0) for _ in self.names]
        for turn in self.turns:
            for figure, player in turn.figures.items():
                counts[player][figure] += 1
        return tuple(counts)

    @cached_property
    def longest_sits(self) -> tuple[int, ...]:
        """Longest run of turns off, per player; turns before they came and after they left are none."""
        sitting, longest = [0] * len(self.names), [0] * len(self.names)
        for wave in self.waves:
            off = set(wave[0].off)
            for player in range(len(self.names)):
                sitting[player] = sitting[player] + 1 if player in off else 0
                longest[player] = max(longest[player], sitting[player])
        return tuple(longest)

    @property
    def longest_sit(self) -> int:
        """Longest run of turns anybody is off."""
        return max(self.longest_sits)

    @cached_property
    def team_mate_turns(self) -> Matrix:
        """Turns each player shares a side with each other; neutral players are on the side that attacks."""
        return self._met(lambda turn: [*combinations(turn.attack, 2), *combinations(turn.defence, 2)])

    @cached_property
    def opponent_turns(self) -> Matrix:
        """Turns each player is across from each other."""
        return self._met(lambda turn: [(one, other) for one in turn.attack for other in turn.defence])

    def _met(self, pairs: Callable[[Turn], Iterable[tuple[int, int]]]) -> Matrix:
        counts = np.zeros((len(self.names), len(self.names)), dtype=np.int64)
        for turn in self.turns:
            for one, other in pairs(turn):
                counts[one, other] += 1
                counts[other, one] += 1
        return tuple(tuple(row) for row in counts.tolist())

    @property
    def pair_spread(self) -> dict[str, int]:
        """Most turns two players are team-mates (or opponents) less the fewest."""
        return {kind: max(counts) - min(counts) for kind, counts in self._pairs.items()}

    @property
    def _pairs(self) -> dict[str, list[int]]:
        pairs = list(combinations(range(len(self.names)), 2))
        matrices = {"team_mates": self.team_mate_turns, "opponents": self.opponent_turns}
        return {kind: [matrix[one][other] for one, other in pairs] for kind, matrix in matrices.items()}

    @cached_property
    def order_kept_share(self) -> float:
        """How true the rota is to “defend, attack, off”, as moves made by the rule of those it could ask for.

        The rule asks each defender to attack next and each attacker to go off, as far
        as the sides and the number off allow. Fixed teams are judged as teams.
        """
        kept, asked = 0, 0
        for before, after in zip(map(_wave_groups, self.waves), map(_wave_groups, self.waves[1:]), strict=False):
            if self.teams:
                kept, asked = kept + len(before.defence_teams & after.offence_teams), asked + self.baskets
                continue
            asked += min(len(before.defence), len(after.attack)) + min(len(before.attack), len(after.off))
            kept += len(before.defence & after.attack) + len(before.attack & after.off)
        return kept / asked if asked else 1.0

    @cached_property
    def guessable_share(self) -> float:
        """How often a player who knows the usual order guesses right whether to attack, defend or sit next.

        The guess is the commonest next thing after what the player just did.
        """
        moves: dict[str, Counter[str]] = {}
        for before, after in zip(map(_wave_groups, self.waves), map(_wave_groups, self.waves[1:]), strict=False):
            next_of = {player: group for group in _DOING for player in getattr(after, group)}
            for group in _DOING:
                known = [next_of[player] for player in getattr(before, group) if player in next_of]
                moves.setdefault(group, Counter()).update(known)
        right = sum(counts.most_common(1)[0][1] for counts in moves.values() if counts)
        total = sum(counts.total() for counts in moves.values())
        return right / total if total else 1.0

    def arrays(self) -> tuple[NDArray[np.int32], NDArray[np.int32], NDArray[np.int32]]:
        """The turns as numbers for the trial: attackers with neutrals last (T, n), defenders (T, n), teams (T, 2)."""
        offence = np.array([turn.attack for turn in self.turns], dtype=np.int32)
        defence = np.array([turn.defence for turn in self.turns], dtype=np.int32)
        teams = np.array([(turn.offence_team, turn.defence_team) for turn in self.turns], dtype=np.int32)
        return offence, defence, teams

    def _called(self, players: tuple[int, ...]) -> list[str]:
        return [self.names[player] for player in players]

    def to_json(self) -> dict[str, Any]:
        """Give the rota as plain JSON data: players by name, in the order of the figures."""
        return {
            "format": FORMAT,
            "rule": self.rule.value,
            "baskets": self.baskets,
            "teams_kind": self.teams_kind.value,
            "seed": self.seed,
            "names": list(self.names),
            "teams": [self._called(team) for team in self.teams],
            "turns": [self._turn_json(number) for number in range(len(self.turns))],
            "players": [self._player_json(player) for player in range(len(self.names))],
            "spread_turns": self.spread,
            "pair_spread_turns": self.pair_spread,
            "judged": [mark.to_json() for mark in judge(self)],
            "longest_sit_turns": self.longest_sit,
            "order_kept_share": round(self.order_kept_share, 4),
            "guessable_share": round(self.guessable_share, 4),
            "team_mate_turns": [list(row) for row in self.team_mate_turns],
            "opponent_turns": [list(row) for row in self.opponent_turns],
            "notes": list(self.notes),
        }

    def _turn_json(self, number: int) -> dict[str, Any]:
        turn = self.turns[number]
        groups = {"offence": turn.offence, "defence": turn.defence, "neutral": turn.neutral, "off": turn.off}
        teams = {"offence_team": turn.offence_team, "defence_team": turn.defence_team} if self.teams else {}
        at = {"basket": number % self.baskets + 1} if self.baskets > 1 else {}
        return {
            "turn": number // self.baskets + 1,
            **at,
            **{role: self._called(group) for role, group in groups.items()},
            **teams,
        }

    def _player_json(self, player: int) -> dict[str, Any]:
        return {
            "name": self.names[player],
            "offence_turns": self.offence_turns[player],
            "defence_turns": self.defence_turns[player],
            "neutral_turns": self.neutral_turns[player],
            "off_turns": self.off_turns[player],
            "total_turns": self.total_turns[player],
            "longest_sit_turns": self.longest_sits[player],
            "turns_by_figure": self.spot_turns[player],
        }
