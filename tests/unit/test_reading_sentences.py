"""What a reading may say, on planted numbers."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from courtwright.game.moment import Moment
from courtwright.reading import sentences as said
from courtwright.reading.estimate import estimate, sure_sign
from courtwright.reading.prepare import setting
from courtwright.reading.result import Raw, Reading
from courtwright.vocabulary import Level

SETS = 100
FIGURES = {"1": (0.0, 6.8), "2": (-6.9, 0.2), "X1": (0.0, 5.4), "X2": (-2.5, 1.0)}
MOMENT = Moment.model_validate(
    {"name": "m", "ball": "1", "figures": [{"figure": figure, "at": at} for figure, at in FIGURES.items()]}
)


def planted(
    *,
    worth: tuple[float, float, float, float] = (0.8, 0.8, 0.8, 0.8),
    never: float = 0.8,
    rim: tuple[float, float, float, float] = (0.5, 0.5, 3.0, 0.5),
    left: float = 3.0,
    held: float = 0.5,
    gap: float = 1.5,
    noise: float = 0.0,
) -> Reading:
    """A reading whose arrays are made up: the same in every set, plus noise that flips signs."""
    sets = setting(MOMENT, level=Level.U16, sets=SETS)
    wave = noise * np.where(np.arange(SETS) % 2, 1.0, -1.0)
    rows = np.zeros((SETS, 2, 4, 5))
    rows[:, 1, :, 0] = rows[:, 1, :, 1] = np.array(worth) + wave[:, None] * np.array([1.0, 0, 0, 0])
    rows[:, 1, :, 2], rows[:, 1, :, 3] = rim, left
    drive = np.tile(np.array([held, 1.0, 2.0, never, min(worth), min(*worth, never), 2.0]), (SETS, 1))
    shot = np.tile(np.array([gap, 0.3, 0.8]), (SETS, 1))
    passes = np.tile(np.array([gap, 0.3, 0.03, 0.8]), (SETS, 2, 1))
    return Reading(sets, Raw(shot, passes, drive, rows, np.full(SETS, 0.9)))


def test_a_sign_needs_nine_of_ten_and_three_hundredths() -> None:
    mixed = np.where(np.arange(100) < 89, 0.1, -0.1)
    agreed = np.where(np.arange(100) < 90, 0.1, -0.1)

    assert sure_sign(mixed) == 0
    assert sure_sign(agreed) == 1
    assert sure_sign(-agreed) == -1
    assert sure_sign(np.full(100, 0.029)) == 0


def test_an_estimate_is_the_mean_and_the_middle_eight_of_ten() -> None:
    value = estimate(np.arange(101.0), "u")

    assert (value.mean, value.low, value.high) == (50.0, 10.0, 90.0)


@pytest.mark.parametrize(
    ("gap", "told"),
    [(0.6, "within an arm's length"), (1.4, "more than an arm's length"), (0.85, "could go either way")],
)
def test_the_shot(gap: float, told: str) -> None:
    assert told in said.shot_sentence(planted(gap=gap))


@pytest.mark.parametrize(
    ("held", "told"),
    [(0.3, "more likely beaten than not"), (0.5, "could go either way"), (0.8, "more likely holds the drive than not")],
)
def test_the_drive_is_a_word_and_never_a_share(held: float, told: str) -> None:
    sentence = said.drive_sentence(planted(held=held))

    assert told in sentence
    assert not any(sign.isdigit() for sign in sentence)


def test_help_says_who_is_in_time_and_what_is_left() -> None:
    sentence = said.help_sentence(planted(worth=(0.9, 0.8, 0.95, 0.8), never=1.0), 1)

    assert sentence.startswith("X2 is in time on dribble 1 or 2 or when beaten; late on dribble 3.")
    assert "he leaves 2 about 3 m, more than an arm's length" in sentence
    assert "dribble 2 and when beaten are about level" in sentence


def test_a_single_best_row_is_named_only_if_it_is_best_in_half_of_the_sets() -> None:
    clear = planted(worth=(0.7, 0.8, 0.9, 0.85), never=1.0)
    doubtful = planted(worth=(0.795, 0.84, 0.9, 0.85), never=0.86, noise=0.08)

    assert "dribble 1 is best" in said.help_sentence(clear, 1)
    rows = doubtful.rows(1)
    assert max(row.best_share for row in rows) <= 0.5 or "cannot be said" not in said.help_sentence(doubtful, 1)


def test_a_gap_that_may_be_within_reach_is_not_called_open() -> None:
    assert "more than an arm's length" not in said.help_sentence(planted(left=0.8), 1)


def test_early_help_against_a_known_shooter() -> None:
    dear, free, either = (
        planted(worth=(first, 0.8, 0.9, 0.85), noise=noise) for first, noise in ((0.9, 0.0), (0.7, 0.0), (0.82, 0.1))
    )

    assert "costs 0.10 a chance" in said.early_sentence(dear, 1, shooter_known=True)
    assert "gains 0.10 a chance" in said.early_sentence(free, 1, shooter_known=True)
    assert "could go either way" in said.early_sentence(either, 1, shooter_known=True)


def test_an_unknown_shooter_shows_both_sides_of_the_flip(monkeypatch: pytest.MonkeyPatch) -> None:
    curve = {share: np.full(SETS, share - 0.3) for share in (0.2, 0.25, 0.3, 0.35, 0.4, 0.45)}
    monkeypatch.setattr(Reading, "switch", lambda self, helper: curve)

    sentence = said.early_sentence(planted(), 1)

    assert sentence == (
        "Against a shooter who makes 30% or fewer, dribble 1 has no sure cost; "
        "against one who makes 35% or more it costs 0.05 a chance."
    )


def test_a_man_inside_the_arc_has_no_flip(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Reading, "switch", lambda self, helper: None)

    assert "could go either way" in said.early_sentence(planted(), 1)


def test_never_helping() -> None:
    assert said.never_sentence(planted(never=0.9)) == "Never helping costs 0.10 a chance."
    assert "could go either way" in said.never_sentence(planted(never=0.81))


def test_a_pause() -> None:
    losses: dict[float, Any] = {0.25: np.full(SETS, 0.01), 0.5: np.full(SETS, 0.1), 1.0: np.full(SETS, 0.2)}

    assert said.pause_sentence(losses).startswith("A pause of 0.5 s costs 0.10 a chance")
    assert "no sure cost" in said.pause_sentence({0.5: np.zeros(SETS)})


def test_passes() -> None:
    assert said.pass_sentence(planted(gap=2.1)) == "On a pass now 2 has about 2 m: more than an arm's length."
    assert "Nobody is sure" in said.pass_sentence(planted(gap=0.7))
