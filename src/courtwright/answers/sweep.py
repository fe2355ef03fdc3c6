"""One setting over its values: a measure as a curve, each value held against the game as it is."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any, Final

import numpy as np

from courtwright.answers.compare import play_version
from courtwright.answers.difference import Difference, Verdict, difference, stated
from courtwright.answers.doubts import doubts
from courtwright.answers.numbers import amount
from courtwright.answers.settings import NONE, Setting, Value, changed_to, setting_of
from courtwright.errors import DocumentError, Problem
from courtwright.game.document import Game
from courtwright.rota import minutes_of
from courtwright.squad import Squad
from courtwright.trial import TrialResult
from courtwright.trial.measures import MEASURES, Measure, rounded
from courtwright.trial.result import NOTE
from courtwright.trial.spread import mean_error, spread_of

FORMAT: Final = "courtwright.sweep/1"
MOST_VALUES: Final = 12
EIGHT_OF_TEN: Final = 1.2816
"""Half the middle eight of ten of a normal law, in standard deviations."""
HOW: Final = (
    "Every value plays the same runs as the game as it is. The band holds 8 of 10: where the mean may lie for all that "
    "is not known about the figures, and for the luck of so many runs. Whether a value differs is told from its runs "
    "beside those of the game as it is, which is sharper than the band."
)


@dataclass(frozen=True, slots=True)
class SweepPoint:
    """A measure at one value."""

    value: Value
    mean: float | None
    low: float | None
    high: float | None
    apart: Difference | None
    """from the game as it is"""

    def to_json(self, unit: str) -> dict[str, Any]:
        """Plain JSON data."""
        told = {name: None if part is None else rounded(part) for name, part in self._parts().items()}
        away = self.apart
        seen = {"change": away.change, "change_low": away.low, "change_high": away.high} if away else {}
        change = {name: stated(part) for name, part in seen.items()}
        return {"value": self.value, **told, "unit": unit, **change, "verdict": away.verdict.value if away else None}

    def _parts(self) -> dict[str, float | None]:
        return {"mean": self.mean, "low": self.low, "high": self.high}


@dataclass(frozen=True)
class Sweep:
    """One setting over its values."""

    game: Game
    setting: Setting
    measure: Measure
    points: tuple[SweepPoint, ...]
    minutes: float
    runs: int
    seed: int
    doubts: tuple[str, ...] = ()
    """what the trial is known not to tell between some of the values, in sentences"""

    def sentences(self) -> list[str]:
        """The curve in words."""
        told = [point for point in self.points if point.mean is not None]
        text, unit = self.measure.text, self.measure.unit
        if not told:
            return [f"{text[0].upper()}{text[1:]}: too few to say."]
        least, most = min(told, key=_mean), max(told, key=_mean)
        ends = [f"{amount(_mean(point), unit)} at {self._said(point)}" for point in (least, most)]
        lines = [f"{text[0].upper()}{text[1:]}: from {ends[0]} to {ends[1]}."]
        for verdict, words in ((Verdict.NONE, "No different from now"), (Verdict.UNTOLD, "The trial cannot tell")):
            same = [self._said(point) for point in told if point.apart and point.apart.verdict is verdict]
            lines += [f"{words}: {', '.join(same)}."] if same else []
        return [*self.doubts, *lines]

    def _said(self, point: SweepPoint) -> str:
        return point.value if isinstance(point.value, str) else f"{point.value:g}"

    def to_json(self) -> dict[str, Any]:
        """The whole curve as plain JSON data."""
        return {
            "format": FORMAT,
            "game": self.game.name,
            "game_hash": self.game.hash,
            "setting": {"key": self.setting.key, "text": self.setting.text, "unit": self.setting.unit},
            "now": self.setting.now,
            "measure": {"key": self.measure.key, "text": self.measure.text, "unit": self.measure.unit},
            "minutes": self.minutes,
            "runs": self.runs,
            "seed": self.seed,
            "points": [point.to_json(self.measure.unit) for point in self.points],
            "sentences": self.sentences(),
            "how": HOW,
            "note": NOTE,
        }


def _mean(point: SweepPoint) -> float:
    return point.mean or 0.0


def measure_of(key: str) -> Measure:
    """A measure by its key; raise `DocumentError` for one that is not known."""
    for measure in MEASURES:
        if measure.key == key:
            return measure
    names = ", ".join(measure.key for measure in MEASURES)
    raise DocumentError("sweep", [Problem("measure", f"“{key}” is no measure", f"Use one of {names}.")])


def even_values(first: float, last: float, steps: int) -> list[float]:
    """So many values from the first to the last, both with it."""
    if steps < 2:
        return [first]
    return [round(first + (last - first) * n / (steps - 1), 6) for n in range(steps)]


def sweep_setting(
    game: Game,
    squad: Squad,
    key: str,
    values: Sequence[Value],
    *,
    measure: str = "points",
    minutes: float | None = None,
    runs: int = 200,
    seed: int = 0,
    threads: int = 1,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Sweep:
    """Try a game with each value of a setting, all on the same random numbers.

    Parameters
    ----------
    key
        A setting by name; see `settings_of`.
    values
        Numbers, ``"none"`` for no limit, or the words of the setting; at most 12.
    measure
        The key of what is looked at.
    progress
        Called with runs done and runs in all.
    """
    setting, looked_at, minutes = setting_of(game, key), measure_of(measure), minutes_of(game, minutes)
    if not 1 <= len(values) <= MOST_VALUES:
        what = f"{len(values)} values are asked for"
        raise DocumentError("sweep", [Problem("values", what, f"Ask for 1 to {MOST_VALUES}.")])
    games = [changed_to(game, key, value) for value in values]  # all are read before anything is played

    def trial(version: Game, part: int) -> TrialResult:
        told = None if progress is None else lambda done, _: progress(part * runs + done, (len(games) + 1) * runs)
        return play_version(
            version, squad, minutes=minutes, runs=runs, seed=seed, threads=threads, progress=told, cancelled=cancelled
        )

    base = trial(game, 0)
    points = [
        _point(value, looked_at, base, base if version.hash == game.hash else trial(version, part + 1))
        for part, (value, version) in enumerate(zip(values, games, strict=True))
    ]
    return Sweep(game, setting, looked_at, tuple(points), minutes, runs, seed, _doubts(looked_at, [game, *games]))


def _doubts(measure: Measure, games: list[Game]) -> tuple[str, ...]:
    pairs = (pair for one, other in combinations(games, 2) for pair in doubts(one, other))
    return tuple(dict.fromkeys(doubt.sentence for doubt in pairs if measure.key in doubt.measures))


def _point(value: Value, measure: Measure, base: TrialResult, here: TrialResult) -> SweepPoint:
    if not measure.said(here.results):
        return SweepPoint(value, None, None, None, None)
    mean, deviations = measure.deviations(here.results)
    spread = spread_of(deviations)
    reach = EIGHT_OF_TEN * float(np.hypot(mean_error(deviations), spread.sets_sd if spread else 0.0))
    low, high = (mean - reach, mean + reach) if math.isfinite(reach) else (None, None)
    doubted = any(measure.key in doubt.measures for doubt in doubts(base.game, here.game))
    apart = None if here is base else difference(measure, base.results, here.results, doubted=doubted)
    return SweepPoint(value, mean, low, high, apart)


__all__ = ["MOST_VALUES", "NONE", "Sweep", "SweepPoint", "even_values", "measure_of", "sweep_setting"]
