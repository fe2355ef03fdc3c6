"""A practice of 400 facts from four devices on two runs, while everything fails. Nothing is lost or doubled.

Two of the devices are real browsers. The server is killed with -9 twenty times; requests are cut before and after they
arrive, sent twice, late and out of order; the devices' clocks are minutes apart.
"""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any, Final

import pytest
from tests.chromium import a_chromium
from tests.logs import Device

from courtwright.live import fold
from courtwright.vocabulary import Fact

if TYPE_CHECKING:
    from playwright.sync_api import Browser

KILLS: Final = 20
NAMES: Final = ["Ada", "Bex", "Cleo", "Dot", "Effie", "Fern", "Gus", "Hal"]
ROOT: Final = Path(__file__).parents[2]
READY_S: Final = 60.0
PACE_S: Final = 0.5
"""The practice lasts about as long as the kills."""


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port: int = taken.getsockname()[1]
        return port


class Server:
    """The real program on a store, killed and started at will."""

    def __init__(self, store_url: str) -> None:
        self.port = free_port()
        self._command = [sys.executable, "-m", "courtwright", "serve", "--no-open"]
        self._command += ["--port", str(self.port), "--store", store_url]
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it and wait until it answers."""
        environment = os.environ | {"PYTHONPATH": str(ROOT / "src")}
        self._process = subprocess.Popen(
            self._command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
        )
        give_up = time.monotonic() + READY_S
        while time.monotonic() < give_up:
            with contextlib.suppress(OSError, http.client.HTTPException):
                self.ask("GET", "/api/runs")
                return
            if self._process.poll() is not None:
                break
            time.sleep(0.02)
        pytest.fail(f"the server did not start: {self._process.stderr and self._process.stderr.read().decode()}")

    def kill(self) -> None:
        """End it at once, in the middle of whatever it does."""
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            if self._process.stderr is not None:
                self._process.stderr.close()

    def ask(self, method: str, path: str, body: Any = None) -> Any:
        """One request on a connection of its own; raise `OSError` where there is no whole answer."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)
        try:
            sent = None if body is None else json.dumps(body)
            connection.request(method, path, sent, {"Content-Type": "application/json"})
            answer = connection.getresponse()
            told = json.loads(answer.read() or b"null")
            if answer.status >= 500:
                raise OSError(f"{answer.status}: try again")
            assert answer.status < 400, told
            return told
        finally:
            connection.close()


@dataclass
class Sender:
    """A device that keeps what it tells until the server has taken it, over a bad network."""

    device: Device
    run: str
    server: Server
    random: Random
    waiting: list[dict[str, Any]] = field(default_factory=list)

    def tell(self, kind: str, possession: int, **detail: Any) -> Fact:
        """Write it down here first."""
        fact = self.device.tell(kind, possession, **detail)
        self.waiting.append(fact.to_json() | {"run_id": self.run})
        return fact

    def send(self) -> None:
        """Send what waits; whatever happens on the way, a fact goes only when it was taken."""
        batch = self.waiting[: self.random.randrange(1, 8)]
        self.random.shuffle(batch)  # reordered on the way
        time.sleep(self.random.random() * 0.01)  # delayed
        if self.random.random() < 0.15:
            return  # cut on the way there
        try:
            answer = self.server.ask("POST", f"/api/runs/{self.run}/facts", {"facts": batch})
            if self.random.random() < 0.15:
                answer = self.server.ask("POST", f"/api/runs/{self.run}/facts", {"facts": batch})  # doubled
        except (OSError, http.client.HTTPException):
            return
        if self.random.random() < 0.15:
            return  # cut on the way back: it was taken, and the device does not know
        assert answer["refused"] == []
        self.waiting = [fact for fact in self.waiting if fact["event_id"] not in answer["taken"]]

    def practise(self, possessions: int) -> None:
        """Call a scripted practice: possession by possession, sending meanwhile."""
        for number in range(1, possessions + 1):
            for kind, detail in script(number):
                self.tell(kind, number, **detail)
            self.send()
            time.sleep(self.random.random() * PACE_S)
        while self.waiting:
            self.send()


class Tablet:
    """A real browser on a bad network, with the page's own run, kept on the device and sent when it can be."""

    OPEN = """async name => {
      const [{ FloorRun }, { openKeep }] = await Promise.all([
        import("/static/js/live/run.js"), import("/static/js/live/keep.js")]);
      window.told = await FloorRun.open(name, await openKeep(), localStorage);
      window.told.follow();
    }"""
    TELL = """async ([kind, detail, possession]) => { await window.told.tell(kind, detail, possession); }"""
    MINE = """() => window.told.facts.filter(fact => fact.device === window.told.device).map(fact => fact.event_id)"""

    def __init__(self, chromium: Any, run: str, server: Server, random: Random, skew_ms: int) -> None:
        self.run, self.server, self.random = run, server, random
        self.context = chromium.new_context()
        self.context.add_init_script(f"{{ const now = Date.now; Date.now = () => now() + {skew_ms}; }}")
        self.context.route("**/facts", self._on_the_way)
        self.page = self.context.new_page()
        self.open()

    def open(self) -> None:
        """Open the page, as often as it takes: while the server is away there is nobody to bring it."""
        give_up = time.monotonic() + READY_S
        while True:
            try:
                self.page.goto(f"http://127.0.0.1:{self.server.port}/floor/{self.run}/players")
                self.page.evaluate(self.OPEN, self.run)
                return
            except Exception:  # the driver has one error for everything
                if time.monotonic() > give_up:
                    raise
                self.page.wait_for_timeout(100)

    def _on_the_way(self, route: Any) -> None:
        chance = self.random.random()
        try:
            if chance < 0.15:
                route.abort()  # cut on the way there
            elif chance < 0.3:
                route.fetch()
                route.abort()  # cut on the way back: it was taken, and the device does not know
            elif chance < 0.45:
                route.fetch()
                route.continue_()  # doubled
            else:
                route.continue_()
        except Exception:  # the server was killed meanwhile
            with contextlib.suppress(Exception):
                route.abort()

    def call(self, number: int) -> None:
        """Call a possession; now and then somebody reloads the page."""
        for kind, detail in script(number):
            self.page.evaluate(self.TELL, [kind, detail, number])
        if number % 16 == 0:
            self.open()

    def finish(self) -> list[str]:
        """Wait until everything is sent; give what this device told."""
        self.page.wait_for_function("() => window.told.waiting === 0", timeout=60_000)
        told: list[str] = self.page.evaluate(self.MINE)
        self.context.close()
        return told


def script(number: int) -> list[tuple[str, dict[str, Any]]]:
    """What happens in a possession: four kinds in turn, 2 facts on average."""
    return (
        [("make", {"zone": "rim", "who": "2"})],
        [("offensive rebound", {}), ("offensive rebound", {}), ("make", {"zone": "three", "who": "1"})],
        [("paint touch", {"who": "3"}), ("turnover", {"who": "3"})],
        [("miss", {"zone": "mid"}), ("defensive rebound", {"who": "X1"})],
    )[number % 4]


POSSESSIONS: Final = 48
FACTS: Final = sum(len(script(number)) for number in range(1, POSSESSIONS + 1))


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """A browser of this module's own, closed before other tests run."""
    with a_chromium() as browser:
        yield browser


@pytest.mark.browser
def test_a_practice_loses_and_doubles_nothing(store_url: str, chromium: Any) -> None:
    server, random = Server(store_url), Random(11)
    server.start()
    runs = [opened(server) for _ in range(2)]
    senders = [
        Sender(Device(f"device-{number}", skew_ms), runs[number]["run"], server, Random(number))
        for number, skew_ms in enumerate((0, 240_000))
    ]
    tablets = [
        Tablet(chromium, runs[number]["run"], server, Random(number), skew_ms)
        for number, skew_ms in enumerate((-180_000, 60_000))
    ]
    practices = [threading.Thread(target=sender.practise, args=(POSSESSIONS,)) for sender in senders]
    trouble = threading.Thread(target=killed_again_and_again, args=(server, random))
    for thread in (*practices, trouble):
        thread.start()
    for number in range(1, POSSESSIONS + 1):
        for tablet in tablets:
            tablet.call(number)
            tablet.page.wait_for_timeout(1000 * random.random() * PACE_S / 2)
    for thread in (trouble, *practices):
        thread.join(120)
        assert not thread.is_alive()

    for sender, tablet, opening in zip(senders, tablets, runs, strict=True):
        told = [fact.event_id for fact in sender.device.told] + tablet.finish()
        assert len(told) == 2 * FACTS
        arrived = server.ask("GET", f"/api/runs/{opening['run']}")["facts"]
        assert sorted(fact["event_id"] for fact in arrived) == sorted(told)
        as_intended(fold(opening, map(Fact.from_json, arrived)).to_json())
    server.kill()


def killed_again_and_again(server: Server, random: Random) -> None:
    """End the server at once twenty times, and start it anew."""
    for _ in range(KILLS):
        time.sleep(0.1 + random.random() * 0.4)
        server.kill()
        time.sleep(random.random() * 0.2)
        server.start()


def as_intended(state: dict[str, Any]) -> None:
    """Two devices called each possession: one result each, called by both, and the score that follows."""
    assert [one["result"] for one in state["possessions"]] == [
        ("make rim", "make three", "turnover", "stop")[at % 4] for at in range(1, POSSESSIONS + 1)
    ]
    assert all(len(call["called_by"]) == 2 for one in state["possessions"] for call in one["calls"])
    assert all(one["unsettled"] == [] for one in state["possessions"])
    rounds = POSSESSIONS // 4
    assert state["events"]["offensive_rebound"] == 2 * rounds
    assert state["score"] == [(2 + 3) * rounds, 2 * rounds]


def opened(server: Server) -> dict[str, Any]:
    """A run of a game where baskets and stops pay."""
    game = server.ask("POST", "/api/games", {"starter": "low-mans-call"})
    paying = game["document"] | {
        "points": [{"rule": "basket by the court", "points": 1}, {"rule": "stop", "points": 1}]
    }
    server.ask("PUT", f"/api/games/{game['id']}", {"document": paying, "base": 1})
    opening: dict[str, Any] = server.ask("POST", "/api/runs", {"game_id": game["id"], "players": NAMES})["opening"]
    return opening
