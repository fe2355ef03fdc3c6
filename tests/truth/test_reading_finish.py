"""What a finish and an open three are worth in a reading, against published shot values.

Sources: play-by-play of a women's professional full-court 3-on-3 league, 71 games: driving
lay-ups .585 made, 1.17 points (read, computed by us); computed rows of a public per-shot
log, NBA 2014-15 (`tests/data/shot-table.csv`).
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

import reading_rules
from courtwright.floor.shots import make_chance
from courtwright.vocabulary import FOOT_M, Level

TABLE = Path(__file__).parent.parent / "data" / "shot-table.csv"
LAY_UP_POINTS = 1.17


@pytest.mark.parametrize("level", [Level.WOMEN, Level.MEN])
def test_a_beaten_adult_finish_is_worth_a_driving_lay_up(level: Level) -> None:
    """Closeouts from 2, 3 and 4 m are beaten and nobody helps: the published value lies in the range, near the mean."""
    worths = np.concatenate([reading_rules.finish_if_beaten(level, from_m) for from_m in (2.0, 3.0, 4.0)])
    low, high = np.quantile(worths, [0.1, 0.9])

    assert low <= LAY_UP_POINTS <= high
    assert high - low < 0.35, "a range that says something"
    assert worths.mean() == pytest.approx(LAY_UP_POINTS, abs=0.1)


def test_a_man_who_has_run_by_leaves_more_room() -> None:
    near, far = (float(reading_rules.finish_if_beaten(Level.MEN, from_m).mean()) for from_m in (2.0, 4.0))

    assert near < LAY_UP_POINTS < far


def test_the_young_finish_less_well() -> None:
    worths = [float(reading_rules.finish_if_beaten(level).mean()) for level in Level if level is not Level.WOMEN]

    assert worths == sorted(worths)
    assert worths[0] < LAY_UP_POINTS - 0.3


@pytest.mark.parametrize("gap_m", [1.5, 2.0])
def test_an_open_three(gap_m: float) -> None:
    """Within .025 and three standard errors of the cell, catch and dribble mixed as in the table."""
    lines = (line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("#"))
    cells = [row for row in csv.DictReader(lines) if row["table"] == "dist_x_def_3pt" and int(row["attempts"]) > 1000]
    around = [row for row in cells if holds(row["col_bin"], gap_m) and row["row_bin"] != "26-30ft"]
    for row in around:
        low, high = (float(end) * FOOT_M for end in row["row_bin"].removesuffix("ft").split("-"))
        seen, error = float(row["make_rate"]), float(row["std_err"])

        assert make_chance((low + high) / 2, gap_m, 0.6, True, 1.0, 0.0, 0.0, 0.0) == pytest.approx(
            seen, abs=0.025 + 3 * error
        )
    assert len(around) == 2


def holds(bounds: str, gap_m: float) -> bool:
    low, _, high = bounds.removesuffix("ft").partition("-")
    return bool(high) and float(low) * FOOT_M <= gap_m < float(high) * FOOT_M
