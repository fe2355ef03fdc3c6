"""At most three findings a page, chosen so that of all that are named few are chance.

Every question a page asks is a candidate with its p-value, also those whose answer is dull. Source of the rule:
Benjamini & Hochberg 1995; it holds for independent and for positively related questions.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from courtwright.review.effects import Effect, Plan, log_evidence
from courtwright.review.events import Log, Mask
from courtwright.review.intervals import Interval, newcombe
from courtwright.review.rates import DIGITS, LEVEL
from courtwright.review.sentences import difference_line, effect_line

FALSE_SHARE: Final = 0.1
"""Of the findings that are named, at most so many by chance, in the long run."""
MOST: Final = 3
FEWEST: Final = 5
"""Tries on either side below which a difference is not asked about."""
NOTHING: Final = "Nothing stands out from chance yet."


@dataclass(frozen=True, slots=True)
class Candidate:
    """A question and its answer."""

    about: str
    p: float
    """how easily chance alone does as much"""
    range: Interval
    line: float
    """the value that would mean nothing"""
    says: str
    evidence: dict[str, Any]

    @property
    def clear(self) -> bool:
        """Whether the range lies on one side of the line."""
        return not self.range.holds(self.line)

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        ends = [round(end, DIGITS) if math.isfinite(end) else None for end in self.range]
        told = {"about": self.about, "p": float(f"{self.p:.3g}"), "range": ends, "line": self.line, "level": LEVEL}
        return told | {"says": self.says, "evidence": self.evidence}


def discoveries(p: Sequence[float], rate: float = FALSE_SHARE) -> list[int]:
    """Places of the p-values that may be named, smallest first."""
    order = sorted(range(len(p)), key=lambda at: p[at])
    last = max((rank for rank, at in enumerate(order, 1) if p[at] <= rate * rank / len(p)), default=0)
    return order[:last]


def choose(candidates: Iterable[Candidate], most: int = MOST) -> list[Candidate]:
    """The findings of a page: named by the rule, clear of the line, at most so many."""
    asked = list(candidates)
    named = [asked[at] for at in discoveries([one.p for one in asked])]
    return [one for one in named if one.clear][:most]


def sentences(findings: Sequence[Candidate]) -> list[str]:
    """What a page says first."""
    return [one.says for one in findings] or [NOTHING]


def share_p(first: tuple[int, int], second: tuple[int, int]) -> float:
    """Two-sided p of two shares being one, by the pooled score test."""
    (hits, of), (others, of_others) = first, second
    pooled = (hits + others) / (of + of_others)
    variance = pooled * (1 - pooled) * (1 / of + 1 / of_others)
    if variance == 0:
        return 1.0
    return math.erfc(abs(hits / of - others / of_others) / math.sqrt(2 * variance))


def difference(about: str, before: tuple[int, int], since: tuple[int, int]) -> Candidate:
    """Before against since, as a question."""
    apart = newcombe(since, before, LEVEL)
    says = difference_line(about, before, since, apart)
    return Candidate(about, share_p(before, since), apart, 0.0, says, {"before": [*before], "since": [*since]})


def practice_differences(log: Log, first: int) -> list[Candidate]:
    """Every outcome with tries, in practices before this number against those from it on, all players together."""
    asked = []
    for word in log.words:
        if log.has_tries(word):
            rows = (log.of_practices(0, first), log.of_practices(first, len(log.practices)))
            before, since = (total(log, word, some) for some in rows)
            if min(before[1], since[1]) >= FEWEST:
                asked.append(difference(word, before, since))
    return asked


def total(log: Log, word: str, within: Mask | None = None) -> tuple[int, int]:
    """Hits and tries of everybody, of players nobody named too."""
    told = log.told_of(word, within)
    return int((told == 1).sum()), len(told)


def effect_finding(rule: str, told: Effect, apart_p: float, planned: Plan, a_practice: int) -> Candidate:
    """An alternation as a question; its p-value holds at every look: see `effect_p`."""
    evidence = {"blocks": told.blocks, "mean": round(told.mean, DIGITS)}
    return Candidate(rule, apart_p, told.range, 0.0, effect_line(rule, told, planned, a_practice), evidence)


def effect_p(apart: Any, reach: float) -> float:
    """1 / E of block differences against no effect: a p-value that may be looked at at any time."""
    return min(1.0, math.exp(-log_evidence(apart, reach))) if len(apart) else 1.0
