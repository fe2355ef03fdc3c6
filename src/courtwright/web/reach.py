"""Where the program can be reached: this computer alone, or the network around it too."""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from typing import Final

LOOPBACK: Final = frozenset({"localhost", "127.0.0.1", "::1"})
EVERYWHERE: Final = "0.0.0.0"

# Never reached: a datagram socket that is “connected” sends nothing, but has to choose the address it would send from.
_FAR: Final = ("192.0.2.1", "10.255.255.254", "192.168.255.254", "172.31.255.254")


@dataclass(frozen=True, slots=True)
class Reach:
    """Where one running app listens, and the names it answers to."""

    names: frozenset[str] = LOOPBACK
    lan: bool = False
    host: str = "127.0.0.1"
    port: int = 8720
    scheme: str = "http"

    def answers_to(self, name: str, reached_at: str) -> bool:
        """Whether a request may name us so. The very address it came in at is ours, and cannot be a forged *name*."""
        return name in self.names or (self.lan and name == reached_at and _is_address(name))

    def address(self) -> str | None:
        """Where other devices reach this computer now (the network may have changed since the start)."""
        if not self.lan:
            return None
        host = own_address() if self.host in (EVERYWHERE, "::") else self.host
        if host is None:
            return None
        return f"{self.scheme}://{f'[{host}]' if ':' in host else host}:{self.port}"


HERE_ONLY: Final = Reach()


def own_address() -> str | None:
    """The address of this computer in its network, as far as it can tell; nothing is sent to find out."""
    for far in _FAR:
        with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect((far, 9))
            if _usable(found := str(probe.getsockname()[0])):
                return found
    return next(iter(sorted(filter(_usable, _by_name()))), None)


def own_names() -> frozenset[str]:
    """Names and addresses this computer is known by around it."""
    name = socket.gethostname().casefold()
    short = name.partition(".")[0]
    address = own_address()
    return frozenset({name, short, f"{short}.local", *_by_name(), *([address] if address else [])}) - {""}


def _by_name() -> Iterable[str]:
    with suppress(OSError):
        return [str(entry[4][0]) for entry in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    return []


def _usable(address: str) -> bool:
    found = ipaddress.ip_address(address)
    return not (found.is_loopback or found.is_unspecified)


def _is_address(text: str) -> bool:
    try:
        ipaddress.ip_address(text)
    except ValueError:
        return False
    return True


def is_loopback(address: str) -> bool:
    """Whether an address is this computer's own, also where it is written as the newer kind."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return False
    mapped = found.ipv4_mapped if isinstance(found, ipaddress.IPv6Address) else None
    return (mapped or found).is_loopback
