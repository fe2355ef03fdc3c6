"""The doctor: finds what is wrong, says how to mend it, and changes nothing."""

from __future__ import annotations

import json
import os
import socket
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import create_engine, text, update
from typer.testing import CliRunner

from courtwright import doctor
from courtwright.cli import app
from courtwright.doctor import examine
from courtwright.game.moment import moment_of
from courtwright.game.starters import starters
from courtwright.squad.demo import DEMO_SQUAD
from courtwright.store import Store
from courtwright.store.opening import address_of, migrate
from courtwright.store.schema import MIGRATIONS, REVISION, VERSION_TABLE
from courtwright.store.soundness import Check, check_store


@pytest.fixture
def url(store_url: str) -> str:
    """A club, on each database in turn."""
    with Store.open(store_url) as store:
        store.add_club(DEMO_SQUAD, list(starters().values()))
        key = store.games()[0].id
        store.moments.add(key, moment_of(store.game(key).game))
    return store_url


@contextmanager
def raw(url: str) -> Iterator[Any]:
    engine = create_engine(address_of(url))
    with engine.begin() as connection:
        yield connection
    engine.dispose()


def wrong(url: str) -> list[Check]:
    return [check for check in check_store(url) if not check.ok]


def test_a_sound_store_is_well(url: str) -> None:
    checks = list(check_store(url))
    assert wrong(url) == []
    (states,) = (check for check in checks if check.what == "saved states")
    assert states.found == "5 read"


def test_a_saved_state_that_was_changed_by_hand_is_found(url: str) -> None:
    with raw(url) as connection:
        connection.execute(
            update(REVISION)
            .where(REVISION.c.document.like("%Two to Read%"))
            .values(document=text("replace(document, 'Two to Read', 'Two to Lead')"))
        )
    (found,) = wrong(url)
    assert found.what == "saved states"
    assert "revision 1" in found.found
    assert "courtwright restore" in found.mend


def test_a_saved_state_that_is_no_json_is_found(url: str) -> None:
    with raw(url) as connection:
        connection.execute(update(REVISION).values(document="{"))
    assert [check.what for check in wrong(url)] == ["saved states"]


def test_a_clock_that_is_behind_is_found(url: str) -> None:
    with raw(url) as connection:
        connection.execute(update(REVISION).values(saved_at="2199-01-01T00:00:00.000+00:00"))
    assert [check.what for check in wrong(url)] == ["clock"]


def test_a_newer_store_is_found_and_an_older_one_is_well(url: str, tmp_path: Path) -> None:
    with raw(url) as connection:
        connection.execute(text(f"UPDATE {VERSION_TABLE} SET version_num = '9999'"))
    assert [(check.what, check.mend) for check in wrong(url)] == [("store version", "Update the program.")]

    old = f"sqlite:///{tmp_path / 'old.sqlite'}"
    with raw(old) as connection:
        migrate(connection, MIGRATIONS[0])
    checks = {check.what: check for check in check_store(old)}
    assert all(check.ok for check in checks.values())
    assert "at the next start" in checks["store version"].found


def test_rows_that_belong_to_nothing_are_found(tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    Store.open(path).close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("INSERT INTO revision VALUES ('nothing', 1, '{}', '', '2020-01-01T00:00:00+00:00', '')")
        connection.commit()
    (found,) = wrong(str(path))
    assert (found.what, found.found) == ("what belongs together", "rows of revision belong to nothing")


def test_a_damaged_file_is_found(tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    with Store.open(path) as store:
        store.add_club(DEMO_SQUAD, list(starters().values()) * 8)
    broken = bytearray(path.read_bytes())
    broken[4096 * 3 : 4096 * 6] = os.urandom(4096 * 3)
    path.write_bytes(broken)
    assert wrong(str(path))
    assert all("restore" in check.mend for check in wrong(str(path)))


@pytest.mark.parametrize("content", [b"Ada, Bex\n" * 500, b""])
def test_a_file_that_is_none_of_ours(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "notes.txt"
    path.write_bytes(content)
    assert bool(wrong(str(path))) is bool(content), "an empty file becomes a store at the first start"
    assert path.read_bytes() == content


@pytest.mark.parametrize("running", [False, True])
def test_nothing_is_changed_by_looking(tmp_path: Path, running: bool) -> None:
    path = tmp_path / "new" / "club.sqlite"
    assert wrong(str(path)) == []
    assert not path.parent.exists()
    store = Store.open(path)
    store.add_club(DEMO_SQUAD, list(starters().values()))
    if not running:
        store.close()
    before = {item.name: item.read_bytes() for item in path.parent.iterdir() if not item.name.endswith("-shm")}
    names = {item.name for item in path.parent.iterdir()}
    assert wrong(str(path)) == []
    examine(str(path), 8720)
    assert {item.name for item in path.parent.iterdir()} == names
    assert {name: (path.parent / name).read_bytes() for name in before} == before
    store.close()


@pytest.mark.parametrize("address", ["nonsense://", "mysql://x@y/z", "postgresql://coach@127.0.0.1:1/club"])
def test_an_address_that_is_none_is_told(address: str) -> None:
    (found,) = wrong(address)
    assert found.found
    assert found.mend


def test_ports_that_are_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    with closing(socket.create_server(("127.0.0.1", 0))) as taken:
        port = taken.getsockname()[1]
        told = doctor._port(port)
        assert told.ok
        assert f"{port} is in use" in told.found
        monkeypatch.setattr(doctor, "PORTS_TRIED", 1)
        assert not doctor._port(port).ok
    assert doctor._port(port).found == str(port)


def test_a_full_disk_a_shut_folder_and_missing_fonts(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    assert all(check.ok for check in examine(tmp_path / "club.sqlite", 8720))
    monkeypatch.setattr(doctor, "LEAST_FREE_MB", 10**12)
    monkeypatch.setattr(os, "access", lambda *_: False)
    monkeypatch.setattr("importlib.resources.files", lambda _: tmp_path)
    found = [check for check in examine(tmp_path / "club.sqlite", 8720) if not check.ok]
    assert {check.what for check in found} == {"folder", "disk", "fonts"} | (
        {"kernels"} if os.environ.get("COURTWRIGHT_ENGINE") != "python" else set()
    )
    assert all(check.mend for check in found)


def test_the_command_tells_and_its_exit_code_says_whether_all_is_well(tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    Store.open(path).close()
    well = CliRunner().invoke(app, ["doctor", "--store", str(path), "--json"])
    assert well.exit_code == 0, well.output
    assert all(check["ok"] for check in json.loads(well.stdout)["checks"])
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"UPDATE {VERSION_TABLE} SET version_num = '9999'")
        connection.commit()
    ill = CliRunner().invoke(app, ["doctor", "--store", str(path)])
    assert ill.exit_code == 1
    assert "store version: WRONG, 9999 is of a newer Courtwright\n  Update the program.\n" in ill.stdout
