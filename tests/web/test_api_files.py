"""Drawings, paper and files: right types, safe names, and what is in them."""

from __future__ import annotations

import io
import struct
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote
from xml.etree import ElementTree as ET

import pypdf
import pytest

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

SVG = "{http://www.w3.org/2000/svg}"


def a_document(name: str = "Slot drive") -> dict[str, Any]:
    at = {"1": "left slot", "2": "right corner", "X1": "nail", "X2": "right block"}
    placements = [{"figure": figure, "at": place} for figure, place in at.items()]
    variants = [{"name": "from the top", "placements": [{"figure": "1", "at": "top"}]}]
    return {
        "format": "courtwright.game/1",
        "name": name,
        "sides": {"offence": 2, "defence": 2},
        "start": {"placements": placements, "ball": "1", "variants": variants},
    }


@pytest.fixture
def key(client: TestClient) -> str:
    return str(client.post("/api/games", json={"document": a_document()}).json()["id"])


def figures(svg: bytes) -> dict[str, str]:
    """Where each figure is drawn."""
    groups = ET.fromstring(svg).iter(f"{SVG}g")
    return {group.attrib["data-figure"]: group.attrib["transform"] for group in groups if "transform" in group.attrib}


def test_drawing(client: TestClient, key: str) -> None:
    answer = client.get(f"/games/{key}.svg")

    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("image/svg+xml")
    assert answer.headers["content-disposition"].startswith('inline; filename="Slot-drive.svg"')
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    assert {"1", "2", "X1", "X2"} <= set(figures(answer.content))


def test_drawing_of_a_variant(client: TestClient, key: str) -> None:
    plain = figures(client.get(f"/games/{key}.svg").content)
    variant = figures(client.get(f"/games/{key}.svg?variant=0").content)

    assert variant["1"] != plain["1"]
    assert variant["2"] == plain["2"]
    assert client.get(f"/games/{key}.svg?variant=1").status_code == 404
    assert client.get(f"/games/{key}.svg?variant=-1").status_code == 422


def test_drawing_of_what_is_not_kept_yet(client: TestClient) -> None:
    document = a_document()
    document["start"]["placements"][0]["at"] = [1.0, 4.0]

    answer = client.post("/api/draw", json={"document": document})

    assert answer.headers["content-type"].startswith("image/svg+xml")
    x_m, y_m = map(float, figures(answer.content)["1"].removeprefix("translate(").removesuffix(")").split())
    assert (x_m, y_m) == pytest.approx((1.0, 5.575)), "drawn from the end line, 1.575 m behind the ring"
    assert client.post("/api/draw", json={"document": document, "variant": 4}).status_code == 404
    assert client.post("/api/draw", json={"document": document | {"name": ""}}).status_code == 422
    assert client.get("/api/games").json() == {"games": []}


def test_drawing_needs_nothing_the_page_forbids(client: TestClient, key: str) -> None:
    root = ET.fromstring(client.get(f"/games/{key}.svg").content)
    for node in root.iter():
        assert node.tag.removeprefix(SVG) not in ("style", "script", "foreignObject", "image")
        assert not [name for name in node.attrib if name == "style" or name.startswith("on") or name.endswith("href")]


def test_picture(client: TestClient, key: str) -> None:
    answer = client.get(f"/games/{key}.png?width=640")

    assert answer.headers["content-type"] == "image/png"
    assert answer.content.startswith(b"\x89PNG\r\n\x1a\n")
    assert abs(struct.unpack(">I", answer.content[16:20])[0] - 640) <= 1
    assert client.get(f"/games/{key}.png?width=5000").status_code == 422


def text_of(pdf: bytes) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def test_sheet_without_a_squad(client: TestClient, key: str) -> None:
    answer = client.get(f"/games/{key}.pdf")

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"].startswith('inline; filename="Slot-drive.pdf"')
    assert "Slot drive" in text_of(answer.content)


def test_sheet_with_turns(client: TestClient, key: str) -> None:
    names = ["Ada", "Bex", "Cleo", "Dot", "Effie"]
    squad = {"format": "courtwright.squad/1", "name": "Harbour Lane", "players": [{"name": name} for name in names]}
    client.put("/api/squad", json={"squad": squad, "base": 0})

    text = text_of(client.get(f"/games/{key}.pdf?minutes=5&seed=3").content)

    assert all(name in text for name in names)
    assert "Harbour Lane" in text


def test_sheet_for_too_few_players_is_still_a_sheet(client: TestClient, key: str) -> None:
    squad = {"format": "courtwright.squad/1", "name": "Harbour Lane", "players": [{"name": "Ada"}]}
    client.put("/api/squad", json={"squad": squad, "base": 0})

    assert "Slot drive" in text_of(client.get(f"/games/{key}.pdf").content)
    assert client.get(f"/api/games/{key}/rota").status_code == 422


def test_game_as_a_file_can_be_brought_back(client: TestClient, key: str) -> None:
    answer = client.get(f"/games/{key}.json")
    again = client.post("/api/games", json={"document": answer.json()}).json()

    assert answer.headers["content-disposition"].startswith('attachment; filename="Slot-drive.game.json"')
    assert again["hash"] == client.get(f"/api/games/{key}").json()["hash"]


@pytest.mark.parametrize(
    ("name", "plain", "full"),
    [
        ("Zoë’s “one”", "Zoes-one", "Zoë’s “one”"),
        ("سلة", "courtwright", "سلة"),
        ('a"; filename=evil.exe', "a-filename-evil.exe", "a-; filename=evil.exe"),
        ("../../etc/passwd", "etc-passwd", "..-..-etc-passwd"),
        ("C:\\x|y?", "C-x-y", "C-x-y-"),
    ],
)
def test_file_names_are_safe(client: TestClient, name: str, plain: str, full: str) -> None:
    key = client.post("/api/games", json={"document": a_document(name)}).json()["id"]

    said = client.get(f"/games/{key}.svg").headers["content-disposition"]

    old, new = said.removeprefix("inline; filename=").split("; filename*=UTF-8''")
    assert old == f'"{plain}.svg"'
    assert unquote(new) == f"{full}.svg"
    assert new.isascii()


def test_odd_names_are_escaped_in_the_drawing(client: TestClient) -> None:
    name = '<script>alert(1)</script> & "x" \']]>'
    key = client.post("/api/games", json={"document": a_document(name)}).json()["id"]

    svg = client.get(f"/games/{key}.svg")

    assert "<script" not in svg.text
    assert ET.fromstring(svg.content).findtext(f"{SVG}title") == name


@pytest.mark.parametrize(("ending", "media_type"), [("js", "text/javascript"), ("css", "text/css")])
def test_static_files_are_kept_but_asked_about(client: TestClient, ending: str, media_type: str) -> None:
    folder = Path(str(files("courtwright.web"))) / "static"
    file = next(folder.rglob(f"*.{ending}"))
    address = f"/static/{file.relative_to(folder).as_posix()}"

    answer = client.get(address)
    again = client.get(address, headers={"if-none-match": answer.headers["etag"]})

    assert answer.content == file.read_bytes()
    assert answer.headers["content-type"].startswith(media_type)
    assert answer.headers["cache-control"] == "no-cache"
    assert again.status_code == 304
