"""One possession of a trial again: where everyone and the ball were, what happened, what was weighed.

The kernels that played it play it once more as plain Python, with the same random
numbers, so that what is seen is what was counted, to the last bit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from courtwright.answers.ball import ball_places
from courtwright.answers.options import Decision, decision_of
from courtwright.answers.story import Story
from courtwright.answers.walk import Played, walk
from courtwright.answers.watch import Floats, Seen, Watch
from courtwright.errors import DocumentError, Problem
from courtwright.game.document import Game
from courtwright.game.moment import Moment, moment_of
from courtwright.reading.timeline import Event
from courtwright.rota import minutes_of, rota_for
from courtwright.squad import Squad
from courtwright.trial.parameters import DRAWS
from courtwright.trial.prepare import floor_figures, plan_trial
from courtwright.trial.runs import Plan

FORMAT: Final = "courtwright.replay/1"
STEP_S: Final = 0.05
ASSUMES: Final = (
    "The possession as the trial played it, step by step. Worth is in this game's points, those of the defence taken "
    "away, as the player sees it: his estimate, what experience has taught him, his taste. The better options are "
    "chosen more often, not always."
)


@dataclass(frozen=True)
class Replay:
    """A possession to look at."""

    game: Game
    played: Played
    players: dict[str, str]
    """figure → name"""
    figures: tuple[str, ...]
    times_s: Floats
    """(times,)"""
    places_m: Floats
    """(times, figures, 2)"""
    ball_m: Floats
    """(times, 2)"""
    events: tuple[Event, ...]
    decisions: tuple[Decision, ...]
    gap: None = None
    """nothing is measured between two figures all the time"""

    @property
    def moment(self) -> Moment:
        """The start it was played from."""
        return moment_of(self.game)

    def event(self, what: str) -> Event | None:
        """The first event of a kind."""
        return next((event for event in self.events if event.what == what), None)

    def even(self) -> Replay:
        """The same at even times, for pictures that follow one another."""
        times_s = np.arange(int(np.ceil(self.times_s[-1] / STEP_S)) + 1, dtype=np.float64) * STEP_S
        index = np.clip(np.searchsorted(self.times_s, times_s), 1, len(self.times_s) - 1)
        before, after = self.times_s[index - 1], self.times_s[index]
        share = np.clip((times_s - before) / (after - before), 0.0, 1.0)[:, None]
        ball_m = self.ball_m[index - 1] + share * (self.ball_m[index] - self.ball_m[index - 1])
        places = self.places_m[index - 1] + share[:, :, None] * (self.places_m[index] - self.places_m[index - 1])
        return Replay(
            self.game, self.played, self.players, self.figures, times_s, places, ball_m, self.events, self.decisions
        )

    def sentence(self) -> str:
        """The possession in a sentence."""
        told = [event.text for event in self.events if event.what in ("help", "release", "rebound")]
        ends = self.events[-1].text if self.events else "nothing happens"
        points = " : ".join(f"{part:g}" for part in self.played.points)
        story = "; ".join([*told, ends] if not told or told[-1] != ends else told)
        return f"{self.played.length_s:.1f} s: {story}. Offence and defence {points}."

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data; run and possession are counted from 1."""
        return {
            "format": FORMAT,
            "game": self.game.name,
            "game_hash": self.game.hash,
            "run": self.played.run + 1,
            "possession": self.played.possession + 1,
            "turn": self.played.turn + 1,
            "parameter_set": self.played.run % DRAWS + 1,
            "players": self.players,
            "assumes": ASSUMES,
            "sentence": self.sentence(),
            "length_s": round(self.played.length_s, 3),
            "offence_points": self.played.points[0],
            "defence_points": self.played.points[1],
            "figures": list(self.figures),
            "times_s": self.times_s.round(3).tolist(),
            "places_m": {figure: self.places_m[:, n].round(3).tolist() for n, figure in enumerate(self.figures)},
            "ball_m": self.ball_m.round(3).tolist(),
            "events": [event.to_json() for event in self.events],
            "decisions": [decision.to_json() for decision in self.decisions],
            "gap": self.gap,
        }


def plan_for(game: Game, squad: Squad, *, minutes: float | None, seed: int) -> Plan:
    """The plan of the trial that a possession belongs to."""
    for_s = minutes_of(game, minutes)
    return plan_trial(game, squad, rota_for(game, squad, for_s, seed).arrays(), minutes=for_s, seed=seed)


def replay_possession(
    game: Game, squad: Squad, *, run: int, possession: int, minutes: float | None = None, seed: int = 0
) -> Replay:
    """Play one possession of a trial again.

    Parameters
    ----------
    run, possession
        Counted from 1. They mean the possession of the trial with the same squad, minutes and seed.
    """
    plan = plan_for(game, squad, minutes=minutes, seed=seed)
    count = 0
    for played in walk(plan, run - 1):
        count += 1
        if played.possession == possession - 1:
            return replayed(game, squad, plan, played)
    raise DocumentError("replay", [Problem("possession", f"run {run} has {count}, so no {possession}", "Choose less.")])


def replayed(game: Game, squad: Squad, plan: Plan, played: Played) -> Replay:
    """Watch a possession that is known by its numbers."""
    watch = Watch()
    watch.play(plan, played.run, played.possession, played.turn, played.due)
    figures = tuple(floor_figures(game))
    seen = _apart(watch.seen)
    return Replay(
        game=game,
        played=played,
        players=_players(squad, plan, played, figures),
        figures=figures,
        times_s=np.array([look.t_s for look in seen]),
        places_m=np.array([look.places_m for look in seen]),
        ball_m=ball_places(seen),
        events=tuple(Story(watch, figures, game).events()),
        decisions=tuple(decision_of(weighed, figures) for weighed in watch.weighed),
    )


def _apart(seen: list[Seen]) -> list[Seen]:
    """Looks at different times; of those at one time the last, after everything that fell there."""
    return [look for look, later in zip(seen, [*seen[1:], None], strict=True) if later is None or later.t_s > look.t_s]


def _players(squad: Squad, plan: Plan, played: Played, figures: tuple[str, ...]) -> dict[str, str]:
    turn = [*plan.offence[played.turn].tolist(), *plan.defence[played.turn].tolist()]
    return {figure: squad.here[who].name for figure, who in zip(figures, turn, strict=True)}
