"""Tells open streams that facts have arrived. The store is what is true; this only says “look again”."""

from __future__ import annotations

import asyncio
from collections import defaultdict
from collections.abc import AsyncIterator
from contextlib import suppress
from typing import Final

LOOK_AGAIN_S: Final = 2.0
"""Another program may write to the store too, so a stream looks by itself now and then."""


class Hub:
    """Wakes whoever waits for a run. Used from the event loop and from worker threads."""

    def __init__(self) -> None:
        self._waiting: dict[str, set[asyncio.Event]] = defaultdict(set)
        self._loop: asyncio.AbstractEventLoop | None = None

    def arrived(self, run: str) -> None:
        """Say that a run has new facts; from any thread."""
        if self._loop is not None:
            with suppress(RuntimeError):  # the loop is closing
                self._loop.call_soon_threadsafe(self._wake, run)

    def _wake(self, run: str) -> None:
        for event in self._waiting.get(run, ()):
            event.set()

    async def calls(self, run: str) -> AsyncIterator[bool]:
        """Yield at once, then whenever it is time to look: true where facts have arrived, false after a while."""
        self._loop = asyncio.get_running_loop()
        event = asyncio.Event()
        self._waiting[run].add(event)
        try:
            yield True
            while True:
                try:
                    await asyncio.wait_for(event.wait(), LOOK_AGAIN_S)
                    event.clear()
                    yield True
                except TimeoutError:
                    yield False
        finally:
            self._waiting[run].discard(event)
            if not self._waiting[run]:
                del self._waiting[run]
