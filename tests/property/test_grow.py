"""Any 1-on-1, drawn at random, grows to a sound 2- to 5-on-5."""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from courtwright.errors import DocumentError
from courtwright.game.document import Game, Help
from courtwright.game.grow import CLEAR_M, SPACING_M, grow
from courtwright.game.library import library
from courtwright.game.read import game_from_json, loose_ends

ALONE = [key for key, game in library().items() if (game.sides.offence, game.sides.defence) == (1, 1)]


@st.composite
def one_on_ones(draw: st.DrawFn) -> Game:
    """An attacker and a defender anywhere, perhaps a coach, a variant and a limit."""
    x_m, y_m = draw(st.floats(-6.5, 6.5)), draw(st.floats(-0.5, 11))
    away_m, angle = draw(st.floats(0.8, 5)), draw(st.floats(0, math.tau))
    defender = (x_m + away_m * math.cos(angle), y_m + away_m * math.sin(angle))
    defender = (min(max(defender[0], -7.2), 7.2), min(max(defender[1], -1.2), 12))
    coach = draw(st.booleans()) and math.dist((0, 12), (x_m, y_m)) > 1 and math.dist((0, 12), defender) > 1
    placements: list[dict[str, Any]] = [{"figure": "1", "at": [x_m, y_m]}, {"figure": "X1", "at": list(defender)}]
    if math.dist((x_m, y_m), defender) < 0.3:
        placements[1]["at"] = [x_m, y_m + 0.5]
    data = {
        "format": "courtwright.game/1",
        "name": draw(st.text("abc ", min_size=1, max_size=80).filter(str.strip)),
        "sides": {"offence": 1, "defence": 1, "coach": coach},
        "start": {
            "placements": [*placements, *([{"figure": "C", "at": [0, 12]}] if coach else [])],
            "ball": "C" if coach else "1",
            "variants": [{"name": "other side", "mirror": True}] if draw(st.booleans()) and not coach else [],
        },
        "entry": {"kind": "coach feeds", "to": "1"} if coach else {},
        "help": draw(st.sampled_from([one.value for one in Help])),
        "constraints": [{"rule": "dribbles", "limit": draw(st.integers(0, 9))}],
        "points": [{"rule": "basket by the court", "points": 1}],
        "easier": [{"say": "from the top", "change": {"constraints": []}}],
    }
    return game_from_json(data)


@settings(max_examples=60, deadline=None)
@given(one_on_ones(), st.integers(2, 5))
def test_a_drawn_one_on_one_grows_soundly(game: Game, side: int) -> None:
    grown = grow(game, side)

    assert loose_ends(grown) == []
    assert (grown.sides.offence, grown.sides.defence) == (side, side)
    assert (grown.constraints, grown.points, grown.entry) == (game.constraints, game.points, game.entry)
    places = grown.placed_m()
    assert {figure: places[figure] for figure in game.placed_m()} == game.placed_m()
    added = places.keys() - game.placed_m().keys()
    for one, other in combinations(places, 2):
        if {one, other} & added:
            assert math.dist(places[one], places[other]) >= CLEAR_M - 0.01, (one, other)


@pytest.mark.parametrize("side", [2, 3, 4, 5])
@pytest.mark.parametrize("key", ALONE)
def test_every_one_on_one_of_the_library_grows(key: str, side: int) -> None:
    game = library()[key]
    grown = grow(game, side)

    assert loose_ends(grown) == []
    assert f"{side}-on-{side}" in grown.name
    assert grown.help is Help.WHEN_BEATEN, "help is what the bigger game is for"
    assert [step.say for step in grown.harder] == [step.say for step in game.harder]
    for variant in (None, *range(len(grown.start.variants))):
        places = grown.placed_m(variant)
        attackers = [places[str(number)] for number in range(1, side + 1)]
        assert min(math.dist(one, other) for one, other in combinations(attackers, 2)) >= SPACING_M
        for number in range(2, side + 1):
            man, helper = places[str(number)], places[f"X{number}"]
            assert math.hypot(*helper) < math.hypot(*man), "a helper stands nearer to the ring than the man"


def test_only_one_on_one_grows_and_only_so_far() -> None:
    with pytest.raises(DocumentError, match="not 1 on 1"):
        grow(library()["two-to-read"], 3)
    with pytest.raises(DocumentError, match="Write 2 to 5"):
        grow(library()["one-step-ahead"], 6)
