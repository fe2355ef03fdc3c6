"""The squad itself: the demo, what is written out, what is taken for granted."""

from __future__ import annotations

from pathlib import Path

import pytest

from courtwright.floor.presets import preset
from courtwright.squad import Player, Shots, Squad, assumptions, load_squad, parse_squad, squad_from_json, squad_to_csv
from courtwright.squad.demo import DEMO_SQUAD
from courtwright.vocabulary import Level, Zone

EXAMPLE = Path(__file__).parents[2] / "examples" / "squad.csv"


# --- the demo squad


def test_the_example_is_the_demo_squad() -> None:
    assert load_squad(EXAMPLE) == DEMO_SQUAD
    assert EXAMPLE.read_text("utf-8") == squad_to_csv(DEMO_SQUAD).replace("\r\n", "\n")


def test_the_demo_squad_is_a_mixed_bag() -> None:
    players = DEMO_SQUAD.players
    assert (DEMO_SQUAD.name, len(players), len(DEMO_SQUAD.here)) == ("Harbour Lane U16", 10, 10)
    assert len({player.name for player in players}) == len({player.number for player in players}) == 10
    for given in ("splits_s", "shooting"):
        assert 2 <= sum(bool(getattr(player, given)) for player in players) <= 5
    assert any(player.height_cm is None for player in players)


# --- written out


def test_only_headings_that_are_used_are_written() -> None:
    squad = Squad(name="A", players=(Player(name="Ada", splits_s={22.86: 3.4}), Player(name="Bex", height_cm=170)))

    assert squad_to_csv(squad) == (
        "name,number,height_cm,level,here,grade,split_22.86_m_s,squad,squad_level\r\n"
        "Ada,,,,yes,,3.4,A,U16\r\n"
        "Bex,,170,,yes,,,A,U16\r\n"
    )


def test_an_empty_squad_keeps_its_name() -> None:
    squad = Squad(name="Nobody yet", level=Level.MEN)
    assert parse_squad(squad_to_csv(squad)) == squad


@pytest.mark.parametrize(
    ("name", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("+44", "'+44"),
        ("-5", "'-5"),
        ("@home", "'@home"),
        ("＝wide", "'＝wide"),
        ("'=1", "''=1"),
        ("''@", "'''@"),
        ("'t Hart", "'t Hart"),
        ("O'Neil", "O'Neil"),
        ("a=b", "a=b"),
    ],
)
def test_no_cell_can_become_a_formula(name: str, cell: str) -> None:
    squad = Squad(name=name, players=(Player(name=name),))

    text = squad_to_csv(squad)

    assert text.splitlines()[1] == f"{cell},,,,yes,,{cell},U16"
    assert parse_squad(text) == squad


def test_distances_are_plain_keys_in_json() -> None:
    data = DEMO_SQUAD.to_json()
    assert data["players"][0]["splits_s"] == {"5": 1.19, "10": 1.98, "20": 3.46}
    assert squad_from_json(data) == DEMO_SQUAD


def test_hash_is_blind_to_the_order_of_distances_and_zones_only() -> None:
    def ada(**changes: object) -> Squad:
        rim, three = {Zone.RIM: Shots(makes=1, attempts=2)}, {Zone.THREE: Shots(makes=1, attempts=3)}
        first = {"name": "Ada", "splits_s": {5: 1.2, 10: 2.0}, "shooting": rim | three}
        return Squad(name="A", players=(Player.model_validate(first | changes),))

    rim, three = ada().players[0].shooting.items()
    assert ada(splits_s={10: 2, 5: 1.2}, shooting=dict([three, rim])).hash == ada().hash
    assert ada(splits_s={5: 1.2, 10: 2.01}).hash != ada().hash
    assert ada(here=False).hash != ada().hash


# --- taken for granted


def test_what_the_preset_stands_in_for_is_said_once_for_all() -> None:
    figure = preset(Level.U16).height_cm
    height = f"{figure.mid:g} ± {figure.spread:g} cm, the U16 preset ({figure.evidence})"
    tested = "from the shooting tests, taken as unguarded and weighed against the group, in place of the grade"

    assert assumptions(DEMO_SQUAD) == [
        "No level for 9 of 10 players: taken as U16, the squad's own.",
        f"No height for Ivo: taken as {height}.",
        "Speed of Ada, Cleo and Effie: from the timed sprints, weighed against the preset.",
        f"Shots of Ada, Cleo and Jun: {tested}; players of the level without a test move a little too.",
        "All other speed and shooting comes from the preset (U14, U16); a grade moves the shooting a little.",
    ]


def test_names_of_a_few_and_counts_of_many() -> None:
    def squad(*names: str) -> Squad:
        whole = Player(name="Whole", height_cm=170, level=Level.U12, grade=3)
        return Squad(name="A", level=Level.U12, players=(whole, *(Player(name=name, height_cm=150) for name in names)))

    assert assumptions(squad("Ada"))[:2] == [
        "No level for Ada: taken as U12, the squad's own.",
        "No grade for Ada: taken as the middle, 3.",
    ]
    assert assumptions(squad("Ada", "Bex", "Cleo"))[1] == "No grade for Ada, Bex and Cleo: taken as the middle, 3."
    assert assumptions(squad("Ada", "Bex", "Cleo", "Dot"))[1] == "No grade for 4 of 5 players: taken as the middle, 3."


def test_heights_are_taken_level_by_level() -> None:
    players = [Player(name="Ada", level=Level.U12), Player(name="Bex", level=Level.MEN)]
    said = assumptions(Squad(name="A", players=tuple(players)))
    assert [sentence.split(":")[0] for sentence in said[:2]] == ["No height for Ada", "No height for Bex"]


def test_where_nothing_was_measured_the_preset_says_it_all() -> None:
    said = assumptions(Squad(name="A", players=(Player(name="Ada"),)))
    assert said[-1] == "Speed and shooting come from the preset (U16); a grade moves the shooting a little."
    assert len(said) == 4


def test_where_everyone_was_tested_nobody_is_left_to_move() -> None:
    test = {Zone.MID: Shots(makes=10, attempts=20)}
    many = tuple(Player(name=name, shooting=test, splits_s={10: 2.0}) for name in ("Ada", "Bex", "Cleo", "Dot"))
    said = assumptions(Squad(name="A", players=many))

    assert "Speed of every player: from the timed sprints, weighed against the preset." in said
    (shots,) = (sentence for sentence in said if sentence.startswith("Shots of every player: "))
    assert shots.endswith("in place of the grade.")


def test_nothing_is_assumed_of_nobody() -> None:
    assert assumptions(Squad(name="A")) == []


def test_a_gap_of_everyone_is_said_of_everyone() -> None:
    many = tuple(Player(name=name) for name in ("Ada", "Bex", "Cleo", "Dot"))
    assert assumptions(Squad(name="A", players=many))[0] == "No level for any player: taken as U16, the squad's own."
