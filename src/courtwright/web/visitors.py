"""Who asks: the owner at this computer, a device that joined, or nobody we know."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

from anyio import to_thread
from starlette.datastructures import Headers
from starlette.requests import HTTPConnection
from starlette.types import Scope

from courtwright.errors import StoreError
from courtwright.store import Device, Devices
from courtwright.vocabulary import Role
from courtwright.web.reach import LOOPBACK, is_loopback

COOKIE: Final = "courtwright_device"
COOKIE_LASTS_S: Final = 180 * 24 * 3600
"""Half a year: a season's tablets need not join again."""

SEEN_EVERY: Final = timedelta(minutes=1)
"""A visit is noted so often at most; every request would be a write."""

FORWARDED: Final = ("forwarded", "x-forwarded-for", "x-forwarded-host", "via")


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who asks, and as what."""

    role: Role | None = None
    device: str | None = None
    name: str = ""
    stale: bool = False
    """whether something was shown that we do not know, or no longer"""

    @property
    def coach(self) -> bool:
        """Whether everything may be read and done."""
        return self.role is Role.COACH


NOBODY: Final = Visitor()
OWNER: Final = Visitor(Role.COACH, None, "this computer")


def at_this_computer(scope: Scope, headers: Headers, host: str) -> bool:
    """Whether a request comes from this computer to this computer, and was passed on by nobody."""
    client = scope.get("client")
    near = client is not None and is_loopback(client[0]) and host in LOOPBACK
    return near and not any(name in headers for name in FORWARDED)


async def who(scope: Scope, headers: Headers, host: str, devices: Devices) -> Visitor:
    """Find out who asks. Whoever shows a device's secret is that device, also at this computer."""
    secret = HTTPConnection(scope).cookies.get(COOKIE)
    if secret is None:
        return OWNER if at_this_computer(scope, headers, host) else NOBODY
    device = await to_thread.run_sync(_known, devices, secret)
    return Visitor(stale=True) if device is None else Visitor(device.role, device.id, device.name)


async def still(visitor: Visitor, scope: Scope, devices: Devices) -> bool:
    """Whether a device is let in as before; an answer that goes on for hours asks again."""
    if visitor.device is None:
        return True
    secret = HTTPConnection(scope).cookies.get(COOKIE, "")
    device = await to_thread.run_sync(devices.known, secret)
    return device is not None and device.role is visitor.role


def _known(devices: Devices, secret: str) -> Device | None:
    device = devices.known(secret)
    if device is not None and _long_ago(device.seen_at):
        with suppress(StoreError):  # a store that is busy or full must not shut the scorer out
            devices.seen(device.id)
    return device


def _long_ago(seen_at: str | None) -> bool:
    return seen_at is None or datetime.now(UTC) - datetime.fromisoformat(seen_at) > SEEN_EVERY
