"""Find a possession worth looking at: a usual one, one with help, one with a kick-out, the next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from courtwright.answers.replay import Replay, plan_for, replayed
from courtwright.answers.walk import Played, walk
from courtwright.errors import DocumentError, Problem
from courtwright.game.document import Game
from courtwright.squad import Squad
from courtwright.trial.parameters import DRAWS
from courtwright.trial.runs import Plan

USUAL: Final = "usual"
NEXT: Final = "next"
MOST_RUNS: Final = 64
"""So many runs are searched: each parameter set twice."""
KINDS: Final[dict[str, tuple[str, tuple[str, ...]]]] = {
    "basket": ("one with a basket", ("make_rim", "make_mid", "make_three")),
    "help": ("one with help", ("help",)),
    "kick-out": ("one with a kick-out", ("kick_out",)),
    "open turned down": ("one with an open shot turned down", ("open_turned_down",)),
    "rebound": ("one with an offensive rebound", ("offensive_rebound",)),
    "turnover": (
        "one with a turnover",
        ("turnover_bad_pass", "turnover_lost_ball", "turnover_offensive_foul", "turnover_clock", "turnover_violation"),
    ),
    "violation": ("one with a violation", ("violation_offence",)),
}
WANTED: Final = {USUAL: "a usual one", NEXT: "the next"} | {key: text for key, (text, _) in KINDS.items()}


@dataclass(frozen=True, slots=True)
class Found:
    """Where a possession is, counted from 1."""

    run: int
    possession: int


def find_possession(
    game: Game,
    squad: Squad,
    want: str = USUAL,
    *,
    after: Found | None = None,
    minutes: float | None = None,
    seed: int = 0,
) -> Replay:
    """Find a possession of a trial and play it again.

    Parameters
    ----------
    want
        A key of `WANTED`.
    after
        Look on from here; of usual ones, the next most usual.
    """
    if want not in WANTED:
        raise DocumentError(
            "replay", [Problem("want", f"“{want}” cannot be looked for", f"Use one of {', '.join(WANTED)}.")]
        )
    plan = plan_for(game, squad, minutes=minutes, seed=seed)
    found = _usual(plan, after) if want == USUAL else next(_after(plan, after, _wanted(want)), None)
    if found is None:
        what = (
            f"no such possession in the first {MOST_RUNS} runs"
            if after is None
            else "no such possession after this one"
        )
        raise DocumentError("replay", [Problem("want", what, "Look for something else.")])
    return replayed(game, squad, plan, found)


def _wanted(want: str) -> Callable[[Played], bool]:
    if want == NEXT:
        return lambda _: True
    events = KINDS[want][1]
    return lambda played: any(played.count(event) for event in events)


def _after(plan: Plan, after: Found | None, wanted: Callable[[Played], bool]) -> Iterator[Played]:
    first = after.run - 1 if after else 0
    for run in range(first, first + MOST_RUNS):
        for played in walk(plan, run):
            past = after is None or (played.run, played.possession) > (after.run - 1, after.possession - 1)
            if past and wanted(played):
                yield played


def _usual(plan: Plan, after: Found | None) -> Played | None:
    """Of the most frequent course of things, the possession nearest to its usual length; then the next nearest."""
    possessions = [played for run in range(DRAWS) for played in walk(plan, run)]
    course = Counter(map(_course, possessions)).most_common(1)[0][0]
    alike = [played for played in possessions if _course(played) == course]
    usual_s = float(np.median([played.length_s for played in alike]))
    order = sorted(alike, key=lambda played: abs(played.length_s - usual_s))
    places = [(played.run + 1, played.possession + 1) for played in order]
    at = places.index((after.run, after.possession)) + 1 if after and (after.run, after.possession) in places else 0
    return order[at] if at < len(order) else None


def _course(played: Played) -> tuple[bool, ...]:
    """What happened, roughly."""
    return tuple(any(played.count(event) for event in events) for _, events in KINDS.values())
