"""What the server turns away, and how: forged names, foreign pages, oversized and malformed bodies."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

import pytest

from courtwright.errors import StoreError
from courtwright.store import Store
from courtwright.web import create_app
from courtwright.web.reach import Reach
from courtwright.web.security import MAX_BODY_BYTES

if TYPE_CHECKING:
    from fastapi.testclient import TestClient


def problems_of(answer: Any) -> list[dict[str, str]]:
    """Every refusal has the one envelope."""
    problems: list[dict[str, str]] = answer.json()["problems"]
    assert answer.headers["content-type"] == "application/json"
    assert problems
    assert all(set(problem) == {"place", "what", "mend"} and all(problem.values()) for problem in problems)
    return problems


@pytest.mark.parametrize("host", ["localhost", "localhost:8720", "127.0.0.1:1", "[::1]:8720", "LOCALHOST"])
def test_own_names_are_answered(client: TestClient, host: str) -> None:
    assert client.get("/api/games", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host", ["example.invalid", "localhost.example.invalid", "127.0.0.1.example.invalid:80", "", "[::1", "192.168.1.7"]
)
def test_forged_host_is_turned_away(client: TestClient, host: str) -> None:
    answer = client.get("/api/games", headers={"host": host})

    assert answer.status_code == 403
    assert "does not answer to that name" in problems_of(answer)[0]["what"]


@pytest.mark.parametrize("origin", ["http://example.invalid", "http://localhost:9999", "https://localhost", "null"])
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH"])
def test_foreign_page_may_not_change_anything(client: TestClient, origin: str, method: str) -> None:
    answer = client.request(method, "/api/demo", headers={"origin": origin})

    assert answer.status_code == 403
    assert "another web page" in problems_of(answer)[0]["what"]


def test_cross_site_request_without_origin_is_turned_away(client: TestClient) -> None:
    assert client.post("/api/check", headers={"sec-fetch-site": "cross-site"}, json={}).status_code == 403
    assert client.post("/api/check", headers={"sec-fetch-site": "same-site"}, json={}).status_code == 403


@pytest.mark.parametrize("headers", [{}, {"origin": "http://localhost"}, {"sec-fetch-site": "same-origin"}])
def test_own_page_and_plain_programs_may(client: TestClient, headers: dict[str, str]) -> None:
    assert client.post("/api/check", headers=headers, json={"document": {}}).status_code == 200


def test_origin_must_match_host_and_port(client: TestClient) -> None:
    headers = {"host": "127.0.0.1:8720", "origin": "http://127.0.0.1:8720"}
    assert client.post("/api/check", headers=headers, json={"document": {}}).status_code == 200
    headers["origin"] = "http://localhost:8720"
    assert client.post("/api/check", headers=headers, json={"document": {}}).status_code == 403


def test_oversized_body_is_turned_away(client: TestClient) -> None:
    answer = client.post("/api/squad/import", content=b"x" * (MAX_BODY_BYTES + 1))

    assert answer.status_code == 413
    assert problems_of(answer)[0]["place"] == "body"


def test_oversized_stream_is_turned_away_without_a_length(client: TestClient) -> None:
    def stream() -> Iterator[bytes]:
        for _ in range(MAX_BODY_BYTES // 1000 + 1):
            yield b"x" * 1000

    assert client.post("/api/squad/import", content=stream()).status_code == 413


def test_body_of_just_the_limit_is_read(client: TestClient) -> None:
    assert client.post("/api/squad/import", content=b"x" * MAX_BODY_BYTES).status_code == 422


BAD_BODIES = [
    b"",
    b"{",
    b"[]",
    b"null",
    b'"text"',
    b"\xff\xfe\x00",
    b'{"document": []}',
    b'{"document": {}, "surplus": 1}',
    b'{"document": {"name": NaN}}',
    b'{"document": {"name": Infinity}}',
    b'{"document": {"name": "\\ud800"}}',
    b'{"document": ' + b'{"a":' * 900 + b"1" + b"}" * 901,
    b"[" * 100_000,
    b'{"document": {"name": 1e999}}',
]


@pytest.mark.parametrize("body", BAD_BODIES, ids=range(len(BAD_BODIES)))
@pytest.mark.parametrize("address", ["/api/check", "/api/games", "/api/draw"])
def test_malformed_body_is_told(client: TestClient, address: str, body: bytes) -> None:
    answer = client.post(address, content=body, headers={"content-type": "application/json"})

    if answer.status_code != 200:  # a check always answers with 200 where there is a document to look at
        assert answer.status_code in (400, 422)
    assert problems_of(answer)
    assert client.get("/api/games").json() == {"games": []}


def test_number_too_long_to_read_is_told(client: TestClient) -> None:
    """Python refuses to read more than 4300 digits; that is no failure of the program."""
    body = b'{"document": {"name": ' + b"1" * 5000 + b"}}"
    answer = client.post("/api/check", content=body, headers={"content-type": "application/json"})
    assert answer.status_code in (200, 400, 422)
    assert problems_of(answer)


@pytest.mark.parametrize(
    ("method", "address"),
    [
        ("GET", "/api/games/nothing"),
        ("PUT", "/api/games/nothing"),
        ("DELETE", "/api/games/nothing"),
        ("POST", "/api/games/nothing/restore"),
        ("GET", "/api/games/nothing/revisions"),
        ("GET", "/api/games/nothing/revisions/1"),
        ("GET", "/api/games/nothing/rota"),
        ("GET", "/api/games/nothing/trials"),
        ("POST", "/api/games/nothing/trials"),
        ("GET", "/api/jobs/nothing"),
        ("DELETE", "/api/jobs/nothing"),
        ("GET", "/games/nothing.svg"),
        ("GET", "/games/nothing.png"),
        ("GET", "/games/nothing.pdf"),
        ("GET", "/games/nothing.json"),
        ("GET", "/api/nothing"),
        ("GET", "/nothing"),
        ("GET", "/static/nothing.js"),
        ("GET", "/static/../app.py"),
        ("GET", "/static/%2e%2e/app.py"),
    ],
)
def test_unknown_names_are_told(client: TestClient, method: str, address: str) -> None:
    bodies = {"PUT": {"document": sound(), "base": 1}, "POST": {"minutes": 5, "runs": 1, "seed": 1}}
    answer = client.request(method, address, json=bodies.get(method))

    assert answer.status_code == 404
    assert problems_of(answer)


def sound() -> dict[str, Any]:
    placements = [{"figure": "1", "at": "top"}, {"figure": "X1", "at": "nail"}]
    start = {"placements": placements, "ball": "1"}
    return {"format": "courtwright.game/1", "name": "x", "sides": {"offence": 1, "defence": 1}, "start": start}


def test_wrong_method_is_told(client: TestClient) -> None:
    answer = client.patch("/api/games")

    assert answer.status_code == 405
    assert problems_of(answer)
    assert answer.headers["allow"]


@pytest.mark.parametrize(
    "query", ["minutes=-1", "minutes=nan", "minutes=61", "minutes=x", "seed=-1", "seed=9007199254740992", "seed=1.5"]
)
def test_numbers_out_of_range_are_told(client: TestClient, query: str) -> None:
    key = client.post("/api/games", json={"document": sound()}).json()["id"]
    answer = client.get(f"/api/games/{key}/rota?{query}")

    assert answer.status_code == 422
    assert problems_of(answer)[0]["place"] == query.partition("=")[0]


def test_person_who_comes_to_a_page_gets_a_page(client: TestClient) -> None:
    for address in ("/games/nothing", "/nothing"):
        answer = client.get(address, headers={"accept": "text/html,*/*"})
        assert answer.status_code == 404
        assert answer.headers["content-type"] == "text/html; charset=utf-8"
    assert client.get("/api/nothing", headers={"accept": "text/html,*/*"}).json()["problems"]


WANTED_HEADERS = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        "font-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
    ),
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
}


@pytest.mark.parametrize("address", ["/", "/games", "/squad", "/api/games", "/api/nothing", "/games/nothing"])
def test_every_answer_is_marked(client: TestClient, address: str) -> None:
    headers = client.get(address).headers

    assert {name: headers[name] for name in WANTED_HEADERS} == WANTED_HEADERS
    assert headers["cache-control"] == "no-store"


def test_no_page_of_the_framework_loads_anything_from_outside(client: TestClient) -> None:
    assert client.get("/docs").status_code == 404
    assert client.get("/redoc").status_code == 404
    assert "://" not in client.get("/").text.replace("http://www.w3.org/", "")


def test_store_trouble_is_told(client: TestClient, store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise StoreError("the store club.sqlite has no room left: the disk is full")

    monkeypatch.setattr(store, "add_game", full)
    answer = client.post("/api/games", json={"document": sound()})

    assert answer.status_code == 503
    assert "the disk is full" in problems_of(answer)[0]["what"]


def test_failure_of_the_program_is_told_without_its_insides(
    client: TestClient, store: Store, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("secret insides")

    monkeypatch.setattr(store, "games", broken)
    answer = client.get("/api/games")

    assert answer.status_code == 500
    assert problems_of(answer)[0]["place"] == "program"
    assert "secret" not in answer.text
    assert "secret insides" in caplog.text
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_server_on_other_names_only_where_told(store: Store, ask: Callable[..., TestClient]) -> None:
    reach = Reach(names=frozenset({"gym.example.invalid"}))
    client = ask(create_app(store, reach=reach), "http://gym.example.invalid")
    assert client.get("/api/games").status_code == 401, "the name is right, but nobody has joined"
    assert client.get("/api/games", headers={"host": "localhost"}).status_code == 403


def test_answers_are_json_that_any_reader_takes(client: TestClient) -> None:
    def no_such_number(word: str) -> None:
        raise AssertionError(word)

    for address in ("/api/vocabulary", "/api/games", "/api/squad", "/api/schema/game", "/api/openapi.json"):
        json.loads(client.get(address).text, parse_constant=no_such_number)
