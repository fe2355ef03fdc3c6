"""Backup and restore: whole, from one database to the other, looked through before anything is replaced."""

from __future__ import annotations

import hashlib
import json
import os
import signal
import sqlite3
import subprocess
import sys
import threading
import zipfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Column, MetaData, Table, Text, create_engine, inspect, select, text
from tests.logs import Device, opening_of

from courtwright.errors import DocumentError, NewerFormatError, StoreError
from courtwright.game.moment import moment_of
from courtwright.game.starters import starters
from courtwright.live.opening import Opening
from courtwright.squad.demo import DEMO_SQUAD
from courtwright.store import Store, backup
from courtwright.store.backup import backup_to, kept_tables
from courtwright.store.manifest import MANIFEST, is_backup, verified
from courtwright.store.opening import address_of, migrate
from courtwright.store.restore import restore_from
from courtwright.store.schema import METADATA, MIGRATIONS
from courtwright.vocabulary import Role


def filled(url: str | Path, games: int = 1) -> None:
    """A club with squad, games, moments, a trial, devices and a run."""
    with Store.open(url) as store:
        store.add_club(DEMO_SQUAD, list(starters().values()) * games)
        key = store.games()[0].id
        game = store.game(key).game
        store.save_game(key, game.model_copy(update={"name": "سلة 🏀 'x' \\ \"y\""}), 1)
        store.moments.add(key, moment_of(game))
        summary = {"game_hash": "a", "squad_hash": "b", "model": {"version": 1}, "seed": 2**53 - 1}
        store.keep_trial(key, summary)
        store.remove_game(store.games()[-1].id)
        for role in (Role.SCORER, Role.SCREEN):
            code, _ = store.devices.open_code(role)
            store.devices.join(code, f"the {role}")
        coach = Device()
        coach.tell("make", 1, zone="rim", who="2")
        store.runs.add(Opening.model_validate(opening_of()), coach.told)


def content(url: str | Path) -> dict[str, list[tuple[Any, ...]]]:
    """Everything in a store, but what a backup leaves out."""
    engine = create_engine(address_of(url))
    with engine.connect() as connection:
        found = {
            table.name: sorted(
                tuple(row)
                for row in connection.execute(select(*[column for column in table.c if not column.info.get("secret")]))
            )
            for table in kept_tables()
        }
    engine.dispose()
    return found


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    """A backup of a club on SQLite."""
    filled(tmp_path / "first.sqlite")
    path = tmp_path / "club.courtwright-backup"
    with Store.open(tmp_path / "first.sqlite") as store:
        backup_to(store, path)
    return path


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.database)])
def other_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """A second empty store, on each database in turn."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'other.sqlite'}"
    import psycopg

    server = str(request.getfixturevalue("postgres_server"))
    name = f"other_{os.urandom(4).hex()}"
    with psycopg.connect(host=server, user="coach", dbname="postgres", autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}".encode())
    return f"postgresql://coach@/{name}?host={server}"


def test_a_backup_goes_from_any_database_to_any_other(store_url: str, other_url: str, tmp_path: Path) -> None:
    filled(store_url)
    path = tmp_path / "club.courtwright-backup"
    with Store.open(store_url) as store:
        manifest = backup_to(store, path)
    assert verified(path) == manifest
    done = restore_from(path, other_url)

    assert content(other_url) == content(store_url)
    assert done.set_aside is None, "nothing was there"
    with Store.open(other_url) as store:
        assert len(store.games()) == 2
        assert store.squad() == (DEMO_SQUAD, 1)
        store.add_game(starters()["two-to-read"])


def test_what_was_there_is_set_aside_and_can_be_brought_back(store_url: str, sound: Path, tmp_path: Path) -> None:
    with Store.open(store_url) as store:
        store.add_game(starters()["two-to-read"])
    before = content(store_url)

    done = restore_from(sound, store_url)

    assert content(store_url) == content(tmp_path / "first.sqlite")
    assert done.set_aside is not None
    assert done.set_aside.parent == tmp_path
    again = restore_from(done.set_aside, store_url)
    assert content(store_url) == before
    assert again.set_aside != done.set_aside


def test_secrets_and_codes_stay_out_and_devices_must_join_again(tmp_path: Path, sound: Path) -> None:
    with Store.open(tmp_path / "first.sqlite") as store:
        code, _ = store.devices.open_code(Role.ASSISTANT)
        _, secret = store.devices.join(code, "phone")
        backup_to(store, sound)
    engine = create_engine(address_of(tmp_path / "first.sqlite"))
    with engine.connect() as connection:
        table = METADATA.tables["device"]
        hashes = [row[0] for row in connection.execute(select(table.c.secret_hash))]
        hashes += [row[0] for row in connection.execute(select(METADATA.tables["join_code"].c.code_hash))]
    engine.dispose()
    assert len(hashes) == 6
    with zipfile.ZipFile(sound) as archive:
        assert "join_code.jsonl" not in archive.namelist()
        parts = b"".join(archive.read(name) for name in archive.namelist())
    assert not [name for name in hashes if name.encode() in parts]

    restore_from(sound, tmp_path / "other.sqlite")
    with Store.open(tmp_path / "other.sqlite") as store:
        assert [device.welcome for device in store.devices.all()] == [False] * 3
        assert store.devices.known(secret) is None
        assert store.devices.open_codes() == []


def test_tables_added_later_are_in_the_backup_by_themselves(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A table that the code gains is backed up and restored without a word about it here."""
    from courtwright.store import opening, restore

    later = MetaData()
    for table in METADATA.sorted_tables:
        table.to_metadata(later)
    thing = Table("later", later, Column("id", Text, primary_key=True), Column("game_id", Text), sqlite_strict=True)
    upgraded = migrate

    def with_facts(connection: Any, to: str = "head") -> None:
        upgraded(connection, to)
        thing.create(connection, checkfirst=True)

    for module in (backup, restore):
        monkeypatch.setattr(module, "METADATA", later)
    for module in (opening, restore):
        monkeypatch.setattr(module, "migrate", with_facts)
    filled(tmp_path / "first.sqlite")
    with Store.open(tmp_path / "first.sqlite") as store, store._writing() as connection:
        connection.execute(thing.insert(), [{"id": f"{number:04}", "game_id": "é"} for number in range(1200)])
    with Store.open(tmp_path / "first.sqlite") as store:
        manifest = backup_to(store, tmp_path / "b")
    assert manifest.parts["later"].rows == 1200

    restore_from(tmp_path / "b", tmp_path / "other.sqlite")
    with closing(sqlite3.connect(tmp_path / "other.sqlite")) as raw:
        assert raw.execute("SELECT count(*), min(game_id), max(id) FROM later").fetchone() == (1200, "é", "1199")


def test_every_table_is_backed_up_or_says_that_it_is_not() -> None:
    left_out = {table.name for table in METADATA.sorted_tables} - {table.name for table in kept_tables()}
    assert left_out == {"join_code"}


def test_a_backup_is_of_one_moment_while_others_write(store_url: str, tmp_path: Path) -> None:
    """Every document has as many revisions as it says, though somebody saves all the time."""
    filled(store_url)
    stop = threading.Event()
    with Store.open(store_url) as store, Store.open(store_url) as other:
        key = store.games()[0].id

        def write() -> None:
            kept = other.game(key)
            game, revision = kept.game, kept.revision
            while not stop.is_set():
                game = game.model_copy(update={"name": f"after {revision}"})
                revision = other.save_game(key, game, revision)

        writer = threading.Thread(target=write)
        writer.start()
        try:
            seen = {_current_of(key, store, tmp_path / "backup") for _ in range(12)}
            while len(seen) < 3:
                seen.add(_current_of(key, store, tmp_path / "backup"))
        finally:
            stop.set()
            writer.join()


def _current_of(key: str, store: Store, path: Path) -> int:
    """The revision of a document in a backup made now, which must hold together."""
    backup_to(store, path)
    with zipfile.ZipFile(path) as archive:
        documents = [json.loads(line) for line in archive.read("document.jsonl").splitlines()]
        revisions = [json.loads(line) for line in archive.read("revision.jsonl").splitlines()]
    current: dict[str, int] = {row[0]: row[2] for row in documents}
    assert current == {name: max(row[1] for row in revisions if row[0] == name) for name in current}
    assert len(revisions) == sum(current.values())
    return current[key]


@pytest.fixture
def target(tmp_path: Path) -> Iterator[tuple[Path, dict[str, Any]]]:
    """A store in use, and what is in it; it must be the same afterwards."""
    path = tmp_path / "target.sqlite"
    with Store.open(path) as store:
        store.add_game(starters()["two-to-read"])
    before = content(path)
    yield path, before
    assert content(path) == before
    assert not list(tmp_path.glob("target-before-*")), "nothing was set aside: nothing was replaced"


Target = tuple[Path, dict[str, Any]]


def rewritten(path: Path, **changes: bytes | None) -> None:
    """The same zip with parts replaced or left out; its own check sums fit."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    for name, new in changes.items():
        parts.pop(f"{name}.jsonl" if name != "manifest" else MANIFEST)
        if new is not None:
            parts[f"{name}.jsonl" if name != "manifest" else MANIFEST] = new
    with zipfile.ZipFile(path, "w") as archive:
        for name, part in parts.items():
            archive.writestr(name, part)


def manifest_of(path: Path) -> dict[str, Any]:
    with zipfile.ZipFile(path) as archive:
        manifest: dict[str, Any] = json.loads(archive.read(MANIFEST))
    return manifest


def with_manifest(path: Path, **changes: Any) -> None:
    rewritten(path, manifest=json.dumps(manifest_of(path) | changes).encode())


def test_any_flipped_byte_is_found(sound: Path, target: Target) -> None:
    """Anywhere but in what a zip carries twice or not at all for its content (times, attributes)."""
    whole = sound.read_bytes()
    same, found = verified(sound), []
    for at in range(0, len(whole), 13):
        sound.write_bytes(whole[:at] + bytes([whole[at] ^ 0x20]) + whole[at + 1 :])
        try:
            assert verified(sound) == same, f"byte {at} changed what is read, and was not found"
        except DocumentError as error:
            found += error.problems
    assert len(found) > 0.8 * len(whole) / 13
    assert all(problem.mend for problem in found)


def test_a_cut_off_file_is_refused(sound: Path, target: Target) -> None:
    whole = sound.read_bytes()
    for length in (0, 1, 100, len(whole) // 2, len(whole) - 1):
        sound.write_bytes(whole[:length])
        with pytest.raises(DocumentError, match="no backup, or is damaged"):
            restore_from(sound, target[0])


def test_wrong_counts_sums_and_parts_are_all_told_at_once(sound: Path, target: Target) -> None:
    manifest = manifest_of(sound)
    manifest["parts"]["document"]["rows"] += 1
    manifest["parts"]["trial"]["sha256"] = "0" * 64
    manifest["parts"]["moment"]["columns"].append("more")
    manifest["parts"]["nothing"] = {"columns": [], "rows": 0, "sha256": ""}
    with zipfile.ZipFile(sound, "a") as archive:
        archive.writestr("stranger.txt", "x")
    with_manifest(sound, **manifest)
    with pytest.raises(DocumentError) as error:
        restore_from(sound, target[0])
    told = "\n".join(map(str, error.value.problems))
    for said in (
        "document.jsonl: has 5 rows, but 6",
        "trial.jsonl: is not what was written",
        "moment.jsonl: has 1 rows that",
        "nothing.jsonl: is missing",
        "stranger.txt: is in the file, but not",
    ):
        assert said in told


@pytest.mark.parametrize("format_", ["courtwright.backup/2", "courtwright.backup/10"])
def test_a_newer_format_is_refused_politely(sound: Path, target: Target, format_: str) -> None:
    with_manifest(sound, format=format_, parts="unreadable to us")
    with pytest.raises(NewerFormatError, match="Update Courtwright"):
        restore_from(sound, target[0])


def test_a_newer_store_is_refused_politely(sound: Path, target: Target) -> None:
    with_manifest(sound, schema="9999")
    with pytest.raises(NewerFormatError, match="version 9999, newer than"):
        restore_from(sound, target[0])


NO_MANIFESTS = [
    b"",
    b"[]",
    b"{}",
    b"{",
    b'{"format": 1}',
    b'{"format": "courtwright.game/1"}',
    b'{"format": "courtwright.backup/1", "parts": []}',
    b"\xff",
    b"[" * 9999,
]


@pytest.mark.parametrize("manifest", NO_MANIFESTS, ids=range(len(NO_MANIFESTS)))
def test_a_manifest_that_is_none_is_refused(sound: Path, target: Target, manifest: bytes) -> None:
    rewritten(sound, manifest=manifest)
    with pytest.raises(DocumentError):
        restore_from(sound, target[0])


def changed_part(path: Path, table: str, change: Any) -> None:
    """Change a part and let the manifest agree: only the store itself can find it."""
    manifest = manifest_of(path)
    with zipfile.ZipFile(path) as archive:
        rows = [json.loads(line) for line in archive.read(f"{table}.jsonl").splitlines()]
    rows = change(rows)
    lines = b"".join(json.dumps(row).encode() + b"\n" for row in rows)
    manifest["parts"][table] |= {"rows": len(rows), "sha256": hashlib.sha256(lines).hexdigest()}
    rewritten(path, **{table: lines})
    with_manifest(path, **manifest)


@pytest.mark.parametrize(
    ("table", "change"),
    [
        ("document", lambda rows: rows[1:]),  # revisions without their document
        ("document", lambda rows: [*rows, rows[0]]),
        ("revision", lambda rows: [[row[0], "one", *row[2:]] for row in rows]),
        ("trial", lambda rows: [[None, *row[1:]] for row in rows]),
    ],
)
def test_what_the_store_itself_refuses_changes_nothing(store_url: str, sound: Path, table: str, change: Any) -> None:
    with Store.open(store_url) as store:
        store.add_game(starters()["two-to-read"])
    before = content(store_url)
    changed_part(sound, table, change)
    with pytest.raises((StoreError, DocumentError)):
        restore_from(sound, store_url)
    assert content(store_url) == before


def test_other_tables_or_columns_than_the_stores_are_refused(sound: Path, store_url: str) -> None:
    with Store.open(store_url) as store:
        store.add_game(starters()["two-to-read"])
    before = content(store_url)
    manifest = manifest_of(sound)
    del manifest["parts"]["trial"]
    manifest["parts"]["device"]["columns"][0] = "key"
    rewritten(sound, trial=None)
    with_manifest(sound, **manifest)
    with pytest.raises(DocumentError) as error:
        restore_from(sound, store_url)
    assert [str(problem).partition(".")[0] for problem in error.value.problems] == [
        "trial: is missing from the backup",
        "device: has other columns than the store",
    ]
    assert content(store_url) == before


def test_an_older_backup_is_brought_up_to_date(store_url: str, sound: Path, tmp_path: Path) -> None:
    """As a version without moments and devices would have written it."""
    manifest = manifest_of(sound)
    changed_part(sound, "document", lambda rows: [row for row in rows if row[1] != "moment"])
    kept = {row[0] for row in content(tmp_path / "first.sqlite")["document"] if row[1] != "moment"}
    changed_part(sound, "revision", lambda rows: [row for row in rows if row[0] in kept])
    manifest = manifest_of(sound)
    newer = ("moment", "device", "run", "fact")
    for name in newer:
        del manifest["parts"][name]
    rewritten(sound, **dict.fromkeys(newer))
    with_manifest(sound, **manifest | {"schema": MIGRATIONS[0]})

    restore_from(sound, store_url)

    with Store.open(store_url) as store:
        assert len(store.games()) == 2
        assert store.moments.of(store.games()[0].id) == []
        assert store.devices.all() == []


def test_a_store_that_is_open_elsewhere_is_left_alone(store_url: str, sound: Path) -> None:
    with Store.open(store_url) as running:
        running.add_game(starters()["two-to-read"])
        before = content(store_url)
        with pytest.raises(StoreError, match="is open in another program"):
            restore_from(sound, store_url, busy_s=0.2)
        assert content(store_url) == before
        running.add_game(starters()["two-to-read"])
    restore_from(sound, store_url)


def test_a_damaged_store_is_moved_aside_as_it_is(sound: Path, tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    filled(path, games=8)
    broken = bytearray(path.read_bytes())
    broken[4096 * 2 : 4096 * 5] = os.urandom(4096 * 3)
    path.write_bytes(broken)

    done = restore_from(sound, path)

    assert done.set_aside is not None
    assert done.set_aside.read_bytes() == bytes(broken)
    assert content(path) == content(tmp_path / "first.sqlite")


def test_another_programs_file_is_left_alone(sound: Path, tmp_path: Path) -> None:
    path = tmp_path / "recipes.sqlite"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE recipe (name TEXT)")
        connection.commit()
    text_file = tmp_path / "notes.txt"
    text_file.write_text("Ada, Bex\n" * 500, "utf-8")
    for place in (path, text_file):
        before = place.read_bytes()
        with pytest.raises(StoreError, match="not a Courtwright store"):
            restore_from(sound, place)
        assert place.read_bytes() == before


KILLED = """
import os, signal, sys
from pathlib import Path
from courtwright.store import restore
fill, left = restore._fill, int(sys.argv[3])
def killed(*words):
    global left
    fill(*words)
    left -= 1
    if left == 0:
        os.kill(os.getpid(), signal.SIGKILL)
restore._fill = killed
restore.restore_from(Path(sys.argv[1]), sys.argv[2])
"""


@pytest.mark.skipif(sys.platform == "win32", reason="needs a signal that cannot be caught")
@pytest.mark.parametrize("after", [1, 3, 5])
def test_a_restore_that_is_killed_leaves_the_old_store_whole(store_url: str, sound: Path, after: int) -> None:
    filled(store_url, games=40)
    before = content(store_url)
    done = subprocess.run([sys.executable, "-c", KILLED, str(sound), store_url, str(after)], check=False)
    assert done.returncode == -signal.SIGKILL
    with Store.open(store_url) as store:
        assert len(store.games()) == 119
    assert content(store_url) == before
    if store_url.startswith("sqlite"):
        with closing(sqlite3.connect(store_url.removeprefix("sqlite:///"))) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def test_a_backup_is_whole_or_not_there_and_writes_over_nothing_else(tmp_path: Path, sound: Path) -> None:
    path = tmp_path / "first.sqlite"
    with Store.open(path) as store:
        with pytest.raises(DocumentError, match="is no backup"):
            backup_to(store, path)
        with pytest.raises(DocumentError, match="cannot be written"):
            backup_to(store, tmp_path / "no" / "such" / "folder")
        backup_to(store, sound)
        assert store.games()
    assert is_backup(sound)
    assert not list(tmp_path.glob(".*.part"))
    if os.name == "posix":
        assert sound.stat().st_mode & 0o077 == 0, "for nobody else on this machine"


@pytest.mark.database
def test_other_tables_of_the_same_server_database_are_not_touched(postgres_url: str, sound: Path) -> None:
    with Store.open(postgres_url) as store:
        store.add_game(starters()["two-to-read"])
    engine = create_engine(address_of(postgres_url))
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE recipe (name TEXT)"))
    engine.dispose()
    with pytest.raises(DocumentError, match="recipe"):
        restore_from(sound, postgres_url)
    with engine.connect() as connection:
        assert "recipe" in inspect(connection).get_table_names()
    engine.dispose()
