"""Backup, restore and devices on the command line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from courtwright.cli import app
from courtwright.game.starters import starters
from courtwright.store import Store
from courtwright.vocabulary import Role


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def out(*words: str | Path) -> Any:
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "club.sqlite"
    with Store.open(path) as store:
        store.add_game(starters()["two-to-read"])
        for name in ("tablet", "tablet", "wall"):
            code, _ = store.devices.open_code(Role.SCORER)
            store.devices.join(code, name)
    return path


def test_there_and_back(path: Path, tmp_path: Path) -> None:
    file = tmp_path / "friday.courtwright-backup"
    told = out("backup", file, "--store", path)
    assert told["format"] == "courtwright.backup/1"
    assert told["size_bytes"] == file.stat().st_size
    with Store.open(path) as store:
        store.add_game(starters()["low-mans-call"])

    said = run("restore", file, "--store", path)

    assert said.exit_code == 0, said.output
    with Store.open(path) as store:
        assert [game.name for game in store.games()] == ["Two to Read"]
        assert not any(device.welcome for device in store.devices.all())
    (aside,) = tmp_path.glob("club-before-*.courtwright-backup")
    assert str(aside) in said.stdout.replace("\n", "")
    assert out("restore", aside, "--store", path)["set_aside"] != str(aside)
    with Store.open(path) as store:
        assert len(store.games()) == 2


def test_what_is_no_backup_is_told_with_exit_code_2(path: Path, tmp_path: Path) -> None:
    for file in (path, tmp_path / "missing"):
        result = run("restore", file, "--store", path)
        assert result.exit_code == 2
        assert "Use another backup" in result.output or "Check the name" in result.output
    assert run("backup", path, "--store", path).exit_code == 2


def test_devices_are_listed_and_revoked_by_id_or_by_a_name_that_is_clear(path: Path) -> None:
    listed = out("devices", "list", "--store", path)["devices"]
    assert [device["name"] for device in listed] == ["tablet", "tablet", "wall"]
    assert not any("secret" in key for device in listed for key in device)
    assert out("devices", "revoke", "wall", "--store", path)["welcome"] is False
    unclear = run("devices", "revoke", "tablet", "--store", path)
    assert unclear.exit_code == 2
    assert "is the name of 2 devices" in unclear.output
    assert run("devices", "revoke", listed[0]["id"], "--store", path).exit_code == 0
    assert run("devices", "revoke", "wall", "--store", path).exit_code == 2, "it is gone already"
    text = run("devices", "list", "--store", path).stdout
    assert text.count("revoked") == 2


def test_no_device_yet(tmp_path: Path) -> None:
    assert run("devices", "list", "--store", tmp_path / "new.sqlite").stdout == "No device has joined.\n"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--host", "0.0.0.0"], "or add --lan"),
        (["--certificate", "c.pem"], "needs both --certificate and --key"),
        (["--certificate", "no.pem", "--key", "no.pem"], "cannot be used for https (No such file"),
    ],
)
def test_what_cannot_be_served_is_told(words: list[str], said: str, tmp_path: Path) -> None:
    result = run("serve", *words, "--store", tmp_path / "club.sqlite", "--no-open")
    assert result.exit_code == 2
    assert said in result.output
    assert not (tmp_path / "club.sqlite").exists()
