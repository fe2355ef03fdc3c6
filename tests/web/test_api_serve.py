"""The real server on a real port: where it listens, what it says, how fast it stops."""

from __future__ import annotations

import http.client
import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from courtwright.web.serve import AddressError, listen, serve

CODE = "import sys; from courtwright.web.serve import serve; serve('127.0.0.1', 0, sys.argv[1], False)"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[tuple[subprocess.Popen[str], int]]:
    """A server of our own and its port."""
    command = [sys.executable, "-W", "error", "-c", CODE, str(tmp_path / "club.sqlite")]
    environment = os.environ | {"COURTWRIGHT_ENGINE": "python"}
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, env=environment) as process:
        assert process.stderr is not None
        said = process.stderr.readline()
        found = re.search(r"http://127\.0\.0\.1:(\d+)/", said)
        assert found, said + process.stderr.read()
        yield process, int(found[1])
        process.kill()


def ask(port: int, method: str, address: str, headers: dict[str, str] | None = None) -> tuple[int, str]:
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=20)) as connection:
        connection.request(method, address, headers=headers or {})
        answer = connection.getresponse()
        return answer.status, answer.read().decode()


def test_server_answers_its_own_computer_and_stops_cleanly(server: tuple[subprocess.Popen[str], int]) -> None:
    process, port = server
    assert ask(port, "GET", "/api/games") == (200, '{"games":[]}')
    assert ask(port, "GET", "/api/games", {"Host": "example.invalid"})[0] == 403
    assert ask(port, "POST", "/api/demo", {"Origin": "http://example.invalid"})[0] == 403

    process.send_signal(signal.SIGINT if sys.platform != "win32" else signal.SIGTERM)
    before_s = time.monotonic()
    _, said = process.communicate(timeout=10)
    assert time.monotonic() - before_s < 5
    assert "Traceback" not in said


def test_server_stops_although_a_connection_is_kept_open(server: tuple[subprocess.Popen[str], int]) -> None:
    process, port = server
    with closing(socket.create_connection(("127.0.0.1", port))) as kept_open:
        kept_open.sendall(b"GET /api/games HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert kept_open.recv(12) == b"HTTP/1.1 200"
        process.terminate()
        before_s = time.monotonic()
        process.wait(timeout=10)
        assert time.monotonic() - before_s < 5


def test_no_answer_waits_for_the_other_side_to_say_that_it_heard(server: tuple[subprocess.Popen[str], int]) -> None:
    """An answer goes out in two parts; held back until the first is acknowledged, each would take 40 ms."""
    _, port = server
    taken_s = []
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=20)) as connection:
        for _ in range(20):
            before_s = time.perf_counter()
            connection.request("POST", "/api/read", "{}", {"Content-Type": "application/json"})
            connection.getresponse().read()
            taken_s.append(time.perf_counter() - before_s)

    assert min(taken_s[10:]) < 0.03


def test_port_that_is_taken_gives_the_next() -> None:
    with closing(listen("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with closing(listen("127.0.0.1", port)) as other:
            assert port < other.getsockname()[1] < port + 10


def test_ports_that_are_all_taken_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("courtwright.web.serve.PORTS_TRIED", 1)
    with closing(listen("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(AddressError, match=f"port {port} on 127.0.0.1 is taken or not allowed; name another"):
            listen("127.0.0.1", port)


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.7", "::", "example.invalid"])
def test_only_this_computer_is_served(host: str, tmp_path: Path) -> None:
    with pytest.raises(AddressError, match="answers this computer only"):
        serve(host, 0, tmp_path / "club.sqlite", open_browser=False)
    assert not (tmp_path / "club.sqlite").exists()
