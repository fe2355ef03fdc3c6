"""What the taps of a run come to. Every number here was counted by hand from the game's rules."""

from __future__ import annotations

from itertools import permutations
from random import Random
from typing import Any

import pytest
from tests.logs import NAMES, Device, opening_of, three_on_three

from courtwright.errors import DocumentError
from courtwright.game.document import AfterPossession, Teams
from courtwright.live import checked, fold
from courtwright.live.lineup import OnFloor


@pytest.fixture
def opening() -> dict[str, Any]:
    return opening_of()


def state_of(opening: dict[str, Any], *devices: Device) -> dict[str, Any]:
    return fold(opening, [fact for device in devices for fact in device.told]).to_json()


# --- possessions and points


def test_a_run_begins_with_the_first_turn_of_the_rota(opening: dict[str, Any]) -> None:
    state = fold(opening, []).to_json()

    assert (state["possession"], state["turn"], state["score"], state["possessions"]) == (1, 0, [0, 0], [])
    assert state["figures"] == opening["turns"][0]["figures"]
    assert state["next"]["figures"] == opening["turns"][1]["figures"]


@pytest.mark.parametrize(
    ("kind", "detail", "result", "points", "again"),
    [
        ("make", {"zone": "rim"}, "make rim", [2, 0], False),
        ("make", {"zone": "three"}, "make three", [3, 0], False),
        ("miss", {"rebound": "defence"}, "stop", [0, 1], False),
        ("turnover", {}, "turnover", [0, 1], False),
        ("steal", {"who": "X2"}, "turnover", [0, 1], False),
        ("charge", {"who": "X1"}, "turnover", [0, 1], False),
        ("foul", {"who": "X1"}, "foul", [0, 0], True),
        ("foul", {"who": "2"}, "turnover", [0, 1], False),
        ("violation", {"rule": "dribbles"}, "violation", [0, 1], False),
        ("violation", {"rule": "dribbles", "cost": "again"}, "violation", [0, 0], True),
        ("violation", {"rule": "dribbles", "cost": "point to the other side"}, "violation", [0, 2], False),
        ("possession", {"do": "skip"}, "skipped", [0, 0], False),
    ],
)
def test_what_ends_a_possession(
    opening: dict[str, Any], kind: str, detail: dict[str, Any], result: str, points: list[int], again: bool
) -> None:
    coach = Device()
    coach.tell(kind, 1, **detail)

    state = state_of(opening, coach)

    (one,) = state["possessions"]
    assert (one["result"], one["points"], one["again"]) == (result, points, again)
    assert state["possession"] == 2
    assert state["turn"] == (0 if again else 1)


@pytest.mark.parametrize(
    ("kind", "detail", "points"),
    [
        ("miss", {"rebound": "offence"}, [1, 0]),
        ("paint touch", {}, [0, 0]),
        ("violation", {"rule": "help no earlier"}, [1, 0]),
        ("violation", {"rule": "dribbles", "cost": "no points"}, [0, 0]),
    ],
)
def test_what_does_not_end_a_possession(
    opening: dict[str, Any], kind: str, detail: dict[str, Any], points: list[int]
) -> None:
    coach = Device()
    coach.tell(kind, 1, **detail)

    state = state_of(opening, coach)

    assert state["possession"] == 1
    assert state["possessions"][0]["result"] == "open"
    assert state["score"] == points


def test_stops_in_a_row_pay_at_every_second(opening: dict[str, Any]) -> None:
    coach = Device()
    for number in (1, 2, 3, 4):
        coach.tell("miss", number, rebound="defence")
    coach.tell("make", 5, zone="mid")
    coach.tell("turnover", 6)

    points = [one["points"] for one in state_of(opening, coach)["possessions"]]

    assert points == [[0, 1], [0, 3], [0, 1], [0, 3], [2, 0], [0, 1]]


def test_a_possession_that_goes_again_leaves_the_row_as_it_was(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("turnover", 1)
    coach.tell("foul", 2, who="X1")
    coach.tell("turnover", 3)

    assert [one["points"] for one in state_of(opening, coach)["possessions"]] == [[0, 1], [0, 0], [0, 3]]


@pytest.mark.parametrize("order", [("violation", "make"), ("make", "violation")])
def test_a_breach_that_costs_the_points_makes_the_basket_worthless_whenever_it_is_called(
    opening: dict[str, Any], order: tuple[str, str]
) -> None:
    coach = Device()
    for kind in order:
        if kind == "make":
            coach.tell("make", 1, zone="three", who="2")
        else:
            coach.tell("violation", 1, rule="dribbles", cost="no points")

    state = state_of(opening, coach)

    assert state["possessions"][0]["points"] == [0, 1]
    assert (state["possessions"][0]["stop"], state["events"]) == (True, {"make_void": 1, "stop": 1})


def test_free_throws_and_a_foul_with_the_basket_belong_to_their_possession() -> None:
    game = three_on_three(
        points=[{"rule": "basket by the court", "points": 1}, {"rule": "free throw", "points": 1}],
        ending={"foul": "free throws"},
    )
    coach = Device()
    coach.tell("make", 1, zone="rim", who="1")
    coach.tell("foul", 1, who="X1", on="1")
    coach.tell("free throw", 1, made=True, who="1")
    coach.tell("foul", 2, who="X2")
    coach.tell("make", 2, zone="mid")
    coach.tell("foul", 3, who="X2")
    coach.tell("free throw", 3, made=True)
    coach.tell("free throw", 3, made=False)

    state = state_of(opening_of(game), coach)

    assert [one["points"] for one in state["possessions"]] == [[3, 0], [2, 0], [1, 0]]
    assert [one["result"] for one in state["possessions"]] == ["make rim", "make mid", "foul"]
    assert [one["unsettled"] for one in state["possessions"]] == [[], [], []]


def test_the_points_go_to_the_players_who_stood_there_and_to_their_teams() -> None:
    opening = opening_of(teams=Teams.FIXED)
    first = opening["turns"][0]
    coach = Device()
    coach.tell("make", 1, zone="three", who="2", assist="1")

    state = state_of(opening, coach)

    attackers = {first["figures"][figure] for figure in ("1", "2", "3")}
    assert state["score"][first["offence_team"]] == 3
    assert sum(state["score"]) == 3
    assert {name for name, points in state["player_points"].items() if points} == attackers
    assert state["players"] == {first["figures"]["2"]: {"make three": 1}, first["figures"]["1"]: {"assist": 1}}
    assert state["turns"][first["figures"]["X3"]] == {"offence": 0, "defence": 1}


def test_a_score_ends_the_run() -> None:
    game = three_on_three(finish={"points": 5})
    coach = Device()
    opening = opening_of(game, teams=Teams.FIXED)
    attacking = [turn["offence_team"] for turn in opening["turns"]]
    number = 0
    while sum(attacking[at] == attacking[0] for at in range(number)) < 2:
        number += 1
        coach.tell("make", number, zone="three") if attacking[number - 1] == attacking[0] else coach.tell(
            "miss", number, rebound="defence"
        )

    assert state_of(opening, coach)["over"] == "score"
    assert fold(opening, coach.told[:-1]).over == ""


# --- several devices


def test_two_scorers_who_call_the_same_make_give_one_and_each_fills_in_what_the_other_left_out(
    opening: dict[str, Any],
) -> None:
    ann, bob = Device("ann"), Device("bob", ahead_ms=90_000)
    ann.tell("miss", 1, rebound="offence")
    ann.tell("make", 1, zone="rim")
    bob.tell("make", 1, zone="rim", who="3")

    state = state_of(opening, ann, bob)

    (one,) = state["possessions"]
    make = one["calls"][-1]
    assert (state["score"], one["unsettled"]) == ([3, 0], [])
    assert make["called_by"] == ["ann", "bob"]
    assert make["detail"] == {"zone": "rim", "who": "3"}


def test_two_scorers_who_differ_are_shown_and_the_first_call_stands(opening: dict[str, Any]) -> None:
    ann, bob = Device("ann"), Device("bob")
    first = ann.tell("make", 1, zone="mid")
    bob.tell("make", 1, first, zone="three")
    bob.tell("turnover", 1)

    (one,) = state_of(opening, ann, bob)["possessions"]

    assert (one["result"], one["points"]) == ("make mid", [2, 0])
    assert one["calls"][0]["disputes"] == [{"event": "bob-0", "detail": "zone", "said": "three"}]
    assert [item["event"] for item in one["unsettled"]] == ["bob-1"]


def test_one_device_that_taps_twice_has_told_two_things(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("offensive rebound", 1)
    coach.tell("offensive rebound", 1)
    coach.tell("make", 1, zone="rim")
    coach.tell("make", 1, zone="rim")

    (one,) = state_of(opening, coach)["possessions"]

    assert one["points"] == [4, 0]
    assert [item["why"] for item in one["unsettled"]] == ["after the end"]


def test_a_fact_sent_twice_counts_once(opening: dict[str, Any]) -> None:
    coach = Device()
    make = coach.tell("make", 1, zone="rim")

    assert fold(opening, [make, make, make]).tally.score == [2, 0]


# --- corrections


def test_an_undo_names_an_event_and_an_undo_of_the_undo_brings_it_back(opening: dict[str, Any]) -> None:
    coach, other = Device(), Device("other")
    make = coach.tell("make", 1, zone="three")
    coach.tell("turnover", 2)
    undo = other.tell("undo", 2, make, event=make.event_id)
    assert state_of(opening, coach, other)["score"] == [0, 1]

    other.tell("undo", 2, event=undo.event_id)
    assert state_of(opening, coach, other)["score"] == [3, 1]


def test_an_undo_that_comes_before_what_it_names_waits_for_it(opening: dict[str, Any]) -> None:
    coach = Device()
    make = coach.tell("make", 1, zone="three")
    undo = coach.tell("undo", 1, event=make.event_id)

    assert fold(opening, [undo]).tally.score == [0, 0]
    for order in permutations([make, undo]):
        assert fold(opening, order).tally.score == [0, 0]


def test_an_edit_puts_a_detail_right_and_can_be_undone(opening: dict[str, Any]) -> None:
    coach = Device()
    make = coach.tell("make", 1, zone="mid", who="2")
    edit = coach.tell("edit", 1, event=make.event_id, detail={"zone": "three", "who": None})
    state = state_of(opening, coach)
    assert (state["score"], state["players"]) == ([3, 0], {})

    coach.tell("undo", 1, event=edit.event_id)
    assert state_of(opening, coach)["score"] == [2, 0]


def test_an_edit_moves_a_call_to_another_possession(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("turnover", 1)
    late = coach.tell("make", 1, zone="rim")
    coach.tell("edit", 2, event=late.event_id, possession=2)

    assert [one["result"] for one in state_of(opening, coach)["possessions"]] == ["turnover", "make rim"]


def test_a_possession_that_was_missed_is_told_late_and_shifts_the_turns_after_it(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("turnover", 1)
    coach.tell("make", 2, zone="rim")
    coach.tell("make", 1, zone="three", inserted=1)

    state = state_of(opening, coach)

    assert [(one["number"], one["inserted"], one["turn"]) for one in state["possessions"]] == [
        (1, 0, 0),
        (1, 1, 1),
        (2, 0, 2),
    ]
    assert (state["score"], state["possession"], state["turn"]) == ([5, 1], 3, 3)


# --- the game in force


def test_a_switch_in_the_middle_changes_later_points_only(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("make", 1, zone="rim")
    coach.tell("constraint switched", 2, on=True, points={"rule": "rim basket", "points": 5})
    coach.tell("make", 2, zone="rim")
    coach.tell("constraint switched", 3, on=False, points={"rule": "basket by the court", "points": 1})
    coach.tell("make", 3, zone="rim")

    state = state_of(opening, coach)

    assert [one["points"] for one in state["possessions"]] == [[2, 0], [7, 0], [5, 0]]
    coach.tell("make", 1, zone="rim", inserted=1)  # told late, for when the old points were in force
    assert [one["points"][0] for one in state_of(opening, coach)["possessions"]] == [2, 2, 7, 5]


def test_a_switch_inside_a_possession_counts_from_there(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("offensive rebound", 1)
    coach.tell("constraint switched", 1, on=True, points={"rule": "offensive rebound", "points": 4})
    coach.tell("offensive rebound", 1)
    coach.tell("turnover", 1)
    coach.tell("constraint switched", 1, on=True, points={"rule": "stop", "points": 9})

    assert state_of(opening, coach)["possessions"][0]["points"] == [5, 1]


def test_a_limit_and_what_it_costs_can_be_switched(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("constraint switched", 1, on=True, constraint={"rule": "dribbles", "limit": 1, "cost": "again"})
    coach.tell("violation", 1, rule="dribbles")
    state = state_of(opening, coach)
    assert state["possessions"][0]["again"]
    assert state["game"]["constraints"][0]["limit"] == 1

    coach.tell("constraint switched", 2, on=False, constraint={"rule": "dribbles"})
    assert [item["rule"] for item in state_of(opening, coach)["game"]["constraints"]] == ["help no earlier"]


def test_a_distance_and_a_whole_form_can_be_switched(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("constraint switched", 1, on=True, placement={"figure": "X1", "at": [0.0, 1.0]})
    placed = {item["figure"]: item["at"] for item in state_of(opening, coach)["game"]["start"]["placements"]}
    assert placed["X1"] == [0.0, 1.0]

    form = opening["forms"][0]
    coach.tell("game changed", 1, game=form["game"], say=form["say"])
    state = state_of(opening, coach)
    assert (state["said"], state["game"]["start"]) == (form["say"], form["game"]["start"])


# --- freeze and run it again


def test_a_freeze_before_the_end_is_run_again_and_its_result_counts_once(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("paint touch", 1)
    freeze = coach.tell("freeze", 1, cue="Where was the help?")
    assert state_of(opening, coach)["freeze"] == {"event": freeze.event_id, "cue": "Where was the help?"}
    coach.tell("run it again", 1, freeze=freeze.event_id)
    coach.tell("make", 1, zone="rim")
    coach.tell("run it again", 1, freeze=freeze.event_id)
    assert state_of(opening, coach)["possession"] == 1
    coach.tell("make", 1, zone="three")

    state = state_of(opening, coach)

    (one,) = state["possessions"]
    assert (one["result"], one["replays"], one["ended_in"], one["points"]) == ("make rim", 2, 1, [2, 0])
    assert [call["counted"] for call in one["calls"]] == [True, True, False]
    assert (state["possession"], state["counts"]) == (2, {"paint touch": 1, "make rim": 1})


def test_a_replay_after_the_end_never_counts(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("miss", 1, rebound="defence")
    freeze = coach.tell("freeze", 1)
    coach.tell("run it again", 1, freeze=freeze.event_id)
    coach.tell("make", 1, zone="three", who="1")

    state = state_of(opening, coach)

    assert (state["score"], state["possession"], state["players"]) == ([0, 1], 2, {})


# --- people


def test_a_substitution_holds_for_its_turn_and_swaps_the_two(opening: dict[str, Any]) -> None:
    turn = opening["turns"][0]
    goes, comes = turn["figures"]["2"], turn["off"][0]
    coach = Device()
    coach.tell("substitution", 1, figure="2", player=comes)
    coach.tell("make", 1, zone="rim", who="2")

    state = state_of(opening, coach)

    assert state["players"] == {comes: {"make rim": 1}}
    assert goes in state["possessions"][0]["off"]
    assert state["figures"] == opening["turns"][1]["figures"]


def test_two_figures_change_places_where_both_are_on() -> None:
    floor = OnFloor({"1": "Ada", "X1": "Bex"}, ["Cleo"], -1, -1)
    floor.put("1", "Bex")
    assert (floor.figures, floor.off) == ({"1": "Bex", "X1": "Ada"}, ["Cleo"])


def test_a_player_who_leaves_is_replaced_by_one_who_is_off(opening: dict[str, Any]) -> None:
    turn = opening["turns"][0]
    coach = Device()
    coach.tell("attendance", 1, player=turn["figures"]["X1"], state="away")
    state = state_of(opening, coach)
    assert state["figures"] == turn["figures"] | {"X1": turn["off"][0]}

    coach.tell("attendance", 1, player=turn["figures"]["X1"], state="here")
    assert state_of(opening, coach)["figures"] == turn["figures"]


def test_whoever_leaves_during_a_possession_finishes_it(opening: dict[str, Any]) -> None:
    turn = opening["turns"][0]
    coach = Device()
    coach.tell("paint touch", 1, who="1")
    coach.tell("attendance", 1, player=turn["figures"]["1"], state="away")
    coach.tell("make", 1, zone="rim", who="1")

    state = state_of(opening, coach)

    assert state["players"] == {turn["figures"]["1"]: {"paint touch": 1, "make rim": 1}}
    assert turn["figures"]["1"] not in state["figures"].values()


def test_a_new_rota_begins_with_the_possession_it_is_told_in(opening: dict[str, Any]) -> None:
    new = [{"figures": turn["figures"], "off": turn["off"]} for turn in reversed(opening["turns"])]
    coach = Device()
    coach.tell("turnover", 1)
    coach.tell("rota changed", 2, turns=new)
    assert state_of(opening, coach)["figures"] == new[0]["figures"]

    coach.tell("turnover", 2)
    assert state_of(opening, coach)["figures"] == new[1]["figures"]


# --- clock, tags, claims


def test_the_clock_runs_on_the_servers_time_and_is_never_subtracted_across_devices(opening: dict[str, Any]) -> None:
    coach, other = Device(), Device("other", ahead_ms=180_000)
    start = coach.tell("clock", 1, do="start", played_ms=0, server_ms=1_000_000)
    assert fold(opening, coach.told).clock.played_at_ms(1_090_000) == 90_000

    other.tell("clock", 3, start, do="stop", played_ms=60_500, server_ms=1_060_400)
    clock = fold(opening, [*coach.told, *other.told]).clock
    assert (clock.running, clock.played_at_ms(9_000_000)) == (False, 60_500)


def test_a_second_start_does_not_restart_the_clock_and_the_end_stays(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("clock", 1, do="start", played_ms=0, server_ms=1_000)
    coach.tell("clock", 1, do="start", played_ms=0, server_ms=5_000)
    assert fold(opening, coach.told).clock.played_at_ms(11_000) == 10_000

    coach.tell("clock", 1, do="end", played_ms=10_000, server_ms=11_000)
    coach.tell("clock", 1, do="stop", played_ms=10_000, server_ms=11_500)
    assert fold(opening, coach.told).over == "called"
    coach.tell("clock", 1, do="start", played_ms=10_000, server_ms=12_000)
    assert fold(opening, coach.told).over == ""


def test_a_tag_counts_opportunities_and_unwatched_is_not_zero(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("turnover", 1)
    coach.tell("watching", 2, tag="talked", on=True)
    coach.tell("tag", 2, tag="talked", who="X1", did=True)
    coach.tell("turnover", 2)
    coach.tell("tag", 3, tag="talked", who="X2", did=False)
    coach.tell("turnover", 3)
    coach.tell("watching", 4, tag="talked", on=False)
    coach.tell("turnover", 4)
    coach.tell("turnover", 5)

    state = state_of(opening, coach)

    talked = state["tags"]["talked"]
    assert talked["watched_possessions"] == 3  # the second, the third, and the fourth until it was put down
    assert talked["players"] == {
        opening["turns"][1]["figures"]["X1"]: {"did": 1, "opportunities": 1},
        opening["turns"][2]["figures"]["X2"]: {"did": 0, "opportunities": 1},
    }
    assert state["watching"] == []


def test_what_the_players_call_is_held_against_what_was_logged_and_changes_nothing(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("make", 1, zone="three")
    coach.tell("claim", 2, score=[3, 0])
    coach.tell("offensive rebound", 2)
    coach.tell("claim", 2, score=[3, 1])

    state = state_of(opening, coach)

    assert [claim["agrees"] for claim in state["claims"]] == [True, False]
    assert state["claims"][1]["logged"] == state["score"] == [4, 0]


# --- the door


@pytest.mark.parametrize(
    ("change", "place", "what"),
    [
        ({"kind": "dunk contest"}, "kind", "is not known"),
        ({"detail": {}}, "detail.zone", "is missing"),
        ({"detail": {"zone": "moon"}}, "detail.zone", "is not known"),
        ({"detail": {"zone": "rim", "who": "Ada"}}, "detail.who", "no figure"),
        ({"detail": {"zone": "rim", "points": 3}}, "detail.points", "is not known here"),
        ({"possession": 0}, "possession", "must be at least 1"),
        ({"event_id": "a b"}, "event_id", "does not fit"),
        ({"time": "noon"}, "time", "does not fit"),
    ],
)
def test_what_is_no_fact_is_refused_with_its_place(change: dict[str, Any], place: str, what: str) -> None:
    good = Device().tell("make", 1, zone="rim").to_json()
    assert checked(good).to_json() == good

    with pytest.raises(DocumentError) as refused:
        checked(good | change)

    (problem,) = refused.value.problems
    assert problem.place == place
    assert what in problem.what


def test_the_order_of_arrival_is_never_seen(opening: dict[str, Any]) -> None:
    ann, bob = Device("ann", ahead_ms=-200_000), Device("bob", ahead_ms=200_000)
    for number in range(1, 30):
        ann.tell("make" if number % 3 else "turnover", number, **({"zone": "mid"} if number % 3 else {}))
        bob.tell("make" if number % 2 else "deflection", number, **({"zone": "mid"} if number % 2 else {}))
    facts = [*ann.told, *bob.told]
    expected = fold(opening, facts).to_json()
    for seed in range(10):
        Random(seed).shuffle(facts)
        assert fold(opening, facts).to_json() == expected


def test_what_has_just_ended_can_be_run_again_though_the_next_has_begun_in_name(opening: dict[str, Any]) -> None:
    coach = Device()
    coach.tell("turnover", 1)
    coach.tell("clock", 2, do="stop", played_ms=1000, server_ms=1)
    coach.tell("claim", 2, score=[0, 1])
    freeze = coach.tell("freeze", 1)
    assert state_of(opening, coach)["freeze"] == {"event": freeze.event_id}
    coach.tell("run it again", 1, freeze=freeze.event_id)
    assert state_of(opening, coach)["possession"] == 1
    coach.tell("make", 1, zone="rim")

    state = state_of(opening, coach)

    assert (state["possession"], state["score"], state["freeze"]) == (2, [0, 1], None)


# --- who wins decides who plays next


def won_by(opening: dict[str, Any], *results: str) -> dict[str, Any]:
    coach = Device()
    for number, result in enumerate(results, start=1):
        if result == "make":
            coach.tell("make", number, zone="rim", who="1")
        elif result == "skip":
            coach.tell("possession", number, do="skip")
        else:
            coach.tell(result, number)
    return state_of(opening, coach)


def names_of(state: dict[str, Any], side: str) -> list[str]:
    return [name for figure, name in state["figures"].items() if figure.startswith("X") == (side == "defence")]


def test_the_winners_stay_and_attack_and_the_next_in_line_defend() -> None:
    opening = opening_of(rule=AfterPossession.WINNERS_STAY)
    first = state_of(opening)
    attack, defence, line = names_of(first, "offence"), names_of(first, "defence"), first["off"]

    scored, stopped = won_by(opening, "make"), won_by(opening, "defensive rebound")

    assert names_of(scored, "offence") == [*attack[1:], attack[0]]
    assert names_of(scored, "defence") == line[:3]
    assert scored["off"] == [*line[3:], *defence]
    assert names_of(stopped, "offence") == [*defence[1:], defence[0]]
    assert names_of(stopped, "defence") == line[:3]
    assert stopped["off"] == [*line[3:], *attack]
    # everybody has a place, and nobody two
    later = won_by(opening, "make", "make", "defensive rebound", "turnover", "make")
    assert sorted([*later["figures"].values(), *later["off"]]) == sorted(opening["players"])


def test_losers_off_gives_the_ball_to_those_who_come_on() -> None:
    opening = opening_of(rule=AfterPossession.LOSERS_OFF, teams=Teams.FIXED)
    first = state_of(opening)
    third = ({0, 1, 2} - {first["offence_team"], first["defence_team"]}).pop()

    scored = won_by(opening, "make")

    assert (scored["offence_team"], scored["defence_team"]) == (third, first["offence_team"])
    assert set(names_of(scored, "offence")) == set(opening["teams"][third])
    again = won_by(opening, "make", "turnover")
    assert (again["offence_team"], again["defence_team"]) == (first["defence_team"], first["offence_team"])


def test_in_a_larger_team_that_stays_who_was_off_comes_in() -> None:
    opening = opening_of(names=(*NAMES, "Jo"), rule=AfterPossession.WINNERS_STAY, teams=Teams.FIXED)
    four = next(at for at, team in enumerate(opening["teams"]) if len(team) == 4)
    state = state_of(opening)
    results: list[str] = []
    while state["offence_team"] != four:
        results.append("defensive rebound" if state["defence_team"] == four else "make")
        state = won_by(opening, *results)
    on = set(names_of(state, "offence"))
    after = won_by(opening, *results, "make")
    assert after["offence_team"] == four
    assert set(opening["teams"][four]) - on <= set(names_of(after, "offence"))


def test_while_nobody_has_won_only_who_comes_on_is_known() -> None:
    opening = opening_of(rule=AfterPossession.WINNERS_STAY)
    state = state_of(opening)
    following = state["next"]["figures"]
    assert [following[figure] for figure in ("1", "2", "3")] == ["", "", ""]
    assert [following[figure] for figure in ("X1", "X2", "X3")] == state["off"][:3]
    assert won_by(opening, "make")["figures"]["X1"] == following["X1"]


def test_a_possession_that_is_skipped_leaves_the_same_players() -> None:
    opening = opening_of(rule=AfterPossession.WINNERS_STAY)
    before, after = state_of(opening), won_by(opening, "skip")
    assert after["turn"] == 1
    assert (after["figures"], after["off"]) == (before["figures"], before["off"])
