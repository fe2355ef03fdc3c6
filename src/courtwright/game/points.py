"""The register of point rules: fact → points → side. Points are computed, never logged.

A played entry names what the trial counts for it (``counts``): a side's points
are then the rule's points times those counts, added up.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from courtwright.vocabulary import Level, Side

BASKET, PASS, BOARD, STOP = "baskets", "passes and paint", "rebounds", "stops"
"""The groups in which a form lists the rules."""


@dataclass(frozen=True, slots=True)
class PointKind:
    """One kind of event a coach can reward."""

    key: str
    text: str
    side: Side
    """who is rewarded unless the rule says otherwise"""
    group: str
    usual: int = 1
    counts: tuple[str, ...] = ()
    """what the trial counts for it; empty where only the floor can"""
    by_court: bool = False
    """worth the rule book's value of the basket, times the points"""
    means: str = ""
    """what counts, where the word alone leaves a doubt"""
    caution: str = ""
    not_for: tuple[Level, ...] = ()
    """levels it should be left off for; a rule with a caution is never proposed by itself"""

    @property
    def played(self) -> bool:
        """Whether the trial counts it."""
        return bool(self.counts)


BASKETS: Final = ("make_rim", "make_mid", "make_three")
_ATTACK, _DEFEND = Side.OFFENCE, Side.DEFENCE
_BREAKS: Final = "a possession that ends any other way breaks the row, one that is played again does not."

POINT_RULES: Final[dict[str, PointKind]] = {
    kind.key: kind
    for kind in (
        PointKind("basket by the court", "basket as the court counts it", _ATTACK, BASKET, 1, BASKETS, by_court=True),
        PointKind("basket", "any basket", _ATTACK, BASKET, 1, BASKETS),
        PointKind("rim basket", "basket at the rim", _ATTACK, BASKET, 2, ("make_rim",)),
        PointKind("mid basket", "basket between rim and arc", _ATTACK, BASKET, 2, ("make_mid",)),
        PointKind("three", "basket from beyond the arc", _ATTACK, BASKET, 3, ("make_three",)),
        PointKind("kick-out basket", "basket off a kick-out", _ATTACK, BASKET, 1, ("make_kick_out",)),
        PointKind("assist", "assisted basket", _ATTACK, BASKET, 1, ("make_assisted",)),
        PointKind("free throw", "free throw made", _ATTACK, BASKET, 1, ("free_throw_make",)),
        PointKind(
            "kick-out",
            "kick-out caught",
            _ATTACK,
            PASS,
            1,
            ("kick_out_caught",),
            means="A pass out of a drive that a team-mate catches.",
        ),
        PointKind(
            "extra pass",
            "extra pass",
            _ATTACK,
            PASS,
            1,
            ("extra_pass",),
            means="Whoever catches a kick-out passes on within a second and without a dribble, and it is caught.",
        ),
        PointKind("paint touch", "ball into the paint", _ATTACK, PASS, 1, ("paint_touch",)),
        PointKind("offensive rebound", "offensive rebound", _ATTACK, BOARD, 1, ("offensive_rebound",)),
        PointKind("defensive rebound", "defensive rebound", _DEFEND, BOARD, 1, ("defensive_rebound",)),
        PointKind(
            "box-out",
            "box-out held",
            _DEFEND,
            BOARD,
            1,
            ("box_out",),
            means="The defence has the rebound, and no attacker was nearer to it than his own man.",
        ),
        PointKind("stop", "stop", _DEFEND, STOP, 1, ("stop",)),
        PointKind(
            "two stops in a row",
            "second stop in a row",
            _DEFEND,
            STOP,
            1,
            ("stops_2",),
            means=f"Paid at every second stop in a row; {_BREAKS}",
        ),
        PointKind(
            "three stops in a row",
            "third stop in a row",
            _DEFEND,
            STOP,
            2,
            ("stops_3",),
            means=f"Paid at every third stop in a row; {_BREAKS}",
        ),
        PointKind("steal", "steal", _DEFEND, STOP, 1, ("steal",)),
        PointKind(
            "deflection",
            "deflection",
            _DEFEND,
            STOP,
            1,
            ("deflection",),
            means="A pass that a defender touches and does not hold; one he holds is a steal.",
        ),
        PointKind(
            "charge",
            "charge drawn",
            _DEFEND,
            STOP,
            1,
            ("charge",),
            means="A driver runs into a helper who is set; the trial's drivers avoid one more than players do.",
            caution="Only for players who have been taught to fall. Leave it off for the young.",
            not_for=(Level.U12, Level.U14),
        ),
    )
}
