"""Rota: what a coach reads, what is refused, and that groups really mix."""

from __future__ import annotations

import json
import random
from itertools import combinations, product

import pytest

from courtwright.errors import RotaError
from courtwright.game.document import Teams
from courtwright.rota import Rota, Turn, fairness_text, plan_rota, rota_text, teams_text, turns_needed
from courtwright.rota.bounds import judge, least_spread
from courtwright.rota.firsts import team_order

NAMES = ("Ada", "Bex", "Cleo", "Dot", "Effie", "Fern", "Gus", "Hal", "Ivy", "Jo", "Kit", "Lou")


def mixed(players: int, side: int = 3, turns: int = 24, seed: int = 0) -> Rota:
    return plan_rota(NAMES[:players], offence=side, defence=side, turns=turns, teams=Teams.MIXED, seed=seed)


def fixed(players: int, side: int = 3, turns: int = 12, grades: list[float | None] | None = None) -> Rota:
    return plan_rota(NAMES[:players], offence=side, defence=side, turns=turns, teams=Teams.FIXED, grades=grades)


def evenly(rota: Rota) -> bool:
    """Whether turns, in all and by role, are as even as counting allows."""
    return all(mark.perfect for mark in judge(rota) if mark.measure in ("turns", "offence", "defence", "neutral"))


def small(**change: object) -> Rota:
    turns = (Turn((0, 3, 6), (1, 4, 7), off=(2, 5)), Turn((1, 4, 7), (2, 5, 0), off=(3, 6)))
    return Rota(NAMES[:8], turns, **change)  # type: ignore[arg-type]


def test_text_says_who_attacks_who_defends_and_who_comes_on() -> None:
    assert rota_text(small()) == (
        "Turn 1: Ada, Dot and Gus attack; Bex, Effie and Hal defend; Cleo and Fern come on next.",
        "Turn 2: Bex, Effie and Hal attack; Cleo, Fern and Ada defend.",
    )


def test_text_with_one_of_each() -> None:
    rota = Rota(NAMES[:4], (Turn((0,), (1,), (2,), (3,)), Turn((1,), (3,), (0,), (2,))))
    assert rota_text(rota)[0] == "Turn 1: Ada attacks; Bex defends; Cleo is neutral; Dot comes on next."
    assert fairness_text(rota) == (
        "Everyone plays 1 or 2 turns: 0 or 1 in offence, 0 or 1 in defence and 0 or 1 as neutral. "
        "Nobody sits longer than 1 turn in a row."
    )


def test_text_of_teams() -> None:
    assert teams_text(fixed(6, grades=None)) == ("Team 1: Ada, Cleo and Effie.", "Team 2: Bex, Dot and Fern.")
    assert teams_text(mixed(6)) == ()


def test_counts_of_a_rota_made_by_hand() -> None:
    rota = small()
    assert rota.offence_turns == (1, 1, 0, 1, 1, 0, 1, 1)
    assert rota.defence_turns == (1, 1, 1, 0, 1, 1, 0, 1)
    assert rota.total_turns == (2, 2, 1, 1, 2, 1, 1, 2)
    assert rota.spot_turns[1] == {"1": 1, "2": 0, "3": 0, "X1": 1, "X2": 0, "X3": 0}
    assert rota.longest_sits == (0, 0, 1, 1, 0, 1, 1, 0)
    assert rota.team_mate_turns[1][4] == 2
    assert rota.opponent_turns[0][1] == 2
    assert rota.spread == {"offence": 1, "defence": 1, "total": 1}
    marks = {mark.measure: (mark.found, mark.best_possible) for mark in judge(rota)}
    assert marks == {
        "offence": (1, 1),
        "defence": (1, 1),
        "turns": (1, 1),
        "spots": (1, 1),
        "team-mates": (2, 1),
        "opponents": (2, 1),
        "longest sit": (1, 1),
    }
    # three of three defenders attack; of three attackers two could go off, and did
    assert rota.order_kept_share == 1.0


def test_arrays_for_the_trial() -> None:
    offence, defence, teams = small().arrays()
    assert (offence.shape, defence.shape, teams.shape) == ((2, 3), (2, 3), (2, 2))
    assert {array.dtype.name for array in (offence, defence, teams)} == {"int32"}
    assert offence.tolist() == [[0, 3, 6], [1, 4, 7]]
    assert teams.tolist() == [[-1, -1], [-1, -1]]
    assert fixed(9, turns=2).arrays()[2].min() >= 0


def test_json_is_plain_and_names_its_units() -> None:
    data = json.loads(json.dumps(mixed(9).to_json()))
    assert data["format"] == "courtwright.rota/1"
    assert set(data["turns"][0]["offence"]) <= set(NAMES)
    assert data["spread_turns"] == {"offence": 0, "defence": 0, "total": 0}
    assert data["judged"][0] == {
        "measure": "offence",
        "found_turns": 0,
        "best_possible_turns": 0,
        "perfect": True,
    }
    numbers = [key for key, value in data.items() if isinstance(value, int | float)]
    assert sorted(numbers) == ["baskets", "guessable_share", "longest_sit_turns", "order_kept_share", "seed"]


@pytest.mark.parametrize(("players", "side"), [(6, 3), (7, 3), (8, 3), (8, 4), (9, 3), (10, 5)])
@pytest.mark.parametrize("seed", range(5))
def test_mixed_groups_are_no_fixed_cycle(players: int, side: int, seed: int) -> None:
    rota = mixed(players, side, turns=30, seed=seed)
    pairs = list(combinations(range(players), 2))
    # in a fixed cycle of groups most pairs would never be team-mates
    assert all(rota.team_mate_turns[one][other] for one, other in pairs)
    assert all(rota.opponent_turns[one][other] for one, other in pairs)
    groups = {frozenset(side) for turn in rota.turns for side in (turn.offence, turn.defence)}
    assert len(groups) >= 15
    assert rota.order_kept_share > 0.7


@pytest.mark.parametrize("players", range(6, 13))
@pytest.mark.parametrize("turns", [13, 19, 26, 31, 40])
def test_three_on_three_keeps_the_order_for_almost_everybody(players: int, turns: int) -> None:
    rota = mixed(players, turns=turns, seed=turns)
    assert rota.order_kept_share > 0.72  # 0.75 to 0.99; the rest is what mixing company costs
    assert rota.longest_sit <= -(-(players - 6) // 3) + 1


@pytest.mark.parametrize("players", [6, 7, 9, 12])
def test_everyone_lives_at_every_figure(players: int) -> None:
    rota = mixed(players, turns=60)
    for figure in ("1", "2", "3", "X1", "X2", "X3"):
        times = [counts[figure] for counts in rota.spot_turns]
        assert max(times) - min(times) <= 3
        assert min(times) > 0


def test_a_game_stopped_early_is_fair_too() -> None:
    rota = mixed(12, turns=40)
    for length in range(1, 41):
        totals = Rota(rota.names, rota.turns[:length]).total_turns
        assert max(totals) - min(totals) <= 3


def test_seed_decides() -> None:
    assert mixed(9, seed=4) == mixed(9, seed=4)
    assert mixed(9, seed=4).turns != mixed(9, seed=5).turns


@pytest.mark.parametrize(("offence", "defence"), [(3, 2), (4, 3), (2, 3), (1, 5), (5, 1)])
@pytest.mark.parametrize("spare", [0, 1, 4])
def test_uneven_sides(offence: int, defence: int, spare: int) -> None:
    names = NAMES[: offence + defence + spare]
    rota = plan_rota(names, offence=offence, defence=defence, turns=20, teams=Teams.MIXED)
    assert evenly(rota)
    assert all(len(turn.off) == spare for turn in rota.turns)
    assert rota.order_kept_share > 0.75


def test_nobody_off_means_sides_swap_until_someone_changes_over() -> None:
    rota = mixed(6, turns=20)
    assert rota.longest_sit == 0
    swaps = sum(set(one.defence) == set(other.offence) for one, other in zip(rota.turns, rota.turns[1:], strict=False))
    assert 8 <= swaps < 19
    assert fairness_text(rota).endswith("Nobody sits out.")


def test_two_fixed_teams_swap_ends_each_possession() -> None:
    rota = fixed(8, turns=10)
    assert [turn.offence_team for turn in rota.turns] in ([0, 1] * 5, [1, 0] * 5)
    assert rota.order_kept_share == 1.0
    # a team of four for three places: a plain cycle of four would rest some in offence only
    assert rota.spread == {"offence": 1, "defence": 1, "total": 1}


def test_four_fixed_teams_all_meet() -> None:
    rota = fixed(12, turns=12)
    meetings = {frozenset((turn.offence_team, turn.defence_team)) for turn in rota.turns}
    assert len(meetings) == 6


def test_fixed_teams_are_even_by_grade_and_say_what_was_assumed() -> None:
    rota = fixed(6, grades=[5, 5, 1, 1, None, 3])
    assert rota.notes == ("Effie has no grade and counts as the middle, 3.",)
    assert {sum([5, 5, 1, 1, 3, 3][player] for player in team) for team in rota.teams} == {9}
    both = fixed(6, grades=[5, None, 1, 1, float("nan"), 3])
    assert both.notes == ("Bex and Effie have no grade and count as the middle, 3.",)
    assert fixed(6, grades=[None] * 6).notes == (
        "Nobody has a grade, so teams are dealt out in the order of the list.",
    )


def test_neutral_players_with_fixed_teams_come_from_those_off() -> None:
    rota = plan_rota(NAMES[:9], offence=3, defence=3, neutral=1, turns=18, teams=Teams.FIXED)
    assert rota.spread == {"offence": 0, "defence": 0, "neutral": 0, "total": 0}
    for turn in rota.turns:
        assert not set(turn.neutral) & {*rota.teams[turn.offence_team], *rota.teams[turn.defence_team]}


def test_neutral_turns_even_out_teams_of_different_size() -> None:
    # in a team of four for three places everyone has a quarter less; the helping turns make up for it
    rota = plan_rota(NAMES[:10], offence=3, defence=3, neutral=1, turns=31, teams=Teams.FIXED)
    assert {len(team) for team in rota.teams} == {3, 4}
    assert rota.spread["total"] <= 2 < rota.spread["defence"]


@pytest.mark.parametrize("teams", range(2, 9))
def test_team_turns_are_even_whenever_play_stops(teams: int) -> None:
    for seed in range(4):
        order = team_order(teams, 40, random.Random(seed))
        for length in range(1, 41):
            for role in (0, 1):
                counts = [[meeting[role] for meeting in order[:length]].count(team) for team in range(teams)]
                assert max(counts) - min(counts) <= 1


def test_fixed_teams_that_substitute_are_even_by_the_mean() -> None:
    grades = [5.0, 5.0, 5.0, 2.0, 2.0, 2.0, 2.0]
    rota = fixed(7, grades=[*grades])
    means = [sum(grades[player] for player in team) / len(team) for team in rota.teams]
    assert max(means) - min(means) == pytest.approx(0.5)


@pytest.mark.parametrize("seed", range(6))
def test_one_on_one_for_two_never_breaks_the_order(seed: int) -> None:
    # nine turns: whoever starts in offence is owed the fifth
    rota = mixed(2, side=1, turns=9, seed=seed)
    assert rota.order_kept_share == 1.0


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"offence": 4}, "4-on-3 needs 7 players and 6 are here"),
        ({"neutral": 1}, "3-on-3 with 1 neutral needs 7 players and 6 are here"),
        ({"turns": 0}, "a rota needs"),
        ({"defence": 0}, "a rota needs"),
        ({"neutral": -1}, "a rota needs"),
        ({"grades": [3, 4]}, "6 players and 2 grades"),
        ({"offence": 4, "defence": 2, "teams": Teams.FIXED}, "need 8 players, 2 teams of 4, and 6 are here"),
    ],
)
def test_refusals(change: dict[str, object], said: str) -> None:
    asked = {"offence": 3, "defence": 3, "turns": 8, "teams": Teams.MIXED} | change
    with pytest.raises(RotaError, match=said):
        plan_rota(NAMES[:6], **asked)  # type: ignore[arg-type]


def test_turns_needed() -> None:
    assert turns_needed(10, 15) == 40
    assert turns_needed(10, 17) == 36
    assert turns_needed(0.1, 30) == 1
    assert turns_needed(0.7, 0.7) == 60  # 60.000000000000007 in doubles
    for minutes, seconds in ((0, 15), (10, 0), (float("nan"), 15), (float("inf"), 15)):
        with pytest.raises(RotaError):
            turns_needed(minutes, seconds)


@pytest.mark.parametrize(("players", "turns"), [(2, 3), (3, 2), (3, 3), (4, 2), (4, 3)])
def test_counting_bound_is_what_brute_force_finds(players: int, turns: int) -> None:
    # every way to play 1-on-1, with no rule of order: the least spread there is, in each role
    options = [(one, other) for one in range(players) for other in range(players) if one != other]
    least = {"offence": 9, "defence": 9, "total": 9}
    for played in product(options, repeat=turns):
        for role, seats in (
            ("offence", [one for one, _ in played]),
            ("defence", [other for _, other in played]),
            ("total", [player for pair in played for player in pair]),
        ):
            counts = [seats.count(player) for player in range(players)]
            least[role] = min(least[role], max(counts) - min(counts))
    assert least["offence"] == least["defence"] == least_spread(turns, players)
    assert least["total"] == least_spread(2 * turns, players)
    rota = plan_rota(NAMES[:players], offence=1, defence=1, turns=turns, teams=Teams.MIXED)
    assert rota.spread == least
