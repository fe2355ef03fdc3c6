"""Load and variety."""

from __future__ import annotations

import pytest
from tests.logs import Device, opening_of

from courtwright.errors import WordError
from courtwright.live import fold
from courtwright.review.load import CAUTIONS, MOST_HOURS_A_WEEK, hours_caution, session_load, week
from courtwright.review.rows import run_rows
from courtwright.review.season import season
from courtwright.review.variety import evenness, longest_same, longest_same_spot, spots_of


def test_a_week_worked_by_hand() -> None:
    """90, 75, 90 and 80 minutes at 6, 5, 7 and 8 (our own arithmetic; no worked week is published)."""
    told = week([session_load(6, 90), 0, session_load(5, 75), session_load(7, 90), 0, session_load(8, 80), 0])
    assert told.load == 2185
    assert told.monotony == pytest.approx(1.025, abs=6e-4)
    assert told.strain == pytest.approx(2239.1, abs=0.06)
    assert told.to_json() == {"load": 2185, "monotony": 1.025, "strain": 2239.096}


def test_a_week_that_is_the_same_every_day_has_no_monotony() -> None:
    for daily in (0.0, 300.0):
        assert week([daily] * 7).to_json() == {"load": 7 * daily, "monotony": None, "strain": None}


@pytest.mark.parametrize(("rpe", "minutes"), [(11, 60), (-1, 60), (5, -1), (5, 2000)])
def test_what_cannot_be_is_refused(rpe: float, minutes: float) -> None:
    with pytest.raises(WordError):
        session_load(rpe, minutes)


def test_a_week_needs_every_day() -> None:
    with pytest.raises(WordError, match="7 days"):
        week([300, 0, 300])


def test_hours_of_the_guideline_are_a_caution_with_its_source() -> None:
    assert "DiFiori et al. 2018" in hours_caution(12, 10.5)
    assert "Local rules" in hours_caution(12, 10.5)
    assert hours_caution(12, 10) == ""
    assert hours_caution(30, 40) == ""
    assert list(MOST_HOURS_A_WEEK.values()) == [3, 5, 10, 14]
    assert any("qualified people" in line for line in CAUTIONS)


@pytest.mark.parametrize(
    ("counts", "expected"),
    [([5, 5], 1.0), ([7, 0], 0.0), ([1, 1, 2, 4], 0.875), ([], None), ([3], None), ([0, 0], None)],
)
def test_evenness(counts: list[int], expected: float | None) -> None:
    """The third value: computed by us, entropy by ln n."""
    assert evenness(counts) == (None if expected is None else pytest.approx(expected))


def test_the_longest_row_from_the_same_spot_stays_within_a_run() -> None:
    coach = Device()
    for number in range(1, 13):
        coach.tell("make", number, who="1", zone="rim")
    one = run_rows(fold(opening_of(), coach.told))
    log = season([one])
    for player in log.players:
        (spots,) = spots_of(log, player)
        assert longest_same_spot(log, player) == longest_same(spots)
        assert len(spots) == log.turns_of("role")[player, "offence"]
    assert longest_same(["top", "wing", "wing", "wing", "top"]) == 3
