"""Two versions of a game side by side, in numbers and in sentences."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from courtwright.answers.difference import Difference, Verdict, difference
from courtwright.answers.doubts import Doubt, doubts
from courtwright.answers.numbers import amount, apart, span
from courtwright.game.document import Game
from courtwright.rota import minutes_of, rota_for
from courtwright.squad import Squad
from courtwright.trial import TrialResult, run_trial
from courtwright.trial.measures import MEASURES
from courtwright.trial.result import NOTE

FORMAT: Final = "courtwright.comparison/1"
HOW: Final = (
    "Both versions play the same runs: the same random numbers for the same possessions and the same sets of figures. "
    "The interval (19 of 20) is of the mean difference, run beside run. A change counts where the interval is clear of "
    "nothing, the change is not below what is called no difference, and 8 of 10 sets of figures agree on its direction."
)
TOLD: Final = 4
"""So many changes are said in a sentence of their own."""
NAMED: Final = 6
"""So many of the others are named."""


@dataclass(frozen=True)
class Comparison:
    """What moved from the first trial to the second."""

    first: TrialResult
    second: TrialResult

    @property
    def differences(self) -> list[Difference]:
        """Measure by measure, where both have something to say."""
        pair = self.first.results, self.second.results
        doubted = frozenset[str]().union(*(doubt.measures for doubt in self.doubts))
        found = (difference(measure, *pair, doubted=measure.key in doubted) for measure in MEASURES)
        return [item for item in found if item is not None]

    @property
    def doubts(self) -> list[Doubt]:
        """What the trial is known not to tell between these two."""
        return doubts(self.first.game, self.second.game)

    @property
    def left_out(self) -> list[str]:
        """Measures of which one of the two has too little to say."""
        told = {item.measure.key for item in self.differences}
        return [measure.text for measure in MEASURES if measure.key not in told]

    def sentences(self) -> list[str]:
        """What moved, most first; what did not; what cannot be told."""
        return [*(doubt.sentence for doubt in self.doubts), *say(self.differences)]

    def to_json(self) -> dict[str, Any]:
        """The whole comparison as plain JSON data."""
        return {
            "format": FORMAT,
            "first": _named(self.first),
            "second": _named(self.second),
            "squad": self.second.squad.name,
            "minutes": self.second.minutes,
            "runs": self.second.runs,
            "seed": self.second.seed,
            "differences": [item.to_json() for item in self.differences],
            "left_out": self.left_out,
            "sentences": self.sentences(),
            "how": HOW,
            "note": NOTE,
        }


def _named(trial: TrialResult) -> dict[str, str]:
    return {"game": trial.game.name, "game_hash": trial.game.hash}


def compare_trials(first: TrialResult, second: TrialResult) -> Comparison:
    """Compare two trials; they must have been played alike."""
    played = [(trial.minutes, trial.runs, trial.seed, trial.squad.hash) for trial in (first, second)]
    if played[0] != played[1]:
        raise ValueError("only trials with the same squad, minutes, runs and seed can be compared")
    return Comparison(first, second)


def compare_games(
    first: Game,
    second: Game,
    squad: Squad,
    *,
    minutes: float | None = None,
    runs: int = 500,
    seed: int = 0,
    threads: int = 1,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Comparison:
    """Try two versions of a game on the same random numbers.

    Parameters
    ----------
    minutes
        For both; as the second game says if left out.
    progress
        Called with runs done and runs in all, of both.
    """
    for_s = minutes_of(second, minutes)
    trials = [
        play_version(
            game, squad, minutes=for_s, runs=runs, seed=seed, threads=threads, cancelled=cancelled,
            progress=_part(progress, part, runs),
        )
        for part, game in enumerate((first, second))
    ]  # fmt: skip
    return compare_trials(*trials)


def _part(progress: Callable[[int, int], None] | None, part: int, runs: int) -> Callable[[int, int], None] | None:
    return None if progress is None else lambda done, _: progress(part * runs + done, 2 * runs)


def play_version(
    game: Game,
    squad: Squad,
    *,
    minutes: float,
    runs: int,
    seed: int,
    threads: int = 1,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> TrialResult:
    """A trial of a game with the rota it gets."""
    turns = rota_for(game, squad, minutes, seed).arrays()
    return run_trial(
        game, squad, turns, minutes=minutes, runs=runs, seed=seed, threads=threads, progress=progress,
        cancelled=cancelled,
    )  # fmt: skip


def say(differences: list[Difference]) -> list[str]:
    """Sentences about differences."""
    by = {verdict: [item for item in differences if item.verdict is verdict] for verdict in Verdict}
    moved = sorted([*by[Verdict.UP], *by[Verdict.DOWN]], key=_weight, reverse=True)
    lines = [_moved(item) for item in moved[:TOLD]]
    if not moved:
        lines.append("Nothing moved that the trial can tell.")
    if len(moved) > TOLD:
        lines.append(f"Moved too: {_listed([f'{item.measure.text} ({item.verdict})' for item in moved[TOLD:]])}.")
    if len(by[Verdict.NONE]) == len(differences):
        return [f"No difference in any of {len(differences)} measures."]
    if by[Verdict.NONE]:
        lines.append(f"No difference: {_listed([item.measure.text for item in by[Verdict.NONE]])}.")
    if by[Verdict.UNTOLD]:
        lines.append(f"The trial cannot tell: {_listed([_untold(item) for item in by[Verdict.UNTOLD]])}.")
    return lines


def _listed(texts: list[str]) -> str:
    """The first by name; the table has them all."""
    more = len(texts) - NAMED
    return ", ".join(texts) if more < 2 else f"{', '.join(texts[:NAMED])} and {more} more"


def _weight(item: Difference) -> tuple[bool, float]:
    """Points first, then by size in units of what is called no difference."""
    return item.measure.key == "points", abs(item.change) / item.least


def _moved(item: Difference) -> str:
    measure, goes = item.measure, "up" if item.verdict is Verdict.UP else "down"
    first, second = amount(item.first, measure.unit), amount(item.second, measure.unit)
    by = f"{apart(item.change, measure.unit)}, likely {span(item.low, item.high, measure.unit)}"
    text = measure.text[0].upper() + measure.text[1:]
    return f"{text}: {goes} from {first} to {second} {_of(measure.unit)} ({by})."


def _of(unit: str) -> str:
    return unit.removeprefix("share ")


def _untold(item: Difference) -> str:
    return f"{item.measure.text} (turns on assumptions)" if item.depends else item.measure.text
