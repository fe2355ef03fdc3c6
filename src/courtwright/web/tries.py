"""How often a code may be guessed: a few times from one address, and not too often by everyone together."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable
from time import monotonic
from typing import Final

from courtwright.errors import CourtwrightError

PER_ADDRESS: Final = 6
PER_ADDRESS_S: Final = 60.0
ALTOGETHER: Final = 60
ALTOGETHER_S: Final = 15 * 60.0


class TooManyTriesError(CourtwrightError):
    """Too many wrong codes; ``wait_s`` is how long to wait."""

    def __init__(self, wait_s: float) -> None:
        self.wait_s = max(1, round(wait_s))
        super().__init__("too many wrong codes were tried")


class Tries:
    """Wrong codes of late. Forgotten at a restart, and when the coach makes a new code: guesses begin afresh there."""

    def __init__(self, clock_s: Callable[[], float] = monotonic) -> None:
        self._clock_s = clock_s
        self._lock = threading.Lock()
        self._wrong: deque[tuple[float, str]] = deque()

    def begin(self, address: str) -> None:
        """Count a try as wrong until it is known better; raise `TooManyTriesError` where there were too many.

        Counted before it is looked at: tries sent all at once must not slip through together.
        """
        with self._lock:
            at = self._clock_s()
            while self._wrong and at - self._wrong[0][0] >= ALTOGETHER_S:
                self._wrong.popleft()
            mine = [when for when, who in self._wrong if who == address and at - when < PER_ADDRESS_S]
            if len(mine) >= PER_ADDRESS:
                raise TooManyTriesError(PER_ADDRESS_S - (at - mine[0]))
            if len(self._wrong) >= ALTOGETHER:
                raise TooManyTriesError(ALTOGETHER_S - (at - self._wrong[0][0]))
            self._wrong.append((at, address))

    def right(self, address: str) -> None:
        """The last try of an address was right: it does not count."""
        with self._lock:
            for index in range(len(self._wrong) - 1, -1, -1):
                if self._wrong[index][1] == address:
                    del self._wrong[index]
                    return

    def forget(self) -> None:
        """Begin afresh."""
        with self._lock:
            self._wrong.clear()
