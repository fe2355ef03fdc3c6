"""Reading a game: every problem in one go, each with its place and a mend."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from courtwright.documents import MAX_BYTES
from courtwright.errors import DocumentError, NewerFormatError, Problem
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.read import game_from_json, load_game, parse_game
from courtwright.vocabulary import SPOTS

FIGURES = {
    "1": "right slot",
    "2": "left slot",
    "3": "left corner",
    "X1": [2.2, 5.5],
    "X2": [-1.2, 5.3],
    "X3": [-2.3, 1.6],
}


def sound(**changes: Any) -> dict[str, Any]:
    """A small sound game, with parts replaced."""
    placements = [{"figure": figure, "at": at} for figure, at in FIGURES.items()]
    return {
        "format": "courtwright.game/1",
        "name": "Three",
        "sides": {"offence": 3, "defence": 3},
        "start": {"placements": placements, "ball": "1"},
    } | changes


def start(**at: Any) -> dict[str, Any]:
    """The start of that game, with some figures moved (`None` takes one out); names begin with an underscore."""
    moved = FIGURES | {name.lstrip("_"): place for name, place in at.items()}
    return {"ball": "1", "placements": [{"figure": name, "at": place} for name, place in moved.items() if place]}


def problems(data: Any) -> list[Problem]:
    with pytest.raises(DocumentError) as caught:
        parse_game(data) if isinstance(data, str | bytes) else game_from_json(data)
    return caught.value.problems


def test_a_sound_game_is_read() -> None:
    game = game_from_json(sound())
    assert (game.name, game.sides.offence, len(game.start.placements)) == ("Three", 3, 6)


def test_a_game_broken_in_ten_ways_says_all_of_it_at_once() -> None:
    broken = sound(
        name="  ",
        court="moon",
        start=start(_1="mars", X1=[2.2], X2=[99, 0]),
        constraints=[
            {"rule": "steps", "limit": 2},
            {"rule": "dribbles"},
            {"rule": "shot clock", "limit": 90},
        ],
        points=[{"rule": "stop", "points": 99}, {"rule": "basket", "points": 1.5}],
        finish={"minutes": None, "points": None},
        colour="blue",
    )

    found = problems(broken)

    assert {(problem.place, problem.what): problem.mend for problem in found} == {
        ("name", "is empty"): "Write something.",
        ("court", "“moon” is not known"): "Use fiba, fiba 3x3, nba, wnba, ncaa, nfhs or mini.",
        (
            "start, placement 1, at",
            f"no spot “mars” among {', '.join(map(str, SPOTS))}",
        ): "Name a spot, or give [x, y] in metres.",
        ("start, placement 4, at", "“[2.2]” is no place"): "Name a spot, or give [x, y] in metres.",
        ("constraint 1, rule", "“steps” is not known"): f"Use one of {', '.join(CONSTRAINTS)}.",
        ("point rule 1, points", "must be at most 10"): "Write -10 to 10.",
        ("point rule 2, points", "is not a whole number"): "Write a whole number.",
        ("colour", "is not known here"): "Take it out, or check its spelling.",
        ("constraint “dribbles”, limit", "is missing"): "Write 0 to 9 dribbles.",
        ("constraint “shot clock”, limit", "90 seconds makes no sense"): "Write 2 to 40 seconds.",
        ("finish", "the game never ends"): "Set minutes or points.",
    }
    assert len(found) == 11


def test_figures_off_the_floor_are_found_where_the_court_is_known() -> None:
    (problem,) = problems(sound(start=start(X2=[99, 0])))
    assert (problem.place, problem.what) == ("start, figure X2", "stands off the floor")
    assert problem.mend == "Keep x from -7.50 to 7.50, y from -1.57 to 12.43."


def test_two_errors_in_one_item_leave_the_next_item_alone() -> None:
    constraints = [
        {"rule": "steps", "limit": "two"},
        {"rule": "dribbles", "limit": 12},
        {"rule": "shot clock", "limit": 8},
        {"rule": "shot clock", "limit": 9},
    ]

    assert [problem.place for problem in problems(sound(constraints=constraints))] == [
        "constraint 1, rule",
        "constraint 1, limit",
        "constraint “shot clock”",
        "constraint “dribbles”, limit",
    ]


@pytest.mark.parametrize(
    "at",
    ["mars", "corner", "left nail", "", [], [1], [1, 2, 3], [1, "2"], [True, 1], [None, 1], 5, None, {"x": 1, "y": 2}],
    ids=str,
)
def test_a_wrong_place_is_one_clear_problem(at: Any) -> None:
    start = {"placements": [{"figure": "1", "at": at}], "ball": "1"}

    (problem,) = problems(sound(start=start))

    assert problem.place == "start, placement 1, at"
    assert problem.mend == "Name a spot, or give [x, y] in metres."


@pytest.mark.parametrize(
    ("change", "place", "what", "mend"),
    [
        ({"sides": {"offence": 9, "defence": 3}}, "sides, offence", "must be at most 5", "Write 1 to 5."),
        ({"sides": {"offence": 0, "defence": 3}}, "sides, offence", "must be at least 1", "Write 1 to 5."),
        ({"sides": {"offence": "3", "defence": 3}}, "sides, offence", "is not a whole number", "Write a whole number."),
        (
            {"sides": {"offence": True, "defence": 3}},
            "sides, offence",
            "is not a whole number",
            "Write a whole number.",
        ),
        ({"sides": {"defence": 3}}, "sides, offence", "is missing", "Add it."),
        ({"sides": 3}, "sides", "is not an object", "Write an object in { }."),
        (
            {"finish": {"minutes": 0}},
            "finish, minutes",
            "must be more than 0",
            "Write a number more than 0 and at most 60.",
        ),
        ({"cues": "Go."}, "cues", "is not a list", "Write a list in [ ]."),
        ({"cues": ["a", "b", "c", "d", "e"]}, "cues", "has 5 items", "Keep 4 at most."),
        ({"cues": ["x" * 201]}, "cue 1", "is too long", "Use at most 200 characters."),
        ({"cues": [5]}, "cue 1", "is not text", "Write it as text in quotes."),
        ({"cues": ["bell \a"]}, "cue 1", "holds a sign that cannot be printed", "Write it anew."),
        ({"help": "late"}, "help", "“late” is not known", "Use when beaten, dribble 1, dribble 2, dribble 3 or never."),
        (
            {"ending": {"make": "play on"}},
            "ending, make",
            "“play on” is not known",
            "Use possession ends or again from the start.",
        ),
        ({"easier": [{"change": {}}]}, "easier, step 1, say", "is missing", "Add it."),
        ({"forms": [{"players": 1}]}, "form 1, players", "must be at least 2", "Write 2 to 40."),
        (
            {"constraints": [{"rule": "dribbles", "limit": 2, "figure": "Z"}]},
            "constraint 1, figure",
            "no figure “Z”",
            "Use 1 to 5, X1 to X5 (defence), N1 or N2 (neutral), C (coach).",
        ),
        (
            {"format": "courtwright.squad/1"},
            "format",
            "says “courtwright.squad/1”",
            "Write “format”: “courtwright.game/1”.",
        ),
        (
            {"format": "courtwright.game/0"},
            "format",
            "says “courtwright.game/0”",
            "Write “format”: “courtwright.game/1”.",
        ),
        ({"format": None}, "format", "is missing", "Write “format”: “courtwright.game/1”."),
    ],
)
def test_what_a_coach_reads(change: dict[str, Any], place: str, what: str, mend: str) -> None:
    assert problems(sound(**change)) == [Problem(place, what, mend)]


def test_what_cannot_be_read_is_not_blamed_a_second_time() -> None:
    placements = [{"figure": "9"}, {"figure": "2", "at": "top"}]
    broken = sound(sides={"offence": 7, "defence": 1}, start={"placements": placements, "ball": "N1"}, points="none")

    places = [problem.place for problem in problems(broken | {"finish": {"points": 7}})]

    assert places == ["sides, offence", "start, placement 1, at", "points"]


def test_what_cannot_be_read_in_a_changed_form_is_refused() -> None:
    broken = sound(
        easier=[{"say": 5}, {"say": "b", "change": {"help": "late"}}],
        harder=[{"say": "c", "change": {"finish": {"minutes": -1}, "sidez": 2}}],
        cues=[7],
    )

    assert [(problem.place, problem.what) for problem in problems(broken)] == [
        ("cue 1", "is not text"),
        ("easier, step 1, say", "is not text"),
    ]


# --- texts that are no game


@pytest.mark.parametrize(
    ("raw", "place", "what"),
    [
        ("", "line 1, column 1", "is not JSON (expecting value)"),
        ("{", "line 1, column 2", "is not JSON (expecting property name enclosed in double quotes)"),
        ('{"a": 1,}\n', "line 1, column 9", "is not JSON (expecting property name enclosed in double quotes)"),
        ("[]", "file", "is not a JSON object"),
        ("null", "file", "is not a JSON object"),
        ('{"format": "courtwright.game/' + "9" * 5000 + '"}', "format", f"says “courtwright.game/{'9' * 23}…”"),
        (b"\xff\xfe{\0}\0", "file", "is not UTF-8 text but looks like UTF-16"),
        (b'{"name": "Zo\xeb"}', "file", "is not UTF-8 text"),
        (" " * (MAX_BYTES + 1), "file", "is over 1 MB"),
        ("[" * 100_000, "file", "is nested too deeply"),
        ('{"a":' * 50 + "1" + "}" * 50, "file", "is nested too deeply"),
        ('{"name": "\\ud800"}', "file", "holds half a character"),
        ('{"name": "\ud800"}', "file", "holds half a character"),
    ],
    ids=range(13),
)
def test_texts_that_are_no_game(raw: str | bytes, place: str, what: str) -> None:
    (problem,) = problems(raw)
    assert (problem.place, problem.what) == (place, what)
    assert problem.mend


def raw_with(name: str, value: str) -> str:
    """The sound game as text, with a part written by hand."""
    return json.dumps(sound())[:-1] + f', "{name}": {value}}}'


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999", "9" * 5000, "-1" + "0" * 20])
def test_numbers_that_are_none_are_found_with_the_rest(number: str) -> None:
    found = problems(raw_with("ending", f'{{"reset_s": {number}, "foul": "red card"}}'))

    assert found[0].place == "file"
    assert "number" in found[0].what
    assert found[1:] == [
        Problem("ending, foul", "“red card” is not known", "Use possession ends, again from the start or free throws."),
        Problem("ending, reset_s", "is not a number", "Write a number."),
    ]


def test_a_number_that_is_none_does_not_pass_where_none_is_needed() -> None:
    assert [problem.place for problem in problems(raw_with("finish", '{"minutes": 5, "points": NaN}'))] == ["file"]


def test_doubled_keys_are_refused() -> None:
    found = problems(raw_with("name", '"again"'))
    assert found == [Problem("file", "“name” stands twice in one place", "Keep one.")]


def test_whole_numbers_may_carry_a_point() -> None:
    assert parse_game(raw_with("points", '[{"rule": "stop", "points": 2.0}]')).points[0].points == 2


def test_a_byte_order_mark_is_nothing() -> None:
    text = json.dumps(sound(name="Zoë"), ensure_ascii=False)
    assert parse_game(b"\xef\xbb\xbf" + text.encode()).name == parse_game("\ufeff" + text).name == "Zoë"


def test_lines_are_made_of_text_with_breaks() -> None:
    assert game_from_json(sound(purpose=" one\r\ntwo\n")).purpose == "one two"


@pytest.mark.parametrize("number", [2, 17, 999_999])
def test_newer_versions_are_refused_politely_and_unread(number: int) -> None:
    with pytest.raises(NewerFormatError) as caught:
        game_from_json({"format": f"courtwright.game/{number}", "anything": "at all"})

    (problem,) = caught.value.problems
    assert problem.what == f"is courtwright.game/{number}, newer than this Courtwright reads"
    assert "Update Courtwright" in problem.mend


def test_data_that_is_no_json_is_refused() -> None:
    (problem,) = problems(sound(name={1, 2}))
    assert problem == Problem("file", "is not JSON data", "Use text, numbers, lists and objects only.")


def test_files(tmp_path: Path) -> None:
    path = tmp_path / "three.game.json"
    with pytest.raises(DocumentError, match=r"cannot be read \(No such file"):
        load_game(path)

    path.write_text(json.dumps(sound()), "utf-8")
    assert load_game(path).name == "Three"

    path.write_text("{}", "utf-8")
    with pytest.raises(DocumentError, match=r"^three.game.json: 1 problem\n  format: is missing"):
        load_game(path)
