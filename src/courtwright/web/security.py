"""The gate every request passes: who is asked, who asks, how much is sent, what the browser may do with the answer.

There is no login on the loopback address, so other web pages open in the same
browser are the danger. A forged Host (a name of theirs that points here) and a
foreign Origin (their form or script posting here) are both turned away. On the
network a device must have joined, and may do what its role may. Browsers leave
their ``Sec-Fetch`` headers out on plain http there: Host and Origin must do.

Answers pass through as they come, chunk by chunk: a stream is never held back.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from http import HTTPStatus
from time import monotonic
from typing import Final
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from courtwright.errors import CourtwrightError, Problem
from courtwright.store import Devices
from courtwright.web.problems import failure, problems_in, refusal, wants_page
from courtwright.web.reach import HERE_ONLY, Reach
from courtwright.web.roles import Doors
from courtwright.web.visitors import Visitor, still, who

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


LOOK_AGAIN_S: Final = 1.0
"""How long a long answer may go on without asking whether its device is still let in."""


class Gate:
    """ASGI middleware that turns away what should not come in and marks what goes out."""

    def __init__(
        self,
        app: ASGIApp,
        *,
        devices: Devices,
        doors: Doors,
        reach: Reach = HERE_ONLY,
        max_bytes: int = MAX_BODY_BYTES,
    ) -> None:
        self.app = app
        self.devices = devices
        self.doors = doors
        self.reach = reach
        self.max_bytes = max_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on, or refuse it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":  # nothing here speaks anything else, and nothing else was checked
            await send({"type": "websocket.close", "code": 1008})
            return
        send = _marked(send)
        request, headers = Request(scope), Headers(scope=scope)
        visitor = await self._admitted(scope, request, headers)
        if not isinstance(visitor, Visitor):
            await visitor(scope, receive, send)
            return
        body = await self._body(scope, headers, receive)
        if body is None:
            problem = Problem("body", f"is over {self.max_bytes // 1000} kB", "A squad or game is a few kB; send less.")
            await refusal(request, 413, problem, headers={"Connection": "close"})(scope, receive, send)
            return
        watched = _Watched(send, receive, lambda: still(visitor, scope, self.devices))
        try:
            await self.app(scope, _replay(body, watched.receive), watched.send)
        except Exception as error:  # here, not further out, so that a failure too leaves with the headers
            if watched.over:
                return
            await failure(request, error)(scope, receive, send)

    async def _admitted(self, scope: Scope, request: Request, headers: Headers) -> Visitor | ASGIApp:
        """Who asks, if he may ask this; else the answer that refuses."""
        if (problem := self._host_problem(scope, headers) or _origin_problem(scope, headers)) is not None:
            return refusal(request, HTTPStatus.FORBIDDEN, problem)
        try:
            visitor = await who(scope, headers, _host_name(headers["host"]), self.devices)
        except CourtwrightError as error:
            status, problems = problems_in(error)
            return refusal(request, status, *problems)
        scope["state"] = {**scope.get("state", {}), "visitor": visitor}
        return visitor if self.doors.opens(scope, visitor.role) else _shut(request, visitor)

    def _host_problem(self, scope: Scope, headers: Headers) -> Problem | None:
        asked = headers.getlist("host")
        reached_at = str((scope.get("server") or ("",))[0])
        if len(asked) == 1 and self.reach.answers_to(_host_name(asked[0]), reached_at):
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


class _Watched:
    """Passes an answer on. One that goes on for long ends once its device is no longer let in."""

    def __init__(self, send: Send, receive: Receive, still_in: Callable[[], Awaitable[bool]]) -> None:
        self._send, self._receive, self._still_in = send, receive, still_in
        self._looked_s = monotonic()
        self._gone = asyncio.Event()

    @property
    def over(self) -> bool:
        """Whether it was ended."""
        return self._gone.is_set()

    async def send(self, message: Message) -> None:
        """Pass a part on, or end the answer; to the app it looks as if the browser had hung up."""
        if self.over:
            raise OSError("the device was turned away")
        if message.get("more_body") and monotonic() - self._looked_s > LOOK_AGAIN_S:
            self._looked_s = monotonic()
            if not await self._still_in():
                self._gone.set()
                message = {"type": "http.response.body", "body": b"", "more_body": False}
        await self._send(message)

    async def receive(self) -> Message:
        """What the browser says next, or that it is over."""
        said, gone = asyncio.ensure_future(self._receive()), asyncio.ensure_future(self._gone.wait())
        try:
            await asyncio.wait((said, gone), return_when=asyncio.FIRST_COMPLETED)
            return said.result() if said.done() else {"type": "http.disconnect"}
        finally:
            said.cancel()
            gone.cancel()


def _shut(request: Request, visitor: Visitor) -> ASGIApp:
    """Who is not known is shown the way in; who is, that this is not for its role."""
    if visitor.role is None:
        if wants_page(request) and request.method == "GET":
            return RedirectResponse("/join", HTTPStatus.SEE_OTHER)
        what = "this device is not let in any more" if visitor.stale else "this device has not joined"
        return refusal(
            request, HTTPStatus.UNAUTHORIZED, Problem("device", what, "Ask the coach for a code, open /join.")
        )
    problem = Problem("role", f"this is not for a device that joined as {visitor.role}", "Ask the coach.")
    return refusal(request, HTTPStatus.FORBIDDEN, problem)


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
