"""True courts: measures by rule book, named spots, regions, what a basket is worth.

Every measure carries the edition it stands in and how it was seen, because most
federation figures reach us through other texts. Lengths are in metres from the
point under the ring (see `courtwright.vocabulary` for the axes) unless the name
says otherwise.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any, Final

from courtwright.errors import WordError
from courtwright.vocabulary import Evidence, Flank, Spot, SpotName, Zone, parse_length_m

RIM_ZONE_M: Final = 1.83
"""Shots from nearer than six feet count as at the rim (the first two bins of the published shot table)."""


class Rules(StrEnum):
    """The rule book a court follows."""

    FIBA = "fiba"
    FIBA_3X3 = "fiba 3x3"
    NBA = "nba"
    WNBA = "wnba"
    NCAA = "ncaa"
    NFHS = "nfhs"
    MINI = "mini"

    @classmethod
    def parse(cls, text: str) -> Rules:
        """Read a rule book's name in any case; raise `WordError` with the choices otherwise."""
        for rules in cls:
            if rules.value == text.strip().casefold().replace("-", " ").replace("_", " "):
                return rules
        raise WordError(f"no court “{text}”; use one of {', '.join(rules.value for rules in cls)}")


@dataclass(frozen=True, slots=True)
class Measure:
    """One figure of a rule book: metres, the edition, how it was seen."""

    value_m: float
    edition: str
    evidence: Evidence


@dataclass(frozen=True, slots=True)
class Court:
    """One half court. Measures named ``*_from_end_line`` start at the inner edge of the end line."""

    rules: Rules
    name: str
    length: Measure
    """of the whole court (3x3: of the playing court)"""
    width: Measure
    basket_from_end_line: Measure
    """to the ring's centre"""
    board_from_end_line: Measure
    board_width: Measure
    ring_height: Measure
    ring_diameter: Measure
    """inside"""
    lane_width: Measure
    """to the outer edges"""
    free_throw_from_end_line: Measure
    """to the far edge of the line"""
    circle_radius: Measure
    """of the free-throw semicircle and the centre circle, outer edge"""
    line_width: Measure
    arc_radius: Measure | None
    """outer edge; nothing where the rule book has no arc"""
    arc_lateral: Measure | None
    """of the straight parts from the basket-to-basket line, outer edge"""
    no_charge_radius: Measure | None
    no_charge_to_outer_edge: bool
    inside_value: int
    outside_value: int

    @property
    def half_length_m(self) -> float:
        """Depth of the drawn half court from the end line."""
        return self.length.value_m if self.rules is Rules.FIBA_3X3 else self.length.value_m / 2

    @property
    def end_line_y_m(self) -> float:
        """The end line on the basket's own axis (negative)."""
        return -self.basket_from_end_line.value_m

    @property
    def far_y_m(self) -> float:
        """The centre line (3x3: the far end line) on the basket's own axis."""
        return self.half_length_m - self.basket_from_end_line.value_m

    @property
    def side_x_m(self) -> float:
        """The right side line."""
        return self.width.value_m / 2

    @property
    def free_throw_y_m(self) -> float:
        """The far edge of the free-throw line on the basket's own axis."""
        return self.free_throw_from_end_line.value_m - self.basket_from_end_line.value_m

    @property
    def arc_join_y_m(self) -> float:
        """Where the straight part meets the arc: ``sqrt(R² − c²)`` beyond the ring."""
        radius_m, lateral_m = self._arc()
        return math.sqrt(radius_m * radius_m - lateral_m * lateral_m)

    @property
    def arc_join_from_end_line_m(self) -> float:
        """The same join measured as rule books do."""
        return self.arc_join_y_m + self.basket_from_end_line.value_m

    @property
    def inside_area_m2(self) -> float:
        """Floor inside the arc, closed form ``2c(b+h) + R²(π/2−θ) − ch`` with ``θ`` the join's half-angle.

        The rectangle under the joins plus the circular segment above them.
        """
        radius_m, lateral_m = self._arc()
        join_m = self.arc_join_y_m
        rectangle_m2 = 2 * lateral_m * (self.basket_from_end_line.value_m + join_m)
        half_angle = math.asin(lateral_m / radius_m)
        return rectangle_m2 + radius_m * radius_m * half_angle - lateral_m * join_m

    def _arc(self) -> tuple[float, float]:
        if self.arc_radius is None or self.arc_lateral is None:
            raise WordError(f"the {self.name} court has no arc")
        return self.arc_radius.value_m, self.arc_lateral.value_m

    def on_floor(self, x_m: float, y_m: float) -> bool:
        """Whether a point lies on this half court, lines of the boundary left out."""
        return abs(x_m) <= self.side_x_m and self.end_line_y_m <= y_m <= self.far_y_m

    def in_lane(self, x_m: float, y_m: float) -> bool:
        """Whether a point lies in the lane (the paint)."""
        return abs(x_m) <= self.lane_width.value_m / 2 and self.end_line_y_m <= y_m <= self.free_throw_y_m

    def beyond_arc(self, x_m: float, y_m: float) -> bool:
        """Whether a foot there stands outside the arc; a foot on the line is inside (FIBA rules)."""
        if self.arc_radius is None or self.arc_lateral is None:
            return False
        if y_m <= self.arc_join_y_m:
            return abs(x_m) > self.arc_lateral.value_m
        return math.hypot(x_m, y_m) > self.arc_radius.value_m

    def zone(self, x_m: float, y_m: float) -> Zone:
        """The zone of a shot from there, as the floor keys name it."""
        if self.beyond_arc(x_m, y_m):
            return Zone.THREE
        return Zone.RIM if math.hypot(x_m, y_m) < RIM_ZONE_M else Zone.MID

    def region(self, x_m: float, y_m: float) -> str:
        """A readable place: the nearest spot, with the region it lies in."""
        spot = min(self.spots, key=lambda spot: math.dist(self.spots[spot], (x_m, y_m)))
        return f"near the {spot}"

    def value_at(self, x_m: float, y_m: float) -> int:
        """Points a basket from there is worth by the rule book."""
        return self.outside_value if self.beyond_arc(x_m, y_m) else self.inside_value

    def spot_m(self, spot: Spot) -> tuple[float, float]:
        """Where a named spot lies on this court."""
        return self.spots[spot]

    @property
    def spots(self) -> dict[Spot, tuple[float, float]]:
        """Every named spot in metres. Spots follow the lines of the court, so they move with the rule book."""
        return _spots(self)

    def measures(self) -> dict[str, Measure]:
        """Every measure by name, for tables and documents."""
        named = ((item.name, getattr(self, item.name)) for item in fields(self))
        return {name: value for name, value in named if isinstance(value, Measure)}


def _spots(court: Court) -> dict[Spot, tuple[float, float]]:
    """Places as coaches point at them (common practice, no source), tied to the court's own lines."""
    arc_m = court.arc_radius.value_m if court.arc_radius else 6.0
    corner_m = court.arc_lateral.value_m if court.arc_lateral else arc_m
    lane_m = court.lane_width.value_m / 2
    nail_m = court.free_throw_y_m
    outside_m = arc_m + 0.35  # a step behind the line
    corner_x_m = min(corner_m + 0.35, court.side_x_m - 0.35)
    places = {
        SpotName.CORNER: (corner_x_m, 0.0),
        SpotName.WING: _polar(outside_m, 40),
        SpotName.SLOT: _polar(outside_m, 68),
        SpotName.TOP: (0.0, outside_m),
        SpotName.ELBOW: (lane_m, nail_m),
        SpotName.NAIL: (0.0, nail_m),
        SpotName.BLOCK: (lane_m, 0.9),
        SpotName.SHORT_CORNER: ((lane_m + corner_m) / 2, -0.2),
        SpotName.BASKET: (0.0, 0.6),
    }
    spots: dict[Spot, tuple[float, float]] = {}
    for name, (x_m, y_m) in places.items():
        if x_m == 0.0:
            spots[Spot(name)] = (x_m, y_m)
        else:
            spots[Spot(name, Flank.LEFT)] = (-x_m, y_m)
            spots[Spot(name, Flank.RIGHT)] = (x_m, y_m)
    return spots


def _polar(radius_m: float, degrees: float) -> tuple[float, float]:
    angle = math.radians(degrees)
    return radius_m * math.cos(angle), radius_m * math.sin(angle)


@cache
def court(rules: Rules) -> Court:
    """The half court of a rule book."""
    table = _tables()[rules.value]
    measures: dict[str, Any] = dict.fromkeys(("arc_radius", "arc_lateral", "no_charge_radius"))
    measures |= {name: _measure(row, table["edition"]) for name, row in table.items() if isinstance(row, dict)}
    return Court(
        rules=rules,
        name=table["name"],
        no_charge_to_outer_edge=table["no_charge_to_outer_edge"],
        inside_value=table["inside_value"],
        outside_value=table["outside_value"],
        **measures,
    )


@cache
def _tables() -> dict[str, dict[str, Any]]:
    return tomllib.loads(files("courtwright.floor").joinpath("courts.toml").read_text("utf-8"))


def _measure(row: dict[str, str], edition: str) -> Measure:
    return Measure(parse_length_m(row["at"]), row.get("edition", edition), Evidence(row["evidence"]))
