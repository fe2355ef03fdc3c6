"""What tests of several kinds share: a throw-away PostgreSQL, and stores on both databases."""

from __future__ import annotations

import os
import secrets
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import warnings
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from pathlib import Path
from typing import Any

import pytest


def _tool(name: str) -> str | None:
    packaged = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"), key=lambda path: path.parts[-3])
    return shutil.which(name) or (str(packaged[-1]) if packaged else None)


def _skip(reason: str) -> None:
    """Say why a test cannot run here; in CI nothing may be skipped."""
    if os.environ.get("CI") == "true":
        pytest.fail(f"CI must not skip this: {reason}")
    pytest.skip(reason)


def _unprivileged() -> dict[str, Any]:
    """Arguments of `subprocess` that leave root, which the server refuses to run as."""
    if sys.platform == "win32" or os.getuid() != 0:
        return {}
    import pwd

    for name in ("postgres", "nobody"):
        with suppress(KeyError):
            person = pwd.getpwnam(name)
            return {"user": person.pw_uid, "group": person.pw_gid, "extra_groups": []}
    _skip("runs as root, and there is no other user to run PostgreSQL as")
    return {}


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """A PostgreSQL cluster of our own on a socket in a temporary folder; gives the folder."""
    initdb, server = _tool("initdb"), _tool("postgres")
    if initdb is None or server is None:
        _skip("needs a PostgreSQL server, and initdb was not found")
        return
    who = _unprivileged()
    with tempfile.TemporaryDirectory(prefix="cw-pg-") as folder:  # short: a socket's path may be 107 bytes long
        if who:
            os.chown(folder, who["user"], who["group"])
        data = f"{folder}/data"
        made = [initdb, "-D", data, "-U", "coach", "-A", "trust", "-E", "UTF8", "--no-locale", "--no-sync"]
        subprocess.run(made, check=True, capture_output=True, cwd="/", **who)
        run = [server, "-D", data, "-k", folder, "-c", "listen_addresses=", "-c", "fsync=off"]
        with subprocess.Popen(run, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd="/", **who) as process:
            try:
                _wait_for(folder, process)
                yield folder
            finally:
                process.send_signal(signal.SIGINT)  # does not wait for clients, as SIGTERM would
                process.wait(20)


def _wait_for(folder: str, process: subprocess.Popen[bytes]) -> None:
    import psycopg

    for _ in range(200):
        with suppress(psycopg.OperationalError):
            psycopg.connect(host=folder, user="coach", dbname="postgres").close()
            return
        assert process.poll() is None, "PostgreSQL ended before it answered"
        time.sleep(0.05)
    pytest.fail("PostgreSQL did not answer within 10 s")


@pytest.fixture
def postgres_url(postgres_server: str) -> str:
    """A fresh, empty PostgreSQL database."""
    import psycopg

    name = f"club_{secrets.token_hex(4)}"
    with psycopg.connect(host=postgres_server, user="coach", dbname="postgres", autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}".encode())
    return f"postgresql://coach@/{name}?host={postgres_server}"


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.database)])
def store_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The address of an empty store, on each database in turn."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'club.sqlite'}"
    return str(request.getfixturevalue("postgres_url"))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Any]:
    """An empty store on SQLite."""
    from courtwright.store import Store

    with Store.open(tmp_path / "club.sqlite") as store:
        yield store


Ask = Callable[..., Any]


@pytest.fixture
def ask() -> Iterator[Ask]:
    """Makes in-process clients: ``ask(app, "http://localhost")``, from this computer or from another address."""
    with warnings.catch_warnings():  # the framework's client would rather have httpx2; it works with httpx
        warnings.filterwarnings("ignore", "Using `httpx`", UserWarning)
        from fastapi.testclient import TestClient
    with ExitStack() as stack:

        def client(app: Any, base_url: str = "http://localhost", of: str = "127.0.0.1", *, start: bool = True) -> Any:
            made = TestClient(app, base_url=base_url, client=(of, 50000))
            return stack.enter_context(made) if start else made  # not started, nothing is compiled behind it

        yield client


@pytest.fixture
def client(store: Any, ask: Ask) -> Any:
    """The app around the empty store, asked as a browser on this computer would."""
    from courtwright.web import create_app

    return ask(create_app(store, workers=2))
