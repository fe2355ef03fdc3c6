"""Devices that joined, and the codes they join with. What a device shows is kept as a hash only."""

from __future__ import annotations

import hmac
import secrets
from datetime import UTC, datetime, timedelta
from typing import Any, Final

from sqlalchemy import Connection, delete, func, insert, select, update

from courtwright.errors import JoinError, NotFoundError
from courtwright.store.codes import LASTS_S, hashed, new_code, typed
from courtwright.store.documents import new_id, now
from courtwright.store.moments import Transaction
from courtwright.store.records import Device, OpenCode
from courtwright.store.schema import DEVICE, JOIN_CODE
from courtwright.vocabulary import Role

SECRET_BYTES: Final = 32
MOST: Final = 200
"""Devices that may be in at once: more are a mistake, or somebody who plays with a code."""


class Devices:
    """Who may come in from other devices, and as what."""

    def __init__(self, reading: Transaction, writing: Transaction) -> None:
        self._reading = reading
        self._writing = writing

    def all(self) -> list[Device]:
        """Every device that ever joined, those that may come in first, then by name."""
        with self._reading() as connection:
            rows = connection.execute(select(DEVICE)).all()
        return sorted(map(_device, rows), key=lambda item: (not item.welcome, item.name.casefold(), item.id))

    def known(self, secret: str) -> Device | None:
        """The device that shows this secret, if it may come in."""
        wanted = hashed(secret)
        with self._reading() as connection:
            row = connection.execute(select(DEVICE).where(DEVICE.c.secret_hash == wanted)).one_or_none()
        if row is None or row.revoked_at or not hmac.compare_digest(row.secret_hash, wanted):
            return None
        return _device(row)

    def seen(self, key: str) -> None:
        """Note that a device was here just now."""
        with self._writing() as connection:
            connection.execute(update(DEVICE).where(DEVICE.c.id == key).values(seen_at=now()))

    def change(self, key: str, *, name: str | None = None, role: Role | None = None) -> Device:
        """Give a device another name or role."""
        values = {"name": name, "role": None if role is None else role.value}
        values = {column: value for column, value in values.items() if value is not None}
        with self._writing() as connection:
            _find(connection, key)
            if values:
                connection.execute(update(DEVICE).where(DEVICE.c.id == key).values(values))
            return _find(connection, key)

    def revoke(self, key: str) -> Device:
        """Let a device in no more; its name stays with what it did."""
        with self._writing() as connection:
            if _find(connection, key).welcome:
                gone = {"revoked_at": now(), "secret_hash": None}
                connection.execute(update(DEVICE).where(DEVICE.c.id == key).values(gone))
            return _find(connection, key)

    def open_code(self, role: Role, *, lasts_s: float = LASTS_S) -> tuple[str, OpenCode]:
        """Make the one code for a role, in place of an earlier one; it is shown now or never."""
        code, made = new_code(), datetime.now(UTC)
        expires = (made + timedelta(seconds=lasts_s)).isoformat(timespec="milliseconds")
        row = {"role": role.value, "code_hash": hashed(code), "made_at": now(), "expires_at": expires}
        with self._writing() as connection:
            connection.execute(delete(JOIN_CODE).where(JOIN_CODE.c.role == role.value))
            connection.execute(insert(JOIN_CODE).values(row))
        return code, OpenCode(role, expires)

    def close_code(self, role: Role) -> None:
        """Take a role's code back."""
        with self._writing() as connection:
            connection.execute(delete(JOIN_CODE).where(JOIN_CODE.c.role == role.value))

    def open_codes(self) -> list[OpenCode]:
        """The roles that can be joined now, and for how long."""
        with self._reading() as connection:
            rows = connection.execute(select(JOIN_CODE).where(JOIN_CODE.c.expires_at > now())).all()
        return sorted((OpenCode(Role(row.role), row.expires_at) for row in rows), key=lambda item: item.role.value)

    def join(self, code: str, name: str) -> tuple[Device, str]:
        """Let a device in by a code; give what it must show from now on. A coach's code is used up by that."""
        secret = secrets.token_urlsafe(SECRET_BYTES)
        with self._writing() as connection:
            role = _role_of(connection, typed(code))
            welcome = select(func.count()).select_from(DEVICE).where(DEVICE.c.secret_hash.is_not(None))
            if connection.execute(welcome).scalar_one() >= MOST:
                raise JoinError(f"{MOST} devices have joined already; revoke those that are not used any more")
            row = {"id": new_id(), "name": name, "role": role.value, "secret_hash": hashed(secret), "made_at": now()}
            connection.execute(insert(DEVICE).values(row | {"seen_at": row["made_at"]}))
            return _find(connection, str(row["id"])), secret


def _role_of(connection: Connection, code: str) -> Role:
    """What a code lets one in as; every code is compared, so that the time it takes tells nothing."""
    wanted, found = hashed(code), None
    open_now = select(JOIN_CODE).where(JOIN_CODE.c.expires_at > now()).with_for_update()
    for row in connection.execute(open_now).all():
        if hmac.compare_digest(row.code_hash, wanted):
            found = Role(row.role)
    if found is None:
        raise JoinError("this code is not valid, or not any more")
    if found is Role.COACH:
        connection.execute(delete(JOIN_CODE).where(JOIN_CODE.c.role == found.value))
    return found


def _find(connection: Connection, key: str) -> Device:
    row = connection.execute(select(DEVICE).where(DEVICE.c.id == key)).one_or_none()
    if row is None:
        raise NotFoundError(f"there is no device “{key}”")
    return _device(row)


def _device(row: Any) -> Device:
    welcome = row.secret_hash is not None and row.revoked_at is None
    return Device(row.id, row.name, Role(row.role), row.made_at, row.seen_at, row.revoked_at, welcome)
