"""Who may do what: every route there is, asked as every role and as nobody, held against one table."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest

from courtwright.store import Store
from courtwright.vocabulary import Role
from courtwright.web import create_app
from courtwright.web.app import PARTS
from courtwright.web.reach import Reach
from courtwright.web.roles import HOME, OPEN_FILES, ROLES

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

STATIC = Path(__file__).parents[2] / "src" / "courtwright" / "web" / "static"
GYM: Final = "192.168.7.20"
"""Where the house stands in these tests; devices ask from elsewhere."""

C, A, S, W = Role.COACH, Role.ASSISTANT, Role.SCORER, Role.SCREEN
N: Final = None

# Every route but the pages, and who may. A route that is not here may be used by the coach alone.
MAY: Final[dict[str, set[Role | None]]] = {
    "POST /api/join": {C, A, S, W, N},
    "POST /api/leave": {C, A, S, W, N},
    "GET /join": {C, A, S, W, N},
    "GET /api/me": {C, A, S, W},
    "GET /": {C, A, S, W},
    "GET /games": {C, A},
    "GET /games/{game_id}": {C, A},
    "GET /games/{game_id}.svg": {C, A},
    "GET /games/{game_id}.png": {C, A},
    "GET /games/{game_id}.json": {C, A},
    "GET /games/{game_id}/moments/{moment_id}.svg": {C, A},
    "GET /games/{game_id}/moments/{moment_id}.png": {C, A},
    "GET /games/{game_id}/moments/{moment_id}.pdf": {C, A},
    "GET /games/{game_id}/moments/{moment_id}.gif": {C, A},
    "GET /games/{game_id}/moments/{moment_id}.webp": {C, A},
    "GET /api/vocabulary": {C, A},
    "GET /api/schema/game": {C, A},
    "GET /api/schema/moment": {C, A},
    "GET /api/games": {C, A},
    "GET /api/games/{game_id}": {C, A},
    "GET /api/games/{game_id}/revisions": {C, A},
    "GET /api/games/{game_id}/revisions/{revision}": {C, A},
    "GET /api/games/{game_id}/settings": {C, A},
    "GET /api/games/{game_id}/moments": {C, A},
    "GET /api/games/{game_id}/moments/{moment_id}": {C, A},
    "GET /api/games/{game_id}/moments/{moment_id}/revisions": {C, A},
    "GET /api/games/{game_id}/trials": {C, A},
    "GET /api/jobs/{job_id}": {C, A},
    "POST /api/check": {C, A},
    "POST /api/draw": {C, A},
    "POST /api/draw/moment": {C, A},
    "POST /api/read": {C, A},
    "POST /api/read/more": {C, A},
    "POST /api/read/timeline": {C, A},
    "GET /floor": {C, A, S, W},
    "GET /floor/{run}": {C, A, S},
    "GET /floor/{run}/players": {C, A, S, W},
    "GET /api/runs": {C, A, S, W},
    "POST /api/runs": {C, A},
    "GET /api/runs/{run}": {C, A, S},
    "GET /api/runs/{run}/facts": {C, A, S},
    "POST /api/runs/{run}/facts": {C, A, S},
    "GET /api/runs/{run}/stream": {C, A, S},
    "POST /api/runs/{run}/rota": {C, A},
    "GET /api/runs/{run}/screen": {C, A, S, W},
    "GET /api/runs/{run}/screen/stream": {C, A, S, W},
}
NEVER_BUT_THE_COACH: Final = {
    "GET /api/squad",
    "PUT /api/squad",
    "POST /api/squad/import",
    "GET /squad",
    "GET /squad.csv",
    "GET /squad.json",
    "GET /games/{game_id}.pdf",
    "GET /api/games/{game_id}/rota",
    "GET /devices",
    "GET /api/devices",
    "POST /api/devices/codes",
    "DELETE /api/devices/codes/{role}",
    "PATCH /api/devices/{device_id}",
    "DELETE /api/devices/{device_id}",
    "GET /api/backup",
    "PUT /api/games/{game_id}",
    "DELETE /api/games/{game_id}",
    "POST /api/games/{game_id}/trials",
    "POST /api/demo",
    "POST /api/runs/file",
    "GET /api/runs/{run}/file",
}
OWN_PLACES: Final = {"role": "coach"}


def every_route() -> list[str]:
    """Every method and path: those of the OpenAPI document, and the pages, which are not in it."""
    found: dict[str, None] = {}
    for part in PARTS:
        for route in part.router.routes:
            for method in sorted(getattr(route, "methods", ())):
                found[f"{method} {getattr(route, 'path', '')}"] = None
    return list(found)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "club.sqlite") as store:
        yield store


@pytest.fixture
def gym(store: Store, ask: Callable[..., TestClient]) -> Callable[[Role | None], TestClient]:
    """Devices in the gym, by role."""
    app = create_app(store, reach=Reach(names=frozenset({GYM}), lan=True))
    made: dict[Role | None, TestClient] = {}

    def device(role: Role | None) -> TestClient:
        if role not in made:
            made[role] = ask(app, f"http://{GYM}", "192.168.7.31", start=False)
            made[role].follow_redirects = False
            if role is not None:
                code, _ = store.devices.open_code(role)
                answer = made[role].post("/api/join", json={"code": code, "name": f"the {role}"})
                assert answer.status_code == 201, answer.text
        return made[role]

    return device


def test_the_document_and_this_walk_speak_of_the_same_routes(client: TestClient) -> None:
    document = client.get("/api/openapi.json").json()["paths"]
    told = {f"{method.upper()} {path}" for path, methods in document.items() for method in methods}
    assert told <= {*every_route()}
    assert {*MAY} | NEVER_BUT_THE_COACH <= {*every_route()}, "a table speaks of a route that is gone"


@pytest.mark.parametrize("route", every_route())
def test_every_route_for_every_role_and_nobody(route: str, gym: Callable[[Role | None], TestClient]) -> None:
    method, path = route.split(" ")
    address = re.sub(r"\{(\w+)\}", lambda match: OWN_PLACES.get(match[1], "1"), path)
    allowed = MAY.get(route, {C})
    assert route not in NEVER_BUT_THE_COACH or allowed == {C}
    for role in (C, A, S, W, N):
        if route == "POST /api/leave" and role is not None:
            continue  # it would leave; see the tests of joining
        answer = gym(role).request(method, address)
        if role in allowed:
            assert answer.status_code not in (401, 500), (role, answer.text)
            if route != "POST /api/join":
                assert answer.status_code != 403, (role, answer.text)
        else:
            assert answer.status_code == (401 if role is None else 403), (role, answer.status_code)
            assert answer.json()["problems"][0]["place"] == ("device" if role is None else "role")


@pytest.mark.parametrize("address", ["/api/openapi.json", "/api/nothing", "/nothing", "/docs", "/api/games/1/2/3"])
def test_what_no_table_names_is_shut(address: str, gym: Callable[[Role | None], TestClient]) -> None:
    assert [gym(role).get(address).status_code for role in (A, S, W, N)] == [403, 403, 403, 401]
    assert gym(C).get(address).status_code in (200, 404)


@pytest.mark.parametrize("method", ["HEAD", "OPTIONS", "TRACE", "PATCH", "get"])
def test_an_odd_method_opens_nothing(method: str, gym: Callable[[Role | None], TestClient]) -> None:
    for address in ("/api/squad", "/squad", "/api/games"):
        assert gym(S).request(method, address).status_code == 403
        assert gym(N).request(method, address).status_code == 401


@pytest.mark.parametrize(
    "address",
    ["/api/squad/", "//api/squad", "/api//squad", "/static/../api/squad", "/join/../squad", "/games/%2e%2e/squad"],
)
def test_an_odd_path_opens_nothing(address: str, gym: Callable[[Role | None], TestClient]) -> None:
    for role in (A, S, N):
        answer = gym(role).get(f"http://{GYM}{address}")
        assert answer.status_code in (401, 403, 404, 307), (role, answer.status_code)
        assert "players" not in answer.text


def test_nobody_gets_a_file_but_those_of_the_page_for_joining(gym: Callable[[Role | None], TestClient]) -> None:
    for path in sorted(path for path in STATIC.rglob("*") if path.is_file()):
        address = f"/static/{path.relative_to(STATIC).as_posix()}"
        assert gym(N).get(address).status_code == (200 if address in OPEN_FILES else 401), address
        assert gym(W).get(address).status_code == 200


def test_the_open_files_are_what_the_page_for_joining_needs(gym: Callable[[Role | None], TestClient]) -> None:
    page = gym(N).get("/join")
    assert page.status_code == 200
    wanted = {*re.findall(r'(?:src|href)="(/static/[^"]+)"', page.text)}
    left = [address for address in wanted if address.endswith(".js")]
    while left:
        here = left.pop()
        text = gym(N).get(here).text
        for name in re.findall(r'^import .* from "(\./[^"]+|\.\./[^"]+)"', text, re.MULTILINE):
            address = "/" + str((Path("/x") / here.strip("/")).parent.joinpath(name).resolve().relative_to("/x"))
            if address not in wanted:
                wanted.add(address)
                left.append(address)
    assert wanted == OPEN_FILES


def test_pages_lead_nobody_to_the_way_in_and_everyone_else_home(gym: Callable[[Role | None], TestClient]) -> None:
    page = {"accept": "text/html"}
    for address in ("/", "/games", "/squad", "/devices", "/nothing"):
        answer = gym(N).get(address, headers=page)
        assert (answer.status_code, answer.headers["location"]) == (303, "/join")
    for role in (A, S, W):
        answer = gym(role).get("/", headers=page)
        assert (answer.status_code, answer.headers["location"]) == (303, HOME[role])
        shut = gym(role).get("/squad", headers=page)
        assert shut.status_code == 403
        assert f"joined as {role}" in shut.text


def test_an_assistants_pages_do_not_tell_of_the_squad(gym: Callable[[Role | None], TestClient], store: Store) -> None:
    gym(C).post("/api/demo")
    squad = store.squad()[0]
    assert squad is not None
    key = store.games()[0].id
    secrets = {squad.name, *(player.name for player in squad.players if len(player.name) > 3)}
    for address in ("/games", f"/games/{key}", f"/api/games/{key}", "/api/games", "/join"):
        text = gym(A).get(address).text
        assert not {name for name in secrets if name in text}, address
    assert squad.name in gym(C).get("/games").text


def test_an_assistant_reads_with_the_level_but_not_with_the_squads_own_figures(
    gym: Callable[[Role | None], TestClient], store: Store
) -> None:
    gym(C).post("/api/demo")
    key = store.games()[0].id
    moment: dict[str, Any] = gym(C).post(f"/api/games/{key}/moments", json={}).json()
    body = {"moment": moment["document"], "squad": True, "players": {"1": "Ada"}}
    for address in ("/api/read", "/api/read/more", "/api/read/timeline"):
        answer = gym(A).post(address, json=body)
        assert answer.status_code == 403
        assert "squad's own figures" in answer.json()["problems"][0]["what"]
    shown = f"/games/{key}/moments/{moment['id']}"
    for ending in ("svg?cue=never&", "png?cue=never&", "pdf?", "gif?", "webp?"):
        assert gym(A).get(f"{shown}.{ending}player=1:Ada").status_code == 403


def test_the_table_names_no_route_twice_over() -> None:
    assert {*ROLES} == {*MAY}
    assert {route: {*roles} for route, roles in ROLES.items()} == {
        route: roles - {None} for route, roles in MAY.items()
    }


def test_a_change_of_role_holds_from_the_next_request_on(
    gym: Callable[[Role | None], TestClient], store: Store
) -> None:
    assert gym(A).get("/api/games").status_code == 200
    key = next(device.id for device in store.devices.all() if device.role is A)
    assert gym(C).patch(f"/api/devices/{key}", json={"role": "screen"}).status_code == 200
    assert gym(A).get("/api/games").status_code == 403
