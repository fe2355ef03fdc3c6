"""The store when things break: killed writers, a full disk, no right to write, another program's lock, damage."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import Engine, event

from courtwright.errors import StoreError
from courtwright.game.document import Game
from courtwright.game.read import game_from_json
from courtwright.store import Store

ROUNDS = 8

WRITER = """
import sys
from courtwright.store import Store
store = Store.open(sys.argv[1])
key = sys.argv[2]
kept = store.game(key)
game, revision = kept.game, kept.revision
while True:
    game = game.model_copy(update={"name": f"after {revision}"})
    revision = store.save_game(key, game, revision)
    print(revision, flush=True)  # acknowledged: from here on it may not be lost
"""


def a_game(name: str = "first") -> Game:
    placements = [{"figure": "1", "at": "top"}, {"figure": "X1", "at": "nail"}]
    start = {"placements": placements, "ball": "1"}
    sides = {"offence": 1, "defence": 1}
    return game_from_json({"format": "courtwright.game/1", "name": name, "sides": sides, "start": start})


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "club.sqlite"


@pytest.mark.skipif(sys.platform == "win32", reason="needs a signal that cannot be caught")
def test_killed_writer_loses_nothing_it_acknowledged(store_url: str) -> None:
    chance = random.Random(2)
    with Store.open(store_url) as store:
        key = store.add_game(a_game()).id
    acknowledged = 1
    for _ in range(ROUNDS):
        told = _write_until_killed(store_url, key, chance.uniform(0.01, 0.15))
        acknowledged = max([acknowledged, *told])
        with Store.open(store_url) as store:
            history = store.history(key)
            current = store.game(key)
        assert current.revision in (acknowledged, acknowledged + 1), "the last one may have been kept unheard"
        assert [item.revision for item in history] == list(range(current.revision, 0, -1))
        assert all(item.name == f"after {item.revision - 1}" for item in history[:-1])
        assert current.game.name == history[0].name
        acknowledged = current.revision
    assert acknowledged > ROUNDS, "the writer never got to write"


def _write_until_killed(store_url: str, key: str, after_s: float) -> list[int]:
    command = [sys.executable, "-c", WRITER, store_url, key]
    environment = os.environ | {"COURTWRIGHT_ENGINE": "python"}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment) as writer:
        assert writer.stdout is not None
        first = writer.stdout.readline()
        time.sleep(after_s)
        writer.send_signal(signal.SIGKILL)
        lines = [first, *writer.stdout]
    return [int(line) for line in lines if line.endswith("\n")]


def test_killed_writer_leaves_a_sound_file(path: Path) -> None:
    with Store.open(path) as store:
        key = store.add_game(a_game()).id
    for _ in range(3):
        assert _write_until_killed(f"sqlite:///{path}", key, 0.05)
        with closing(sqlite3.connect(path)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            assert connection.execute("PRAGMA foreign_key_check").fetchall() == []


@pytest.fixture
def full_disk() -> Iterator[None]:
    """SQLite may use no page more than it has, which is what a full disk looks like to it."""

    def no_more_pages(connection: sqlite3.Connection, _record: object) -> None:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count={pages}").close()

    event.listen(Engine, "connect", no_more_pages)
    yield
    event.remove(Engine, "connect", no_more_pages)


def save_for_ever(store: Store, key: str) -> None:
    for revision in range(1, 1000):
        store.save_game(key, a_game(f"after {revision}"), revision)


def test_full_disk_is_told_and_keeps_what_was_kept(path: Path, request: pytest.FixtureRequest) -> None:
    with Store.open(path) as store:
        key = store.add_game(a_game()).id
    request.getfixturevalue("full_disk")

    with Store.open(path) as store:
        with pytest.raises(StoreError, match="Free some space and save again"):
            save_for_ever(store, key)
        kept = store.game(key)
        assert len(store.history(key)) == kept.revision, "the failed save left nothing behind"
        assert kept.game.name == f"after {kept.revision - 1}"


def test_disk_that_fills_up_for_real(path: Path) -> None:
    """The system itself refuses to let the file grow."""
    code = f"""
import resource, signal, sys
sys.path.insert(0, {str(Path(__file__).parent)!r})
from test_store_faults import Store, StoreError, a_game
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
with Store.open(sys.argv[1]) as store:
    key, revision = store.add_game(a_game()).id, 1
    resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))
    try:
        while True:
            revision = store.save_game(key, a_game(f"game {{revision}}"), revision)
    except StoreError as error:
        print(revision, store.game(key).revision, error)
"""
    if sys.platform == "win32":
        pytest.skip("this system has no limit on a file's size")
    told = subprocess.run([sys.executable, "-c", code, path], capture_output=True, text=True, check=True).stdout
    acknowledged, kept, said = told.split(" ", 2)
    assert int(acknowledged) == int(kept) > 1
    assert "disk" in said
    with Store.open(path) as store:
        assert store.games()[0].revision == int(kept)


def test_busy_store_is_told_after_a_wait(path: Path) -> None:
    with Store.open(path, busy_s=0.2) as store, closing(sqlite3.connect(path, isolation_level=None)) as other:
        key = store.add_game(a_game()).id
        other.execute("BEGIN IMMEDIATE")
        before_s = time.monotonic()
        with pytest.raises(StoreError, match="busy: another program is writing to it"):
            store.save_game(key, a_game("two"), 1)
        assert 0.1 < time.monotonic() - before_s < 3
        assert store.game(key).game == a_game(), "reading goes on"
        other.execute("ROLLBACK")
        assert store.save_game(key, a_game("two"), 1) == 2


@pytest.mark.database
def test_busy_server_is_told_after_a_wait(postgres_url: str) -> None:
    import psycopg

    with Store.open(postgres_url, busy_s=0.2) as store:
        key = store.add_game(a_game()).id
        with psycopg.connect(postgres_url) as other:
            other.execute("LOCK TABLE document IN EXCLUSIVE MODE")
            with pytest.raises(StoreError, match="busy: another program is writing to it"):
                store.save_game(key, a_game("two"), 1)
        assert store.save_game(key, a_game("two"), 1) == 2


@pytest.mark.database
def test_server_that_takes_no_writes_is_told(postgres_url: str) -> None:
    Store.open(postgres_url).close()
    with Store.open(f"{postgres_url}&options=-c default_transaction_read_only=on") as store:
        assert store.games() == []
        with pytest.raises(StoreError, match="cannot be written to"):
            store.add_game(a_game())


@pytest.fixture
def somebody_else() -> Iterator[Path]:
    """A folder that all may read, seen with the rights of a user who owns nothing."""
    if sys.platform == "win32":
        pytest.skip("this system keeps its rights another way")
    with tempfile.TemporaryDirectory(prefix="cw-ro-") as folder:
        yield Path(folder)
        if os.geteuid() != os.getuid():
            os.seteuid(os.getuid())
        Path(folder).chmod(0o755)


@pytest.mark.parametrize("rights", [(0o555, 0o444), (0o777, 0o444)], ids=["folder", "file"])
def test_file_one_may_not_write_to_is_told(somebody_else: Path, rights: tuple[int, int]) -> None:
    path = somebody_else / "club.sqlite"
    with Store.open(path) as store:
        store.add_game(a_game())
    path.chmod(rights[1])
    somebody_else.chmod(rights[0])
    if os.getuid() == 0:
        os.seteuid(65534)  # root may write anywhere

    said = r"club\.sqlite cannot be (written to. Allow yourself|opened. Check)"
    with pytest.raises(StoreError, match=said), Store.open(path) as store:
        store.add_game(a_game())


def test_damaged_file_is_told(path: Path) -> None:
    with Store.open(path) as store:
        for number in range(40):
            store.add_game(a_game(f"game {number}"))
    content = bytearray(path.read_bytes())
    assert len(content) > 40_000
    content[4096 + 100 :] = b"\x5a" * (len(content) - 4096 - 100)
    path.write_bytes(content)

    with pytest.raises(StoreError, match="Put a backup in its place"), Store.open(path) as store:
        store.games()
