"""Make chances against the published shot table they were fitted to.

Source: computed rows of a public per-shot log, NBA 2014-15 (`tests/data/shot-table.csv`).
Cells with fewer than 100 attempts are left out; the fits claim the rows below, no more.
"""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest

from courtwright.floor.shots import make_chance
from courtwright.vocabulary import FOOT_M

TABLE = Path(__file__).parent.parent / "data" / "shot-table.csv"


def rows(table: str) -> list[dict[str, str]]:
    lines = (line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("#"))
    return [row for row in csv.DictReader(lines) if row["table"] == table and int(row["attempts"]) >= 100]


def middle_m(bounds: str) -> float:
    low, _, high = bounds.removesuffix("ft").partition("-")
    return (float(low.rstrip("+")) + float(high or 10.0)) / 2 * FOOT_M


def chance(distance_m: float, gap_m: float, *, beyond_arc: bool, catch: float = 0.5) -> float:
    return make_chance(distance_m, gap_m, catch, beyond_arc, 1.0, 0.0, 0.0, 0.0)


def test_threes_from_two_feet_of_room() -> None:
    """Claimed within .02 for a gap of .6 m and more, plus three standard errors of the cell."""
    checked = [row for row in rows("dist_x_def_3pt") if middle_m(row["col_bin"]) >= 0.6]
    for row in checked:
        fitted = chance(middle_m(row["row_bin"]), middle_m(row["col_bin"]), beyond_arc=True)

        assert fitted == pytest.approx(float(row["make_rate"]), abs=0.02 + 3 * float(row["std_err"])), row

    assert len(checked) >= 10


def test_between_rim_and_arc() -> None:
    """Claimed within .025 from 2.44 m out, plus three standard errors of the cell."""
    checked = [row for row in rows("dist_x_def_2pt") if middle_m(row["row_bin"]) >= 2.44]
    for row in checked:
        fitted = chance(middle_m(row["row_bin"]), middle_m(row["col_bin"]), beyond_arc=False)

        assert fitted == pytest.approx(float(row["make_rate"]), abs=0.025 + 3 * float(row["std_err"])), row

    assert len(checked) >= 15


def test_at_the_rim() -> None:
    """The rim fit misses its worst cell by .05 (no room at all); the rest within .04 and three standard errors."""
    checked = [row for row in rows("dist_x_def_2pt") if middle_m(row["row_bin"]) <= 1.37]
    for row in checked:
        gap_m = middle_m(row["col_bin"])
        if gap_m > 2.6:  # held at .93: nobody is sure to score
            continue
        fitted = chance(middle_m(row["row_bin"]), gap_m, beyond_arc=False)
        slack = 0.06 if gap_m < 0.3 else 0.04

        assert fitted == pytest.approx(float(row["make_rate"]), abs=slack + 3 * float(row["std_err"])), row


def test_a_smothered_three() -> None:
    """.235 seen at .3 to .6 m of room (the plain fit says .30)."""
    assert chance(7.4, 0.45, beyond_arc=True) == pytest.approx(0.235, abs=0.04)


def test_known_marks() -> None:
    """Same table: open threes go in about .38 to .42, an open rim shot at least .82, a contested one about half."""
    assert 0.36 <= chance(7.4, 2.2, beyond_arc=True, catch=1.0) <= 0.42
    assert chance(0.9, 2.0, beyond_arc=False) >= 0.82
    assert 0.45 <= chance(1.2, 0.5, beyond_arc=False) <= 0.55


def test_no_jump_where_the_two_inside_fits_meet() -> None:
    steps = [chance(0.5 + 0.01 * step, 0.9, beyond_arc=False) for step in range(400)]

    assert max(abs(after - before) for before, after in pairwise(steps)) < 0.006
