"""A real server and a real Chromium for the tests of the pages."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest
from tests.chromium import a_chromium

if TYPE_CHECKING:
    import uvicorn
    from playwright.sync_api import Browser, BrowserContext, Page

LAPTOP: Final = {"width": 1440, "height": 900}


@dataclass
class House:
    """One server over one store; it can be stopped and started again at the same address."""

    path: Path
    port: int = 0
    _server: uvicorn.Server | None = None
    _thread: threading.Thread | None = None

    @property
    def url(self) -> str:
        """Where the pages are."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Listen; the first time at any free port."""
        import uvicorn

        from courtwright.store import Store
        from courtwright.web import create_app
        from courtwright.web.serve import listen

        listener = listen("127.0.0.1", self.port)
        self.port = listener.getsockname()[1]
        store = Store.open(self.path)
        config = uvicorn.Config(create_app(store), log_level="critical", timeout_graceful_shutdown=1)
        server = self._server = uvicorn.Server(config)

        def run() -> None:
            with store, closing(listener):
                server.run(sockets=[listener])

        self._thread = threading.Thread(target=run, name="server")
        self._thread.start()
        while not server.started:
            time.sleep(0.01)

    def stop(self) -> None:
        """Let nobody in any more."""
        if self._server is not None and self._thread is not None:
            self._server.should_exit = True
            self._thread.join(10)


@dataclass
class Visit:
    """One browser profile: its pages, and what went wrong on them."""

    house: House
    context: BrowserContext
    complaints: list[str] = field(default_factory=list)

    def open(self, address: str) -> Page:
        """A new tab."""
        page = self.context.new_page()
        page.goto(self.house.url + address)
        return page

    def game(self, name: str) -> str:
        """The address of a game by its name."""
        answer = self.context.request.get(f"{self.house.url}/api/games").json()
        return next(f"/games/{row['id']}" for row in answer["games"] if row["name"] == name)

    def document(self, address: str) -> dict[str, Any]:
        """A game as the server has it."""
        document: dict[str, Any] = self.context.request.get(f"{self.house.url}/api{address}").json()["document"]
        return document


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One Chromium for all tests of the pages."""
    with a_chromium() as browser:
        yield browser


def _house(folder: Path) -> Iterator[House]:
    house = House(folder / "club.sqlite")
    house.start()
    yield house
    house.stop()


@pytest.fixture
def empty_house(chromium: Browser, tmp_path: Path) -> Iterator[House]:
    """A server over an empty store."""
    yield from _house(tmp_path)


@pytest.fixture(scope="module")
def house(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A server over a store with the demo club, one for all tests of a module."""
    import urllib.request

    for house in _house(tmp_path_factory.mktemp("demo")):
        urllib.request.urlopen(urllib.request.Request(f"{house.url}/api/demo", method="POST")).close()
        yield house


Visitor = Callable[..., Visit]


@pytest.fixture(scope="module")
def visits(chromium: Browser) -> Iterator[Visitor]:
    """Visitors of a module: one browser profile for each kind of screen, so that files are fetched once."""
    made: dict[str, Visit] = {}

    def visitor(house: House, **options: Any) -> Visit:
        key = f"{house.path} {sorted(options.items())}"
        if key not in made:
            context = chromium.new_context(**({"viewport": LAPTOP} | options))
            context.set_default_timeout(10_000)
            visit = made[key] = Visit(house, context)
            context.on("console", lambda message: _note(visit, message.type, message.text))
            context.on("weberror", lambda error: visit.complaints.append(str(error.error)))
            context.on("request", lambda request: _watch(visit, request.url))
        return made[key]

    yield visitor
    for visit in made.values():
        visit.context.close()


@pytest.fixture
def visit(visits: Visitor) -> Iterator[Visitor]:
    """Make a visitor of a house; at the end, no page may have complained or asked another origin."""
    used: dict[int, Visit] = {}

    def begin(house: House, **options: Any) -> Visit:
        visit = visits(house, **options)
        return used.setdefault(id(visit), visit)

    yield begin
    for visit in used.values():
        for page in visit.context.pages:
            page.close()
    complaints = [complaint for visit in used.values() for complaint in visit.complaints]
    for visit in used.values():
        visit.complaints.clear()
    assert complaints == []


def _note(visit: Visit, kind: str, text: str) -> None:
    if kind in ("error", "warning"):
        visit.complaints.append(f"{kind}: {text}")


def _watch(visit: Visit, url: str) -> None:
    if not url.startswith((visit.house.url, "blob:", "data:")):
        visit.complaints.append(f"asked {url}")
