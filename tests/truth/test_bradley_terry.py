"""Paired results: the American League East of 1987, to the digits that are printed.

Source: Agresti 2002, Categorical Data Analysis, table 10.11, through the tests and data of an R package for the
model: abilities and standard errors to two digits, deviances 44.053 on 36 and 38.643 on 35 degrees of freedom, home
.302 (standard error .131). Third digits and the log-likelihood: computed by us with statsmodels 0.15.0.
"""

from __future__ import annotations

import numpy as np
import pytest

from courtwright.errors import WordError
from courtwright.review.paired import Meeting, paired

TABLE = """
Mil: Det 4-3 Tor 4-2 NY 4-3 Bos 6-1 Cle 4-2 Bal 6-0
Det: Mil 3-3 Tor 4-2 NY 4-3 Bos 6-0 Cle 6-1 Bal 4-3
Tor: Mil 2-5 Det 4-3 NY 2-4 Bos 4-3 Cle 4-2 Bal 6-0
NY: Mil 3-3 Det 5-1 Tor 2-5 Bos 4-3 Cle 4-2 Bal 6-1
Bos: Mil 5-1 Det 2-5 Tor 3-3 NY 4-2 Cle 5-2 Bal 6-0
Cle: Mil 2-5 Det 3-3 Tor 3-4 NY 4-3 Bos 4-2 Bal 2-4
Bal: Mil 2-5 Det 1-5 Tor 1-6 NY 2-4 Bos 1-6 Cle 3-4
"""


def league() -> list[Meeting]:
    rows = []
    for line in TABLE.strip().splitlines():
        home, _, rest = line.partition(": ")
        words = rest.split()
        for away, score in zip(words[::2], words[1::2], strict=True):
            won, lost = map(float, score.split("-"))
            rows.append(Meeting(home, away, won, lost))
    return sorted(rows, key=lambda row: (row.home != "Bal", row.home))


def test_without_a_home_term() -> None:
    fit = paired(league())
    ability = dict(zip(fit.sides, fit.ability, strict=True))
    printed = {"Cle": 0.684, "Bos": 1.108, "NY": 1.248, "Tor": 1.294, "Det": 1.436, "Mil": 1.581, "Bal": 0.0}
    assert {name: round(float(value), 3) for name, value in ability.items()} == printed
    assert round(fit.deviance, 3) == 44.053
    assert fit.free == 36
    errors = np.sqrt(np.diag(fit.covariance))[1:]
    assert np.all(np.abs(errors - 0.33) < 0.02)


def test_with_a_home_term() -> None:
    fit = paired(league(), home=True)
    assert (round(fit.home, 3), round(fit.home_se, 3)) == (0.302, 0.131)
    assert round(fit.deviance, 3) == 38.643
    assert fit.free == 35
    printed = {"Mil": 0.220, "Det": 0.190, "Tor": 0.164, "NY": 0.157, "Bos": 0.137, "Cle": 0.088, "Bal": 0.044}
    assert {name: round(worth, 3) for name, worth in fit.worths().items()} == printed


def test_the_log_likelihood() -> None:
    assert round(paired(league()).log_likelihood, 3) == -64.259


def test_who_has_lost_every_meeting_is_too_early_to_place_without_a_prior() -> None:
    rows = [Meeting("Ada", "Bex", 3, 1), Meeting("Bex", "Cleo", 2, 0)]
    with pytest.raises(WordError, match="too early"):
        paired(rows)
    fit = paired(rows, prior_sd=1.0)
    assert fit.above("Ada", "Cleo") > 0.5
    assert abs(fit.ability.sum()) < 1e-9


def test_order_is_even_after_even_results() -> None:
    fit = paired([Meeting("Ada", "Bex", 4, 4)])
    assert fit.above("Ada", "Bex") == pytest.approx(0.5)


def test_meetings_that_were_not_held_say_nothing() -> None:
    held = [Meeting("Ada", "Bex", 2, 1)]
    assert paired([*held, Meeting("Bex", "Ada", 0, 0)]).ability[1] == pytest.approx(-np.log(2))
    assert paired([Meeting("Bex", "Ada", 0, 0), *held]).sides == ("Ada", "Bex")


def test_where_the_place_decides_everything_it_is_too_early() -> None:
    rows = [Meeting("Ada", "Bex", 4, 0), Meeting("Bex", "Ada", 4, 0)]
    with pytest.raises(WordError, match="too early"):
        paired(rows, home=True)
    assert paired(rows, home=True, prior_sd=1.0).home > 1
    with pytest.raises(WordError, match="too early"):
        paired([])
