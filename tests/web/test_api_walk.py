"""The whole way through the API: demo club, an edit, a conflict, history, turns, a trial, the sheet."""

from __future__ import annotations

import io
import time
from typing import TYPE_CHECKING, Any

import pypdf
import pytest

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

Json = dict[str, Any]


@pytest.fixture
def demo(client: TestClient) -> TestClient:
    assert client.post("/api/demo").status_code == 201
    return client


def first_game(client: TestClient) -> Json:
    key = client.get("/api/games").json()["games"][0]["id"]
    game: Json = client.get(f"/api/games/{key}").json()
    return game


def ended(client: TestClient, job: str) -> Json:
    """The job once it is over; a first compilation may take a minute."""
    for _ in range(3600):
        told: Json = client.get(f"/api/jobs/{job}").json()
        if told["state"] not in ("waiting", "running"):
            return told
        time.sleep(0.05)
    pytest.fail("the trial did not end within three minutes")


def run(client: TestClient, key: str, **wish: Any) -> Json:
    answer = client.post(f"/api/games/{key}/trials", json={"minutes": 4, "runs": 16, "seed": 7} | wish)
    assert answer.status_code == 202, answer.text
    return ended(client, answer.json()["job"])


def test_from_first_start_to_paper(client: TestClient) -> None:
    assert "/static/" in client.get("/").text
    assert client.post("/api/demo").status_code == 201
    again = client.post("/api/demo")
    assert (again.status_code, again.json()["problems"][0]["place"]) == (409, "store")
    squad = client.get("/api/squad").json()
    assert len(squad["squad"]["players"]) == 10
    names = [player["name"] for player in squad["squad"]["players"] if player["here"]]

    game = first_game(client)
    address = f"/api/games/{game['id']}"
    document = game["document"] | {"name": "Ours now"}
    assert client.put(address, json={"document": document, "base": 1}).json()["revision"] == 2
    late = client.put(address, json={"document": game["document"] | {"name": "Too late"}, "base": 1})
    assert (late.status_code, late.json()["current"]) == (409, 2)
    history = client.get(f"{address}/revisions").json()["revisions"]
    assert [row["name"] for row in history] == ["Ours now", game["document"]["name"]]

    rota = client.get(f"{address}/rota?minutes=6&seed=3").json()
    assert rota["names"] == names
    assert rota["sentence"].startswith("Everyone plays")
    assert rota == client.get(f"{address}/rota?minutes=6&seed=3").json()

    told = run(client, game["id"])
    assert told["state"] == "done"
    assert (told["done"], told["of"]) == (16, 16)
    kept = client.get(f"{address}/trials").json()
    assert kept["trials"][0]["result"] == told["result"]
    assert kept["trials"][0]["of_current_game"]
    assert kept["jobs"] == []

    pdf = client.get(f"/games/{game['id']}.pdf?minutes=6&seed=3")
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf.content)).pages)
    assert "Ours now" in text
    assert squad["squad"]["name"] in text


def test_trial_speaks_of_this_game_and_squad(demo: TestClient) -> None:
    game = first_game(demo)
    result = run(demo, game["id"])["result"]

    assert result["game_hash"] == game["hash"]
    assert result["squad_hash"] == demo.get("/api/squad").json()["hash"]
    assert (result["minutes"], result["runs"], result["seed"]) == (4, 16, 7)
    told = [row for row in result["measures"] if row["mean"] is not None]  # nothing where too little was seen
    assert len(told) > 5
    assert all(row["low"] <= row["high"] for row in told)


def test_same_seed_gives_the_same_trial(demo: TestClient) -> None:
    key = first_game(demo)["id"]
    one, again, other = (run(demo, key, seed=seed)["result"] for seed in (5, 5, 6))

    assert one == again
    assert one["measures"] != other["measures"]


def test_trial_of_an_older_state_is_marked(demo: TestClient) -> None:
    game = first_game(demo)
    run(demo, game["id"])
    demo.put(f"/api/games/{game['id']}", json={"document": game["document"] | {"name": "Changed"}, "base": 1})

    trials = demo.get(f"/api/games/{game['id']}/trials").json()["trials"]

    assert [trial["of_current_game"] for trial in trials] == [False]


def test_two_tabs_do_not_disturb_each_other(demo: TestClient) -> None:
    key = first_game(demo)["id"]
    run(demo, key)
    wish = {"minutes": 60, "runs": 5000, "seed": 1}
    one = demo.post(f"/api/games/{key}/trials", json=wish).json()["job"]
    other = demo.post(f"/api/games/{key}/trials", json={"minutes": 4, "runs": 16, "seed": 2}).json()["job"]
    assert one != other

    stopped = demo.delete(f"/api/jobs/{one}")
    assert stopped.status_code == 200

    assert ended(demo, one)["state"] == "stopped"
    assert ended(demo, other)["state"] == "done"
    assert [trial["result"]["seed"] for trial in demo.get(f"/api/games/{key}/trials").json()["trials"]] == [2, 7]


def test_trial_without_a_squad_is_refused(client: TestClient) -> None:
    starter = client.get("/api/vocabulary").json()["starters"][0]["key"]
    key = client.post("/api/games", json={"starter": starter}).json()["id"]

    answer = client.post(f"/api/games/{key}/trials", json={"minutes": 4, "runs": 16, "seed": 7})

    assert answer.status_code == 404
    assert "there is no squad yet" in answer.json()["problems"][0]["what"]


def test_trial_with_too_few_players_is_refused(demo: TestClient) -> None:
    key, squad = first_game(demo)["id"], demo.get("/api/squad").json()
    players = [player | {"here": index < 1} for index, player in enumerate(squad["squad"]["players"])]
    demo.put("/api/squad", json={"squad": squad["squad"] | {"players": players}, "base": 1})

    for answer in (
        demo.get(f"/api/games/{key}/rota"),
        demo.post(f"/api/games/{key}/trials", json={"minutes": 4, "runs": 16, "seed": 7}),
    ):
        assert answer.status_code == 422
        assert answer.json()["problems"][0]["place"] == "rota"


def test_every_starter_can_be_drawn_planned_tried_and_printed(demo: TestClient) -> None:
    for row in demo.get("/api/games").json()["games"]:
        key = row["id"]
        assert demo.get(f"/games/{key}.svg").status_code == 200
        assert demo.get(f"/api/games/{key}/rota").status_code == 200
        assert demo.get(f"/games/{key}.pdf").status_code == 200
        assert run(demo, key)["state"] == "done"


def test_game_with_a_neutral_player_can_be_tried(demo: TestClient) -> None:
    at = {"1": "left slot", "N1": "right corner", "X1": "nail"}
    document = {
        "format": "courtwright.game/1",
        "name": "With a neutral",
        "sides": {"offence": 1, "defence": 1, "neutral": 1},
        "start": {"placements": [{"figure": figure, "at": place} for figure, place in at.items()], "ball": "1"},
        "points": [{"rule": "basket", "points": 1}],
    }
    key = demo.post("/api/games", json={"document": document}).json()["id"]

    told = run(demo, key)

    assert (told["state"], told["problems"]) == ("done", [])
