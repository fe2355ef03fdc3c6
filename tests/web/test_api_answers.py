"""The API for what is asked of trials: compared, swept, played again; what follows disturbs nobody."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

Json = dict[str, Any]
SHORT: Json = {"minutes": 4, "runs": 12, "seed": 3}


@pytest.fixture
def game(client: TestClient) -> str:
    """The id of a game of the demo club."""
    games = client.post("/api/demo").json()["games"]
    return str(next(row["id"] for row in games if row["name"] == "Low Man's Call"))


def document(client: TestClient, game: str) -> Json:
    found: Json = client.get(f"/api/games/{game}").json()["document"]
    return found


def changed(client: TestClient, game: str) -> Json:
    """The game with a no-dribble rule, not saved."""
    told = document(client, game)
    return told | {"constraints": [{"rule": "dribbles", "limit": 0, "cost": None, "figure": None}]}


def over(client: TestClient, answer: Any) -> Json:
    """Wait until a job is over, and give what it says."""
    assert answer.status_code == 202, answer.text
    for _ in range(3000):
        told: Json = client.get(f"/api/jobs/{answer.json()['job']}").json()
        if told["state"] not in ("waiting", "running"):
            return told
        time.sleep(0.02)
    pytest.fail("the job does not end")


def test_a_trial_is_compared_with_another_version(client: TestClient, game: str) -> None:
    asked = SHORT | {"document": changed(client, game), "against": document(client, game)}
    told = over(client, client.post(f"/api/games/{game}/trials", json=asked))
    comparison = told["result"]["comparison"]
    assert told["of"] == 24
    assert comparison["first"]["game_hash"] == client.get(f"/api/games/{game}").json()["hash"]
    assert comparison["second"]["game_hash"] == told["result"]["game_hash"]
    drives = next(row for row in comparison["differences"] if row["key"] == "drives")
    assert drives["verdict"] == "down"
    assert comparison["sentences"]


def test_a_trial_is_compared_with_a_saved_version(client: TestClient, game: str) -> None:
    kept = client.get(f"/api/games/{game}").json()
    client.put(f"/api/games/{game}", json={"document": changed(client, game), "base": kept["revision"]})
    told = over(client, client.post(f"/api/games/{game}/trials", json=SHORT | {"against_revision": kept["revision"]}))
    assert told["result"]["comparison"]["first"]["game_hash"] == kept["hash"]
    missing = client.post(f"/api/games/{game}/trials", json=SHORT | {"against_revision": 99})
    assert missing.status_code == 404


def test_what_is_not_saved_is_tried_and_not_kept(client: TestClient, game: str) -> None:
    over(client, client.post(f"/api/games/{game}/trials", json=SHORT | {"document": changed(client, game)}))
    over(client, client.post(f"/api/games/{game}/trials", json=SHORT | {"keep": False}))
    assert client.get(f"/api/games/{game}/trials").json()["trials"] == []
    over(client, client.post(f"/api/games/{game}/trials", json=SHORT))
    assert len(client.get(f"/api/games/{game}/trials").json()["trials"]) == 1


def test_what_follows_is_not_watched_by_another_tab(client: TestClient, game: str) -> None:
    long = {"minutes": 60, "runs": 5000, "seed": 1}
    quiet = [
        client.post(f"/api/games/{game}/trials", json=long | more).json()["job"]
        for more in ({"keep": False}, {"behind": True, "keep": False})
    ]
    listed = client.post(f"/api/games/{game}/trials", json=long).json()["job"]
    jobs = [row["job"] for row in client.get(f"/api/games/{game}/trials").json()["jobs"]]
    for job in [*quiet, listed]:
        client.delete(f"/api/jobs/{job}")
    assert jobs == [listed]


def test_a_quick_trial_does_not_wait_for_what_is_behind(client: TestClient, game: str) -> None:
    behind = client.post(
        f"/api/games/{game}/trials", json={"minutes": 60, "runs": 5000, "keep": False, "behind": True}
    ).json()["job"]
    quick = over(client, client.post(f"/api/games/{game}/trials", json=SHORT | {"keep": False}))
    state = client.get(f"/api/jobs/{behind}").json()["state"]
    client.delete(f"/api/jobs/{behind}")
    assert (quick["state"], state) == ("done", "running")


def test_a_trial_of_many_runs_tells_luck_from_what_is_not_known(client: TestClient, game: str) -> None:
    few = over(client, client.post(f"/api/games/{game}/trials", json=SHORT))["result"]
    many = over(client, client.post(f"/api/games/{game}/trials", json=SHORT | {"runs": 256}))["result"]
    assert few["ranges"] == {}
    assert many["ranges"]["points"]["sampling"]["low"] < many["ranges"]["points"]["sampling"]["high"]
    assert many["possession_lengths"]["quantiles"][2]["up_to_s"] > 0


def test_a_shorter_trial_played_lately_is_the_same_as_a_fresh_one(client: TestClient, game: str) -> None:
    url = f"/api/games/{game}/trials"
    over(client, client.post(url, json=SHORT | {"runs": 40}))
    again = over(client, client.post(url, json=SHORT))["result"]
    fresh = over(client, client.post(url, json=SHORT | {"seed": 4}))["result"]
    assert again["runs"] == 12
    from courtwright.answers.compare import play_version
    from courtwright.game.read import game_from_json
    from courtwright.squad.demo import DEMO_SQUAD

    played = play_version(game_from_json(document(client, game)), DEMO_SQUAD, **SHORT).to_json()
    assert again == played
    assert fresh["measures"] != again["measures"]


def test_settings_and_measures_are_offered(client: TestClient, game: str) -> None:
    told = client.get(f"/api/games/{game}/settings").json()
    dribbles = next(row for row in told["settings"] if row["key"] == "dribbles")
    assert dribbles["now"] == 3
    assert dribbles["usual"] == [1, 2, 3, 4, 5, "none"]
    assert {"points", "help_drawn"} <= {row["key"] for row in told["measures"]}
    assert told["wanted"][0] == {"key": "usual", "text": "a usual one"}


def test_a_setting_is_swept(client: TestClient, game: str) -> None:
    asked = {"setting": "dribbles", "values": [0, 3, "none"], "measure": "drives", "minutes": 4, "runs": 16}
    told = over(client, client.post(f"/api/games/{game}/sweeps", json=asked))
    points = told["result"]["points"]
    assert told["of"] == 64
    assert [point["value"] for point in points] == [0, 3, "none"]
    assert points[0]["verdict"] == "down"
    assert points[1]["verdict"] is None


@pytest.mark.parametrize(
    "wrong",
    [
        {"setting": "flying"},
        {"values": []},
        {"values": ["many"]},
        {"values": [99]},
        {"measure": "joy"},
        {"runs": 0},
        {"colour": "red"},
    ],
)
def test_a_sweep_that_cannot_be_played_is_refused_at_once(client: TestClient, game: str, wrong: Json) -> None:
    asked = {"setting": "dribbles", "values": [1], "minutes": 4} | wrong
    answer = client.post(f"/api/games/{game}/sweeps", json=asked)
    assert answer.status_code == 422
    assert answer.json()["problems"][0]["what"]


def test_a_sweep_can_be_stopped(client: TestClient, game: str) -> None:
    asked = {"setting": "dribbles", "values": [0, 1, 2, 3, 4], "minutes": 60, "runs": 2000}
    job = client.post(f"/api/games/{game}/sweeps", json=asked)
    client.delete(f"/api/jobs/{job.json()['job']}")
    assert over(client, job)["state"] == "stopped"


def test_a_possession_is_played_again(client: TestClient, game: str) -> None:
    url = f"/api/games/{game}/replays"
    first = client.post(url, json={"want": "help", "minutes": 10, "seed": 1}).json()
    assert any(event["what"] == "help" for event in first["events"])
    here = {"run": first["run"], "possession": first["possession"], "minutes": 10, "seed": 1}
    assert client.post(url, json=here).json() == first
    following = client.post(url, json=here | {"want": "next"}).json()
    assert (following["run"], following["possession"]) != (first["run"], first["possession"])
    other = client.post(url, json=here | {"document": changed(client, game)}).json()
    assert all(event["what"] != "dribble" for event in other["events"])


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"run": 1}, "give a run and a possession"),
        ({}, "or what is wanted"),
        ({"run": 1, "possession": 5000}, "run 1 has"),
        ({"want": "dunk"}, "cannot be looked for"),
    ],
)
def test_a_possession_that_is_not_there_is_refused(client: TestClient, game: str, wrong: Json, says: str) -> None:
    answer = client.post(f"/api/games/{game}/replays", json={"minutes": 10} | wrong)
    assert answer.status_code == 422
    assert says in answer.json()["problems"][0]["what"]


def test_a_body_names_one_version_only(client: TestClient, game: str) -> None:
    both = SHORT | {"against_revision": 1, "against": document(client, game)}
    assert client.post(f"/api/games/{game}/trials", json=both).status_code == 422
