"""The way in for other devices, over the API: codes, cookies, revoking, guessing."""

from __future__ import annotations

from collections.abc import Callable
from http.cookies import SimpleCookie
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest

from courtwright.errors import StoreError
from courtwright.store import Store
from courtwright.store.codes import ALPHABET
from courtwright.store.manifest import verified
from courtwright.web import create_app
from courtwright.web.reach import Reach
from courtwright.web.tries import ALTOGETHER, PER_ADDRESS, PER_ADDRESS_S, TooManyTriesError, Tries
from courtwright.web.visitors import COOKIE

if TYPE_CHECKING:
    from fastapi import FastAPI
    from fastapi.testclient import TestClient

GYM: Final = "192.168.7.20"
Ask = Callable[..., "TestClient"]


@pytest.fixture
def app(store: Store) -> FastAPI:
    return create_app(store, reach=Reach(names=frozenset({"localhost", GYM}), lan=True, host=GYM))


@pytest.fixture
def coach(app: FastAPI, ask: Ask) -> TestClient:
    """The owner at this computer."""
    return ask(app, start=False)


@pytest.fixture
def tablet(app: FastAPI, ask: Ask) -> TestClient:
    return ask(app, f"http://{GYM}", "192.168.7.31", start=False)


def code_of(coach: TestClient, role: str = "scorer") -> str:
    answer = coach.post("/api/devices/codes", json={"role": role})
    assert answer.status_code == 201
    return str(answer.json()["code"])


def join(device: TestClient, code: str, name: str = "tablet") -> Any:
    return device.post("/api/join", json={"code": code, "name": name})


def test_a_device_joins_is_seen_and_revoked(coach: TestClient, tablet: TestClient) -> None:
    assert tablet.get("/api/me").status_code == 401
    answer = join(tablet, code_of(coach), " tablet at basket 2 ")
    assert answer.status_code == 201
    me = tablet.get("/api/me").json()
    assert me == {"device": answer.json()["device"], "role": "scorer", "name": "tablet at basket 2"}
    listed = coach.get("/api/devices").json()["devices"]
    assert [(row["name"], row["role"], row["welcome"], row["me"]) for row in listed] == [
        ("tablet at basket 2", "scorer", True, False)
    ]
    assert "secret" not in coach.get("/api/devices").text

    kept = tablet.cookies[COOKIE]
    assert coach.delete(f"/api/devices/{me['device']}").status_code == 200
    refused = tablet.get("/api/me", headers={"cookie": f"{COOKIE}={kept}"})
    assert refused.status_code == 401
    assert "not let in any more" in refused.json()["problems"][0]["what"]


def test_the_owner_at_this_computer_is_the_coach(coach: TestClient) -> None:
    assert coach.get("/api/me").json() == {"device": None, "role": "coach", "name": "this computer"}


@pytest.mark.parametrize("header", ["Forwarded", "X-Forwarded-For", "Via", "X-Forwarded-Host"])
def test_a_request_that_was_passed_on_is_not_the_owners(coach: TestClient, header: str) -> None:
    assert coach.get("/api/me", headers={header: "192.168.7.31"}).status_code == 401


@pytest.mark.parametrize("client", ["192.168.7.31", "10.0.0.1", "::ffff:10.0.0.1", "testclient", "0.0.0.0"])
def test_only_this_computer_itself_is_the_owners(app: FastAPI, ask: Ask, client: str) -> None:
    assert ask(app, "http://localhost", client, start=False).get("/api/me").status_code == 401


def test_this_computer_by_its_name_in_the_network_is_a_device_like_any(app: FastAPI, ask: Ask) -> None:
    assert ask(app, f"http://{GYM}", "127.0.0.1", start=False).get("/api/me").status_code == 401


@pytest.mark.parametrize("client", ["127.0.0.1", "127.8.9.1", "::1", "::ffff:127.0.0.1"])
def test_this_computer_goes_by_many_addresses(app: FastAPI, ask: Ask, client: str) -> None:
    assert ask(app, "http://localhost", client, start=False).get("/api/me").status_code == 200


def test_the_cookie_is_kept_from_scripts_and_other_sites(coach: TestClient, tablet: TestClient) -> None:
    answer = join(tablet, code_of(coach))
    cookie = SimpleCookie(answer.headers["set-cookie"])[COOKIE]
    assert cookie["httponly"]
    assert cookie["samesite"] == "lax"
    assert not cookie["secure"], "a browser would not send it back over plain http"
    assert cookie["path"] == "/"
    assert int(cookie["max-age"]) > 86_400
    assert len(cookie.value) >= 43, "256 bits"
    assert cookie.value not in answer.text


def test_the_cookie_is_secure_under_https(app: FastAPI, ask: Ask, coach: TestClient) -> None:
    device = ask(app, f"https://{GYM}", "192.168.7.31", start=False)
    answer = join(device, code_of(coach))
    assert answer.status_code == 201, answer.text
    assert SimpleCookie(answer.headers["set-cookie"])[COOKIE]["secure"]


def test_a_device_that_leaves_is_out_with_its_cookie(coach: TestClient, tablet: TestClient) -> None:
    join(tablet, code_of(coach))
    kept = tablet.cookies[COOKIE]
    assert tablet.post("/api/leave").status_code == 200
    assert COOKIE not in tablet.cookies
    assert tablet.get("/api/me", headers={"cookie": f"{COOKIE}={kept}"}).status_code == 401
    assert tablet.post("/api/leave").status_code == 200, "leaving twice is no fault"


def test_joining_anew_leaves_what_one_was(coach: TestClient, tablet: TestClient) -> None:
    join(tablet, code_of(coach))
    old = tablet.cookies[COOKIE]
    join(tablet, code_of(coach, "assistant"))
    assert tablet.get("/api/me").json()["role"] == "assistant"
    tablet.cookies.clear()
    assert tablet.get("/api/me", headers={"cookie": f"{COOKIE}={old}"}).status_code == 401
    assert [row["welcome"] for row in coach.get("/api/devices").json()["devices"]] == [True, False]


def test_at_this_computer_a_cookie_counts_too(coach: TestClient) -> None:
    join(coach, code_of(coach))
    assert coach.get("/api/squad").status_code == 403
    assert coach.post("/api/leave").status_code == 200
    assert coach.get("/api/squad").status_code == 200


@pytest.mark.parametrize("cookie", ["", "x", '"', "a; b", f"{COOKIE}=x", "é".encode().decode("latin-1")])
def test_any_cookie_but_a_right_one_is_refused(tablet: TestClient, cookie: str) -> None:
    raw = f"{COOKIE}={cookie}".encode("latin-1")
    assert tablet.get("/api/me", headers=[(b"cookie", raw)]).status_code == 401


def test_the_code_is_shown_once_with_its_picture_and_how_to_get_there(coach: TestClient) -> None:
    made = coach.post("/api/devices/codes", json={"role": "coach"}).json()
    assert made["link"] == f"http://{GYM}:8720/join#{made['code']}", "after the #, so that it is in no log"
    assert {*made["code"].replace("-", "")} <= {*ALPHABET}
    assert made["qr"].startswith('<svg xmlns="http://www.w3.org/2000/svg"'), "a browser draws nothing else"
    assert "style" not in made["qr"]
    listed = coach.get("/api/devices").json()
    assert [code["role"] for code in listed["codes"]] == ["coach"]
    assert made["code"] not in coach.get("/api/devices").text
    assert coach.delete("/api/devices/codes/coach").status_code == 200
    assert coach.get("/api/devices").json()["codes"] == []
    assert coach.delete("/api/devices/codes/nonsense").status_code == 422


def test_without_the_network_there_is_no_way_in_to_show(client: TestClient) -> None:
    told = client.get("/api/devices").json()
    assert (told["lan"], told["address"]) == (False, None)
    made = client.post("/api/devices/codes", json={"role": "screen"}).json()
    assert (made["link"], made["qr"]) == (None, None)


NONSENSE: Final[list[dict[str, Any]]] = [
    {},
    {"code": "x"},
    {"code": "x", "name": " "},
    {"code": "x", "name": "\x07"},
    {"code": "x", "name": "n" * 41},
    {"code": 7, "name": "n"},
    {"code": "y" * 99, "name": "n"},
]


@pytest.mark.parametrize("body", NONSENSE)
def test_a_wish_to_join_that_makes_no_sense_is_told(tablet: TestClient, body: dict[str, Any]) -> None:
    answer = tablet.post("/api/join", json=body)
    assert answer.status_code == 422
    assert all(problem["mend"] for problem in answer.json()["problems"])


def test_guessing_is_stopped_also_for_the_right_code(coach: TestClient, tablet: TestClient) -> None:
    code = code_of(coach)
    for _ in range(PER_ADDRESS):
        assert join(tablet, "CCCC-CCCC").status_code == 403
    stopped = join(tablet, code)
    assert stopped.status_code == 429
    assert 0 < int(stopped.headers["retry-after"]) <= PER_ADDRESS_S
    assert join(tablet, code_of(coach)).status_code == 201, "a new code begins afresh"


def test_another_page_cannot_make_a_device_join_or_leave(coach: TestClient, tablet: TestClient) -> None:
    code = code_of(coach)
    for origin in ("http://example.invalid", f"http://{GYM}:9", "null"):
        body = {"code": code, "name": "x"}
        assert tablet.post("/api/join", json=body, headers={"origin": origin}).status_code == 403
    assert join(tablet, code).status_code == 201
    assert tablet.post("/api/leave", headers={"origin": "http://example.invalid"}).status_code == 403
    assert tablet.post("/api/leave", headers={"origin": f"http://{GYM}"}).status_code == 200


def test_an_address_that_reached_us_is_ours_and_a_name_is_not(store: Store, ask: Ask) -> None:
    """The network may give another address at any time; a name that points here may be anybody's."""
    reach = Reach(lan=True)
    assert reach.answers_to("10.1.1.9", "10.1.1.9")
    assert not reach.answers_to("10.1.1.9", "10.1.1.8")
    assert not Reach().answers_to("10.1.1.9", "10.1.1.9")
    client = ask(create_app(store, reach=reach), "http://rebound.example.invalid", "10.1.1.4", start=False)
    assert client.get("/join").status_code == 403


def test_a_busy_store_does_not_shut_a_device_out_but_an_unreadable_one_is_told(
    coach: TestClient, tablet: TestClient, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    join(tablet, code_of(coach))

    def fails(*_: object) -> None:
        raise StoreError("the store is busy")

    monkeypatch.setattr("courtwright.web.visitors._long_ago", lambda _: True)
    monkeypatch.setattr(type(store.devices), "seen", fails)
    assert tablet.get("/api/me").status_code == 200
    monkeypatch.setattr(type(store.devices), "known", fails)
    answer = tablet.get("/api/me")
    assert answer.status_code == 503
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_a_backup_is_sent_whole(coach: TestClient, tmp_path: Path) -> None:
    coach.post("/api/demo")
    answer = coach.get("/api/backup")
    assert answer.status_code == 200
    assert int(answer.headers["content-length"]) == len(answer.content)
    assert answer.headers["cache-control"] == "no-store"
    assert '.courtwright-backup"' in answer.headers["content-disposition"]
    path = tmp_path / "saved"
    path.write_bytes(answer.content)
    assert verified(path).parts["document"].rows == 4


def test_wrong_codes_are_counted_by_address_and_altogether() -> None:
    now = [0.0]
    tries = Tries(lambda: now[0])
    for _ in range(PER_ADDRESS):
        tries.begin("a")
    with pytest.raises(TooManyTriesError):
        tries.begin("a")
    tries.begin("b")
    now[0] += PER_ADDRESS_S
    tries.begin("a")
    for number in range(ALTOGETHER - PER_ADDRESS - 2):
        tries.begin(f"c{number}")
    with pytest.raises(TooManyTriesError, match="too many"):
        tries.begin("d")
    tries.right("c0")
    tries.begin("d")
    tries.forget()
    tries.begin("a")
