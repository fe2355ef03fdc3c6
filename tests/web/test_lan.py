"""The real server opened to the network, over http and https. 127.0.0.2 stands for another computer's way in."""

from __future__ import annotations

import http.client
import ipaddress
import json
import os
import re
import shutil
import ssl
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any, Final

import pytest

from courtwright.web.reach import LOOPBACK, Reach, own_address, own_names
from courtwright.web.serve import AddressError, _listeners, check_certificate, lan_text

CODE: Final = """
import sys
from pathlib import Path
from courtwright.web.serve import serve
files = [Path(name) for name in sys.argv[2:]] or [None, None]
serve("127.0.0.1", 0, sys.argv[1], False, lan=True, certificate=files[0], key=files[1])
"""
NEAR, FAR = "127.0.0.1", "127.0.0.2"

pytestmark = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="needs all of 127.0.0.0/8 to be this computer"
)


@contextmanager
def served(tmp_path: Path, *files: Path) -> Iterator[tuple[int, str]]:
    """A server of our own: its port, and what it said."""
    command = [sys.executable, "-W", "error", "-c", CODE, str(tmp_path / "club.sqlite"), *map(str, files)]
    environment = os.environ | {"COURTWRIGHT_ENGINE": "python"}
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, env=environment) as process:
        assert process.stderr is not None
        said = "".join(process.stderr.readline() for _ in range(3))
        found = re.search(r"https?://127\.0\.0\.1:(\d+)/", said)
        assert found, said
        try:
            yield int(found[1]), said
        finally:
            process.kill()


def ask(
    port: int,
    method: str,
    address: str,
    *,
    at: str = FAR,
    body: Any = None,
    headers: dict[str, str] | None = None,
    tls: ssl.SSLContext | None = None,
) -> tuple[int, dict[str, str], str]:
    made = (
        http.client.HTTPConnection(at, port, timeout=20)
        if tls is None
        else http.client.HTTPSConnection(at, port, timeout=20, context=tls)
    )
    with closing(made) as connection:
        content = None if body is None else json.dumps(body)
        usual = {"Content-Type": "application/json"} if content else {}
        connection.request(method, address, content, usual | (headers or {}))
        answer = connection.getresponse()
        return answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read().decode()


def test_the_network_gets_in_by_a_code_and_by_nothing_else(tmp_path: Path) -> None:
    with served(tmp_path) as (port, said):
        assert "Only for a network you trust" in said
        assert "docs/devices.md" in said
        assert ask(port, "GET", "/api/me", at=NEAR)[2] == '{"device":null,"role":"coach","name":"this computer"}'
        for address in ("/api/games", "/games.json", "/api/openapi.json", "/static/js/game_page.js", "/api/me"):
            assert ask(port, "GET", address)[0] == 401
        assert ask(port, "GET", "/games", headers={"Accept": "text/html"})[1]["location"] == "/join"
        assert ask(port, "GET", "/join")[0] == 200
        assert ask(port, "GET", "/join", headers={"Host": "example.invalid"})[0] == 403
        # what a proxy says of where a request comes from counts for nothing
        forged = {"X-Forwarded-For": "127.0.0.1", "Host": "localhost"}
        assert ask(port, "GET", "/api/games", at=NEAR, headers=forged)[0] == 401

        code = json.loads(ask(port, "POST", "/api/devices/codes", at=NEAR, body={"role": "assistant"})[2])["code"]
        own = {"Origin": f"http://{FAR}:{port}"}
        foreign = {"Origin": "http://example.invalid"}
        wish = {"code": code, "name": "phone"}
        assert ask(port, "POST", "/api/join", body=wish, headers=foreign)[0] == 403
        status, headers, _ = ask(port, "POST", "/api/join", body=wish, headers=own)
        assert status == 201
        cookie = {"Cookie": headers["set-cookie"].partition(";")[0]}
        assert ask(port, "GET", "/api/games", headers=cookie)[0] == 200
        assert ask(port, "GET", "/api/squad", headers=cookie)[0] == 403
        me = json.loads(ask(port, "GET", "/api/me", headers=cookie)[2])

        revoke = [sys.executable, "-m", "courtwright", "devices", "revoke", me["device"], "--store"]
        subprocess.run([*revoke, str(tmp_path / "club.sqlite")], check=True, capture_output=True)
        assert ask(port, "GET", "/api/games", headers=cookie)[0] == 401, "also where another program revoked it"


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A certificate for the two addresses, signed by itself."""
    tool = shutil.which("openssl")
    if tool is None:
        if os.environ.get("CI") == "true":
            pytest.fail("CI must not skip this: needs openssl")
        pytest.skip("needs openssl to make a certificate")
    folder = tmp_path_factory.mktemp("tls")
    made, key = folder / "gym.pem", folder / "gym.key"
    names = f"subjectAltName=IP:{NEAR},IP:{FAR}"
    words = ["req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=gym", "-addext", names]
    subprocess.run([tool, *words, "-out", made, "-keyout", key], check=True, capture_output=True)
    return made, key


def test_the_same_over_https(tmp_path: Path, certificate: tuple[Path, Path]) -> None:
    tls = ssl.create_default_context(cafile=certificate[0])
    with served(tmp_path, *certificate) as (port, said):
        assert "plain http" not in said
        assert ask(port, "GET", "/api/me", at=NEAR, tls=tls)[0] == 200
        made = json.loads(ask(port, "POST", "/api/devices/codes", at=NEAR, body={"role": "screen"}, tls=tls)[2])
        assert made["link"] is None or made["link"].startswith("https://")
        wish = {"code": made["code"], "name": "wall"}
        own = {"Origin": f"https://{FAR}:{port}"}
        assert ask(port, "POST", "/api/join", body=wish, headers={"Origin": f"http://{FAR}:{port}"}, tls=tls)[0] == 403
        status, headers, _ = ask(port, "POST", "/api/join", body=wish, headers=own, tls=tls)
        assert status == 201
        assert "secure" in headers["set-cookie"].lower()


def test_a_certificate_that_does_not_fit_is_told(certificate: tuple[Path, Path], tmp_path: Path) -> None:
    made, key = certificate
    check_certificate(made, key)
    check_certificate(None, None)
    for pair in ((key, made), (made, made), (tmp_path / "no", key)):
        with pytest.raises(AddressError, match="cannot be used for https"):
            check_certificate(*pair)
    shut = tmp_path / "shut.key"
    tool = shutil.which("openssl")
    assert tool
    subprocess.run(
        [tool, "rsa", "-aes256", "-passout", "pass:abcd", "-in", key, "-out", shut], check=True, capture_output=True
    )
    with pytest.raises(AddressError, match="has a password"):
        check_certificate(made, shut)


def test_one_address_of_the_network_and_this_computer_too() -> None:
    first, local = _listeners(FAR, 0, lan=True)
    with closing(first), closing(local):
        assert first.getsockname()[0] == FAR
        assert local.getsockname() == (NEAR, first.getsockname()[1])
        with pytest.raises(AddressError, match=f"port {first.getsockname()[1]} on {NEAR} is taken"):
            _listeners("127.0.0.3", first.getsockname()[1], lan=True)


def test_own_address_and_names_are_this_computers() -> None:
    address = own_address()
    if address is not None:  # a computer without a network has none
        assert not ipaddress.ip_address(address).is_loopback
        assert address in own_names()
    assert all(own_names())
    assert any(name.endswith(".local") for name in own_names())


def test_where_other_devices_are_sent(monkeypatch: pytest.MonkeyPatch) -> None:
    reach = Reach(lan=True, host="0.0.0.0", port=8721, scheme="https")
    monkeypatch.setattr("courtwright.web.reach.own_address", lambda: "192.168.7.20")
    assert reach.address() == "https://192.168.7.20:8721"
    monkeypatch.setattr("courtwright.web.reach.own_address", lambda: None)
    assert reach.address() is None
    assert "could not be found" in lan_text(reach)
    assert Reach(lan=True, host="fd00::1", port=1).address() == "http://[fd00::1]:1"
    assert Reach().address() is None
    assert Reach().names == LOOPBACK
