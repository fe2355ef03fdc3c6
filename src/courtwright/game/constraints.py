"""The register of constraints: one entry each, and nothing else to touch to name a new one.

An entry says whose behaviour is limited, what the limit is, what a breach costs
unless the coach says otherwise, and whether the trial plays it. A played entry
names its ``slot``: the place in the trial's rules array that its limit fills.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from courtwright.vocabulary import Cost, Side

DRIBBLE, PASS, SHOT, DEFENCE = "dribbling", "passing and moving", "shooting", "defending"
"""The groups in which a form lists the rules."""


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
    group: str
    limit: Limit | None = None
    usual_cost: Cost = Cost.TURNOVER
    slot: str = ""
    """the trial's rule that plays it; empty where the coach's eye must"""
    personal: bool = False
    """whether the trial also plays it where it binds one figure; the whole side's is then replaced for him"""
    names: bool = False
    """whether it makes sense only with a figure"""
    spares: bool = False
    """whether it binds everyone on the side but the figures it names"""
    watch: str = ""
    """what the coach looks for where the trial does not play it"""
    why: str = ""
    """why the trial does not play it"""

    @property
    def played(self) -> bool:
        """Whether the trial plays it."""
        return bool(self.slot)

    def played_for(self, figure: str | None) -> bool:
        """Whether the trial plays it for a figure, or for the whole side."""
        return self.played and (figure is None or self.personal)

    def say(self, limit: float | None) -> str:
        """The constraint in words, with its limit."""
        if limit is None:
            return self.text
        if limit == 0 and self.limit is not None and self.limit.unit == "dribbles":
            return self.text.replace("{limit} dribble{s} at most", "no dribble")
        return self.text.format(limit=f"{limit:g}", s="" if limit == 1 else "s", es="" if limit == 1 else "es")


_DRIBBLING: Final = (
    ConstraintKind(
        "dribbles",
        "{limit} dribble{s} at most",
        Side.OFFENCE,
        DRIBBLE,
        Limit("dribbles", 0, 9, 3),
        slot="dribbles_each",
        personal=True,
    ),
    ConstraintKind(
        "dribbles in all",
        "{limit} dribble{s} at most for the side",
        Side.OFFENCE,
        DRIBBLE,
        Limit("dribbles", 0, 30, 6),
        slot="dribbles_all",
    ),
    ConstraintKind(
        "no drive off a drive",
        "no drive by whoever catches a kick-out",
        Side.OFFENCE,
        DRIBBLE,
        slot="no_second_drive",
        personal=True,
    ),
    ConstraintKind(
        "no sideways dribble",
        "no sideways or retreating dribble",
        Side.OFFENCE,
        DRIBBLE,
        watch="a dribble that brings the ball no nearer to the basket",
        why="drives in the trial go past a shoulder and at the ring, never sideways or back",
    ),
    ConstraintKind(
        "no spin",
        "no spin",
        Side.OFFENCE,
        DRIBBLE,
        watch="a driver who turns his back to get past",
        why="a drive in the trial bends once and never turns",
    ),
)

_PASSING: Final = (
    ConstraintKind(
        "catch clock",
        "pass, dribble or shoot within {limit} s of the catch",
        Side.OFFENCE,
        PASS,
        Limit("seconds", 0.3, 5, 1, whole=False),
        slot="catch_s",
        personal=True,
    ),
    ConstraintKind(
        "passes first",
        "{limit} pass{es} before a shot",
        Side.OFFENCE,
        PASS,
        Limit("passes", 1, 10, 2),
        Cost.NO_POINTS,
        slot="passes_first",
        personal=True,
    ),
    ConstraintKind(
        "jump stop",
        "catch on two feet",
        Side.OFFENCE,
        PASS,
        watch="both feet land together on the catch",
        why="the trial knows no footwork",
    ),
    ConstraintKind(
        "dead-dribble cuts",
        "cut only when the dribble is dead",
        Side.OFFENCE,
        PASS,
        slot="cuts_on_dead",
    ),
)

_SHOOTING: Final = (
    ConstraintKind(
        "shot clock",
        "shot within {limit} s",
        Side.OFFENCE,
        SHOT,
        Limit("seconds", 2, 40, 8, whole=False),
        slot="clock_s",
    ),
    ConstraintKind(
        "paint before three",
        "ball in the paint before a three",
        Side.OFFENCE,
        SHOT,
        usual_cost=Cost.NO_POINTS,
        slot="paint_before_three",
        personal=True,
    ),
    ConstraintKind("no threes", "no shot from beyond the arc", Side.OFFENCE, SHOT, slot="no_threes", personal=True),
    ConstraintKind("no mid-range", "no shot between rim and arc", Side.OFFENCE, SHOT, slot="no_mid", personal=True),
    ConstraintKind("no rim shots", "no shot at the rim", Side.OFFENCE, SHOT, slot="no_rim", personal=True),
    ConstraintKind("no paint shots", "no shot from the paint", Side.OFFENCE, SHOT, slot="no_paint", personal=True),
    ConstraintKind("no shot", "no shot", Side.OFFENCE, SHOT, slot="no_shot", personal=True, names=True),
    ConstraintKind(
        "may shoot",
        "may shoot; the unnamed may not",
        Side.OFFENCE,
        SHOT,
        slot="no_shot",
        personal=True,
        names=True,
        spares=True,
    ),
    ConstraintKind(
        "may shoot threes",
        "may shoot threes; the unnamed may not",
        Side.OFFENCE,
        SHOT,
        slot="no_threes",
        personal=True,
        names=True,
        spares=True,
    ),
    ConstraintKind(
        "weak hand",
        "finish with the weak hand",
        Side.OFFENCE,
        SHOT,
        watch="which hand lets the ball go",
        why="nobody in the trial has a left or a right hand",
    ),
)

_DEFENDING: Final = (
    ConstraintKind(
        "help no earlier",
        "no help before dribble {limit}",
        Side.DEFENCE,
        DEFENCE,
        Limit("dribbles", 1, 6, 2),
        Cost.POINT,
        slot="help_from_dribble",
    ),
    ConstraintKind(
        "no double team",
        "no two on a ball that stands",
        Side.DEFENCE,
        DEFENCE,
        usual_cost=Cost.POINT,
        watch="a second defender on a ball that is not being driven",
        why="helpers in the trial stop drives and go back; nobody traps",
    ),
    ConstraintKind(
        "must switch",
        "switch whenever two attackers meet or cross",
        Side.DEFENCE,
        DEFENCE,
        usual_cost=Cost.POINT,
        watch="two defenders who still have the same men after a crossing",
        why="attackers do not cross in the trial, and defenders keep their men",
    ),
    ConstraintKind(
        "early talk",
        "call help before it comes",
        Side.DEFENCE,
        DEFENCE,
        usual_cost=Cost.POINT,
        watch="a loud, early word",
        why="nobody speaks in the trial",
    ),
)

CONSTRAINTS: Final[dict[str, ConstraintKind]] = {
    kind.key: kind for kind in (*_DRIBBLING, *_PASSING, *_SHOOTING, *_DEFENDING)
}
