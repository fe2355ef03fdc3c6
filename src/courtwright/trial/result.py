"""A finished trial: what it was run on, what came out, and the same in sentences."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.errors import CourtwrightError
from courtwright.game.document import Game, Teams
from courtwright.game.points import POINT_RULES, PointKind
from courtwright.squad import Squad
from courtwright.trial.histograms import LengthOfPossessions, points_reached, possession_lengths
from courtwright.trial.measures import MEASURES, RANGE_TEXT, Estimate, estimate, rounded
from courtwright.trial.parameters import MODEL_VERSION
from courtwright.trial.prepare import left_to_the_eye, played
from courtwright.trial.runs import Results

FORMAT: Final = "courtwright.trial/1"
NOTE: Final = (
    "Calibrated to grown professionals, three on three: trust which way things move more than how high they stand."
)
MOST_BINS: Final = 14
ORDINALS: Final = ("first", "second", "third", "fourth", "fifth", "sixth")


@dataclass(frozen=True, slots=True)
class Score:
    """Points of one team (or side) in a run."""

    team: str
    points: Estimate
    bins: tuple[tuple[int, int, float], ...]
    """from, to (both included), share of runs"""
    reached: tuple[tuple[float, float], ...]
    """share of runs, and the points they do not go beyond"""

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        bins = [{"from_points": low, "to_points": high, "share_of_runs": share} for low, high, share in self.bins]
        reached = [{"share_of_runs": share, "up_to_points": points} for share, points in self.reached]
        return {"team": self.team, **self.points.to_json(), "bins": bins, "quantiles": reached}


@dataclass(frozen=True)
class TrialResult:
    """What a trial says."""

    game: Game
    squad: Squad
    minutes: float
    runs: int
    seed: int
    results: Results

    def estimates(self) -> dict[str, Estimate]:
        """Every measure by key."""
        return {measure.key: measure.of(self.results) for measure in MEASURES}

    def scores(self) -> list[Score]:
        """Points by team where teams are fixed, by side where they are mixed."""
        return [_score(name, self.results.score[:, team]) for team, name in enumerate(self._teams())]

    def _teams(self) -> list[str]:
        count = self.results.score.shape[1]
        if self.game.rota.teams is Teams.MIXED:
            return ["offence", "defence"]
        return [f"{ORDINALS[team]} team" if team < len(ORDINALS) else f"team {team + 1}" for team in range(count)]

    def ranges(self) -> dict[str, dict[str, Any]]:
        """By measure, the range by luck alone and by what is not known alone; empty where there are too few runs."""
        told = {measure.key: measure.ranges(self.results) for measure in MEASURES}
        return {key: parts for key, parts in told.items() if parts is not None}

    def lengths(self) -> LengthOfPossessions:
        """How long possessions last."""
        return possession_lengths(self.results.lengths)

    def turns(self) -> list[tuple[str, Estimate, Estimate]]:
        """Turns attacking and defending, player by player."""
        turns = self.results.turns.astype(np.float64)
        unit = "turns per run"
        return [
            (player.name, estimate(turns[:, index, 0], unit), estimate(turns[:, index, 1], unit))
            for index, player in enumerate(self.squad.here)
        ]

    def sentences(self) -> list[str]:
        """What a coach reads first."""
        said = self.estimates()
        mates = self.game.sides.offence + self.game.sides.neutral > 1
        lines = [_help_line(said["help_drawn"]) if mates else "There is nobody to help.", *self._score_lines()]
        if mates:
            lines += [_kick_line(said["gap_kick_out"]), _open_line(said["open_turned_down"])]
        lines.append(self.lengths().sentence())
        return [line for line in [*self._cautions(), *lines, self._turns_line()] if line]

    def _cautions(self) -> list[str]:
        """Point rules that the youngest who are here should not play for."""
        here = {player.level or self.squad.level for player in self.squad.here}
        kinds = [POINT_RULES[rule.rule] for rule in self.game.points if rule.points]
        young = [(kind, [level.value for level in kind.not_for if level in here]) for kind in kinds]
        return [_caution_line(kind, levels) for kind, levels in young if levels]

    def _score_lines(self) -> list[str]:
        if not self.game.points:
            return ["No points are set, so nothing is scored."]
        return [_score_line(score) for score in self.scores()]

    def _turns_line(self) -> str:
        means = [(attack.mean or 0.0) + (defend.mean or 0.0) for _, attack, defend in self.turns()]
        return f"Everyone plays {_counted(_between(min(means), max(means)), 'turn')} a run on average." if means else ""

    def to_json(self) -> dict[str, Any]:
        """The whole result as plain JSON data; the same trial gives the same bytes."""
        said = self.estimates()
        return {
            "format": FORMAT,
            "game": self.game.name,
            "game_hash": self.game.hash,
            "squad": self.squad.name,
            "squad_hash": self.squad.hash,
            "minutes": self.minutes,
            "runs": self.runs,
            "seed": self.seed,
            "reset_s": self.game.ending.reset_s,
            "model": {"version": MODEL_VERSION, "calibrated": True, "note": NOTE},
            "range": RANGE_TEXT,
            "measures": [
                {"key": measure.key, "text": measure.text, **said[measure.key].to_json()} for measure in MEASURES
            ],
            "ranges": self.ranges(),
            "possession_lengths": self.lengths().to_json(),
            "scores": [score.to_json() for score in self.scores()],
            "turns": [
                {"player": name, "offence": attack.to_json(), "defence": defend.to_json()}
                for name, attack, defend in self.turns()
            ],
            "sentences": self.sentences(),
            "played": played(self.game),
            "left_to_the_eye": left_to_the_eye(self.game),
        }


def _score(team: str, points: NDArray[np.float64]) -> Score:
    low, high = int(points.min()), int(points.max())
    width = max(1, -(-(high - low + 1) // MOST_BINS))
    edges = range(low, high + 1, width)
    bins = tuple(
        (edge, edge + width - 1, rounded(float(np.mean((points >= edge) & (points < edge + width))))) for edge in edges
    )
    return Score(team, estimate(points, "points per run"), bins, points_reached(points))


def _span(value: Estimate, digits: int, factor: float = 1.0) -> str:
    """Low to high as a reader says it; one number where both round alike."""
    if value.low is None or value.high is None:
        raise CourtwrightError("there is no range to say")
    return _between(value.low * factor, value.high * factor, digits)


def _between(low: float, high: float, digits: int = 0) -> str:
    first, last = f"{low:.{digits}f}", f"{high:.{digits}f}"
    return first if first == last else f"{first} to {last}"


def _counted(count: str, word: str) -> str:
    return f"{count} {word}" if count == "1" else f"{count} {word}s"


def _score_line(score: Score) -> str:
    if not score.points.high:
        rarely = "hardly ever scores" if score.points.mean else "does not score"
        return f"The {score.team} {rarely} in these runs."
    return f"The {score.team} scores {_counted(_span(score.points, 0), 'point')} in most runs."


def _caution_line(kind: PointKind, levels: list[str]) -> str:
    said = f"{kind.text[:1].upper()}{kind.text[1:]}"
    return f"{said}: leave it off, with {' and '.join(levels)} in the squad. {kind.caution}"


def _help_line(drawn: Estimate) -> str:
    if not drawn.mean:
        return "No help is drawn: nobody leaves his man in these runs."
    return f"Help is drawn in {_span(drawn, 0, 100)} % of possessions in most runs."


def _kick_line(gap: Estimate) -> str:
    if gap.mean is None:
        return "Shots off a kick-out are too few to say how open they are."
    return f"A shot off a kick-out has a gap of {_span(gap, 1)} m in most runs."


def _open_line(turned_down: Estimate) -> str:
    if turned_down.mean is None:
        return "Open shots turned down are too few to say."
    return f"An open catch is turned down {_span(turned_down, 2)} times a possession in most runs."
