"""A practice of 400 facts from four devices on two runs, while everything fails. Nothing is lost or doubled.

The server is killed with -9 twenty times; requests are cut before and after they
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
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any, Final

import pytest
from tests.logs import Device

from courtwright.live import fold
from courtwright.vocabulary import Fact

KILLS: Final = 20
NAMES: Final = ["Ada", "Bex", "Cleo", "Dot", "Effie", "Fern", "Gus", "Hal"]
ROOT: Final = Path(__file__).parents[2]
READY_S: Final = 60.0
PACE_S: Final = 0.9
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


def test_a_practice_loses_and_doubles_nothing(store_url: str) -> None:
    server, random = Server(store_url), Random(11)
    server.start()
    runs = [opened(server) for _ in range(2)]
    skews_ms = (0, 240_000, -180_000, 60_000)
    senders = [
        Sender(Device(f"device-{number}", skew_ms), runs[number % 2]["run"], server, Random(number))
        for number, skew_ms in enumerate(skews_ms)
    ]
    practices = [threading.Thread(target=sender.practise, args=(POSSESSIONS,)) for sender in senders]
    for practice in practices:
        practice.start()
    for _ in range(KILLS):
        time.sleep(0.1 + random.random() * 0.4)
        server.kill()
        time.sleep(random.random() * 0.2)
        server.start()
    for practice in practices:
        practice.join(120)
        assert not practice.is_alive()

    for number, opening in enumerate(runs):
        arrived = server.ask("GET", f"/api/runs/{opening['run']}")["facts"]
        told = [fact for sender in senders[number::2] for fact in sender.device.told]
        assert sorted(fact["event_id"] for fact in arrived) == sorted(fact.event_id for fact in told)
        state = fold(opening, map(Fact.from_json, arrived)).to_json()
        # two scorers call each possession: one result each, called by both
        assert [one["result"] for one in state["possessions"]] == [
            ("make rim", "make three", "turnover", "stop")[at % 4] for at in range(1, POSSESSIONS + 1)
        ]
        assert all(len(call["called_by"]) == 2 for one in state["possessions"] for call in one["calls"])
        assert all(one["unsettled"] == [] for one in state["possessions"])
        rounds = POSSESSIONS // 4
        assert state["events"]["offensive_rebound"] == 2 * rounds
        assert state["score"] == [(2 + 3) * rounds, 2 * rounds]
    server.kill()
    assert sum(len(sender.device.told) for sender in senders) == 4 * FACTS >= 384


def opened(server: Server) -> dict[str, Any]:
    """A run of a game where baskets and stops pay."""
    game = server.ask("POST", "/api/games", {"starter": "low-mans-call"})
    paying = game["document"] | {
        "points": [{"rule": "basket by the court", "points": 1}, {"rule": "stop", "points": 1}]
    }
    server.ask("PUT", f"/api/games/{game['id']}", {"document": paying, "base": 1})
    opening: dict[str, Any] = server.ask("POST", "/api/runs", {"game_id": game["id"], "players": NAMES})["opening"]
    return opening
