"""Rotas over the API: asked for by name, two players exchanged, groups and teams, new turns for a run."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import pytest
from pypdf import PdfReader
from tests.logs import Device

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

Json = dict[str, Any]
NAMES = ["Ada", "Bex", "Cleo", "Dot", "Effie", "Fern", "Gus", "Hal", "Ivy"]
ASKED: Json = {"names": NAMES, "offence": 3, "defence": 3, "turns": 12, "rule": "timed turns"}


@pytest.fixture
def demo(client: TestClient) -> TestClient:
    assert client.post("/api/demo").status_code == 201
    return client


def planned(client: TestClient, **changes: Any) -> Json:
    answer = client.post("/api/rotas", json={"asked": ASKED | changes})
    assert answer.status_code == 200, answer.text
    found: Json = answer.json()
    return found


def refused(client: TestClient, **changes: Any) -> str:
    answer = client.post("/api/rotas", json={"asked": ASKED | changes})
    assert answer.status_code == 422
    problem: Json = answer.json()["problems"][0]
    assert problem["mend"]
    return f"{problem['place']}: {problem['what']}"


def test_a_rota_for_names_alone(client: TestClient) -> None:
    answer = planned(client)
    assert answer == planned(client)
    assert len(answer["rota"]["turns"]) == 12
    assert answer["judgement"].startswith("Perfect in ")
    assert answer["sentence"].startswith("Everyone plays 8 turns")
    assert answer["asked"]["names"] == NAMES
    assert "expected" not in answer
    assert planned(client, seed=4)["rota"]["turns"] != answer["rota"]["turns"]


def test_what_a_game_asks_can_be_changed_and_sent(demo: TestClient) -> None:
    key = demo.get("/api/games").json()["games"][0]["id"]
    asked = demo.get(f"/api/games/{key}/rota/asked?minutes=5").json()["asked"]
    answer = demo.post("/api/rotas", json={"asked": asked}).json()
    assert [row["offence"] for row in answer["rota"]["turns"]] == [
        row["offence"] for row in demo.get(f"/api/games/{key}/rota?minutes=5").json()["turns"]
    ]


def test_wishes_by_name_are_kept(client: TestClient) -> None:
    wishes = [{"kind": "apart", "players": ["Ada", "Bex"]}, {"kind": "at most", "players": ["Cleo"], "number": 5}]
    rota = planned(client, wishes=wishes)["rota"]
    assert rota["team_mate_turns"][0][1] == 0
    assert rota["players"][2]["total_turns"] <= 5


def test_contradictory_wishes_are_refused_with_what_to_drop(client: TestClient) -> None:
    said = refused(client, names=NAMES[:6], wishes=[{"kind": "apart", "players": ["Ada", "Bex", "Cleo"]}])
    assert said.startswith("rota: these wishes cannot all be kept; give up this one")
    assert "Ada, Bex and Cleo never on one side" in said


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"names": NAMES[:5]}, "rota: 3-on-3 needs 6 players and 5 are here"),
        ({"names": [*NAMES[:8], "Ada"]}, "asked: ada stands twice among the names; give each player one name"),
        ({"wishes": [{"kind": "guest", "players": ["Zed"]}]}, "rota: Zed: not among the players of this rota"),
        ({"rule": "by the moon"}, "asked, rule: input should be"),
        ({"turns": 0}, "asked, turns: input should be greater than or equal to 1"),
    ],
)
def test_what_makes_no_sense_is_named(client: TestClient, changes: Json, said: str) -> None:
    assert refused(client, **changes).startswith(said)


def test_rules_that_depend_on_who_wins_say_what_to_expect(client: TestClient) -> None:
    expected = planned(client, rule="winners stay")["expected"]
    assert set(expected["turns"]) == set(NAMES)
    assert sum(expected["turns"].values()) == pytest.approx(72, abs=0.1)
    assert expected["sentence"].startswith("An even share is 8.0 turns")


def test_two_players_change_places_and_the_cost_is_told(client: TestClient) -> None:
    answer = planned(client)
    turn = answer["rota"]["turns"][4]
    body = {
        "asked": answer["asked"],
        "turns": answer["rota"]["turns"],
        "turn": 5,
        "one": turn["off"][0],
        "other": turn["defence"][0],
    }
    after = client.post("/api/rotas/exchange", json=body)
    assert after.status_code == 200, after.text
    changed = after.json()["rota"]["turns"][4]
    assert changed["defence"][0] == turn["off"][0]
    assert turn["defence"][0] in changed["off"]
    assert "turns within 2 of the best possible instead of perfect" in after.json()["cost"]
    assert client.post("/api/rotas/exchange", json=body | {"other": "Zed"}).status_code == 422


def test_turns_that_were_played_stand(client: TestClient) -> None:
    before = planned(client)["rota"]["turns"]
    wishes = [{"kind": "to turn", "players": ["Ada"], "number": 4}]
    after = planned(client, played=before[:4], wishes=wishes)["rota"]
    assert after["turns"][:4] == before[:4]
    assert all("Ada" not in row["offence"] + row["defence"] + row["off"] for row in after["turns"][4:])


def test_groups_and_even_teams(demo: TestClient) -> None:
    groups = demo.post("/api/rotas/groups", json={"names": NAMES, "size": 3, "rounds": 4}).json()
    assert groups["sentence"] == "Perfect: no two players are together twice."
    assert all(sorted(name for group in round_ for name in group) == NAMES for round_ in groups["rounds"])
    here = [player["name"] for player in demo.get("/api/squad").json()["squad"]["players"]]
    body = {"count": 2, "together": [here[:2]], "apart": [[here[0], here[2]]]}
    found = demo.post("/api/rotas/teams", json=body).json()["splits"]
    assert len(found) == 3
    for split in found:
        team = next(team["names"] for team in split["teams"] if here[0] in team["names"])
        assert here[1] in team
        assert here[2] not in team
        assert [team["bib"] for team in split["teams"]] == ["yellow", "blue"]
    assert demo.post("/api/rotas/teams", json={"count": 2, "apart": [["Zed", here[0]]]}).status_code == 422


def test_new_turns_of_a_run_count_what_was_played(client: TestClient) -> None:
    game = client.post("/api/games", json={"starter": "low-mans-call"}).json()
    opening = client.post("/api/runs", json={"game_id": game["id"], "players": NAMES}).json()["opening"]
    run, coach = opening["run"], Device()
    facts = [coach.tell("make", number, zone="rim", who="1") for number in range(1, 7)]
    told = [fact.to_json() | {"run_id": run} for fact in facts]
    assert client.post(f"/api/runs/{run}/facts", json={"facts": told}).json()["refused"] == []

    answer = client.post(f"/api/runs/{run}/rota", json={"here": [*NAMES[1:], "Kit"]}).json()

    assert answer["sentence"].startswith("From turn 7 Kit comes in and Ada goes; turns 1 to 6 stand")
    turns = dict.fromkeys(NAMES[1:], 0)
    for row in [*opening["turns"][:6], *answer["turns"]]:
        for name in row["figures"].values():
            turns[name] = turns.get(name, 0) + 1
    old = [turns[name] for name in NAMES[1:]]
    assert max(old) - min(old) <= 1  # over the whole run, not from here on
    assert turns["Kit"] < min(old)


def test_the_turns_on_paper(client: TestClient) -> None:
    answer = planned(client, names=NAMES, baskets=1, turns=40)
    body = {"asked": answer["asked"], "turns": answer["rota"]["turns"], "title": "Wednesday #1 \\ ten"}
    made = client.post("/api/rotas/sheet", json=body)
    assert made.headers["content-type"] == "application/pdf"
    reader = PdfReader(io.BytesIO(made.content))
    text = "\n".join(page.extract_text() for page in reader.pages)
    assert "Wednesday #1 \\ ten" in text
    for name in NAMES:
        assert name in text
    assert "/StructTreeRoot" in reader.root_object  # tagged, as every page of ours
    assert made.content == client.post("/api/rotas/sheet", json=body).content


def test_a_sheet_of_two_baskets_and_teams_names_the_bibs(client: TestClient) -> None:
    names = [*NAMES, "Jo", "Kit", "Lou"]
    answer = planned(client, names=names, baskets=2, teams="fixed", turns=6)
    body = {"asked": answer["asked"], "turns": answer["rota"]["turns"], "teams": answer["rota"]["teams"]}
    text = PdfReader(io.BytesIO(client.post("/api/rotas/sheet", json=body).content)).pages[0].extract_text()
    assert "yellow" in text
    assert "2 baskets" in text
    assert "teams stay together" in text
