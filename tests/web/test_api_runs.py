"""Runs over the API: open, tell, follow, and files."""

from __future__ import annotations

import json
import threading
import urllib.request
from typing import TYPE_CHECKING, Any

import pytest
from tests.logs import Device
from tests.web.conftest import House

from courtwright.errors import DocumentError
from courtwright.vocabulary import Role
from courtwright.web.may import check_may_tell, told_to

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from fastapi.testclient import TestClient

Json = dict[str, Any]
NAMES = ["Ada", "Bex", "Cleo", "Dot", "Effie", "Fern", "Gus"]


def opened(client: TestClient, **changes: Any) -> Json:
    game = client.post("/api/games", json={"starter": "low-mans-call"}).json()
    answer = client.post("/api/runs", json={"game_id": game["id"], "players": NAMES, **changes})
    assert answer.status_code == 201, answer.text
    opening: Json = answer.json()["opening"]
    return opening


def told(run: str, *facts: Any) -> list[Json]:
    return [fact.to_json() | {"run_id": run} for fact in facts]


def test_a_run_opens_with_whoever_is_here_squad_or_not(client: TestClient) -> None:
    opening = opened(client, basket="far basket", minutes=6, tags=[{"tag": "talked early"}])

    assert sorted(opening["players"]) == NAMES
    assert (opening["basket"], opening["minutes"]) == ("far basket", 6)
    assert set(opening["turns"][0]["figures"]) == {"1", "2", "3", "X1", "X2", "X3"}
    assert opening["forms"], "the starter's easier and harder forms come with it"
    (row,) = client.get("/api/runs").json()["runs"]
    assert (row["run"], row["name"], row["facts"]) == (opening["run"], opening["game"]["name"], 0)


@pytest.mark.parametrize(
    ("changes", "status", "what"),
    [
        ({"players": ["Ada", "Ada"]}, 422, "twice"),
        ({"players": ["Ada", "Bex"]}, 422, "6"),
        ({"players": None}, 404, "no squad yet"),
        ({"game_id": "elsewhere"}, 404, "no game"),
        ({"minutes": 0}, 422, "greater than 0"),
    ],
)
def test_a_run_that_cannot_be_opened_says_why(client: TestClient, changes: Json, status: int, what: str) -> None:
    game = client.post("/api/games", json={"starter": "low-mans-call"}).json()

    answer = client.post("/api/runs", json={"game_id": game["id"], "players": NAMES, **changes})

    assert answer.status_code == status
    assert what in json.dumps(answer.json())


def test_facts_are_taken_once_and_what_is_wrong_holds_up_no_other(client: TestClient) -> None:
    run, coach = opened(client)["run"], Device()
    good, bad = told(run, coach.tell("make", 1, zone="rim"), coach.tell("turnover", 2))
    bad["detail"] = {"zone": "rim"}
    other = told("another", coach.tell("turnover", 2))[0]

    answer = client.post(f"/api/runs/{run}/facts", json={"facts": [bad, good, other]}).json()
    again = client.post(f"/api/runs/{run}/facts", json={"facts": [good]}).json()

    assert answer["taken"] == again["taken"] == [good["event_id"]]
    assert (answer["last"], again["last"]) == (1, 1)
    assert [item["event"] for item in answer["refused"]] == [bad["event_id"], other["event_id"]]
    assert answer["refused"][0]["problems"][0]["place"] == "detail.zone"
    assert "another run" in answer["refused"][1]["problems"][0]["what"]
    found = client.get(f"/api/runs/{run}").json()
    assert found["facts"] == [good]
    assert client.get(f"/api/runs/{run}/facts", params={"after": 1}).json()["facts"] == []


def test_a_changed_fact_under_a_known_id_is_refused(client: TestClient) -> None:
    run, coach = opened(client)["run"], Device()
    (good,) = told(run, coach.tell("make", 1, zone="rim"))
    client.post(f"/api/runs/{run}/facts", json={"facts": [good]})

    answer = client.post(f"/api/runs/{run}/facts", json={"facts": [good | {"possession": 9}]}).json()

    assert answer["taken"] == []
    assert "names another fact" in answer["refused"][0]["problems"][0]["what"]


def test_nobody_knows_an_unknown_run(client: TestClient) -> None:
    assert client.get("/api/runs/elsewhere").status_code == 404
    assert client.get("/api/runs/elsewhere/stream").status_code == 404
    assert client.get("/api/runs/elsewhere/screen/stream").status_code == 404
    assert client.post("/api/runs/elsewhere/facts", json={"facts": []}).status_code == 404


def test_new_turns_for_those_who_are_here_now(client: TestClient) -> None:
    run = opened(client)["run"]

    turns = client.post(f"/api/runs/{run}/rota", json={"here": [*NAMES[1:], "Juno", "Kit"]}).json()["turns"]

    assert {name for turn in turns for name in turn["figures"].values()} == {*NAMES[1:], "Juno", "Kit"}
    assert client.post(f"/api/runs/{run}/rota", json={"here": ["Ada"]}).status_code == 422


def test_the_players_screen_tells_the_score_and_nobodys_errors(client: TestClient) -> None:
    run, coach = opened(client)["run"], Device()
    facts = told(
        run,
        coach.tell("turnover", 1, who="2"),
        coach.tell("make", 2, zone="three", who="1"),
        coach.tell("tag", 3, tag="talked", who="X1", did=False),
    )
    client.post(f"/api/runs/{run}/facts", json={"facts": facts})

    screen = client.get(f"/api/runs/{run}/screen").json()

    assert (screen["score"], screen["possession"]) == ([3, 1], 3)
    assert not {"possessions", "players", "tags", "counts", "attendance"} & set(screen)
    assert "turnover" not in json.dumps(screen)


def test_a_run_goes_to_another_store_as_one_file(client: TestClient, tmp_path: Path, ask: Any) -> None:
    from courtwright.store import Store
    from courtwright.web import create_app

    run, coach = opened(client)["run"], Device()
    facts = told(run, coach.tell("make", 1, zone="rim"), coach.tell("turnover", 2))
    client.post(f"/api/runs/{run}/facts", json={"facts": facts})
    text = client.get(f"/api/runs/{run}/file").text

    with Store.open(tmp_path / "other.sqlite") as store:
        other = ask(create_app(store))
        assert other.post("/api/runs/file", json={"text": text}).json() == {"run": run, "facts": 2}
        assert other.get(f"/api/runs/{run}").json()["facts"] == facts
        assert other.post("/api/runs/file", json={"text": text}).status_code == 409
        wrong = other.post("/api/runs/file", json={"text": text.replace('"rim"', '"moon"')})
    assert wrong.status_code == 422
    assert wrong.json()["problems"][0]["place"].startswith("line 2, detail.zone")


# --- following, over a real connection


@pytest.fixture
def running(tmp_path: Path) -> Iterator[House]:
    house = House(tmp_path / "club.sqlite")
    house.start()
    yield house
    house.stop()


def posted(house: House, path: str, body: Json) -> Json:
    request = urllib.request.Request(
        house.url + path, json.dumps(body).encode(), {"Content-Type": "application/json"}, method="POST"
    )
    with urllib.request.urlopen(request, timeout=10) as answer:
        found: Json = json.load(answer)
    return found


def events(house: House, path: str, count: int, found: list[tuple[str, Json]], begun: threading.Event) -> None:
    with urllib.request.urlopen(house.url + path, timeout=20) as stream:
        name = ""
        for raw in stream:
            line = raw.decode().strip()
            name = line.removeprefix("event: ") if line.startswith("event: ") else name
            if line.startswith("data: "):
                found.append((name, json.loads(line.removeprefix("data: "))))
                begun.set()
                if sum(name != "time" for name, _ in found) >= count:
                    return


def test_a_stream_tells_what_has_arrived_and_what_arrives(running: House) -> None:
    game = posted(running, "/api/games", {"starter": "low-mans-call"})
    run = posted(running, "/api/runs", {"game_id": game["id"], "players": NAMES})["opening"]["run"]
    coach = Device()
    first, second = told(run, coach.tell("make", 1, zone="rim"), coach.tell("turnover", 2))
    posted(running, f"/api/runs/{run}/facts", {"facts": [first]})
    found: list[tuple[str, Json]] = []
    shown: list[tuple[str, Json]] = []
    begun, screen_begun = threading.Event(), threading.Event()
    readers = [
        threading.Thread(target=events, args=(running, f"/api/runs/{run}/stream?after=0", 2, found, begun)),
        threading.Thread(target=events, args=(running, f"/api/runs/{run}/screen/stream", 2, shown, screen_begun)),
    ]
    for reader in readers:
        reader.start()
    assert begun.wait(10)
    assert screen_begun.wait(10)
    posted(running, f"/api/runs/{run}/facts", {"facts": [second]})
    for reader in readers:
        reader.join(20)

    arrived = [fact["event_id"] for name, data in found if name == "facts" for fact in data["facts"]]
    assert arrived == [first["event_id"], second["event_id"]]
    assert [data["score"] for name, data in shown if name == "screen"] == [[2, 0], [2, 1]]


# --- who may tell what


def test_who_is_limited_stays_on_the_coachs_device_and_a_scorer_keeps_to_the_floor() -> None:
    coach = Device()
    limited = coach.tell("attendance", 1, player="Ada", state="limited", note="easy today")
    away = coach.tell("attendance", 1, player="Ada", state="away", note="a cold")
    switch = coach.tell("constraint switched", 1, on=False, constraint={"rule": "dribbles"})

    assert told_to(limited.to_json(), Role.COACH) == limited.to_json()
    for role in (Role.ASSISTANT, Role.SCORER):
        assert told_to(limited.to_json(), role)["detail"] == {"player": "Ada", "state": "here"}
        assert told_to(away.to_json(), role)["detail"] == {"player": "Ada", "state": "away"}
        with pytest.raises(DocumentError, match="the coach's to tell"):
            check_may_tell(limited, Role.ASSISTANT)
    check_may_tell(limited, Role.COACH)
    check_may_tell(switch, Role.ASSISTANT)
    check_may_tell(coach.tell("make", 1, zone="rim"), Role.SCORER)
    with pytest.raises(DocumentError, match="not a scorer's to tell"):
        check_may_tell(switch, Role.SCORER)
