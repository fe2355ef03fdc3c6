"""What a reading may say, on planted numbers: said, either way, or withheld."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from courtwright.game.moment import Moment
from courtwright.reading import full_json, more_json, read_moment, without_chances
from courtwright.reading import sentences as said
from courtwright.reading.estimate import estimate, sure_sign
from courtwright.reading.prepare import setting
from courtwright.reading.result import Raw, Reading
from courtwright.reading.switch import SHARES, crossing_of
from courtwright.vocabulary import Level

SETS = 100
HALF = np.where(np.arange(SETS) % 2, 1.0, -1.0)
"""Half of the sets one way, half the other."""
FIGURES = {"1": (0.0, 6.8), "2": (-6.9, 0.2), "X1": (0.0, 5.4), "X2": (-2.5, 1.0)}
MOMENT = Moment.model_validate(
    {"name": "m", "ball": "1", "figures": [{"figure": figure, "at": at} for figure, at in FIGURES.items()]}
)
Four = tuple[float, float, float, float]
Array = np.ndarray[Any, np.dtype[np.float64]]


def planted(
    *,
    worth: Four = (0.8, 0.8, 0.8, 0.8),
    never: float = 0.8,
    rim: Four = (0.5, 0.5, 3.0, 0.5),
    left: float = 3.0,
    held: float = 0.5,
    gap: float = 1.5,
    noise: float = 0.0,
    touches: float = 3.0,
    level: Level = Level.U16,
) -> Reading:
    """A reading whose arrays are made up: the same in every set; ``noise`` moves row 1 up and down by turns."""
    sets = setting(MOMENT, level=level, sets=SETS)
    rows = np.zeros((SETS, 2, 4, 5))
    rows[:, 1, :, 0] = rows[:, 1, :, 1] = np.array(worth) + noise * HALF[:, None] * np.array([1.0, 0, 0, 0])
    rows[:, 1, :, 2], rows[:, 1, :, 3] = rim, left
    drive = np.tile(np.array([held, 1.0, 2.0, never, min(worth), min(*worth, never), touches]), (SETS, 1))
    shot = np.tile(np.array([gap, 0.3, 0.8]), (SETS, 1))
    passes = np.tile(np.array([gap, 0.3, 0.03, 0.8]), (SETS, 2, 1))
    return Reading(sets, Raw(shot, passes, drive, rows, np.full(SETS, 0.9)))


def agreed(sets: int, size: float = 0.1) -> Array:
    """A difference of that size with this sign in so many sets, and with the other sign in the rest."""
    return np.where(np.arange(SETS) < sets, size, -size)


# --- the rule: nine of ten and three hundredths ---------------------------------------------------------------------


def test_a_sign_needs_nine_of_ten_and_three_hundredths() -> None:
    assert sure_sign(agreed(89)) == 0
    assert sure_sign(agreed(90)) == 1
    assert sure_sign(-agreed(90)) == -1
    assert sure_sign(np.full(SETS, 0.029)) == 0
    assert sure_sign(np.full(SETS, 0.031)) == 1
    assert sure_sign(np.zeros(SETS)) == 0


def test_an_estimate_is_the_mean_and_the_middle_eight_of_ten() -> None:
    values = np.random.default_rng(1).normal(size=137)

    value = estimate(values, "u")

    assert (value.mean, value.low, value.high) == tuple(
        round(float(part), 4) for part in (values.mean(), *np.quantile(values, [0.1, 0.9]))
    )


@pytest.mark.parametrize(
    ("values", "words"),
    [
        (np.full(SETS, 0.1), "about 0.10 points a chance"),
        (np.linspace(0.0, 0.2, SETS), "about 0.10 (0.00 to 0.20) points a chance"),
        (np.linspace(-0.021, 0.13, SETS), "about 0.05 (0.00 to 0.10) points a chance"),
        (np.linspace(-0.1, 0.1, SETS), "about 0.00 (−0.10 to 0.10) points a chance"),
    ],
)
def test_points_are_said_to_the_twentieth_and_never_less_than_nothing(values: Array, words: str) -> None:
    assert said.points_words(values) == words


@pytest.mark.parametrize(("value_m", "words"), [(0.84, "0.8 m"), (1.96, "2.0 m"), (2.2, "2 m"), (2.8, "3 m")])
def test_metres_are_said_to_the_half_from_two_on(value_m: float, words: str) -> None:
    assert said.metres(value_m) == words


# --- the shot and the passes ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gap", "told"),
    [
        (0.6, "0.6 m away at the release, within an arm's length."),
        (1.4, "1.4 m away at the release, more than an arm's length."),
        (0.77, "0.8 m away at the release; whether that is an arm's length could go either way."),
    ],
)
def test_the_shot(gap: float, told: str) -> None:
    assert said.shot_sentence(planted(gap=gap)) == f"If 1 shoots now, the nearest defender is {told}"


def test_an_arm_is_as_long_as_the_defenders_are_tall() -> None:
    """.44 of height: .66 m for the youngest, .84 m for grown men."""
    assert "more than" in said.shot_sentence(planted(gap=0.75, level=Level.U12))
    assert "within" in said.shot_sentence(planted(gap=0.75, level=Level.MEN))


def test_passes() -> None:
    assert said.pass_sentence(planted(gap=2.1)) == "On a pass now 2 has about 2 m: more than an arm's length."
    assert said.pass_sentence(planted(gap=0.7)) == "On a pass now nobody is sure to have more than an arm's length."


def test_several_open_mates_are_listed() -> None:
    places = FIGURES | {"3": (6.9, 0.2), "4": (5.0, 5.0), "X3": (3.0, 1.0), "X4": (3.0, 3.0)}
    figures = [{"figure": figure, "at": at} for figure, at in places.items()]
    reading = read_moment(Moment.model_validate({"name": "m", "ball": "1", "figures": figures}), sets=4)
    reading.raw.passes[:, :, 0] = 2.1

    assert said.pass_sentence(reading) == (
        "On a pass now 2 has about 2 m, 3 has about 2 m and 4 has about 2 m: more than an arm's length."
    )


# --- the drive ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("held", "told"),
    [
        (0.3, "The defender on the ball is more likely beaten than not; how likely is not known."),
        (0.5, "Whether the defender on the ball holds the drive could go either way."),
        (0.8, "The defender on the ball more likely holds the drive than not; how likely is not known."),
    ],
)
def test_the_drive_is_a_word_and_never_a_share(held: float, told: str) -> None:
    assert said.drive_sentence(planted(held=held)) == told


def test_a_ball_that_nobody_guards() -> None:
    figures = [{"figure": "1", "at": "top"}, {"figure": "2", "at": "left corner"}]
    alone = [*figures, {"figure": "X2", "at": [-2.0, 1.0], "guards": "2"}]
    reading = read_moment(Moment.model_validate({"name": "m", "ball": "1", "figures": alone}), sets=4)

    assert said.drive_sentence(reading) == "Nobody guards the ball."
    assert np.all(reading.raw.drive[:, 0] == 0.0)


# --- help -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rim", "told"),
    [
        ((0.5, 0.5, 3.0, 0.5), "X2 is in time on dribble 1 or 2 or when beaten; late on dribble 3."),
        ((0.5, 0.5, 0.5, 0.5), "X2 is in time on dribble 1, 2 or 3 or when beaten."),
        ((3.0, 3.0, 3.0, 3.0), "X2 is late on dribble 1, 2 or 3 or when beaten."),
    ],
)
def test_help_says_when_he_is_in_time(rim: Four, told: str) -> None:
    assert said.help_sentence(planted(rim=rim), 1).startswith(told)


@pytest.mark.parametrize(
    ("near", "word"),
    [(90, "in time on dribble 1"), (89, "on dribble 1 it could go either way"), (10, "late on dribble 1")],
)
def test_in_time_needs_nine_sets_of_ten(near: int, word: str) -> None:
    reading = planted()
    reading.raw.rows[:, 1, 0, 2] = np.where(np.arange(SETS) < near, 0.5, 3.0)

    sentence = said.help_sentence(reading, 1)

    assert word in sentence.replace(" or when", " when")


def test_a_dribble_that_no_drive_has_is_not_spoken_of() -> None:
    two, one = (said.help_sentence(planted(touches=touches), 1) for touches in (2.0, 1.0))

    assert "dribble 3" not in two
    assert "The drive has two dribbles at most." in two
    assert "dribble 2" not in one
    assert "The drive has one dribble at most." in one
    assert "The drive has" not in said.help_sentence(planted(touches=3.0), 1)


def test_the_gap_he_leaves_is_said_only_where_it_is_sure_to_be_open() -> None:
    assert "On dribble 1 he leaves 2 about 3 m, more than an arm's length." in said.help_sentence(planted(), 1)
    assert "arm's length" not in said.help_sentence(planted(left=0.77), 1)


@pytest.mark.parametrize(
    ("worth", "never", "told"),
    [
        ((0.7, 0.8, 0.9, 0.85), 1.0, "Helping alone, leaving on dribble 1 is best."),
        ((0.9, 0.8, 0.95, 0.82), 1.0, "Helping alone, these are about level: leaving on dribble 2 or when beaten."),
        ((0.9, 0.8, 0.81, 0.82), 0.82, "leaving on dribble 2 or 3, when beaten or never."),
        ((0.8, 0.8, 0.8, 0.8), 0.8, "Helping alone, it is about level when he leaves, or whether he does."),
        ((0.9, 0.9, 0.9, 0.9), 0.8, "Staying with his man is best."),
    ],
)
def test_rows_within_three_hundredths_of_the_best_are_equals(worth: Four, never: float, told: str) -> None:
    assert said.help_sentence(planted(worth=worth, never=never), 1).endswith(told)


def test_a_single_row_is_not_called_best_if_it_is_best_in_under_half_of_the_sets() -> None:
    """Best on average by .05, but in 60 sets of 100 another row is better; that one's share must not vouch for it."""
    reading = planted(worth=(0.8, 0.86, 0.95, 0.95), never=1.0)
    reading.raw.rows[:, 1, 0, 0] = np.where(np.arange(SETS) < 60, 0.88, 0.68)

    assert reading.rows(1)[1].best_share == 0.6
    assert said.help_sentence(reading, 1).endswith("Which moment is best cannot be said.")


def test_best_shares_add_up() -> None:
    reading = planted(worth=(0.8, 0.81, 0.82, 0.8), never=0.8, noise=0.05)

    assert sum(row.best_share for row in reading.rows(1)) + reading.never_best_share(1) == pytest.approx(1.0)


# --- early help and the shooter -------------------------------------------------------------------------------------


def test_early_help_against_a_known_shooter() -> None:
    dear, free, either = (
        planted(worth=(first, 0.8, 0.9, 0.85), noise=noise) for first, noise in ((0.9, 0.0), (0.7, 0.0), (0.82, 0.1))
    )

    assert said.early_sentence(dear, 1, shooter_known=True) == (
        "Against 2, leaving on dribble 1 costs about 0.10 points a chance."
    )
    assert said.early_sentence(free, 1, shooter_known=True) == (
        "Against 2, leaving on dribble 1 gains about 0.10 points a chance."
    )
    assert said.early_sentence(either, 1, shooter_known=True) == (
        "Against 2, leaving on dribble 1 or later could go either way."
    )


def with_curve(monkeypatch: pytest.MonkeyPatch, curve: dict[float, Array] | None) -> Reading:
    monkeypatch.setattr(Reading, "switch", lambda self, helper: curve)
    return planted()


def test_an_unknown_shooter_shows_both_sides_of_the_flip(monkeypatch: pytest.MonkeyPatch) -> None:
    reading = with_curve(monkeypatch, {share: np.full(SETS, share - 0.3) for share in SHARES})

    assert said.early_sentence(reading, 1) == (
        "If 2 makes 30 % of his open threes or fewer, leaving on dribble 1 has no sure cost; "
        "at 35 % it costs about 0.05 points a chance."
    )


@pytest.mark.parametrize(
    ("cost", "told"),
    [
        (0.0, "Whatever share of open threes 2 makes, leaving on dribble 1 has no sure cost."),
        (0.1, "Whatever share of open threes 2 makes, leaving on dribble 1 costs: at 20 % about 0.10 points a chance."),
    ],
)
def test_a_shooter_who_makes_no_difference(monkeypatch: pytest.MonkeyPatch, cost: float, told: str) -> None:
    assert said.early_sentence(with_curve(monkeypatch, {share: np.full(SETS, cost) for share in SHARES}), 1) == told


def test_what_the_sets_do_not_agree_on_is_no_cost(monkeypatch: pytest.MonkeyPatch) -> None:
    curve = {share: agreed(95 if share > 0.4 else 80) for share in SHARES}

    assert "40 % of his open threes or fewer" in said.early_sentence(with_curve(monkeypatch, curve), 1)


def test_a_man_inside_the_arc_has_no_flip(monkeypatch: pytest.MonkeyPatch) -> None:
    reading = with_curve(monkeypatch, None)

    assert said.early_sentence(reading, 1) == (
        "2 is left inside the arc: what early help costs there could go either way."
    )
    assert reading.crossing(1) is None
    assert more_json(reading)["crossing"] == {"X2": None}


# --- where the switch crosses ---------------------------------------------------------------------------------------


def test_the_crossing_is_read_off_each_set() -> None:
    """Set k costs .03 at .30 + k/1000: the middle is the middle set's, the ends those of the tenth and ninetieth."""
    at = 0.30 + np.arange(SETS) / 1000
    found = crossing_of({share: share - at + 0.03 for share in SHARES})

    assert (found.low, found.middle, found.high) == (0.31, 0.35, 0.389)
    assert (found.dear_at_once, found.free_always) == (0.0, 0.0)


def test_an_end_off_the_curve_is_left_open() -> None:
    at = np.where(np.arange(SETS) < 30, 0.1, np.where(np.arange(SETS) < 75, 0.325, 0.9))
    found = crossing_of({share: share - at + 0.03 for share in SHARES})

    assert (found.low, found.middle, found.high) == (None, 0.325, None)
    assert (found.dear_at_once, found.free_always) == (0.3, 0.25)
    assert found.to_json()["unit"] == "share of open threes made"


# --- never, pauses, the young ---------------------------------------------------------------------------------------


def test_never_helping() -> None:
    assert said.never_sentence(planted(never=0.9)) == "Never helping costs about 0.10 points a chance."
    assert said.never_sentence(planted(never=0.82)) == "Whether helping at all pays could go either way."


def test_a_pause() -> None:
    losses: dict[float, Array] = {0.25: np.full(SETS, 0.01), 0.5: np.full(SETS, 0.1), 1.0: np.full(SETS, 0.2)}

    assert said.pause_sentence(losses) == (
        "A pause of 0.5 s costs about 0.10 points a chance: the defence arrives. Help that loads up is not counted."
    )
    assert said.pause_sentence({0.5: np.zeros(SETS)}) == "A pause after the catch has no sure cost here."
    assert said.pause_sentence({0.5: agreed(85)}) == "A pause after the catch has no sure cost here."


def test_the_youngest_make_chances_are_withheld_with_a_note() -> None:
    data = without_chances(full_json(read_moment(MOMENT, level=Level.U12, sets=8)))

    for read in (data["shot"], *data["passes"]):
        assert read["chance"]["mean"] is read["chance"]["low"] is read["chance"]["high"] is None
        assert "U12" in read["chance"]["unit"]
    assert data["shot"]["worth"]["mean"] > 0


def test_nothing_is_said_of_charges() -> None:
    data = full_json(read_moment(MOMENT, level=Level.MEN, sets=8))

    assert "charge" not in str(data)
    assert "offensive foul" not in str(data)
