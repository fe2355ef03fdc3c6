"""Whatever is sent, the program itself never fails: it takes it, or says in its envelope what is wrong."""

from __future__ import annotations

import copy
import json
from typing import TYPE_CHECKING, Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.logs import Device

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

ANY_TEXT = st.text(st.characters(), max_size=20)  # lone surrogates among them
SCALARS = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), ANY_TEXT)
ANYTHING = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(ANY_TEXT, inner, max_size=4), max_leaves=12
)
FUZZ = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def sound_game() -> dict[str, Any]:
    at = {"1": "left slot", "2": "right corner", "X1": "nail", "X2": [1.0, 2.0]}
    placements = [{"figure": figure, "at": place, "vary_m": 0.3} for figure, place in at.items()]
    return {
        "format": "courtwright.game/1",
        "name": "Slot drive",
        "sides": {"offence": 2, "defence": 2},
        "start": {"placements": placements, "ball": "1", "variants": [{"name": "mirrored", "mirror": True}]},
        "constraints": [{"rule": "dribbles", "limit": 3}],
        "points": [{"rule": "basket", "points": 1}],
        "forms": [{"players": 6, "change": {"name": "for six"}}],
    }


def sound_squad() -> dict[str, Any]:
    player = {"name": "Ada", "number": 4, "splits_s": {"10": 2.0}, "shooting": {"three": {"makes": 3, "attempts": 9}}}
    return {"format": "courtwright.squad/1", "name": "Harbour Lane", "players": [player]}


def places_in(node: Any, here: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    keys = list(node) if isinstance(node, dict) else list(range(len(node))) if isinstance(node, list) else []
    return [place for key in keys for place in ((*here, key), *places_in(node[key], (*here, key)))]


def changed(document: dict[str, Any], place: tuple[Any, ...], value: Any) -> dict[str, Any]:
    document = copy.deepcopy(document)
    node: Any = document
    for key in place[:-1]:
        node = node[key]
    node[place[-1]] = value
    return document


def sent(client: TestClient, method: str, address: str, body: Any) -> Any:
    """Send a body as Python writes it, NaN and half characters included."""
    content = json.dumps(body).encode()
    answer = client.request(method, address, content=content, headers={"content-type": "application/json"})
    assert answer.status_code < 500, answer.text
    if answer.status_code >= 400:
        assert answer.json()["problems"]
    return answer


GAME_PLACES = places_in(sound_game())
SQUAD_PLACES = places_in(sound_squad())


@FUZZ
@given(place=st.sampled_from(GAME_PLACES), value=ANYTHING)
def test_game_with_one_part_replaced(client: TestClient, place: tuple[Any, ...], value: Any) -> None:
    document = changed(sound_game(), place, value)

    checked = sent(client, "POST", "/api/check", {"document": document})
    kept = sent(client, "POST", "/api/games", {"document": document})
    drawn = sent(client, "POST", "/api/draw", {"document": document, "variant": 0})

    if checked.status_code == 200 and not checked.json()["problems"]:
        assert kept.json()["hash"] == checked.json()["hash"]
        assert client.get(f"/api/games/{kept.json()['id']}").json()["document"] == kept.json()["document"]
        assert drawn.status_code in (200, 404)
    else:
        assert (kept.status_code, drawn.status_code) == (422, 422)


@FUZZ
@given(place=st.sampled_from(SQUAD_PLACES), value=ANYTHING)
def test_squad_with_one_part_replaced(client: TestClient, place: tuple[Any, ...], value: Any) -> None:
    squad = changed(sound_squad(), place, value)
    base = client.get("/api/squad").json()["revision"]

    answer = sent(client, "PUT", "/api/squad", {"squad": squad, "base": base})

    if answer.status_code == 200:
        assert client.get("/api/squad").json() == answer.json()
        assert client.get("/squad").status_code == 200


@FUZZ
@given(raw=st.binary(max_size=200) | ANY_TEXT.map(lambda text: text.encode("utf-8", "surrogatepass")))
def test_any_bytes_as_a_squad_file(client: TestClient, raw: bytes) -> None:
    answer = client.post("/api/squad/import", content=raw)
    assert answer.status_code in (200, 422)


@FUZZ
@given(body=ANYTHING)
def test_any_json_as_a_body(client: TestClient, body: Any) -> None:
    for method, address in (
        ("POST", "/api/check"),
        ("POST", "/api/games"),
        ("POST", "/api/draw"),
        ("PUT", "/api/squad"),
        ("PUT", "/api/games/nothing"),
        ("POST", "/api/games/nothing/trials"),
        ("POST", "/api/join"),
        ("POST", "/api/devices/codes"),
        ("PATCH", "/api/devices/nothing"),
    ):
        sent(client, method, address, body)


FACTS: list[tuple[str, dict[str, Any]]] = [
    ("make", {"zone": "rim", "who": "1", "place": [1.0, 2.0], "assist": True}),
    ("edit", {"event": "coach-0", "detail": {"zone": "rim"}, "possession": 1}),
    ("constraint switched", {"on": True, "constraint": {"rule": "dribbles", "limit": 2}}),
    ("rota changed", {"turns": [{"figures": {"1": "Ada", "X1": "Bex"}, "off": ["Cleo"]}]}),
    ("clock", {"do": "start", "played_ms": 0, "server_ms": 1}),
    ("claim", {"score": [1, 2]}),
    ("attendance", {"player": "Ada", "state": "limited", "note": "easy"}),
]


@given(data=st.data())
@FUZZ
def test_any_change_to_a_fact_is_taken_or_told_and_holds_up_no_other(client: TestClient, data: st.DataObject) -> None:
    game = client.post("/api/games", json={"starter": "low-mans-call"}).json()
    players = ["Ada", "Bex", "Cleo", "Dot", "Effie", "Fern"]
    run = client.post("/api/runs", json={"game_id": game["id"], "players": players, "minutes": 1}).json()["opening"][
        "run"
    ]
    device = Device()
    good = device.tell("turnover", 1).to_json() | {"run_id": run}
    kind, detail = data.draw(st.sampled_from(FACTS))
    sound = device.tell(kind, 1, **detail).to_json() | {"run_id": run}
    fact = changed(sound, data.draw(st.sampled_from(places_in(sound))), data.draw(ANYTHING))

    answer = sent(client, "POST", f"/api/runs/{run}/facts", {"facts": [fact, good]})

    assert answer.status_code == 200, answer.text
    assert good["event_id"] in answer.json()["taken"]
    assert client.get(f"/api/runs/{run}/screen").status_code == 200, "what was taken folds"
