"""What a player's own height, splits, tests and grade do to his figures."""

from __future__ import annotations

import math

import numpy as np
import pytest

from courtwright.engine import plain
from courtwright.floor import body as its
from courtwright.floor.fitting import Refusal
from courtwright.floor.movement import run_time_s
from courtwright.floor.presets import FIGURES, FIRST_FIGURES, fixed_quantiles, latin_hypercube, preset
from courtwright.floor.shots import make_chance
from courtwright.squad import Player, Shots, Squad, assumptions
from courtwright.squad.assume import REFUSED
from courtwright.squad.demo import DEMO_SQUAD
from courtwright.squad.measured import GRADE_LOGIT, TEST_DISTANCE_M, Measured, measured, open_logit, sprint_of
from courtwright.trial.parameters import PARAMETERS, quantile_sets
from courtwright.vocabulary import Level, Zone

U16 = preset(Level.U16)


def squad(*players: Player, level: Level = Level.U16) -> Squad:
    return Squad(name="A", level=level, players=players)


def sprinter(top: float, tau_s: float, distances_m: tuple[float, ...], head_m: float = 0.4) -> Player:
    """A player who sprints so, timed at gates from a moving start."""
    run = plain(run_time_s)
    before_s = run(head_m, 0.0, top, tau_s)
    return Player(name="Ada", splits_s={d: run(d + head_m, 0.0, top, tau_s) - before_s for d in distances_m})


def shooter(name: str, zone: Zone, makes: int, attempts: int, grade: int | None = None) -> Player:
    return Player(name=name, grade=grade, shooting={zone: Shots(makes=makes, attempts=attempts)})


def figure(found: Measured, row: int, name: str) -> tuple[float, float]:
    place = FIGURES.index(name)
    return float(found.mid[row, place]), float(found.spread[row, place])


# --- without measurements


def test_a_bare_player_is_the_preset() -> None:
    found = measured(squad(Player(name="Ada"), Player(name="Bex", level=Level.MEN)))

    assert np.array_equal(found.mid[0], U16.mids())
    assert np.array_equal(found.mid[1], preset(Level.MEN).mids())
    quantiles, _ = quantile_sets()
    assert np.array_equal(found.drawn(quantiles)[:, 0], U16.drawn(quantiles))


def test_height_is_taken_as_it_is_and_the_grade_moves_the_shots() -> None:
    found = measured(squad(Player(name="Ada", height_cm=171, grade=5)))

    assert figure(found, 0, "height_cm") == (171, 0)
    for name in ("rim_logit", "mid_logit", "three_logit"):
        assert figure(found, 0, name) == pytest.approx((U16[name].mid + 2 * GRADE_LOGIT, U16[name].spread))


def test_only_those_who_are_here_unless_asked_for() -> None:
    ada, bex = Player(name="Ada", here=False, height_cm=160), Player(name="Bex", height_cm=170)

    assert measured(squad(ada, bex)).mid[:, its.HEIGHT].tolist() == [170]
    assert measured(squad(ada, bex), [bex, ada]).mid[:, its.HEIGHT].tolist() == [170, 160]
    assert measured(squad()).mid.shape == (0, len(FIGURES))


def test_a_figure_that_joined_later_moves_no_earlier_draw() -> None:
    """Trials and readings keep their parameter sets when a preset gains a figure."""
    figures, own = quantile_sets()
    before = latin_hypercube(len(figures), FIRST_FIGURES + len(PARAMETERS), seed=20260901)

    assert np.array_equal(np.hstack([figures[:, :FIRST_FIGURES], own]), before)
    assert figures.shape[1] == len(FIGURES) > FIRST_FIGURES
    assert fixed_quantiles(8, 3, seed=1)[1].shape == (8, 3)


# --- splits


def test_one_split_moves_a_little_and_five_nearly_ignore_the_preset() -> None:
    """A true V of 8.2 against a preset of 7.5 ± 0.5."""
    one, five = (measured(squad(sprinter(8.2, 1.15, gates))) for gates in ((10.0,), (5.0, 10.0, 15.0, 20.0, 30.0)))

    assert 7.5 < figure(one, 0, "top_speed_m_per_s")[0] < 7.75
    assert figure(five, 0, "top_speed_m_per_s")[0] == pytest.approx(8.2, abs=0.15)
    assert figure(one, 0, "top_speed_m_per_s")[1] > 0.35
    assert figure(five, 0, "top_speed_m_per_s")[1] < 0.2


@pytest.mark.parametrize("gates", [(10.0,), (5.0, 10.0, 20.0), (5.0, 10.0, 15.0, 20.0)])
def test_a_usual_player_of_the_level_stays_one(gates: tuple[float, ...]) -> None:
    """With both ways of allowing for the clock, splits of the preset itself give the preset back."""
    found = measured(squad(sprinter(7.5, 1.08, gates)))

    assert figure(found, 0, "top_speed_m_per_s")[0] == pytest.approx(7.5, abs=0.06)
    assert figure(found, 0, "sprint_time_constant_s")[0] == pytest.approx(1.08, abs=0.02)


def test_splits_touch_nothing_but_the_sprint() -> None:
    found, bare = measured(squad(sprinter(8.0, 1.1, (5.0, 10.0)))), measured(squad(Player(name="Ada")))

    changed = np.flatnonzero(found.mid[0] != bare.mid[0])
    assert sorted(changed) == sorted([its.TOP, its.TAU])


@pytest.mark.parametrize(
    ("splits_s", "refusal"),
    [
        ({20: 1.6, 40: 2.9, 60: 4.2}, Refusal.TOO_FAST),
        ({5: 2.4, 10: 4.4, 20: 8.4, 40: 16.4}, Refusal.TOO_SLOW),
        ({5: 0.55, 10: 1.15, 15: 1.75, 20: 2.4, 30: 3.6}, Refusal.TOO_SUDDEN),
        ({10: 2.0, 20: 4.2, 30: 4.7}, Refusal.NOT_ONE_RUN),
    ],
)
def test_what_cannot_be_is_refused_and_the_preset_kept(splits_s: dict[float, float], refusal: Refusal) -> None:
    ada = Player(name="Ada", splits_s=splits_s)
    fit = sprint_of(ada, Level.U16)

    assert fit is not None
    assert fit.refusal is refusal
    assert np.array_equal(measured(squad(ada)).mid[0], U16.mids())
    assert f"Timed sprints of Ada {REFUSED[refusal]}: not used, the preset holds." in assumptions(squad(ada))


def test_every_refusal_has_its_words() -> None:
    assert set(REFUSED) == {refusal.value for refusal in Refusal}


# --- shooting tests


@pytest.mark.parametrize("level", Level)
def test_a_test_is_held_against_the_level_s_open_shots(level: Level) -> None:
    """Nobody guards a test: what is expected in it is the model's chance with ten feet of room, off the catch."""
    kind = preset(level)
    three = open_logit(kind, Zone.THREE)
    offsets = [kind[name].mid for name in ("rim_logit", "mid_logit", "three_logit")]
    chance = make_chance(TEST_DISTANCE_M[Zone.THREE], 3.05, 1.0, True, kind["pressure_slope"].mid, *offsets)

    assert three == pytest.approx(math.log(chance / (1 - chance)))
    assert open_logit(kind, Zone.RIM) > open_logit(kind, Zone.MID) > three


def test_an_expected_score_changes_the_middle_little_and_narrows_the_range() -> None:
    share = 1 / (1 + math.exp(-open_logit(U16, Zone.THREE)))
    found = measured(squad(shooter("Ada", Zone.THREE, round(200 * share), 200)))

    mid, spread = figure(found, 0, "three_logit")
    assert mid == pytest.approx(U16["three_logit"].mid, abs=0.02)
    assert spread < 0.8 * U16["three_logit"].spread


def test_a_test_stands_in_for_the_grade_in_its_zone_only() -> None:
    graded, ungraded = (measured(squad(shooter("Ada", Zone.THREE, 12, 25, grade))) for grade in (5, None))

    assert figure(graded, 0, "three_logit") == figure(ungraded, 0, "three_logit")
    assert figure(graded, 0, "rim_logit")[0] == pytest.approx(figure(ungraded, 0, "rim_logit")[0] + 2 * GRADE_LOGIT)


def test_small_tests_say_little_and_long_ones_much() -> None:
    offsets = [
        figure(measured(squad(shooter("Ada", Zone.THREE, n // 2, n))), 0, "three_logit")[0] - U16["three_logit"].mid
        for n in (4, 50, 1000)
    ]

    raw = -open_logit(U16, Zone.THREE)  # log-odds of one half less what is expected
    assert 0 < offsets[0] < 0.05 < offsets[1] < offsets[2] < raw
    assert offsets[2] > 0.8 * raw


def test_team_mates_of_the_level_move_with_the_group_and_others_do_not() -> None:
    players = (
        shooter("Ada", Zone.THREE, 5, 50),
        shooter("Bex", Zone.THREE, 6, 50),
        Player(name="Cleo"),
        Player(name="Dot", level=Level.U14),
    )
    found = measured(squad(*players))
    off = [figure(found, row, "three_logit")[0] - U16["three_logit"].mid for row in range(3)]

    assert off[0] < off[1] < off[2] < 0.4 * off[0] < 0, "the two tests say nearly as much of the group as of the two"
    assert figure(found, 2, "three_logit")[1] < U16["three_logit"].spread
    assert figure(found, 3, "three_logit")[0] == preset(Level.U14)["three_logit"].mid


def test_tests_of_those_who_are_away_still_tell_what_the_group_is() -> None:
    ada, bex = shooter("Ada", Zone.MID, 5, 50), Player(name="Bex")
    away = ada.model_copy(update={"here": False})

    assert measured(squad(away, bex)).mid[0].tolist() == measured(squad(ada, bex)).mid[1].tolist()


def test_a_test_without_a_shot_is_none() -> None:
    none, bare = shooter("Ada", Zone.RIM, 0, 0, grade=4), Player(name="Ada", grade=4)

    assert np.array_equal(measured(squad(none)).mid, measured(squad(bare)).mid)
    assert assumptions(squad(none)) == assumptions(squad(bare))


# --- the whole


def test_the_demo_squad_is_moved_where_it_was_measured() -> None:
    found, level = measured(DEMO_SQUAD), np.array([preset(p.level or Level.U16).mids() for p in DEMO_SQUAD.here])
    names = [player.name for player in DEMO_SQUAD.here]

    faster = np.flatnonzero(found.mid[:, its.TOP] != level[:, its.TOP])
    assert [names[row] for row in faster] == ["Ada", "Cleo", "Effie"]
    assert names[int(np.argmax(found.mid[:, its.TOP]))] == "Cleo"
    others = [place for place in range(len(FIGURES)) if place not in (its.HEIGHT, its.TOP, its.TAU)]
    shots = [its.RIM_LOGIT, its.MID_LOGIT, its.THREE_LOGIT]
    untouched = [place for place in others if place not in shots]
    assert np.array_equal(found.mid[:, untouched], level[:, untouched])
