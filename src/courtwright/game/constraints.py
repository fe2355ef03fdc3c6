"""The register of constraints: one entry each, and nothing else to touch to name a new one.

An entry says whose behaviour is limited, what the limit is, what a breach costs
unless the coach says otherwise, and whether the trial plays it. A played entry
names its ``slot``: the place in the trial's rules array that its limit fills.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from courtwright.vocabulary import Cost, Side


@dataclass(frozen=True, slots=True)
class Limit:
    """What the number of a constraint counts, and the range that makes sense."""

    unit: str
    least: float
    most: float
    usual: float
    whole: bool = True


@dataclass(frozen=True, slots=True)
class ConstraintKind:
    """One kind of constraint a coach can set."""

    key: str
    text: str
    """what the chip says; ``{limit}`` is filled in, ``{s}`` and ``{es}`` are plural endings"""
    side: Side
    limit: Limit | None = None
    usual_cost: Cost = Cost.TURNOVER
    slot: str = ""
    """the trial's rule that plays it; empty where the coach's eye must"""
    watch: str = ""
    """what the coach looks for where the trial does not play it"""

    @property
    def played(self) -> bool:
        """Whether the trial plays it."""
        return bool(self.slot)

    def say(self, limit: float | None) -> str:
        """The constraint in words, with its limit."""
        if limit is None:
            return self.text
        if limit == 0 and self.limit is not None and self.limit.unit == "dribbles":
            return self.text.replace("{limit} dribble{s} at most", "no dribble")
        return self.text.format(limit=f"{limit:g}", s="" if limit == 1 else "s", es="" if limit == 1 else "es")


CONSTRAINTS: Final[dict[str, ConstraintKind]] = {
    kind.key: kind
    for kind in (
        ConstraintKind(
            "dribbles", "{limit} dribble{s} at most", Side.OFFENCE, Limit("dribbles", 0, 9, 3), slot="dribbles_each"
        ),
        ConstraintKind(
            "dribbles in all",
            "{limit} dribble{s} at most for the side",
            Side.OFFENCE,
            Limit("dribbles", 0, 30, 6),
            slot="dribbles_all",
        ),
        ConstraintKind(
            "shot clock", "shot within {limit} s", Side.OFFENCE, Limit("seconds", 2, 40, 8, whole=False), slot="clock_s"
        ),
        ConstraintKind(
            "catch clock",
            "pass, dribble or shoot within {limit} s of the catch",
            Side.OFFENCE,
            Limit("seconds", 0.3, 5, 1, whole=False),
            slot="catch_s",
        ),
        ConstraintKind(
            "passes first",
            "{limit} pass{es} before a shot",
            Side.OFFENCE,
            Limit("passes", 1, 10, 2),
            Cost.NO_POINTS,
            slot="passes_first",
        ),
        ConstraintKind(
            "paint before three",
            "ball in the paint before a three",
            Side.OFFENCE,
            usual_cost=Cost.NO_POINTS,
            slot="paint_before_three",
        ),
        ConstraintKind("no threes", "no shot from beyond the arc", Side.OFFENCE, slot="no_threes"),
        ConstraintKind("no mid-range", "no shot between rim and arc", Side.OFFENCE, slot="no_mid"),
        ConstraintKind(
            "help no earlier",
            "no help before dribble {limit}",
            Side.DEFENCE,
            Limit("dribbles", 1, 6, 2),
            Cost.POINT,
            slot="help_from_dribble",
        ),
        ConstraintKind(
            "jump stop",
            "catch on two feet",
            Side.OFFENCE,
            watch="both feet land together on the catch",
        ),
        ConstraintKind("weak hand", "finish with the weak hand", Side.OFFENCE, watch="which hand lets the ball go"),
        ConstraintKind(
            "early talk", "call help before it comes", Side.DEFENCE, usual_cost=Cost.POINT, watch="a loud, early word"
        ),
    )
}
