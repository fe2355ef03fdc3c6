"""Start the server, on this computer alone or for the devices of the gym."""

from __future__ import annotations

import os
import socket
import ssl
import sys
import threading
import webbrowser
from contextlib import ExitStack, suppress
from pathlib import Path
from typing import Final

import uvicorn

from courtwright.errors import CourtwrightError
from courtwright.store import Store
from courtwright.web.app import create_app
from courtwright.web.reach import EVERYWHERE, LOOPBACK, Reach, own_names

FIRST_PAGE_S: Final = 1.0
"""The first page goes before the compiler: nothing is made ready for so long."""
LOCAL: Final = "127.0.0.1"
PORT: Final = 8720
PORTS_TRIED: Final[int] = 10


class AddressError(CourtwrightError, OSError):
    """The server cannot listen where it was asked to."""


def serve(
    host: str = LOCAL,
    port: int = PORT,
    store_url: str | Path | None = None,
    open_browser: bool = True,
    *,
    lan: bool = False,
    certificate: Path | None = None,
    key: Path | None = None,
) -> None:
    """Serve until stopped; when the port is taken, the next free one of ten is used.

    ``lan`` lets devices of the network in that have joined; with a certificate and its key they come by https.
    """
    if host not in LOOPBACK and not lan:
        raise AddressError(f"Courtwright answers this computer only, not {host}; use 127.0.0.1, or add --lan")
    check_certificate(certificate, key)
    with ExitStack() as stack:
        listeners = [stack.enter_context(item) for item in _listeners(host, port, lan=lan)]
        store = stack.enter_context(Store.open(store_url))
        bound, taken = listeners[0].getsockname()[:2]
        reach = Reach(
            names=LOOPBACK | own_names() if lan else LOOPBACK,
            lan=lan,
            host=bound,
            port=taken,
            scheme="https" if certificate else "http",
        )
        if port and taken != port:
            _say(f"Port {port} is taken by another program.")
        local = f"{reach.scheme}://{'[::1]' if bound == '::1' else LOCAL}:{taken}/"
        _say(f"Courtwright is at {local} · squad and games in {store.name} · Ctrl+C stops it")
        if lan:
            _say(lan_text(reach))
        config = uvicorn.Config(
            create_app(store, reach=reach, warm_after_s=FIRST_PAGE_S),
            log_level="warning",
            server_header=False,
            proxy_headers=False,  # nobody may say on another's behalf where a request comes from
            timeout_graceful_shutdown=1,  # an open stream would otherwise keep it up for ever
            ssl_certfile=certificate,
            ssl_keyfile=key,
        )
        if open_browser:
            threading.Timer(0.5, webbrowser.open, (local,)).start()
        with suppress(KeyboardInterrupt):  # raised again by the server once it has stopped
            uvicorn.Server(config).run(sockets=listeners)


def _listeners(host: str, port: int, *, lan: bool) -> list[socket.socket]:
    """Where to listen: always at this computer too, or its owner could let nobody in."""
    if not lan:
        return [listen(host, port)]
    first = listen(EVERYWHERE if host in LOOPBACK else host, port)
    taken = int(first.getsockname()[1])
    if host in (*LOOPBACK, EVERYWHERE, "::"):
        return [first]
    try:
        local = listen(LOCAL, taken, tries=1)
    except AddressError:
        first.close()
        raise
    return [first, local]


def check_certificate(certificate: Path | None, key: Path | None) -> None:
    """Raise `AddressError` where the two do not make https."""
    if certificate is None and key is None:
        return
    if certificate is None or key is None:
        raise AddressError("https needs both --certificate and --key")
    try:
        ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(certificate, key, password=_no_password)
    except (OSError, ValueError) as error:  # ssl.SSLError is an OSError
        why = error.strerror or str(error) if isinstance(error, OSError) else str(error)
        raise AddressError(
            f"{certificate} and {key} cannot be used for https ({why}); "
            "give the certificate and its own key as PEM files, the key without a password"
        ) from None


def _no_password() -> str:
    raise ValueError("the key has a password")  # the server would stop and ask for it where nobody looks


def lan_text(reach: Reach) -> str:
    """What is open now, and what that means."""
    address = reach.address()
    if address is None:
        where = f"Its address could not be found; look it up in the network settings. The port is {reach.port}."
    else:
        where = f"Other devices: {address}/join with a code from the page Devices."
    if reach.scheme == "https":
        return f"{where}\nOnly for a network you trust. More: docs/devices.md."
    return (
        f"{where}\nOnly for a network you trust: over plain http, others in it can read along "
        "and pass for a device that joined. More, and https: docs/devices.md."
    )


def listen(host: str, port: int, *, tries: int | None = None) -> socket.socket:
    """A socket on the port, or on one of the next few where it is taken; 0 means any."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    tries = tries or PORTS_TRIED
    for number in range(port, port + tries) if port else (0,):
        # the protocol must be named: asyncio sends short answers at once only where it sees that this is TCP
        listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        if os.name == "posix":  # elsewhere the option would let two programs share the port
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((host, number))
            listener.listen()  # from here on nobody else gets the port, and a browser that is early waits
        except (OSError, OverflowError):
            listener.close()
        else:
            return listener
    ports = f"port {port}" if tries == 1 else f"each port from {port} to {port + tries - 1}"
    raise AddressError(f"{ports} on {host} is taken or not allowed; name another with --port")


def _say(text: str) -> None:
    sys.stderr.write(f"{text}\n")
    sys.stderr.flush()
