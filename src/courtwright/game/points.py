"""The register of point rules: fact → points → side. Points are computed, never logged.

A played entry names what the trial counts for it (``counts``): a side's points
are then the rule's points times those counts, added up.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from courtwright.vocabulary import Side


@dataclass(frozen=True, slots=True)
class PointKind:
    """One kind of event a coach can reward."""

    key: str
    text: str
    side: Side
    """who is rewarded unless the rule says otherwise"""
    usual: int = 1
    counts: tuple[str, ...] = ()
    """what the trial counts for it; empty where only the floor can"""
    by_court: bool = False
    """worth the rule book's value of the basket, times the points"""
    caution: str = ""

    @property
    def played(self) -> bool:
        """Whether the trial counts it."""
        return bool(self.counts)


BASKETS: Final = ("make_rim", "make_mid", "make_three")

POINT_RULES: Final[dict[str, PointKind]] = {
    kind.key: kind
    for kind in (
        PointKind("basket by the court", "basket as the court counts it", Side.OFFENCE, 1, BASKETS, by_court=True),
        PointKind("basket", "any basket", Side.OFFENCE, 1, BASKETS),
        PointKind("rim basket", "basket at the rim", Side.OFFENCE, 2, ("make_rim",)),
        PointKind("mid basket", "basket between rim and arc", Side.OFFENCE, 2, ("make_mid",)),
        PointKind("three", "basket from beyond the arc", Side.OFFENCE, 3, ("make_three",)),
        PointKind("kick-out basket", "basket off a kick-out", Side.OFFENCE, 1, ("make_kick_out",)),
        PointKind("assist", "assisted basket", Side.OFFENCE, 1, ("make_assisted",)),
        PointKind("free throw", "free throw made", Side.OFFENCE, 1, ("free_throw_make",)),
        PointKind("paint touch", "ball into the paint", Side.OFFENCE, 1, ("paint_touch",)),
        PointKind("offensive rebound", "offensive rebound", Side.OFFENCE, 1, ("offensive_rebound",)),
        PointKind("defensive rebound", "defensive rebound", Side.DEFENCE, 1, ("defensive_rebound",)),
        PointKind("stop", "stop", Side.DEFENCE, 1, ("stop",)),
        PointKind("steal", "steal", Side.DEFENCE, 1, ("steal",)),
        PointKind("deflection", "deflection", Side.DEFENCE, 1),
        PointKind(
            "charge",
            "charge drawn",
            Side.DEFENCE,
            1,
            caution="Only for players who have been taught to fall. Leave it off for the young.",
        ),
        PointKind("box-out", "box-out held", Side.DEFENCE, 1),
    )
}
