"""What open streams live on: facts pass from the request that took them to every screen without another look.

The store is what is true. What passes here is only a short cut: a stream that
misses a number asks the store.
"""

from __future__ import annotations

import asyncio
from collections import defaultdict
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import suppress
from typing import Any, Final

LOOK_AGAIN_S: Final = 2.0
"""Another program may write to the store too, so a stream looks by itself now and then."""
MOST_RECENT: Final = 500

Fact = dict[str, Any]
Screen = tuple[int, str]
"""The number of the last fact in it, and its JSON text."""


class Hub:
    """Wakes whoever follows a run. Told from worker threads, read on the event loop."""

    def __init__(self) -> None:
        self._waiting: dict[str, set[asyncio.Event]] = defaultdict(set)
        self._recent: dict[str, dict[int, Fact]] = defaultdict(dict)
        self._screens: dict[str, Screen] = {}
        self._making: dict[str, asyncio.Lock] = defaultdict(asyncio.Lock)
        self._loop: asyncio.AbstractEventLoop | None = None

    def arrived(self, run: str, first: int, facts: list[Fact]) -> None:
        """Pass facts on, numbered from the first; from any thread."""
        if self._loop is None:
            return
        numbered = dict(enumerate(facts, start=first))
        with suppress(RuntimeError):  # the loop is closing
            self._loop.call_soon_threadsafe(self._pass_on, run, numbered)

    def _pass_on(self, run: str, numbered: dict[int, Fact]) -> None:
        if run not in self._waiting:
            return
        recent = self._recent[run]
        recent |= numbered
        for number in sorted(recent)[: max(0, len(recent) - MOST_RECENT)]:
            del recent[number]
        for event in self._waiting[run]:
            event.set()

    def after(self, run: str, number: int) -> list[Fact]:
        """The facts that passed here right after a number, without a gap."""
        recent, found = self._recent.get(run, {}), []
        while (number := number + 1) in recent:
            found.append(recent[number])
        return found

    async def calls(self, run: str) -> AsyncIterator[bool]:
        """Yield at once, then whenever it is time to look: true where facts have arrived, false after a while."""
        self._loop = asyncio.get_running_loop()
        event = asyncio.Event()
        self._waiting[run].add(event)
        try:
            yield False
            while True:
                try:
                    await asyncio.wait_for(event.wait(), LOOK_AGAIN_S)
                    event.clear()
                    yield True
                except TimeoutError:
                    yield False
        finally:
            self._waiting[run].discard(event)
            if not self._waiting[run]:  # nobody follows it any more
                for kept in (self._waiting, self._recent, self._screens, self._making):
                    kept.pop(run, None)

    async def screen(self, run: str, seen: int, make: Callable[[], Awaitable[Screen]]) -> Screen:
        """The newest screen of a run: made once for all who ask, and again only where one has seen it already."""
        async with self._making[run]:
            kept = self._screens.get(run)
            if kept is None or kept[0] <= seen:
                kept = self._screens[run] = await make()
            return kept
