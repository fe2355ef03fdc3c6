"""Plain sentences for places, entries, endings and points."""

from __future__ import annotations

import pytest

from courtwright.drawing.words import (
    say_distance,
    say_ending,
    say_entry,
    say_finish,
    say_form,
    say_help,
    say_live,
    say_place,
    say_points,
    say_sides,
    say_spot,
    sentence,
)
from courtwright.floor.court import Rules
from courtwright.game.document import (
    Ending,
    Entry,
    EntryKind,
    Finish,
    Form,
    Game,
    Help,
    Placement,
    PointRule,
    Sides,
    Start,
    Then,
)
from courtwright.vocabulary import SPOTS, Live, Side, Spot


def at(place: str | tuple[float, float], *, vary_m: float = 0.0) -> Game:
    """A game with figure 1 at a place."""
    placements = (Placement(figure="1", at=place, vary_m=vary_m), Placement(figure="X1", at="basket"))
    return Game(name="x", sides=Sides(offence=1, defence=1), start=Start(placements=placements, ball="1"))


@pytest.mark.parametrize(
    ("spot", "said"),
    [
        ("left corner", "in the left corner"),
        ("right wing", "on the right wing"),
        ("left slot", "at the left slot"),
        ("right block", "on the right block"),
        ("nail", "at the nail"),
        ("basket", "under the basket"),
        ("left short corner", "in the left short corner"),
    ],
)
def test_spots_as_coaches_say_them(spot: str, said: str) -> None:
    assert say_spot(Spot.parse(spot)) == said
    assert say_place(at(spot), "1") == said


def test_every_spot_can_be_said_apart() -> None:
    assert len({say_spot(spot) for spot in SPOTS}) == len(SPOTS)


def test_places_in_metres() -> None:
    assert say_place(at((0.1, 4.2)), "1") == "near the nail"
    assert say_place(at((3.0, 4.425)), "1") == "near the right elbow"
    assert say_place(at((-4.0, 8.425)), "1") == "10.0 m from the end line, 4.0 m left of the middle"
    assert say_place(at((0.0, 9.425)), "1", feet=True) == "36 ft 1 in from the end line, in the middle"
    assert say_place(at("nail", vary_m=0.5), "1") == "at the nail, up to 0.5 m from there"


def test_distances() -> None:
    assert say_distance(1.44) == "1.4 m"
    assert say_distance(1.44, feet=True) == "4 ft 9 in"


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        (Entry(), ""),
        (Entry(kind=EntryKind.PASSES, passes=1, to="2"), "one pass to 2"),
        (Entry(kind=EntryKind.PASSES, passes=3, to="2"), "3 passes, the last to 2"),
        (Entry(kind=EntryKind.PASSES, passes=2), "2 passes"),
        (Entry(kind=EntryKind.FEED, to="1"), "the coach feeds 1"),
        (Entry(kind=EntryKind.FEED), "the coach feeds an attacker"),
        (Entry(kind=EntryKind.CUE, say="Go"), "a cue: “Go”"),
        (Entry(kind=EntryKind.SWAP), "a swap of places"),
    ],
)
def test_entries(entry: Entry, said: str) -> None:
    assert say_entry(entry) == said


def test_every_help_and_every_live_event_can_be_said() -> None:
    assert len({say_help(help_) for help_ in Help}) == len(Help)
    assert len({say_live(live) for live in Live}) == len(Live)


def test_endings() -> None:
    ending = Ending(make=Then.AGAIN, foul=Then.FREE_THROWS, defence_must="outlet", reset_s=8.5)

    assert say_ending(ending) == [
        ("basket", "again from the start"),
        ("offensive rebound", "play on"),
        ("defensive rebound", "ends the possession, once the outlet is caught"),
        ("foul", "free throws"),
        ("next start", "after 8.5 s"),
    ]


@pytest.mark.parametrize(
    ("rules", "rule", "said"),
    [
        (Rules.FIBA, PointRule(rule="stop", points=1), "+1 defence"),
        (Rules.FIBA, PointRule(rule="three", points=-3), "−3"),
        (Rules.FIBA, PointRule(rule="basket by the court", points=1), "+2 or +3"),
        (Rules.FIBA_3X3, PointRule(rule="basket by the court", points=1), "+1 or +2"),
        (Rules.FIBA, PointRule(rule="basket by the court", points=-1), "−2 or −3"),
        (Rules.MINI, PointRule(rule="basket by the court", points=2), "+4"),
        (Rules.FIBA, PointRule(rule="assist", points=2, to=Side.OFFENCE), "+2 offence"),
    ],
)
def test_points(rules: Rules, rule: PointRule, said: str) -> None:
    assert say_points(at("nail").model_copy(update={"court": rules}), rule) == said


def test_finish_sides_and_forms() -> None:
    game = at("nail").model_copy(update={"finish": Finish(minutes=7.5, points=11)})

    assert say_finish(game) == "7.5 min or first to 11"
    assert say_sides(game) == "1 on 1"
    uneven = game.model_copy(update={"sides": Sides(offence=3, defence=2, neutral=1, coach=True)})
    assert say_sides(uneven) == "3 on 2, 1 neutral, a coach"
    assert say_form(Form(players=8, say="Two rest")) == "Two rest"
    assert say_form(Form(players=8, change={"sides": {"offence": 4, "defence": 4}})) == "4 on 4"
    assert say_form(Form(players=8, change={"finish": {"minutes": 5}})) == "changes finish"
    assert say_form(Form(players=8)) == "as it stands"


def test_sentences_end_once() -> None:
    assert sentence("one pass") == "One pass."
    assert sentence("a cue: “Go”") == "A cue: “Go”."
    assert sentence("a cue: “Go now.”") == "A cue: “Go now.”"
