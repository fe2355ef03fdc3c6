"""The gate and answers that go on for long: passed on as they come, ended once their device is out."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import StreamingResponse
from starlette.routing import Route
from starlette.types import Message, Scope

from courtwright.store import Device, Devices, Store
from courtwright.vocabulary import Role
from courtwright.web.reach import Reach
from courtwright.web.roles import Doors
from courtwright.web.security import Gate
from courtwright.web.visitors import COOKIE


def run(story: Coroutine[Any, Any, None]) -> None:
    """Run to the end, in a thread of its own: the browser tests leave a loop running in this one."""
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, story).result()


def scope_of(path: str, secret: str) -> Scope:
    headers = [(b"host", b"10.0.0.1"), (b"cookie", f"{COOKIE}={secret}".encode())]
    return {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "query_string": b"",
        "root_path": "",
        "headers": headers,
        "client": ("10.0.0.9", 1),
        "server": ("10.0.0.1", 80),
    }


class Stream:
    """A route that sends a chunk whenever it is told to, and the answer as the network would see it."""

    def __init__(self, store: Store, role: Role = Role.SCREEN) -> None:
        self.store = store
        self.more: asyncio.Queue[bytes | None] = asyncio.Queue()
        self.sent: list[Message] = []
        self.stopped = False
        code, _ = store.devices.open_code(role)
        self.device, self.secret = store.devices.join(code, "wall")
        route = Route("/api/me", self._answer)
        self.gate = Gate(Starlette(routes=[route]), devices=store.devices, doors=Doors([route]), reach=Reach(lan=True))

    async def _answer(self, _request: Request) -> StreamingResponse:
        async def chunks() -> Any:
            try:
                while (chunk := await self.more.get()) is not None:
                    yield chunk
            finally:
                self.stopped = True

        return StreamingResponse(chunks(), media_type="text/event-stream")

    async def run(self) -> None:
        waits = asyncio.Event()

        async def receive() -> Message:
            await waits.wait()  # whoever listens to a stream says nothing
            return {"type": "http.disconnect"}

        async def send(message: Message) -> None:
            self.sent.append(message)

        await self.gate(scope_of("/api/me", self.secret), receive, send)

    @property
    def body(self) -> list[bytes]:
        return [message["body"] for message in self.sent if message["type"] == "http.response.body"]


def test_nothing_but_http_gets_through(store: Store) -> None:
    async def go() -> None:
        stream = Stream(store)
        sent: list[Message] = []

        async def receive() -> Message:
            return {"type": "websocket.connect"}

        async def send(message: Message) -> None:
            sent.append(message)

        await stream.gate({**scope_of("/api/me", stream.secret), "type": "websocket"}, receive, send)
        assert sent == [{"type": "websocket.close", "code": 1008}]

    run(go())


async def until(holds: Callable[[], bool]) -> None:
    for _ in range(2000):
        if holds():
            return
        await asyncio.sleep(0.002)
    pytest.fail("waited in vain")


def test_chunks_are_passed_on_as_they_come(store: Store) -> None:
    async def go() -> None:
        stream = Stream(store)
        running = asyncio.create_task(stream.run())
        for number in range(3):
            chunk = f"data: {number}\n\n".encode()
            await stream.more.put(chunk)
            await until(lambda number=number: len(stream.body) == number + 1)  # type: ignore[misc]
            assert stream.body[-1] == chunk, "not held back until the next, or the end"
        await stream.more.put(None)
        await running
        assert stream.sent[-1]["more_body"] is False

    run(go())


@pytest.mark.parametrize("how", ["revoked", "another role"])
def test_a_stream_ends_once_its_device_is_let_in_no_more(
    store: Store, monkeypatch: pytest.MonkeyPatch, how: str
) -> None:
    monkeypatch.setattr("courtwright.web.security.LOOK_AGAIN_S", 0.0)

    async def go() -> None:
        stream = Stream(store)
        running = asyncio.create_task(stream.run())
        await stream.more.put(b"data: 1\n\n")
        await until(lambda: len(stream.body) == 1)
        if how == "revoked":
            store.devices.revoke(stream.device.id)
        else:
            store.devices.change(stream.device.id, role=Role.SCORER)
        await stream.more.put(b"data: secret\n\n")
        await asyncio.wait_for(running, 5)
        assert stream.body == [b"data: 1\n\n", b""]
        assert stream.sent[-1]["more_body"] is False
        await until(lambda: stream.stopped)

    run(go())


def test_a_stream_does_not_ask_the_store_at_every_chunk(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    known = type(store.devices).known

    def counted(self: Devices, secret: str) -> Device | None:
        asked.append(secret)
        return known(self, secret)

    monkeypatch.setattr(type(store.devices), "known", counted)

    async def go() -> None:
        stream = Stream(store)
        running = asyncio.create_task(stream.run())
        for _ in range(200):
            await stream.more.put(b"x")
        await stream.more.put(None)
        await running
        assert len(stream.body) == 201

    run(go())
    assert len(asked) < 10
