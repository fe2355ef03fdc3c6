"""Four factors and possessions of a box score, to the digits printed for a league's average.

Source: NBA 2017-18, league average per 100 possessions, and the factors printed beside it (.521, .130, .223, .193;
by definition 100 possessions). Formulas: Oliver 2004, through two explainer pages.
"""

from __future__ import annotations

import pytest

from courtwright.errors import DocumentError
from courtwright.review.box import FREE_THROWS_A_POSSESSION, Box, chances, four_factors, possessions, simple_possessions

LEAGUE = Box(87.92, 40.46, 10.71, 22.13, 16.98, 9.92, 34.52, 14.57)


def test_the_four_factors() -> None:
    told = four_factors(LEAGUE, LEAGUE.defensive_rebounds)
    assert told.shooting == pytest.approx(0.521, abs=6e-4)
    assert told.turnovers == pytest.approx(0.130, abs=6e-4)
    assert told.rebounds == pytest.approx(0.223, abs=6e-4)
    assert told.free_throws == pytest.approx(0.193, abs=6e-4)
    assert told.to_json() == {"shooting": 0.5211, "turnovers": 0.1298, "rebounds": 0.2232, "free_throws": 0.1931}


def test_possessions_and_points_a_possession() -> None:
    played = possessions(LEAGUE, LEAGUE)
    assert played == pytest.approx(100, abs=0.05)
    assert LEAGUE.points == pytest.approx(108.62, abs=0.02)
    assert LEAGUE.points / played == pytest.approx(1.086, abs=6e-4)


@pytest.mark.parametrize(("who", "expected"), [("Oliver", 101.43), ("common", 102.31), ("college", 103.09)])
def test_the_simple_estimate_counts_a_little_too_many(who: str, expected: float) -> None:
    assert simple_possessions(LEAGUE, FREE_THROWS_A_POSSESSION[who]) == pytest.approx(expected, abs=0.011)


def test_both_sides_have_the_same_possessions() -> None:
    other = Box(70, 30, 5, 10, 7, 12, 25, 20)
    assert possessions(LEAGUE, other) == possessions(other, LEAGUE)


def test_chances_of_three_on_three() -> None:
    assert chances(ones=14, twos=9, free_throws=5, extra_shots=1, turnovers=6) == 33


def test_no_shots_give_no_share() -> None:
    told = four_factors(Box(0, 0, 0, 0, 0, 0, 0, 0), 0)
    assert set(told.to_json().values()) == {None}
    assert possessions(Box(0, 0, 0, 0, 0, 0, 0, 0), Box(0, 0, 0, 0, 0, 0, 0, 0)) == 0


def test_everything_wrong_with_a_line_is_said_at_once() -> None:
    with pytest.raises(DocumentError) as caught:
        Box(10, 11, 12, 2, 3, -1, 0, 0)
    assert [item.place for item in caught.value.problems] == [
        "offensive rebounds",
        "makes",
        "threes",
        "free throws made",
    ]
