"""Reading moments by the API: at once while a finger moves, and moments kept, drawn and played through with a game."""

from __future__ import annotations

import io
import json
import statistics
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pypdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from courtwright.game.moment import moment_from_json
from courtwright.reading import full_json, read_moment
from courtwright.store import Store
from courtwright.vocabulary import Level
from courtwright.web import create_app
from courtwright.web.ready import Kernels, NotReadyError

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

Json = dict[str, Any]


@pytest.fixture
def demo(client: TestClient) -> TestClient:
    """The demo club, its kernels ready."""
    assert client.post("/api/demo").status_code == 201
    house: Any = client.app
    assert house.state.house.kernels.wait(120)
    return client


@pytest.fixture
def game(demo: TestClient) -> str:
    rows = demo.get("/api/games").json()["games"]
    return next(str(row["id"]) for row in rows if row["name"] == "Low Man's Call")


def a_moment(**changes: Any) -> Json:
    at = {"1": [5.0, 5.0], "2": "left corner", "3": "left wing", "X1": [3.6, 3.6], "X2": [-1.6, 1.4], "X3": [-2.6, 3.6]}
    figures = [{"figure": figure, "at": place} for figure, place in at.items()]
    return {"format": "courtwright.moment/1", "name": "Low man late", "figures": figures, "ball": "1", **changes}


def read(client: TestClient, path: str = "", **body: Any) -> Json:
    answer = client.post(f"/api/read{path}", json={"moment": a_moment()} | body)
    assert answer.status_code == 200, answer.text
    told: Json = answer.json()
    return told


def problems(client: TestClient, status: int = 422, path: str = "", **body: Any) -> list[Json]:
    answer = client.post(f"/api/read{path}", json={"moment": a_moment()} | body)
    assert answer.status_code == status, answer.text
    told: list[Json] = answer.json()["problems"]
    return told


# --- reading


def test_the_answer_is_the_reading_s_own(demo: TestClient) -> None:
    own = full_json(read_moment(moment_from_json(a_moment())))
    quick, more = read(demo), read(demo, "/more")

    for name in ("unit", "shot", "passes", "drive", "spacing", "map", "moment_hash", "parameter_sets"):
        assert quick[name] == own[name]
    assert [block["rows"] for block in quick["help"]] == [block["rows"] for block in own["help"]]
    assert more["switch"] == {block["helper"]: block["switch"] for block in own["help"]}
    assert more["pauses"] == own["pauses"]
    assert quick["sentences"] | more["sentences"] == own["sentences"]
    assert not {"map", "help", "shot"} & set(more), "the rest only"


def test_a_finger_gets_fewer_sets_and_about_the_same_answer(demo: TestClient) -> None:
    dragging, released = read(demo, dragging=True), read(demo)

    assert (dragging["parameter_sets"], released["parameter_sets"]) == (64, 200)
    assert dragging["shot"]["gap"]["mean"] == pytest.approx(released["shot"]["gap"]["mean"], abs=0.03)


def test_points_are_the_game_s_or_plain(demo: TestClient, game: str) -> None:
    document = demo.get(f"/api/games/{game}").json()["document"]
    plain, kept, sent = read(demo), read(demo, game=game), read(demo, document=document)

    assert plain["unit"] == "points per chance"
    assert kept["unit"] == "this game's points per chance, offence less defence"
    assert kept["shot"] == sent["shot"] != plain["shot"]
    assert read(demo, game=game, points="plain")["shot"] == plain["shot"]
    assert problems(demo, game=game, document=document)[0]["what"].startswith("name a kept game or a document")
    assert "no game" in problems(demo, 404, game="nothing")[0]["what"]
    assert problems(demo, document=document | {"sides": None})[0]["place"] == "sides"


def test_level_is_the_squad_s_unless_another_is_named(demo: TestClient) -> None:
    assert read(demo)["level"] == demo.get("/api/squad").json()["squad"]["level"] == "U16"
    men = read(demo, level="men")

    assert men["level"] == "men"
    assert men["shot"]["chance"]["mean"] > read(demo)["shot"]["chance"]["mean"]
    assert problems(demo, level="U99")[0]["place"] == "level"


def with_player(client: TestClient, name: str, **figures: Any) -> None:
    """Save the squad with one player changed."""
    kept = client.get("/api/squad").json()
    players = [player | (figures if player["name"] == name else {}) for player in kept["squad"]["players"]]
    body = {"squad": kept["squad"] | {"players": players}, "base": kept["revision"]}
    assert client.put("/api/squad", json=body).status_code == 200


def test_named_players_stand_with_their_own_figures(demo: TestClient) -> None:
    with_player(demo, "Bex", splits_s={"5": 1.6, "10": 2.7, "20": 4.7}, height_cm=150)
    slow, usual = read(demo, squad=True, players={"X1": "Bex"}), read(demo, squad=True)

    assert slow["players"] == {"X1": "Bex"}
    assert slow["drive"]["contained"]["mean"] < usual["drive"]["contained"]["mean"] - 0.02
    assert usual["shot"] == read(demo)["shot"], "without names the level stands in"


def test_a_tested_shooter_is_no_longer_a_question(demo: TestClient) -> None:
    with_player(demo, "Cleo", shooting={"three": {"makes": 9, "attempts": 19}})
    named = {"squad": True, "players": {"2": "Cleo"}}
    assert "If 2 makes" in read(demo, "/more", **named)["sentences"]["early"]["X2"]

    with_player(demo, "Cleo", shooting={"three": {"makes": 9, "attempts": 20}})
    early = read(demo, "/more", **named)["sentences"]["early"]

    assert early["X2"].startswith("Against 2, leaving on dribble 1")
    assert "If 3 makes" in early["X3"], "nobody tested 3"


@pytest.mark.parametrize(
    ("players", "place", "said"),
    [
        ({"1": "Nobody"}, "players, figure 1", "there is no Nobody in the squad"),
        ({"9": "Ada"}, "players, figure 9", "does not stand in the moment"),
        ({"1": "Ada", "X1": "Ada"}, "players, figure X1", "Ada stands in 2 places"),
    ],
)
def test_players_that_do_not_fit_are_told(demo: TestClient, players: Json, place: str, said: str) -> None:
    assert {"place": place, "what": said} in [
        {"place": problem["place"], "what": problem["what"]} for problem in problems(demo, squad=True, players=players)
    ]


def test_players_without_a_squad(client: TestClient) -> None:
    client.app.state.house.kernels.wait(120)  # type: ignore[attr-defined]
    assert read(client)["level"] == "U16"
    assert "there is no squad yet" in problems(client, 404, squad=True)[0]["what"]
    assert "set squad to true" in problems(client, players={"1": "Ada"})[0]["what"]


@pytest.mark.parametrize(
    ("changes", "places"),
    [
        ({"ball": "X1"}, ["ball"]),
        ({"figures": [{"figure": "1", "at": "top"}]}, ["figures"]),
        ({"figures": [{"figure": "1", "at": [9.0, 3.0]}, {"figure": "X1", "at": "nail"}]}, ["figure 1"]),
        ({"figures": [{"figure": "1", "at": "nail"}, {"figure": "X1", "at": "nail"}]}, ["figure 1"]),
        ({"name": "", "held_s": 99}, ["name", "held_s"]),
    ],
)
def test_impossible_moments_get_a_message_and_no_number(demo: TestClient, changes: Json, places: list[str]) -> None:
    for path in ("", "/more", "/timeline"):
        assert [problem["place"] for problem in problems(demo, path=path, moment=a_moment(**changes))] == places


def test_more_players_than_a_floor_holds(demo: TestClient) -> None:
    crowd = [{"figure": f"{side}{n}", "at": [n - 4.0, y]} for side, y in (("", 8.0), ("X", 5.0)) for n in range(1, 8)]
    (problem,) = problems(demo, moment=a_moment(figures=crowd))
    assert (problem["place"], problem["what"]) == ("figures", "14 players stand on the floor")


def test_one_on_one_is_read_too(demo: TestClient) -> None:
    alone = a_moment(figures=[{"figure": "1", "at": "top"}, {"figure": "X1", "at": [0.5, 5.0]}])
    told = read(demo, moment=alone)

    assert (told["help"], told["passes"]) == ([], [])
    assert read(demo, "/more", moment=alone)["switch"] == {}
    assert read(demo, "/timeline", moment=alone)["helper"] is None


def test_a_row_is_played_through(demo: TestClient, game: str) -> None:
    line = read(demo, "/timeline", game=game, helper="X2", cue="dribble 1")

    assert (line["helper"], line["cue"], line["step_s"]) == ("X2", "dribble 1", 0.05)
    assert set(line["places_m"]) == set(line["figures"]) == {"1", "2", "3", "X1", "X2", "X3"}
    assert line["places_m"]["1"][0] == [5.0, 5.0]
    whats = [event["what"] for event in line["events"]]
    assert whats[:2] == ["go", "dribble"]
    assert "help leaves" in whats
    assert problems(demo, path="/timeline", helper="X1", cue="dribble 1")[0]["what"].startswith("X1 cannot help here")


def test_dragging_is_answered_within_its_time(demo: TestClient, game: str) -> None:
    """25 ms of a server's time on a quiet machine; here other programs run beside, so the best third counts."""
    body = {"moment": a_moment(), "game": game, "dragging": True}
    taken_ms = []
    for _ in range(30):
        start = time.perf_counter()
        assert demo.post("/api/read", json=body).status_code == 200
        taken_ms.append(1000 * (time.perf_counter() - start))

    assert statistics.median(sorted(taken_ms)[:10]) < 40, "with the test's own client, which takes some of it"


# --- getting ready


def with_kernels(store: Store, ask: Callable[..., Any], kernels: Kernels) -> Any:
    app = create_app(store)
    client = ask(app)
    app.state.house = replace(app.state.house, kernels=kernels)
    return client


def nothing() -> None:
    """Take no time."""


def test_readings_are_refused_until_the_kernels_are_ready(store: Store, ask: Callable[..., Any]) -> None:
    compiled = threading.Event()

    def compiling() -> None:
        compiled.wait(30)

    kernels = Kernels([("readings", compiling), ("trials", nothing)])
    client = with_kernels(store, ask, kernels)
    kernels.start()
    for path in ("", "/more", "/timeline"):
        (problem,) = problems(client, 503, path=path)
        assert problem["place"] == "reading"
        assert "getting ready" in problem["what"]
        assert "Try again" in problem["mend"]
    plain = client.post("/api/draw/moment", json={"moment": a_moment()})
    assert plain.status_code == 200, "a drawing needs no kernels"

    compiled.set()
    assert kernels.wait(30)
    assert read(client, dragging=True)["holder"] == "1"


def test_kernels_that_cannot_be_made_are_told(store: Store, ask: Callable[..., Any]) -> None:
    def fail() -> None:
        raise OSError("no room for the compiler")

    kernels = Kernels([("readings", fail), ("trials", nothing)])
    client = with_kernels(store, ask, kernels)
    kernels.start()
    for _ in range(200):
        answer = client.post("/api/read", json={"moment": a_moment()})
        if answer.status_code == 500:
            break
        time.sleep(0.02)

    assert answer.status_code == 500
    assert answer.json()["problems"][0]["place"] == "program"


def test_the_trial_is_made_ready_after_the_readings_unless_the_app_ends() -> None:
    order: list[str] = []
    kernels = Kernels(
        [
            ("readings", lambda: order.append(kernels.getting_ready)),
            ("trials", lambda: order.append(kernels.getting_ready)),
        ]
    )
    with pytest.raises(NotReadyError):
        kernels.check()
    kernels.start()
    assert kernels.wait(10)
    kernels.check()
    for _ in range(200):
        if len(order) == 2:
            break
        time.sleep(0.01)
    assert order == ["readings, step 1 of 2", "trials, step 2 of 2"]

    ended = Kernels([("readings", nothing), ("trials", lambda: order.append("too late"))])
    ended.close()
    ended.start()
    assert ended.wait(10)
    time.sleep(0.05)
    assert len(order) == 2
    assert kernels.getting_ready == ""


# --- moments kept with a game


def test_a_moment_is_kept_changed_and_listed(demo: TestClient, game: str) -> None:
    home = f"/api/games/{game}/moments"
    kept = demo.post(home, json={"document": a_moment(cue="Meet it outside the arc.")})
    assert kept.status_code == 201
    address = f"{home}/{kept.json()['id']}"
    renamed = demo.put(address, json={"document": a_moment(name="Second look"), "base": 1})
    late = demo.put(address, json={"document": a_moment(name="Mine"), "base": 1})

    assert renamed.json()["revision"] == 2
    assert (late.status_code, late.json()["current"]) == (409, 2)
    assert demo.get(address).json()["document"]["name"] == "Second look"
    (row,) = demo.get(home).json()["moments"]
    assert (row["name"], row["revision"]) == ("Second look", 2)
    history = demo.get(f"{address}/revisions").json()["revisions"]
    assert [item["name"] for item in history] == ["Second look", "Low man late"]


def test_a_moment_is_removed_and_brought_back(demo: TestClient, game: str) -> None:
    home = f"/api/games/{game}/moments"
    key = demo.post(home, json={"document": a_moment()}).json()["id"]
    assert demo.delete(f"{home}/{key}").json() == {"removed": key}

    assert demo.get(home).json()["moments"] == []
    assert [row["id"] for row in demo.get(f"{home}?removed=true").json()["moments"]] == [key]
    assert demo.get(f"{home}/{key}").status_code == 404
    assert demo.post(f"{home}/{key}/restore").json() == {"revision": 1}
    assert demo.get(f"{home}/{key}").status_code == 200


def test_the_start_of_a_game_is_a_moment(demo: TestClient, game: str) -> None:
    home = f"/api/games/{game}/moments"
    plain, mirrored = (demo.post(home, json=body).json()["document"] for body in ({}, {"variant": 0}))
    at = {name: {item["figure"]: item["at"] for item in start["figures"]} for name, start in
          (("plain", plain), ("mirrored", mirrored))}  # fmt: skip

    assert plain["name"] == "Low Man's Call"
    assert at["mirrored"]["1"][0] == pytest.approx(-at["plain"]["1"][0])
    assert demo.post(home, json={"variant": 7}).status_code == 404
    assert demo.post(home, json={"variant": 0, "document": a_moment()}).status_code == 422


def test_a_wrong_moment_is_not_kept(demo: TestClient, game: str) -> None:
    home = f"/api/games/{game}/moments"
    answer = demo.post(home, json={"document": a_moment(ball="9", name="")})

    assert answer.status_code == 422
    assert {problem["place"] for problem in answer.json()["problems"]} == {"ball", "name"}
    assert demo.get(home).json()["moments"] == []
    assert demo.post("/api/games/nothing/moments", json={}).status_code == 404


@pytest.mark.parametrize(
    ("ending", "media", "opening"),
    [
        ("svg", "image/svg+xml", b"<svg"),
        ("png", "image/png", b"\x89PNG"),
        ("pdf", "application/pdf", b"%PDF"),
        ("gif", "image/gif", b"GIF89a"),
        ("webp", "image/webp", b"RIFF"),
    ],
)
def test_a_moment_goes_out_in_every_form(demo: TestClient, game: str, ending: str, media: str, opening: bytes) -> None:
    key = demo.post(f"/api/games/{game}/moments", json={"document": a_moment()}).json()["id"]
    address = f"/games/{game}/moments/{key}.{ending}"
    row = {"helper": "X2", "cue": "dribble 1", "points": "plain", "level": "men", "player": ["1:Ada", "X1:Bex"]}
    size = {} if ending in ("svg", "pdf") else {"width": "240"}

    for wish in ({}, row | {"feet": "true"}):
        answer = demo.get(address, params=wish | size)
        assert answer.status_code == 200, answer.text
        assert answer.content.startswith(opening)
        assert answer.headers["content-type"] == media
        assert f'filename="Low-man-late.{ending}"' in answer.headers["content-disposition"]
    for wrong in ({"cue": "at once"}, {"helper": "X1", "cue": "dribble 1"}, {"player": "1:Nobody", "cue": "never"}):
        assert demo.get(address, params=wrong).status_code == 422
    assert demo.get(f"/games/{game}/moments/nothing.{ending}").status_code == 404


def test_the_sheet_names_who_stood_there(demo: TestClient, game: str) -> None:
    key = demo.post(f"/api/games/{game}/moments", json={"document": a_moment()}).json()["id"]
    sheet = demo.get(f"/games/{game}/moments/{key}.pdf", params={"player": ["1:Ada", "X2:Bex"]}).content
    said = " ".join(pypdf.PdfReader(io.BytesIO(sheet)).pages[0].extract_text().split())

    assert "Harbour Lane U16: Ada, Bex" in said
    assert "this game's points" in said


def test_a_drawing_follows_the_row(demo: TestClient) -> None:
    plain = demo.post("/api/draw/moment", json={"moment": a_moment()})
    row = {"moment": a_moment(), "drive": True, "helper": "X2", "cue": "dribble 1"}
    driven = demo.post("/api/draw/moment", json=row)

    assert plain.headers["content-type"] == "image/svg+xml"
    assert 'class="dribble"' not in plain.text
    assert 'class="dribble"' in driven.text
    assert 'class="run"' in driven.text


def test_the_schema_of_a_moment_is_public(client: TestClient) -> None:
    assert "figures" in client.get("/api/schema/moment").json()["properties"]


# --- whatever is sent


ON_FLOOR = st.tuples(st.floats(-7.5, 7.5), st.floats(-1.5, 12.0)).map(list) | st.sampled_from(["basket", "nail", "top"])
ANYWHERE = st.lists(st.floats(-20, 20), max_size=3)
SPEED = st.tuples(st.floats(-9, 9), st.floats(-9, 9)).map(list)


def figures(place: st.SearchStrategy[Any]) -> st.SearchStrategy[list[Json]]:
    """Two to six who stand somewhere and move somehow."""

    def placed(names: list[str]) -> st.SearchStrategy[list[Json]]:
        one = [st.fixed_dictionaries({"figure": st.just(name), "at": place, "moving_m_per_s": SPEED}) for name in names]
        return st.tuples(*one).map(list)

    others = st.lists(st.sampled_from(["2", "3", "N1", "X2", "X3"]), max_size=4, unique=True)
    return others.map(lambda names: ["1", "X1", *names]).flatmap(placed)


MOMENT: st.SearchStrategy[Json] = st.fixed_dictionaries(
    {"figures": figures(ON_FLOOR) | figures(ON_FLOOR | ANYWHERE), "held_s": st.floats(0, 10)}
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    MOMENT, st.sampled_from([level.value for level in Level]), st.sampled_from(["dribble 1", "when beaten", "never"])
)
def test_any_moment_is_read_or_refused(demo: TestClient, changes: Json, level: str, cue: str) -> None:
    """The names of its figures and the numbers are sound or not; the program never fails."""
    body = {"moment": a_moment(**changes), "level": level, "dragging": True}
    quick = demo.post("/api/read", content=json.dumps(body))
    played = demo.post("/api/read/timeline", content=json.dumps(body | {"helper": "X2", "cue": cue}))
    drawn = demo.post("/api/draw/moment", content=json.dumps(body | {"drive": True}))

    assert quick.status_code in (200, 422)
    assert drawn.status_code == quick.status_code
    assert played.status_code in (200, 422)


def test_chances_of_the_youngest_are_not_said(demo: TestClient) -> None:
    """Nothing is published for their make chances; the rest is told."""
    data = demo.post("/api/read", json={"moment": a_moment(), "level": "U12", "dragging": True}).json()

    assert {read["chance"]["mean"] for read in [data["shot"], *data["passes"]]} == {None}
    assert data["passes"][0]["gap"]["mean"] > 0
