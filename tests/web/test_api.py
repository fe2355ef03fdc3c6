"""The JSON API: squad, games with their history, words for the forms."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.document import Game
from courtwright.game.points import POINT_RULES
from courtwright.store import Store

if TYPE_CHECKING:
    from fastapi.testclient import TestClient


Json = dict[str, Any]
ODD_NAMES = ["O’Neill's \"A\" & <b onclick='x'>B</b>", "</script><script>alert(1)</script>", "سلة ١", "篮球 🏀"]


def a_document(name: str = "Slot drive", **changes: Any) -> Json:
    at = {"1": "left slot", "2": "right corner", "X1": "nail"}
    placements = [{"figure": figure, "at": place} for figure, place in at.items()]
    return {
        "format": "courtwright.game/1",
        "name": name,
        "sides": {"offence": 2, "defence": 1},
        "start": {"placements": placements, "ball": "1"},
        **changes,
    }


def a_squad(*names: str) -> Json:
    return {"format": "courtwright.squad/1", "name": "Harbour Lane", "players": [{"name": name} for name in names]}


def added(client: TestClient, name: str = "Slot drive", **changes: Any) -> str:
    answer = client.post("/api/games", json={"document": a_document(name, **changes)})
    assert answer.status_code == 201, answer.text
    return str(answer.json()["id"])


def test_no_squad_yet(client: TestClient) -> None:
    assert client.get("/api/squad").json() == {"squad": None, "revision": 0, "hash": None, "assumptions": []}
    assert client.get("/squad.csv").status_code == 404


def test_squad_is_kept_with_its_revision(client: TestClient) -> None:
    first = client.put("/api/squad", json={"squad": a_squad("Ada"), "base": 0}).json()
    second = client.put("/api/squad", json={"squad": a_squad("Ada", "Bex"), "base": 1}).json()

    assert (first["revision"], second["revision"]) == (1, 2)
    assert client.get("/api/squad").json() == second
    assert [player["name"] for player in second["squad"]["players"]] == ["Ada", "Bex"]
    assert second["assumptions"], "heights and levels were left out, and that is said"


def test_squad_saved_elsewhere_meanwhile(client: TestClient) -> None:
    for base, name in enumerate(("Ada", "Bex")):
        client.put("/api/squad", json={"squad": a_squad(name), "base": base})

    answer = client.put("/api/squad", json={"squad": a_squad("Cleo"), "base": 1})

    assert answer.status_code == 409
    assert answer.json()["current"] == 2
    assert answer.json()["problems"][0]["mend"] == "Load it again, then repeat the change."


def test_squad_with_many_problems_is_not_kept(client: TestClient) -> None:
    squad = a_squad("Ada", "Bex") | {"level": "U99"}
    squad["players"][0]["number"] = 100
    squad["players"][1]["height_cm"] = -5

    answer = client.put("/api/squad", json={"squad": squad, "base": 0})

    assert answer.status_code == 422
    assert len(answer.json()["problems"]) == 3
    assert client.get("/api/squad").json()["revision"] == 0


def test_squad_file_is_read_but_not_kept(client: TestClient) -> None:
    table = "name;number;height_cm\nAda;4;171,5\nBex;5;\n"

    answer = client.post("/api/squad/import", content=b"\xef\xbb\xbf" + table.encode())

    assert answer.status_code == 200
    assert [player["height_cm"] for player in answer.json()["squad"]["players"]] == [171.5, None]
    assert client.get("/api/squad").json()["revision"] == 0


def test_broken_squad_file_tells_every_problem(client: TestClient) -> None:
    answer = client.post("/api/squad/import", content="name,number,height_cm\nAda,many,900\n,5,\n")

    assert answer.status_code == 422
    assert len(answer.json()["problems"]) >= 3
    assert all(set(problem) == {"place", "what", "mend"} for problem in answer.json()["problems"])


def test_squad_goes_out_as_table_and_document(client: TestClient) -> None:
    client.put("/api/squad", json={"squad": a_squad("Ada", "Zoë"), "base": 0})

    table, document = client.get("/squad.csv"), client.get("/squad.json")

    for answer in (table, document):
        again = client.post("/api/squad/import", content=answer.content).json()["squad"]
        assert [player["name"] for player in again["players"]] == ["Ada", "Zoë"]
    assert table.headers["content-type"] == "text/csv; charset=utf-8"
    assert table.headers["content-disposition"].startswith('attachment; filename="Harbour-Lane.csv"')
    assert document.headers["content-type"] == "application/json"


def test_game_is_kept_listed_and_read(client: TestClient) -> None:
    key = added(client, purpose="Drive or pass")

    game = client.get(f"/api/games/{key}").json()
    rows = client.get("/api/games").json()["games"]

    assert (game["id"], game["revision"], game["problems"]) == (key, 1, [])
    assert game["document"]["name"] == "Slot drive"
    assert game["hash"] == Game.model_validate(game["document"]).hash
    assert rows == [
        {
            "id": key,
            "name": "Slot drive",
            "purpose": "Drive or pass",
            "sides": "2 on 1",
            "court": "fiba",
            "revision": 1,
            "changed_at": game["changed_at"],
        }
    ]


def test_edit_conflict_and_history(client: TestClient) -> None:
    key = added(client, "one")
    for base, name in ((1, "two"), (2, "three")):
        answer = client.put(f"/api/games/{key}", json={"document": a_document(name), "base": base})
        assert answer.json()["revision"] == base + 1

    late = client.put(f"/api/games/{key}", json={"document": a_document("late"), "base": 2})
    again = client.put(f"/api/games/{key}", json={"document": a_document("three"), "base": 2})
    history = client.get(f"/api/games/{key}/revisions").json()["revisions"]

    assert (late.status_code, late.json()["current"]) == (409, 3)
    assert (again.status_code, again.json()["revision"]) == (200, 3)
    assert [row["name"] for row in history] == ["three", "two", "one"]
    assert client.get(f"/api/games/{key}/revisions/1").json()["document"]["name"] == "one"
    assert client.get(f"/api/games/{key}/revisions/9").status_code == 404


def test_broken_game_is_not_kept(client: TestClient) -> None:
    key = added(client)
    broken = a_document("", live="never", help="maybe", points=[{"rule": "dunk", "points": 2}])

    answer = client.put(f"/api/games/{key}", json={"document": broken, "base": 1})

    assert answer.status_code == 422
    assert {"name", "live", "help"} <= {problem["place"] for problem in answer.json()["problems"]}
    assert client.get(f"/api/games/{key}").json()["revision"] == 1


def test_check_looks_without_keeping(client: TestClient) -> None:
    sound = client.post("/api/check", json={"document": a_document()})
    broken = client.post("/api/check", json={"document": a_document(live="never")})

    assert (sound.status_code, sound.json()["problems"], len(sound.json()["hash"])) == (200, [], 64)
    assert (broken.status_code, broken.json()["hash"]) == (200, None)
    assert broken.json()["problems"][0]["place"] == "live"
    assert client.get("/api/games").json() == {"games": []}


def test_removed_game_comes_back(client: TestClient) -> None:
    key = added(client)

    assert client.delete(f"/api/games/{key}").json() == {"removed": key}
    assert client.get("/api/games").json()["games"] == []
    assert [row["id"] for row in client.get("/api/games?removed=true").json()["games"]] == [key]
    assert client.get(f"/api/games/{key}").status_code == 404
    assert client.get(f"/games/{key}").status_code == 404
    assert client.post(f"/api/games/{key}/restore").json() == {"revision": 1}
    assert client.get(f"/api/games/{key}").status_code == 200


def test_copy_and_starter(client: TestClient) -> None:
    key = added(client, "x" * 80)
    copy = client.post("/api/games", json={"copy_of": key}).json()
    starter = client.get("/api/vocabulary").json()["starters"][0]
    made = client.post("/api/games", json={"starter": starter["key"]}).json()

    assert copy["document"]["name"] == "x" * 73 + " (copy)"
    assert copy["id"] != key
    assert made["document"]["name"] == starter["name"]
    assert made["document"]["sides"]["offence"] == starter["offence"]
    assert client.post("/api/games", json={"starter": "nothing"}).status_code == 404
    assert client.post("/api/games", json={"copy_of": "nothing"}).status_code == 404


def test_a_one_on_one_grows_into_a_new_game(client: TestClient) -> None:
    alone = client.post("/api/games", json={"starter": "one-step-ahead"}).json()
    made = client.post("/api/games", json={"grow_of": alone["id"], "side": 4})

    assert made.status_code == 201
    assert made.json()["id"] != alone["id"]
    assert made.json()["document"]["sides"]["offence"] == 4
    assert made.json()["problems"] == made.json()["loose"] == []
    again = client.post("/api/games", json={"grow_of": made.json()["id"], "side": 5})
    assert again.status_code == 422
    assert "1 on 1" in again.text
    assert client.post("/api/games", json={"grow_of": alone["id"]}).status_code == 422
    assert client.post("/api/games", json={"grow_of": alone["id"], "side": 6}).status_code == 422


def test_a_trial_refuses_what_is_only_drawn(client: TestClient) -> None:
    words = client.get("/api/vocabulary").json()["starters"]
    assert [one["key"] for one in words if not one["simulated"]]
    client.post("/api/demo")
    key = client.post("/api/games", json={"starter": "hand-it-over"}).json()["id"]
    job = client.post(f"/api/games/{key}/trials", json={"minutes": 1, "runs": 1})

    assert job.status_code == 422
    assert "Drawn, not simulated" in job.text


@pytest.mark.parametrize("body", [{}, {"starter": "a", "copy_of": "b"}, {"document": a_document(), "starter": "a"}])
def test_new_game_is_made_in_one_way(client: TestClient, body: Json) -> None:
    answer = client.post("/api/games", json=body)

    assert answer.status_code == 422
    assert "exactly one of document, starter, copy_of and grow_of" in answer.text


@pytest.mark.parametrize("name", ODD_NAMES)
def test_odd_names_survive(client: TestClient, name: str) -> None:
    key = added(client, name)

    assert client.get(f"/api/games/{key}").json()["document"]["name"] == name
    assert client.get("/api/games").json()["games"][0]["name"] == name


@pytest.mark.parametrize("name", ODD_NAMES[:2])
def test_pages_escape_names(client: TestClient, name: str) -> None:
    client.put("/api/squad", json={"squad": a_squad("Ada") | {"name": name}, "base": 0})
    key = added(client, name)

    for address in ("/squad", "/games", f"/games/{key}"):
        page = client.get(address)
        assert page.status_code == 200
        assert page.headers["content-type"] == "text/html; charset=utf-8"
        assert name not in page.text
        assert "<script>alert" not in page.text
        assert "<b onclick" not in page.text


def test_first_page_then_games(client: TestClient) -> None:
    assert client.get("/", follow_redirects=False).status_code == 200
    added(client)
    answer = client.get("/", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/games")


def test_vocabulary_names_every_word(client: TestClient) -> None:
    words = client.get("/api/vocabulary").json()

    assert [kind["key"] for kind in words["constraints"]] == list(CONSTRAINTS)
    assert [kind["key"] for kind in words["points"]] == list(POINT_RULES)
    assert {kind["key"]: kind["played"] for kind in words["constraints"]}["jump stop"] is False
    assert words["ending"]["foul"] == ["possession ends", "again from the start", "free throws"]
    assert set(words["courts"]) == set(words["spots"]) == {"fiba", "fiba 3x3", "nba", "wnba", "ncaa", "nfhs", "mini"}
    assert words["courts"]["fiba"]["side_x_m"] == 7.5
    assert words["spots"]["fiba"]["nail"][0] == 0.0
    for key in ("costs", "help", "live", "entry", "teams", "levels", "rota"):
        assert words[key], key
        assert all(isinstance(word, str) for word in words[key])


def test_every_word_offered_is_taken(client: TestClient) -> None:
    """Whatever the forms offer, the document takes."""
    words = client.get("/api/vocabulary").json()
    tries = [{"help": word} for word in words["help"]]
    tries += [{"rota": {"rule": rule, "teams": word}} for rule in words["rota"] for word in words["teams"]]
    tries += [{"ending": {key: word}} for key, choices in words["ending"].items() for word in choices]
    for kind in words["constraints"]:
        limit = kind["limit"]["usual"] if kind["limit"] else None
        figure = "1" if kind["names"] else None
        item = {"rule": kind["key"], "limit": limit, "cost": kind["usual_cost"], "figure": figure}
        tries.append({"constraints": [item]})
    tries += [{"constraints": [{"rule": "no threes", "cost": cost}]} for cost in words["costs"]]
    tries += [{"points": [{"rule": kind["key"], "points": kind["usual"]}]} for kind in words["points"]]

    for changes in tries:
        assert client.post("/api/check", json={"document": a_document(**changes)}).json()["problems"] == [], changes


def test_schema_is_the_documents_own(client: TestClient) -> None:
    assert client.get("/api/schema/game").json() == json.loads(json.dumps(Game.model_json_schema()))


def test_game_kept_by_a_version_that_took_it_can_be_read_and_mended(client: TestClient, store: Store) -> None:
    from sqlalchemy import text

    key = added(client)
    with store._writing() as connection:
        connection.execute(text("UPDATE revision SET document = replace(document, 'Slot drive', '')"))

    game = client.get(f"/api/games/{key}").json()

    assert game["document"]["name"] == ""
    assert game["problems"][0]["place"] == "name"
    assert client.put(f"/api/games/{key}", json={"document": a_document("mended"), "base": 1}).status_code == 200
