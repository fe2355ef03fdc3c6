"""Reading a squad file: every problem in one go, each with its place and a mend."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from courtwright.documents import MAX_BYTES
from courtwright.errors import DocumentError, NewerFormatError, Problem
from courtwright.squad import Player, Shots, Squad, load_squad, parse_squad, squad_from_json
from courtwright.squad.table import KNOWN
from courtwright.vocabulary import Level, Zone

SAMPLE = Path(__file__).parents[1] / "data" / "squad-1.json"


def problems(raw: Any) -> list[Problem]:
    with pytest.raises(DocumentError) as caught:
        parse_squad(raw) if isinstance(raw, str | bytes) else squad_from_json(raw)
    return caught.value.problems


def only(raw: str) -> Player:
    """The one player of a table."""
    (player,) = parse_squad(raw).players
    return player


def test_a_full_table() -> None:
    squad = parse_squad(
        "name,number,height_cm,level,here,grade,split_5_m_s,split_10_m_s,three_makes,three_attempts,squad,squad_level\n"
        "Ada,4,171.5,u18,yes,5,1.2,2.01,7,20,Harbour Lane,U16\n"
        "Bex,,,,no,,,,,,,\n"
    )

    ada = Player(
        name="Ada",
        number=4,
        height_cm=171.5,
        level=Level.U18,
        grade=5,
        splits_s={5: 1.2, 10: 2.01},
        shooting={Zone.THREE: Shots(makes=7, attempts=20)},
    )
    assert squad == Squad(name="Harbour Lane", level=Level.U16, players=(ada, Player(name="Bex", here=False)))
    assert squad.here == (ada,)


def test_a_name_is_all_a_player_needs() -> None:
    squad = parse_squad("Name\nAda\nBex\n")
    assert squad == Squad(name="Squad", players=(Player(name="Ada"), Player(name="Bex")))
    assert all(player.here for player in squad.players)


def test_a_squad_broken_in_ten_ways_says_all_of_it_at_once() -> None:
    found = problems(
        "\ufeffName;Height_cm;No.;Here;10 m;20 m;Colour;Level;rim makes;rim attempts;Grade\r\n"
        "Ada;182;7;x;1,2;3;;U15;12;10;9\r\n"
        "\r\n"
        " ada;5;7;maybe;2,0;1,99;;;;3\r\n"
        ";171;100;;twenty;;red;;x;;\r\n"
        "Cleo;;;;15;;;;;4;;spare\r\n"
    )

    known = f"Known are {KNOWN}."
    levels = "Use one of U12, U14, U16, U18, women, men."
    height = "Write it like 172, 1.72 m or 5'9\"."
    clock = "Check the time and the distance"
    assert [(problem.place, problem.what, problem.mend) for problem in found] == [
        ("row 1, Colour", "is not a known heading", known),
        ("row 2, Level", "no level “U15”", levels),
        ("row 2, Grade", "must be at most 5", "Write 1 to 5."),
        ("row 2, rim makes", "12 makes are more than 10 attempts", "Correct one of the two."),
        ("row 2, 10 m", "10 m in 1.2 s is faster than any published player", f"{clock}; 1.30 s is the limit."),
        ("row 4, Height_cm", "“5” is no height of a player", height),
        ("row 4, Here", "“maybe” is neither yes nor no", "Write yes or no."),
        ("row 4, rim makes", "is missing", "Add it."),
        ("row 4, 20 m", "20 m in 1.99 s is faster than any published player", f"{clock}; 2.35 s is the limit."),
        ("row 4, 20 m", "20 m takes no longer than 10 m (1.99 s and 2 s)", "Correct one of the two."),
        ("row 4, Name", "“ada” is also in row 2", "Add an initial, or take one out."),
        ("row 4, No.", "7 is also in row 2", "Give each a number of their own."),
        ("row 5, 10 m", "“twenty” is not a number", "Write it like 1,85."),
        ("row 5, rim makes", "“x” is not a whole number", "Write it like 7."),
        ("row 5, Name", "is missing", "Add it."),
        ("row 5, No.", "must be at most 99", "Write 0 to 99."),
        ("row 6", "has 12 cells under 11 headings", "Check the separators."),
        ("row 6, rim makes", "is missing", "Add it."),
        ("row 6, 10 m", "10 m in 15 s is a walk", "Check the time and the distance."),
    ]


# --- headings and separators


@pytest.mark.parametrize(
    ("name", "number", "split", "makes"),
    [
        ("name", "number", "split_10_m_s", "three_makes"),
        ("NAME", "No.", "10 m", "Three Makes"),
        (" Name ", "Nr", "10m", "3 made"),
        ("Player", "#", "Sprint 10 m (s)", "three  makes"),
        ("player_name", "Jersey", "split 10.0 m", "THREE-MAKES"),
        ("Player name", "shirt", "10,0 m", "Three made"),
    ],
)
def test_headings_in_any_dress(name: str, number: str, split: str, makes: str) -> None:
    row = f"{name};{number};{split};{makes};three attempts\nAda;7;2,05;3;9\n"
    assert only(row) == Player(
        name="Ada", number=7, splits_s={10: 2.05}, shooting={Zone.THREE: Shots(makes=3, attempts=9)}
    )


@pytest.mark.parametrize(
    ("heading", "cell", "height_cm"),
    [
        ("height", "182", 182),
        ("height", "1.82", 182),
        ("height", "182 cm", 182),
        ("height", "1.82 m", 182),
        ("height", "1.82m", 182),
        ("height_cm", "182.5", 182.5),
        ("Height (cm)", "182", 182),
        ("HEIGHT M", "1.82", 182),
        ("height_m", "182 cm", 182),
        ("height", "5'9\"", 175.26),
        ("height", "5'9", 175.26),
        ("height", "5’9”", 175.26),
        ("height", "5'9.5''", 176.53),
        ("height", "5 ft 9 in", 175.26),
        ("height ft-in", "5-9", 175.26),
        ("height_ft_in", "6 ft", 182.88),
        ("height (in)", "69", 175.26),
    ],
)
def test_heights_in_any_unit(heading: str, cell: str, height_cm: float) -> None:
    quoted = cell.replace('"', '""')
    assert only(f'name;{heading}\nAda;"{quoted}"\n').height_cm == pytest.approx(height_cm)


@pytest.mark.parametrize(
    ("heading", "cell"),
    [
        ("height", "5.9"),
        ("height ft", "5.9"),
        ("height m", "182"),
        ("height cm", "1.82"),
        ("height", "tall"),
        ("height", "0"),
    ],
)
def test_heights_that_could_be_anything(heading: str, cell: str) -> None:
    (problem,) = problems(f"name,{heading}\nAda,{cell}\n")
    assert problem == Problem(
        f"row 2, {heading}", f"“{cell}” is no height of a player", "Write it like 172, 1.72 m or 5'9\"."
    )


@pytest.mark.parametrize("word", ["yes", "Y", "x", "1", "TRUE", "", "  "])
def test_here(word: str) -> None:
    assert only(f"name,here\nAda,{word}\n").here


@pytest.mark.parametrize("word", ["no", "N", "0", "False"])
def test_not_here(word: str) -> None:
    assert not only(f"name,here\nAda,{word}\n").here


@pytest.mark.parametrize(
    "raw",
    [
        b"name,number\r\nZo\xc3\xab,7\r\n",
        b"\xef\xbb\xbfname;number\nZo\xc3\xab;7\n",
        "name\tnumber\nZoë\t7",
        "sep=;\nname;number\nZoë;7\n",
        "sep=|\r\nname|number\r\nZoë|7\r\n",
        '"name","number"\n"Zoë","7"\n',
        "\n\nname,number,,\n,,,\nZoë,7,,\n\n",
        "number;name\n#7;Zoë\n",
        "number,name\n7.0,Zoë\n",
        "name,number\rZoë,7",
    ],
    ids=range(10),
)
def test_the_same_table_in_other_clothes(raw: str | bytes) -> None:
    assert only(raw if isinstance(raw, str) else raw.decode("utf-8")) == Player(name="Zoë", number=7)
    assert parse_squad(raw).players == (Player(name="Zoë", number=7),)


def test_the_separator_is_told_from_the_headings_not_from_the_cells() -> None:
    assert only('name;height\n"O, P, Q";1,82\n') == Player(name="O, P, Q", height_cm=182)
    assert only("name,height\na;b;c;d,1.82\n") == Player(name="a;b;c;d", height_cm=182)


def test_decimal_commas_need_another_separator() -> None:
    (split, height) = problems('name,10 m,height\nAda,"2,05","1,82"\n')
    assert split == Problem("row 2, 10 m", "“2,05” has a comma, and commas part the cells here", "Write 2.05.")
    assert height == Problem("row 2, height", "“1,82” has a comma, and commas part the cells here", "Write 1.82.")


def test_cells_may_hold_separators_quotation_marks_and_breaks() -> None:
    assert only('name,number\n"Ada ""Ace"",\nthe first",7\n') == Player(name='Ada "Ace", the first', number=7)


@pytest.mark.parametrize(
    ("raw", "place", "what"),
    [
        ("", "file", "is empty"),
        ("\n ,\n", "file", "is empty"),
        ("sep=;\n", "file", "is empty"),
        ("Ada,7\nBex,8\n", "row 1", "has no heading “name”"),
        ("number,height\n7,182\n", "row 1", "has no heading “name”"),
        ("name,Name\nAda,Bex\n", "row 1, Name", "says the same as “name”"),
        ("name,height_cm,height_m\nAda,,\n", "row 1, height_m", "says the same as “height_cm”"),
        ("name,\nAda,7\n", "row 2", "“7” stands under no heading"),
        ("name\nAda,7\n", "row 2", "has 2 cells under 1 headings"),
        ('name\n"Ada', "file", "is not a CSV table (line 2: unexpected end of data)"),
        (b"\xff\xfen\0a\0m\0e\0", "file", "is not UTF-8 text but looks like UTF-16"),
        (b"n\0a\0m\0e\0", "file", "is not UTF-8 text but looks like UTF-16"),
        (b"name\nZo\xeb\n", "file", "is not UTF-8 text"),
        ("name\n" * 300_000, "file", "is over 1 MB"),
        ("name\n" + "\n".join(map(str, range(61))), "players", "are 61"),
        ("name\n\ud800", "file", "holds half a character"),
        ("name\nA\0da", "row 2, name", "holds a sign that cannot be printed"),
        ("name\n" + "x" * 41, "row 2, name", "is too long"),
        ("name,squad\nAda,A\nBex,B\n", "row 3, squad", "says “B”, and row 2 says “A”"),
        ("name,squad_level\nAda,U16\nBex,U18\n", "row 3, squad_level", "says “U18”, and row 2 says “U16”"),
        ("name,squad\nAda," + "x" * 81, "squad, name", "is too long"),
        ("name,number\nAda,7.5\n", "row 2, number", "“7.5” is not a whole number"),
        ("name,number\nAda,-7\n", "row 2, number", "“-7” is not a whole number"),
        ("name,10 m\nAda,nan\n", "row 2, 10 m", "“nan” is not a number"),
        ("name,10 m\nAda,1e0\n", "row 2, 10 m", "“1e0” is not a number"),
        ("name,200 m\nAda,40\n", "row 2, 200 m", "must be at most 100"),
        ("name,10 m\nAda,70\n", "row 2, 10 m", "must be at most 60"),
        ("name,rim attempts,rim makes\nAda,,4\n", "row 2, rim attempts", "is missing"),
        ("name,rim makes\nAda,4\n", "row 2, rim_attempts", "is missing"),
    ],
    ids=range(29),
)
def test_what_a_coach_reads(raw: str | bytes, place: str, what: str) -> None:
    (problem,) = problems(raw)
    assert (problem.place, problem.what) == (place, what)
    assert problem.mend.endswith(".")


# --- JSON


def test_a_file_of_format_1_always_loads() -> None:
    squad = load_squad(SAMPLE)

    assert squad.hash == "22cbdc982ff4f16dcabf502296e2d85a654d57521ce53ff430feaf4cbabad81c", (
        "a stored hash names this content for ever"
    )
    assert squad.players[0].splits_s == {5: 1.2, 10: 2.01, 22.86: 3.4}
    assert squad.players[1] == Player(name="Bex")
    data = json.loads(SAMPLE.read_text("utf-8"))
    assert data.keys() == Squad.model_fields.keys(), "the sample shows every field"
    assert data["players"][0].keys() == Player.model_fields.keys()


def test_json_with_everything_wrong_says_all_of_it_at_once() -> None:
    found = problems(
        {
            "format": "courtwright.squad/1",
            "level": "U15",
            "colour": "blue",
            "players": [
                1,
                {"name": 5, "number": "7"},
                {"name": "Ada", "number": 7, "splits_s": {"a": 1, "10": 1.1, "20": "x"}},
                {"name": "ADA", "number": 7, "height_cm": 90, "here": 1, "nick": "Ace"},
                {"name": "Bex", "shooting": {"half court": {"makes": 1, "attempts": 2}, "rim": {"makes": 3}}},
                {"name": "Cleo", "shooting": {"mid": {"makes": 3, "attempts": 2}}, "splits_s": {"5": 1, "5.0": 2}},
            ],
        }
    )

    assert [(problem.place, problem.what) for problem in found] == [
        ("name", "is missing"),
        ("level", "“U15” is not known"),
        ("colour", "is not known here"),
        ("player 1", "is not an object"),
        ("player 2, name", "is not text"),
        ("player 2, number", "is not a whole number"),
        ("player 3, splits_s, a", "is not a number"),
        ("player 3, splits_s, 20", "is not a number"),
        ("player 3, splits_s, 10", "10 m in 1.1 s is faster than any published player"),
        ("player 4, height_cm", "must be at least 100"),
        ("player 4, here", "is neither true nor false"),
        ("player 4, nick", "is not known here"),
        ("player 4, name", "“ADA” is also in player 3"),
        ("player 4, number", "7 is also in player 3"),
        ("player 5, shooting, half court", "“half court” is not known"),
        ("player 5, shooting, rim, attempts", "is missing"),
        ("player 6, splits_s", "has 2 times over 5 m"),
        ("player 6, shooting, mid, makes", "3 makes are more than 2 attempts"),
    ]


@pytest.mark.parametrize(
    ("change", "place", "what"),
    [
        ({"players": {}}, "players", "is not a list"),
        ({"players": None}, "players", "is not a list"),
        ({"players": [{}] * 61}, "players", "are 61"),
        ({"format": "courtwright.game/1"}, "format", "says “courtwright.game/1”"),
        ({"name": ""}, "name", "is empty"),
    ],
)
def test_json_squads_refused(change: dict[str, Any], place: str, what: str) -> None:
    sound = {"format": "courtwright.squad/1", "name": "A", "players": []}
    assert (place, what) in [(problem.place, problem.what) for problem in problems(sound | change)]


def test_newer_versions_are_refused_politely() -> None:
    with pytest.raises(NewerFormatError, match="Update Courtwright"):
        parse_squad('{"format": "courtwright.squad/2"}')


def test_json_is_told_by_its_first_sign() -> None:
    (problem,) = problems("[1, 2]")
    assert problem == Problem("file", "is not a JSON object", "It begins with { and names its format.")


def test_files(tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match="cannot be read"):
        load_squad(tmp_path / "squad.csv")

    (tmp_path / "squad.csv").write_bytes(b" " * (MAX_BYTES + 1))
    with pytest.raises(DocumentError, match=r"^squad.csv: 1 problem\n  file: is over 1 MB"):
        load_squad(tmp_path / "squad.csv")
