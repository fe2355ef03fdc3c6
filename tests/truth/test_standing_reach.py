"""Standing reach over height against published tables.

Sources: Gryko et al. 2022 (904 club girls, table of the paper, read); a table of draft
measurements of professional men by position, published in 2013 (secondary).
"""

from __future__ import annotations

import pytest

from courtwright.floor.presets import preset
from courtwright.vocabulary import Level

TABLE = [
    ("girls U13, cm", 165.3, 220.6),
    ("girls U14, cm", 167.7, 223.5),
    ("girls U15, cm", 167.8, 223.3),
    ("men, lead guards, inches", 73.2, 97.6),
    ("men, guards, inches", 75.8, 100.8),
    ("men, wings, inches", 78.6, 104.8),
    ("men, forwards, inches", 79.7, 107.1),
    ("men, centres, inches", 81.8, 109.7),
]


@pytest.mark.parametrize("level", Level)
@pytest.mark.parametrize(("who", "height", "reach"), TABLE, ids=[row[0] for row in TABLE])
def test_reach_lies_in_the_range_of_every_level(level: Level, who: str, height: float, reach: float) -> None:
    figure = preset(level)["standing_reach_ratio"]

    assert figure.low <= reach / height <= figure.high
    assert reach == pytest.approx(figure.mid * height, rel=0.012)
