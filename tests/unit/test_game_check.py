"""What a well-formed game can still get wrong."""

from __future__ import annotations

from typing import Any

import pytest

from courtwright.errors import DocumentError
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.patch import merge_patch
from courtwright.game.points import POINT_RULES
from courtwright.game.read import game_from_json, loose_ends
from courtwright.vocabulary import Cost, Side

SOUND: dict[str, Any] = {
    "format": "courtwright.game/1",
    "name": "two and a coach",
    "sides": {"offence": 2, "defence": 2, "coach": True},
    "start": {
        "placements": [
            {"figure": "1", "at": "top"},
            {"figure": "2", "at": "right wing"},
            {"figure": "X1", "at": [0, 5.8]},
            {"figure": "X2", "at": [3.7, 4.35]},
            {"figure": "C", "at": [-8, 3]},
        ],
        "ball": "1",
    },
    "points": [{"rule": "basket", "points": 2}],
}
ALONE: dict[str, Any] = {
    "sides": {"offence": 1, "defence": 1, "coach": False},
    "start": {"placements": [{"figure": "1", "at": "top"}, {"figure": "X1", "at": [0, 5.8]}]},
}


def found(change: dict[str, Any]) -> list[tuple[str, str]]:
    """Place and words of every problem of the sound game with a change merged in."""
    try:
        game_from_json(merge_patch(SOUND, change))
    except DocumentError as error:
        return [(problem.place, problem.what) for problem in error.problems if problem.mend.endswith(".")]
    return []


def placed(**at: Any) -> dict[str, Any]:
    """A start with figures moved, added or (None) taken out; names begin with an underscore."""
    places = {item["figure"]: item["at"] for item in SOUND["start"]["placements"]}
    places |= {name.lstrip("_"): place for name, place in at.items()}
    return {"start": {"placements": [{"figure": figure, "at": place} for figure, place in places.items() if place]}}


def varied(**variant: Any) -> dict[str, Any]:
    return {"start": {"variants": [{"name": "v", **variant}]}}


def ruled(*rules: str, **extra: Any) -> dict[str, Any]:
    """Constraints with their usual limits; extra parts go to the last one."""
    items: list[dict[str, Any]] = []
    for rule in rules:
        kind = CONSTRAINTS[rule]
        items.append(
            {"rule": rule}
            | ({"limit": kind.limit.usual} if kind.limit else {})
            | ({"figure": "2"} if kind.names else {})
        )
    items[-1] |= extra
    return {"constraints": items}


def test_the_sound_game_is_sound() -> None:
    assert found({}) == found(ALONE) == []


@pytest.mark.parametrize(
    ("change", "place", "what"),
    [
        # figures and places
        (placed(X2=None), "start, figure X2", "has no place"),
        (placed(X3="nail"), "start, figure X3", "is not on a side"),
        ({"sides": {"defence": 1}}, "start, figure X2", "is not on a side"),
        (
            {"start": {"placements": [*SOUND["start"]["placements"], {"figure": "1", "at": "nail"}]}},
            "start, figure 1",
            "is placed 2 times",
        ),
        (placed(_2=[7.51, 0]), "start, figure 2", "stands off the floor"),
        (placed(_2=[0, -1.6]), "start, figure 2", "stands off the floor"),
        (placed(_2=[0, 12.5]), "start, figure 2", "stands off the floor"),
        (placed(C=[-10.6, 3]), "start, figure C", "stands far from the floor"),
        (placed(X1=[0, 6.85]), "start, figures 1 and X1", "stand on one spot"),
        # variants
        (varied(), "start, variant “v”", "is the plain start again"),
        (
            varied(placements=[{"figure": "X1", "at": "top"}]),
            "start, variant “v”, figures 1 and X1",
            "stand on one spot",
        ),
        (varied(placements=[{"figure": "1", "at": [20, 0]}]), "start, variant “v”, figure 1", "stands off the floor"),
        (varied(placements=[{"figure": "N1", "at": "nail"}]), "start, variant “v”, figure N1", "is not in the start"),
        (
            varied(placements=[{"figure": "1", "at": "nail"}, {"figure": "1", "at": "left slot"}]),
            "start, variant “v”, figure 1",
            "is placed 2 times",
        ),
        (
            varied(placements=[{"figure": "X1", "at": "nail", "guards": "2"}]),
            "start, variant “v”, figure X1",
            "cannot change whom it guards",
        ),
        (varied(mirror=True, weight=0), "start, variant 1, weight", "must be more than 0"),
        # ball, entry, live
        ({"start": {"ball": "X1"}}, "start, ball", "figure X1 cannot start with it"),
        ({"start": {"ball": "3"}}, "start, ball", "figure 3 cannot start with it"),
        ({"start": {"ball": "C"}}, "entry, kind", "the coach has the ball and nobody is fed"),
        ({"entry": {"kind": "coach feeds"}}, "start, ball", "the coach feeds, and figure 1 has it"),
        (ALONE | {"entry": {"kind": "coach feeds"}}, "entry, kind", "the coach feeds but is not on the floor"),
        ({"entry": {"kind": "passes"}}, "entry, passes", "an entry by passes has none"),
        ({"entry": {"passes": 2}}, "entry, passes", "are not part of “none”"),
        (
            {"entry": {"kind": "passes", "passes": 1, "to": "1"}},
            "entry, to",
            "one pass cannot end with figure 1, who throws it",
        ),
        ({"entry": {"kind": "passes", "passes": 1, "to": "X1"}}, "entry, to", "figure X1 is not an attacker"),
        ({"entry": {"kind": "passes", "passes": 1, "to": "C"}}, "entry, to", "figure C is not an attacker"),
        ({"entry": {"kind": "swap", "to": "2"}}, "entry, to", "the ball does not move in this entry"),
        ({"entry": {"kind": "cue"}}, "entry, say", "nobody knows the cue"),
        (ALONE | {"entry": {"kind": "passes", "passes": 1}}, "entry, kind", "there is nobody to pass to"),
        ({"live": "entry done"}, "live", "waits for an entry, and there is none"),
        (ALONE | {"live": "first catch"}, "live", "waits for a catch, and there is nobody to pass"),
        # constraints
        (ruled("dribbles", "dribbles"), "constraint “dribbles”", "is set twice"),
        (ruled("dribbles", limit=None), "constraint “dribbles”, limit", "is missing"),
        (ruled("dribbles", limit=10), "constraint “dribbles”, limit", "10 dribbles makes no sense"),
        (ruled("dribbles", limit=-1), "constraint “dribbles”, limit", "-1 dribbles makes no sense"),
        (ruled("dribbles", limit=1.5), "constraint “dribbles”, limit", "1.5 dribbles is not whole"),
        (ruled("no threes", limit=3), "constraint “no threes”, limit", "takes no number"),
        (ruled("dribbles", figure="3"), "constraint “dribbles”, figure", "3 is not on a side"),
        (ruled("dribbles", figure="X1"), "constraint “dribbles”, figure", "binds the offence, not X1"),
        (ruled("early talk", figure="1"), "constraint “early talk”, figure", "binds the defence, not 1"),
        (
            ruled("help no earlier", cost="turnover"),
            "constraint “help no earlier”, cost",
            "the defence has no ball to lose",
        ),
        (ruled("no threes", "paint before three"), "constraints", "threes are both forbidden and asked for"),
        (ALONE | ruled("passes first"), "constraint “passes first”", "there is nobody to pass to"),
        (
            ALONE | ruled("no drive off a drive"),
            "constraint “no drive off a drive”",
            "there is no team-mate to catch a kick-out",
        ),
        ({"constraints": [{"rule": "no shot"}]}, "constraint “no shot”, figure", "is missing"),
        ({"constraints": [{"rule": "may shoot threes"}]}, "constraint “may shoot threes”, figure", "is missing"),
        (
            ruled("no threes", "may shoot threes"),
            "constraint “no threes”",
            "forbids threes to one who may shoot them",
        ),
        (ruled("no rim shots", "no mid-range", "no threes"), "constraints", "leave no place to shoot from"),
        (ruled("no paint shots", "no mid-range", "no threes"), "constraints", "leave no place to shoot from"),
        (ruled("may shoot", "no shot"), "constraints of 2", "say both that he may shoot and that he may not"),
        (
            {"constraints": [{"rule": "no shot", "figure": figure} for figure in ("1", "2")]},
            "constraints",
            "leave nobody who may shoot",
        ),
        (
            {"court": "mini"} | ruled("may shoot threes"),
            "constraint “may shoot threes”",
            "the Mini court has no arc",
        ),
        (
            ALONE | ruled("no threes", "no mid-range", "dribbles", limit=0),
            "constraints",
            "leave no way to score: only rim shots, and no dribble",
        ),
        (
            {"help": "dribble 1"} | ruled("help no earlier", limit=2),
            "constraint “help no earlier”",
            "forbids the help that is asked for on dribble 1",
        ),
        ({"court": "mini"} | ruled("no threes"), "constraint “no threes”", "the Mini court has no arc"),
        (
            {"court": "mini", "points": [{"rule": "three", "points": 3}]},
            "point rule “three”",
            "the Mini court has no arc",
        ),
        # points, finish, forms
        ({"points": [{"rule": "stop", "points": 1}] * 3}, "point rule “stop”", "is set 3 times"),
        ({"points": [{"rule": "stop", "points": 0}]}, "points", "nothing is worth anything"),
        ({"finish": {"points": 7}, "points": []}, "finish, points", "a score ends the game, and nothing scores"),
        (
            {"finish": {"points": 7}, "points": [{"rule": "stop", "points": -1}]},
            "finish, points",
            "a score ends the game, and nothing scores",
        ),
        ({"finish": {}}, "finish", "the game never ends"),
        ({"forms": [{"players": 6}, {"players": 6}]}, "form for 6 players", "is there 2 times"),
    ],
)
def test_one_problem_each(change: dict[str, Any], place: str, what: str) -> None:
    assert found(change) == [(place, what)]


@pytest.mark.parametrize(
    ("change", "place", "what"),
    [
        ({"forms": [{"players": 3}]}, "form for 3 players", "4 play at once, and there are 3"),
        ({"forms": [{"players": 10, "baskets": 3}]}, "form for 10 players", "12 play at once, and there are 10"),
        ({"easier": [{"say": "a", "change": {"help": "late"}}]}, "easier, step 1", "help: “late” is not known"),
        (
            {"harder": [{"say": "a"}, {"say": "b", "change": {"start": {"ball": None}}}]},
            "harder, step 2",
            "start, ball: is missing",
        ),
        (
            {"harder": [{"say": "a", "change": {"sides": {"offence": 3}}}]},
            "harder, step 1",
            "start, figure 3: has no place",
        ),
        ({"harder": [{"say": "a", "change": {"forms": []}}]}, "harder, step 1", "changes “forms”"),
        ({"easier": [{"say": "a", "change": {"format": "x"}}]}, "easier, step 1", "changes “format”"),
        (
            {"forms": [{"players": 6, "change": {"finish": {"minutes": None}}}]},
            "form for 6 players",
            "finish: the game never ends",
        ),
    ],
)
def test_a_changed_form_that_does_not_fit_is_a_loose_end(change: dict[str, Any], place: str, what: str) -> None:
    """The game itself can be kept and played; the coach is told what to mend."""
    assert found(change) == []
    loose = loose_ends(game_from_json(merge_patch(SOUND, change)))

    assert [(problem.place, problem.what) for problem in loose] == [(place, what)]
    assert all(problem.mend for problem in loose)


@pytest.mark.parametrize(
    "change",
    [
        placed(C=[-10.4, 3]),
        placed(_2=[7.5, 0]),
        placed(X1=[0, 6.79]),
        ruled("no threes", "no mid-range", "dribbles", limit=0),  # cutters still score at the rim
        {"help": "dribble 2"} | ruled("help no earlier", limit=2),
        {"help": "never"} | ruled("help no earlier", limit=4),
        {"constraints": [{"rule": "dribbles", "limit": 2}, {"rule": "dribbles", "limit": 0, "figure": "2"}]},
        {"constraints": [{"rule": "may shoot threes", "figure": figure} for figure in ("1", "2")]},
        {"constraints": [{"rule": "may shoot", "figure": "1"}, {"rule": "no shot", "figure": "2"}]},
        ruled("no rim shots", "no paint shots", "no threes"),  # what is left lies between
        {"entry": {"kind": "passes", "passes": 2, "to": "1"}, "live": "entry done"},
        {"entry": {"kind": "coach feeds", "to": "2"}, "start": {"ball": "C"}, "live": "first catch"},
        {"entry": {"kind": "swap", "to": "1"}},
        varied(mirror=True),
        {"points": [], "finish": {"minutes": 5}},
        {"finish": {"points": 7}},
        {"forms": [{"players": 4}, {"players": 8, "baskets": 2}]},
        {"harder": [{"say": "a", "change": {"question": None, "finish": {"minutes": None, "points": 5}}}]},
    ],
    ids=str,
)
def test_what_is_meant_that_way_is_let_be(change: dict[str, Any]) -> None:
    assert found(change) == []


@pytest.mark.parametrize("figure", ["1", "2", "C", "N1"])
def test_only_defenders_guard_and_only_attackers_are_guarded(figure: str) -> None:
    items = [item | ({"guards": figure} if item["figure"] == "X1" else {}) for item in SOUND["start"]["placements"]]
    expected = [] if figure in "12" else [("start, figure X1", f"cannot guard {figure}")]
    assert found({"start": {"placements": items}}) == expected

    items = [item | ({"guards": "2"} if item["figure"] == "1" else {}) for item in SOUND["start"]["placements"]]
    assert found({"start": {"placements": items}}) == [("start, figure 1", "cannot guard 2")]


@pytest.mark.parametrize("key", sorted(CONSTRAINTS))
def test_every_constraint_as_it_usually_is(key: str) -> None:
    kind = CONSTRAINTS[key]
    assert found(ruled(key)) == []
    assert "{" not in kind.say(kind.limit.usual if kind.limit else None)
    assert kind.played != bool(kind.watch), "played by the trial, or left to the coach with what to look for"
    assert kind.played != bool(kind.why), "what is not played says why"
    assert kind.played or not kind.personal
    assert kind.names or not kind.spares
    assert not (kind.side is Side.DEFENCE and kind.usual_cost is Cost.TURNOVER)
    if kind.limit:
        assert kind.limit.least <= kind.limit.usual <= kind.limit.most
        assert found(ruled(key, limit=kind.limit.least)) == found(ruled(key, limit=kind.limit.most)) == []


@pytest.mark.parametrize("key", sorted(POINT_RULES))
def test_every_point_rule_as_it_usually_is(key: str) -> None:
    kind = POINT_RULES[key]
    assert found({"points": [{"rule": key, "points": kind.usual}]}) == []
    assert bool(kind.caution) == bool(kind.not_for), "a caution names whom it is for"


@pytest.mark.parametrize(
    ("key", "limit", "said"),
    [
        ("dribbles", 0, "no dribble"),
        ("dribbles", 1, "1 dribble at most"),
        ("dribbles in all", 2, "2 dribbles at most for the side"),
        ("passes first", 1, "1 pass before a shot"),
        ("passes first", 2, "2 passes before a shot"),
        ("catch clock", 0.5, "pass, dribble or shoot within 0.5 s of the catch"),
        ("jump stop", None, "catch on two feet"),
        ("may shoot threes", None, "may shoot threes; the unnamed may not"),
    ],
)
def test_constraints_are_said_as_a_coach_would(key: str, limit: float | None, said: str) -> None:
    assert CONSTRAINTS[key].say(limit) == said
