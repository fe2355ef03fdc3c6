"""The gate every request passes: who is asked, who asks, how much is sent, what the browser may do with the answer.

There is no login on the loopback address, so other web pages open in the same
browser are the danger. A forged Host (a name of theirs that points here) and a
foreign Origin (their form or script posting here) are both turned away.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Final
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from courtwright.errors import Problem
from courtwright.web.problems import failure, refusal

LOOPBACK: Final = frozenset({"localhost", "127.0.0.1", "::1"})
MAX_BODY_BYTES: Final = 1_000_000
SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})

PAGE_POLICY: Final = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "connect-src 'self'",
        "font-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)

HEADERS: Final = {
    "Content-Security-Policy": PAGE_POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cache-Control": "no-store",  # squads are mostly minors: nothing stays in a shared browser's cache
}
"""Set unless the answer brought its own."""


class Gate:
    """ASGI middleware that turns away what should not come in and marks what goes out."""

    def __init__(self, app: ASGIApp, *, hosts: Collection[str] = LOOPBACK, max_bytes: int = MAX_BODY_BYTES) -> None:
        self.app = app
        self.hosts = frozenset(hosts)
        self.max_bytes = max_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on, or refuse it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        send = _marked(send)
        request, headers = Request(scope), Headers(scope=scope)
        if (problem := self._host_problem(headers) or _origin_problem(scope, headers)) is not None:
            await refusal(request, 403, problem)(scope, receive, send)
            return
        body = await self._body(scope, headers, receive)
        if body is None:
            problem = Problem("body", f"is over {self.max_bytes // 1000} kB", "A squad or game is a few kB; send less.")
            await refusal(request, 413, problem, headers={"Connection": "close"})(scope, receive, send)
            return
        try:
            await self.app(scope, _replay(body, receive), send)
        except Exception as error:  # here, not further out, so that a failure too leaves with the headers
            await failure(request, error)(scope, receive, send)

    def _host_problem(self, headers: Headers) -> Problem | None:
        asked = headers.getlist("host")
        if len(asked) == 1 and _host_name(asked[0]) in self.hosts:
            return None
        return Problem("address", "this server does not answer to that name", "Open http://localhost with its port.")

    async def _body(self, scope: Scope, headers: Headers, receive: Receive) -> bytes | None:
        """The whole body, or nothing if it is too long or broken off; the declared length is not taken on trust."""
        if scope["method"] in SAFE:
            return b""
        declared = headers.get("content-length", "0")
        if declared.isdecimal() and int(declared) > self.max_bytes:
            return None
        body = bytearray()
        while True:
            message = await receive()
            body += message.get("body", b"")
            if len(body) > self.max_bytes or message["type"] == "http.disconnect":
                return None  # whoever hung up half-way hears no answer, and half a body is never acted on
            if not message.get("more_body"):
                return bytes(body)


def _host_name(host: str) -> str:
    try:
        return urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return ""


def _origin_problem(scope: Scope, headers: Headers) -> Problem | None:
    """Unsafe methods come from our own pages, or from a program that names no origin."""
    if scope["method"] in SAFE:
        return None
    own = f"{scope['scheme']}://{headers['host']}"
    if headers.get("origin", own) == own and headers.get("sec-fetch-site", "none") in ("none", "same-origin"):
        return None
    return Problem("origin", "another web page tried to change something here", "Use the pages of this program.")


def _replay(body: bytes, receive: Receive) -> Receive:
    waiting: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def read() -> Message:
        return waiting.pop() if waiting else await receive()

    return read


def _marked(send: Send) -> Send:
    async def mark(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return mark
