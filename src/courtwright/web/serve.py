"""Start the server on this computer."""

from __future__ import annotations

import os
import socket
import sys
import threading
import webbrowser
from contextlib import suppress
from pathlib import Path
from typing import Final

import uvicorn

from courtwright.errors import CourtwrightError
from courtwright.store import Store
from courtwright.web.app import create_app
from courtwright.web.security import LOOPBACK

PORT: Final = 8720
PORTS_TRIED: Final[int] = 10


class AddressError(CourtwrightError, OSError):
    """The server cannot listen where it was asked to."""


def serve(
    host: str = "127.0.0.1", port: int = PORT, store_url: str | Path | None = None, open_browser: bool = True
) -> None:
    """Serve until stopped; when the port is taken, the next free one of ten is used."""
    if host not in LOOPBACK:
        raise AddressError(f"Courtwright answers this computer only, not {host}; use 127.0.0.1")
    listener = listen(host, port)
    with Store.open(store_url) as store, listener:
        taken = listener.getsockname()[1]
        address = f"http://{'[::1]' if host == '::1' else host}:{taken}/"
        if port and taken != port:
            _say(f"Port {port} is taken by another program.")
        _say(f"Courtwright is at {address} · squad and games in {store.name} · Ctrl+C stops it")
        config = uvicorn.Config(
            create_app(store),
            log_level="warning",
            server_header=False,
            timeout_graceful_shutdown=1,  # an open stream would otherwise keep it up for ever
        )
        if open_browser:
            threading.Timer(0.5, webbrowser.open, (address,)).start()
        with suppress(KeyboardInterrupt):  # raised again by the server once it has stopped
            uvicorn.Server(config).run(sockets=[listener])


def listen(host: str, port: int) -> socket.socket:
    """A socket on the port, or on one of the next few where it is taken; 0 means any."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    for number in range(port, port + PORTS_TRIED) if port else (0,):
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
    ports = f"port {port}" if PORTS_TRIED == 1 else f"each port from {port} to {port + PORTS_TRIED - 1}"
    raise AddressError(f"{ports} on {host} is taken or not allowed; name another with --port")


def _say(text: str) -> None:
    sys.stderr.write(f"{text}\n")
    sys.stderr.flush()
