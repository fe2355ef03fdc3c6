"""Devices that join and leave, on both databases; what they show is never kept."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import create_engine, inspect, select, text

from courtwright.errors import JoinError, NotFoundError
from courtwright.store import Store
from courtwright.store.codes import ALPHABET, LENGTH, new_code, shown, typed
from courtwright.store.opening import address_of, migrate
from courtwright.store.schema import METADATA, MIGRATIONS
from courtwright.vocabulary import Role


@pytest.fixture
def store(store_url: str) -> Iterator[Store]:
    with Store.open(store_url) as store:
        yield store


def joined(store: Store, role: Role = Role.SCORER, name: str = "tablet") -> tuple[str, str]:
    """A device that joined: its id and its secret."""
    code, _ = store.devices.open_code(role)
    device, secret = store.devices.join(code, name)
    return device.id, secret


def test_a_code_lets_a_device_in_as_its_role(store: Store) -> None:
    code, opened = store.devices.open_code(Role.SCORER)
    assert store.devices.open_codes() == [opened]
    device, secret = store.devices.join(code, "tablet at basket 2")

    assert (device.name, device.role, device.welcome) == ("tablet at basket 2", Role.SCORER, True)
    assert store.devices.known(secret) == device
    assert store.devices.all() == [device]
    again, other = store.devices.join(f" {shown(code).lower()} ", "another")
    assert again.role is Role.SCORER, "the code serves every scorer until it is too old"
    assert other != secret


@pytest.mark.parametrize("secret", ["", "nonsense", "\ud800", "é", "x" * 5000])
def test_nobody_else_is_known(store: Store, secret: str) -> None:
    joined(store)
    assert store.devices.known(secret) is None


def test_neither_secret_nor_code_is_kept(store_url: str) -> None:
    with Store.open(store_url) as store:
        code, _ = store.devices.open_code(Role.SCREEN)
        _, secret = store.devices.join(code, "wall")
    engine = create_engine(address_of(store_url))
    with engine.connect() as connection:
        rows = [str(row) for table in METADATA.sorted_tables for row in connection.execute(select(table))]
    engine.dispose()
    assert len(rows) == 2
    assert not any(secret in row or code in row for row in rows)


def test_a_code_works_once_for_a_coach(store: Store) -> None:
    code, _ = store.devices.open_code(Role.COACH)
    store.devices.join(code, "mine")
    with pytest.raises(JoinError, match="not valid"):
        store.devices.join(code, "not mine")
    assert store.devices.open_codes() == []


def test_of_many_who_use_a_coachs_code_at_once_one_gets_in(store: Store) -> None:
    code, _ = store.devices.open_code(Role.COACH)

    def join(number: int) -> bool:
        try:
            store.devices.join(code, f"device {number}")
        except JoinError:
            return False
        return True

    with ThreadPoolExecutor(6) as pool:
        assert sum(pool.map(join, range(12))) == 1
    assert len(store.devices.all()) == 1


def test_an_old_code_a_replaced_one_and_one_taken_back_let_nobody_in(store: Store) -> None:
    old, _ = store.devices.open_code(Role.SCORER, lasts_s=-1)
    assert store.devices.open_codes() == []
    replaced, _ = store.devices.open_code(Role.SCREEN)
    store.devices.open_code(Role.SCREEN)
    taken, _ = store.devices.open_code(Role.ASSISTANT)
    store.devices.close_code(Role.ASSISTANT)
    for code in (old, replaced, taken, "", "????", new_code()):
        with pytest.raises(JoinError):
            store.devices.join(code, "nobody")
    assert store.devices.all() == []


def test_a_revoked_device_is_not_known_any_more_and_keeps_its_name(store: Store) -> None:
    key, secret = joined(store)
    gone = store.devices.revoke(key)

    assert not gone.welcome
    assert gone.revoked_at
    assert store.devices.known(secret) is None
    assert [(device.name, device.welcome) for device in store.devices.all()] == [("tablet", False)]
    assert store.devices.revoke(key).revoked_at == gone.revoked_at, "once is enough"


def test_a_device_gets_another_name_and_role(store: Store) -> None:
    key, secret = joined(store)
    store.devices.change(key, name="phone")
    store.devices.change(key, role=Role.ASSISTANT)
    found = store.devices.known(secret)
    assert found is not None
    assert (found.name, found.role) == ("phone", Role.ASSISTANT)


def test_a_visit_is_noted(store: Store) -> None:
    key, secret = joined(store)
    before = store.devices.known(secret)
    assert before is not None
    store.devices.seen(key)
    after = store.devices.known(secret)
    assert after is not None
    assert str(after.seen_at) >= str(before.seen_at)


def test_device_that_is_not_there(store: Store) -> None:
    with pytest.raises(NotFoundError):
        store.devices.revoke("nothing")
    with pytest.raises(NotFoundError):
        store.devices.change("nothing", name="x")


def test_too_many_devices_are_told(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("courtwright.store.devices.MOST", 2)
    first, _ = joined(store)
    joined(store)
    with pytest.raises(JoinError, match="revoke those that are not used"):
        joined(store)
    store.devices.revoke(first)
    joined(store)


def test_a_store_from_before_devices_is_brought_up_to_date(store_url: str) -> None:
    engine = create_engine(address_of(store_url))
    with engine.begin() as connection:
        migrate(connection, MIGRATIONS[1])
        assert "device" not in inspect(connection).get_table_names()
        row = "INSERT INTO document (id, kind, revision, made_at) VALUES ('aa', 'note', 1, '')"
        connection.execute(text(row))
    engine.dispose()
    with Store.open(store_url) as store:
        assert not store.empty
        assert joined(store)


def test_codes_are_drawn_evenly_from_signs_that_are_not_mistaken() -> None:
    codes = [new_code() for _ in range(3000)]
    assert len({*codes}) == len(codes)
    assert all(len(code) == LENGTH for code in codes)
    counts = [sum(code.count(sign) for code in codes) for sign in ALPHABET]
    mean = LENGTH * len(codes) / len(ALPHABET)
    assert min(counts) > 0.8 * mean, "each sign is as likely as another (8 standard deviations off)"
    assert not {*ALPHABET} & {*"0O1IL2Z5S8B6GUV"}
    assert len(ALPHABET) ** LENGTH > 10**10


@given(code=st.text(ALPHABET, min_size=LENGTH, max_size=LENGTH), gap=st.sampled_from(["", " ", "-", " – ", "—"]))
def test_a_code_is_read_however_it_is_typed(code: str, gap: str) -> None:
    assert typed(shown(code)) == code
    assert typed(f" {gap.join(code).lower()} ") == code
