"""Every rule the trial plays changes what is chosen, or is paid for: the same seed with and without it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from tests.unit.test_trial_kernels import COUNTED, plan_for, small_game, total

from courtwright.engine import plain
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.document import Constraint, Game, PointRule, Teams
from courtwright.game.points import POINT_RULES
from courtwright.game.starters import starters
from courtwright.rota import plan_rota
from courtwright.squad import Player, Squad
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial import run_trial
from courtwright.trial.acts import break_rule
from courtwright.trial.driving import finish_worth
from courtwright.trial.earned import all_boxed_out, next_streak
from courtwright.trial.layout import EVENTS, World
from courtwright.trial.limits import drive_rule_broken, shot_rule_broken
from courtwright.trial.prepare import left_to_the_eye, plan_trial, played
from courtwright.trial.runs import Plan, Results, empty_results, new_world, play_possession, play_run, play_runs
from courtwright.trial.shooting import release_shot
from courtwright.vocabulary import Level

SHOTS = ("attempt_rim", "attempt_mid", "attempt_three")
LIMITED: dict[str, tuple[str, float]] = {
    "no rim shots": ("attempt_rim", 0.02),
    "no mid-range": ("attempt_mid", 0.12),  # a driver who is stopped short lets go where he may not
    "no threes": ("attempt_three", 0.02),
}
"""What is then not counted, and the most breaches per possession."""


def limited(*items: dict[str, Any], side: int = 3, runs: int = 60, **parts: Any) -> Results:
    constraints = [Constraint.model_validate(item) for item in items]
    return play_runs(plan_for(small_game(side, constraints=constraints, **parts)), runs)


def paid(rule: str, points: int, *, side: int = 3, runs: int = 100) -> tuple[Results, Results]:
    """With and without the point rule, both beside baskets by the court."""
    ruled = small_game(side, points=[*COUNTED, PointRule(rule=rule, points=points)])
    return play_runs(plan_for(ruled), runs), play_runs(plan_for(small_game(side)), runs)


def each(results: Results, *names: str) -> float:
    return total(results, *names) / total(results, "possessions")


@pytest.fixture(scope="module")
def free() -> Results:
    return play_runs(plan_for(small_game(3)), 100)


# --- where a shot may come from, and whose


@pytest.mark.parametrize("rule", LIMITED)
def test_a_forbidden_zone_is_shot_from_only_by_mistake(rule: str, free: Results) -> None:
    """Where a breach loses the ball no such shot is counted; breaches are few, as they are weighed beforehand."""
    shot, breaches = LIMITED[rule]
    results = limited({"rule": rule})

    assert total(results, shot) == 0 < total(free, shot)
    assert each(results, "violation_offence") < breaches
    assert each(results, *SHOTS) > 0.7 * each(free, *SHOTS)


def test_no_shot_from_the_paint_leaves_out_the_rim_and_part_of_what_lies_between(free: Results) -> None:
    results = limited({"rule": "no paint shots"})
    inside = shots_from(plan_with({"rule": "no paint shots"}))

    assert total(results, "attempt_rim") == 0
    assert total(results, "attempt_mid") > 0
    assert len(inside) > 100
    assert not any(abs(x_m) <= 2.45 and y_m <= 4.22 for x_m, y_m in inside)


def test_a_void_shot_from_the_paint_is_rare_and_never_scores(free: Results) -> None:
    results = limited({"rule": "no paint shots", "cost": "no points"})

    assert total(results, "make_rim") == 0
    assert 0 < each(results, "attempt_rim") < 0.2 * each(free, "attempt_rim")


def shots_from(plan: Plan, possessions: int = 300) -> list[tuple[float, float]]:
    """Where missed shots left the hand."""
    w, trace = new_world(plan), np.zeros((2000, 3 + 2 * plan.starts.shape[1]))
    places = []
    for possession in range(possessions):
        play_possession(w, plan, possession % 32, possession, possession % 40, trace)
        rows = trace[: w.row]
        released = np.flatnonzero(np.isin(rows[:-1, 1], (at.SHOOTING, at.FINISHING)) & (rows[1:, 1] == at.LOOSE))
        places += [tuple(rows[row, 3 + 2 * int(rows[row, 2]) :][:2].tolist()) for row in released]
    return places


def shots_by(results_of: Callable[[World], bool], plan: Plan, possessions: int = 400) -> list[int]:
    """Who shot, possession by possession, and only where the world says so."""
    w, trace = new_world(plan), np.zeros((2000, 3 + 2 * plan.starts.shape[1]))
    shooters = []
    for possession in range(possessions):
        play_possession(w, plan, possession % 32, possession, possession % 40, trace)
        rows = trace[: w.row]
        released = np.flatnonzero(np.isin(rows[:-1, 1], (at.SHOOTING, at.FINISHING)) & (rows[1:, 1] == at.LOOSE))
        if results_of(w):
            shooters += [int(rows[row, 2]) for row in released]
    return shooters


def plan_with(*items: dict[str, Any], **parts: Any) -> Plan:
    return plan_for(small_game(3, constraints=[Constraint.model_validate(item) for item in items], **parts))


def test_one_who_may_not_shoot_does_not() -> None:
    """Misses of figure 1, who starts with the ball: many without the limit, none with it."""
    plain = shots_by(lambda w: True, plan_with())
    bound = shots_by(lambda w: True, plan_with({"rule": "no shot", "figure": "1"}))

    assert plain.count(0) > 50
    assert bound.count(0) == 0
    assert len(bound) > 0.7 * len(plain)


def test_only_those_who_are_named_shoot() -> None:
    two = [{"rule": "may shoot", "figure": figure} for figure in ("2", "3")]

    assert set(shots_by(lambda w: True, plan_with(two[0]))) == {1}
    assert set(shots_by(lambda w: True, plan_with(*two))) == {1, 2}


def test_only_those_who_are_named_shoot_threes() -> None:
    """Possessions with a three and one shot: figure 2 took it, and without the limit all do."""
    once = at.ATTEMPT_THREE

    def by_three(w: World) -> bool:
        return bool(w.count[once] == 1 and w.count[at.ATTEMPT_RIM] + w.count[at.ATTEMPT_MID] == 0)

    assert set(shots_by(by_three, plan_with({"rule": "may shoot threes", "figure": "2"}))) == {1}
    assert set(shots_by(by_three, plan_with())) == {0, 1, 2}


def test_a_limit_of_one_figure_stands_in_place_of_the_sides() -> None:
    game = small_game(
        3,
        constraints=[
            Constraint(rule="dribbles", limit=0),
            Constraint(rule="dribbles", limit=2, figure="1", cost="again"),
            Constraint(rule="no threes", figure="3"),
        ],
    )
    plan = plan_for(game)

    assert plan.own[:3, at.DRIBBLES_EACH].tolist() == [2, 0, 0]
    assert plan.own_costs[:3, at.DRIBBLES_EACH].tolist() == [at.COST_AGAIN, at.COST_TURNOVER, at.COST_TURNOVER]
    assert plan.own[:3, at.NO_THREES].tolist() == [0, 0, 1]
    assert plan.rules[at.NO_THREES] == 0
    results = play_runs(plan, 60)
    assert 0 < each(results, "dribble") <= 2 * each(results, "drive")
    assert each(results, "drive") < 0.7 * each(limited({"rule": "dribbles", "limit": 2}), "drive")


def test_a_dribble_limit_of_one_changes_how_he_plays(free: Results) -> None:
    """The first holder may not dribble, so there are fewer drives."""
    results = limited({"rule": "dribbles", "limit": 0, "figure": "1"})

    assert each(results, "drive") < 0.7 * each(free, "drive")


def test_passes_first_for_one_figure_make_him_pass(free: Results) -> None:
    results = limited({"rule": "passes first", "limit": 1, "figure": "1"})

    assert each(results, "pass") > 1.2 * each(free, "pass")


def test_a_catch_clock_of_one_figure_is_his_alone() -> None:
    plan = plan_with({"rule": "catch clock", "limit": 0.3, "figure": "3"})

    assert plan.own[:3, at.CATCH_S].tolist() == [-1, -1, 0.3]


def test_nobody_drives_off_a_kick_out(free: Results) -> None:
    """With the limit more kick-outs are shot or passed on; drives that would break it are weighed as losses."""
    results = limited({"rule": "no drive off a drive"}, runs=100)

    assert each(results, "drive") < 0.95 * each(free, "drive")
    assert each(results, "extra_pass") > 1.15 * each(free, "extra_pass")
    assert each(results, "violation_offence") < 0.01


def test_the_rule_against_a_second_drive_ends_with_the_next_pass() -> None:
    w = new_world(plan_with({"rule": "no drive off a drive"}), compiled=False)
    w.holder, w.from_drive, w.used = 1, 1, 0
    broken = plain(drive_rule_broken)(w)
    w.from_drive = 0

    assert broken == at.NO_SECOND_DRIVE
    assert plain(drive_rule_broken)(w) == -1


def test_a_breach_costs_what_the_figure_is_asked() -> None:
    """Figure 2's threes cost a point to the defence, everybody's the ball."""
    ruled = [
        {"rule": "no threes"},
        {"rule": "no threes", "figure": "2", "cost": "point to the other side"},
    ]
    w = new_world(plan_with(*ruled), compiled=False)
    far = (6.0, 5.0)

    assert [plain(shot_rule_broken)(w, player, *far, 9) for player in range(3)] == [at.NO_THREES] * 3
    assert w.own_costs[:3, at.NO_THREES].tolist() == [at.COST_TURNOVER, at.COST_POINT, at.COST_TURNOVER]
    for holder, event in ((0, at.TURNOVER_VIOLATION), (1, at.POINT_TO_DEFENCE)):
        w.count[:] = 0
        w.holder = holder
        plain(break_rule)(w, at.NO_THREES)
        assert w.count[event] == w.count[at.VIOLATION_OFFENCE] == 1


# --- what points bring


@pytest.mark.parametrize(
    ("rule", "points", "event", "more"),
    [
        ("kick-out", 1, "kick_out_caught", 2.0),
        ("extra pass", 1, "extra_pass", 2.0),
        ("deflection", 2, "deflection", -1.5),
        ("box-out", 2, "box_out", -1.1),
        ("two stops in a row", 3, "stops_2", -1.08),
        ("three stops in a row", 5, "stops_3", -1.08),
    ],
)
def test_points_change_what_is_chosen_and_are_paid(rule: str, points: int, event: str, more: float) -> None:
    """What pays the offence is done so many times as often; what pays the defence so many times as rarely (minus)."""
    ruled, plain = paid(rule, points)
    often, before = each(ruled, event), each(plain, event)

    assert before > 0.01
    assert often > more * before if more > 0 else -more * often < before
    baskets = 2 * total(ruled, "make_rim", "make_mid") + 3 * total(ruled, "make_three")
    assert ruled.score.sum() == pytest.approx(baskets + points * total(ruled, event))


def test_extra_passes_come_off_kick_outs_that_were_caught(free: Results) -> None:
    assert 0 < total(free, "extra_pass") < total(free, "kick_out_caught") < total(free, "kick_out")
    assert total(limited({"rule": "dribbles", "limit": 0}), "extra_pass", "kick_out_caught") == 0


def test_deflections_to_steals_of_passes_are_in_the_loose_range(free: Results) -> None:
    """About 2 to 1 in professional play, every hand counted (secondary, loose): 1 to 3 held cuts each."""
    cuts = total(free, "steal") - total(free, "turnover_lost_ball")

    assert 1.0 < total(free, "deflection") / cuts < 3.0


def test_a_tipped_pass_comes_late() -> None:
    """With every risky pass tipped rather than cut, possessions last longer than with none."""
    plan = plan_for(small_game(3))
    lengths = []
    for tipped in (0.0, 20.0):
        models = plan.models.copy()
        models[:, par.TIPPED] = tipped
        results = play_runs(plan._replace(models=models), 60)
        lengths.append(each(results, "play_s"))

    assert lengths[1] > lengths[0] + 0.05


def helped_world(points: int) -> World:
    """A finish at the rim with the helper set in front of it."""
    charge = [PointRule(rule="charge", points=points)] if points else []
    plan = plan_for(small_game(2, points=[*COUNTED, *charge]))
    w = new_world(plan, compiled=False)
    w.model[:] = plan.models[0]
    w.model[par.OFFENSIVE_FOUL] = 1.0
    w.body[:4] = plan.bodies[0, :4]
    w.here[:4] = [(0.0, 1.4), (6.0, 3.0), (2.5, 3.5), (0.0, 0.9)]
    w.holder, w.helper, w.helping, w.mode = 0, 3, 1, at.FINISHING
    w.goal_x, w.goal_y = 0.0, 1.2
    return w


def test_a_finish_into_a_set_helper_is_a_charge() -> None:
    w = helped_world(points=1)
    with np.errstate(over="ignore"):  # the random numbers wrap around on purpose
        plain(release_shot)(w, True)

    assert w.count[at.CHARGE] == w.count[at.TURNOVER_OFFENSIVE_FOUL] == w.count[at.STOP] == 1


def test_a_driver_counts_with_the_charge_that_is_paid_for() -> None:
    free, dear = (plain(finish_worth)(helped_world(points=points), 0, 0.0) for points in (0, 3))

    assert free - dear == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("attacker", "held"), [((0.0, 3.0), True), ((0.0, 1.0), False)], ids=["his man is nearer", "he is nearer"]
)
def test_a_box_out_is_held_when_every_man_is_nearer(attacker: tuple[float, float], held: bool) -> None:
    w = new_world(plan_for(small_game(2)), compiled=False)
    w.goal_x, w.goal_y = 0.0, 0.0
    w.here[:4] = [attacker, (5.0, 0.0), (0.0, 2.0), (4.0, 0.0)]

    assert plain(all_boxed_out)(w, 2) is held


def test_box_outs_are_among_the_defences_rebounds(free: Results) -> None:
    assert 0 < total(free, "box_out") < total(free, "defensive_rebound")


def test_stops_in_a_row_are_counted_over_the_possessions_of_a_run() -> None:
    """Every third stop in a row: a basket breaks the row, a possession played again does not."""
    w = new_world(plan_for(small_game(1)), compiled=False)
    streak, thirds, seconds = 0, [], []
    for ending in "sssssbsas":
        w.count[:] = 0
        w.scored = 1 if ending == "b" else 0
        w.count[at.STOP] = 1 if ending == "s" else 0
        w.count[at.AGAIN] = 1 if ending == "a" else 0
        streak = plain(next_streak)(w, streak)
        seconds.append(int(w.count[at.STOPS_2]))
        thirds.append(int(w.count[at.STOPS_3]))

    assert seconds == [0, 1, 0, 1, 0, 0, 0, 0, 1]
    assert thirds == [0, 0, 1, 0, 0, 0, 0, 0, 0]


def test_stops_in_a_row_belong_to_a_team() -> None:
    """Fixed teams that swap sides after every possession: a row is one team's, whatever the other does between."""
    plan = fixed_teams()
    w, out = new_world(plan), empty_results(1, int(plan.teams.max()) + 1, plan.bodies.shape[1])
    play_run(w, plan, out, 0, 0)
    rows = dict.fromkeys(set(plan.teams[:, 1].tolist()), 0)
    expected, turn = 0, 0
    for possession in range(int(out.tally[0, 0])):
        line = turn % len(plan.teams)
        w.due = 0.0
        play_possession(w, plan, 0, possession, line, np.empty((0, 0)))
        team = int(plan.teams[line, 1])
        rows[team] = next_streak(w, rows[team])
        expected += int(w.count[at.STOPS_2])
        turn += 0 if w.count[at.AGAIN] > 0 else 1

    assert len(rows) > 1
    assert out.events[0, EVENTS.index("stops_2")] == expected > 0


def fixed_teams() -> Plan:
    names = [f"P{n}" for n in range(4)]
    squad = Squad(name="s", level=Level.MEN, players=tuple(Player(name=name) for name in names))
    rota = plan_rota(names, offence=2, defence=2, turns=20, teams=Teams.FIXED)
    return plan_trial(small_game(2), squad, rota.arrays(), minutes=20.0, seed=4)


# --- what is said


def game_with(rule: str, figure: str | None) -> Game:
    kind = CONSTRAINTS[rule]
    item = Constraint(rule=rule, limit=kind.limit.usual if kind.limit else None, figure=figure)
    return small_game(3, constraints=[item])


@pytest.mark.parametrize("rule", CONSTRAINTS)
def test_a_rule_is_either_played_or_left_to_the_eye(rule: str) -> None:
    """For the side and for one figure alike; what is played for one has its slot in his row."""
    kind = CONSTRAINTS[rule]
    for figure in (*([] if kind.names else [None]), "X2" if kind.side == "defence" else "2"):
        game = game_with(rule, figure)
        said = [item.text for item in game.constraints]

        assert played(game) == (said if kind.played_for(figure) else [])
        assert left_to_the_eye(game) == ([] if kind.played_for(figure) else said)
        plan, plain = plan_for(game), plan_for(small_game(3))
        assert (plan.own != plain.own).any() == kind.played_for(figure)


@pytest.mark.parametrize(
    ("squad_level", "own", "said"), [("U16", "U12", "U12"), ("U14", None, "U14"), ("U16", None, ""), ("U12", "men", "")]
)
def test_a_trial_with_the_young_says_to_leave_charges_off(squad_level: str, own: str | None, said: str) -> None:
    players = [Player(name=f"P{n}", level=None if own is None else Level(own)) for n in range(4)]
    squad = Squad(name="s", level=Level(squad_level), players=tuple(players))
    game = small_game(2, points=[*COUNTED, PointRule(rule="charge", points=1)])
    rota = plan_rota([player.name for player in players], offence=2, defence=2, turns=4, teams=Teams.MIXED)
    lines = run_trial(game, squad, rota.arrays(), minutes=1, runs=1, seed=0).sentences()

    cautions = [line for line in lines if POINT_RULES["charge"].caution in line]
    assert len(cautions) == (1 if said else 0)
    assert all(said in line for line in cautions)


def test_no_game_that_is_shipped_pays_for_what_needs_a_caution() -> None:
    assert not [rule for game in starters().values() for rule in game.points if POINT_RULES[rule.rule].caution]


@pytest.mark.parametrize("rule", POINT_RULES)
def test_every_point_rule_counts_something_the_trial_counts(rule: str) -> None:
    kind = POINT_RULES[rule]

    assert kind.played
    assert set(kind.counts) <= set(EVENTS)
