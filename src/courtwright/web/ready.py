"""Kernels made ready in the background, so that the first drag need not wait for the compiler."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from typing import Final

from courtwright.errors import CourtwrightError

LOG: Final = logging.getLogger("courtwright.web")


class NotReadyError(CourtwrightError):
    """The kernels are still being compiled."""


def warm_reading() -> None:
    """Compile or load what a reading needs."""
    from courtwright.reading.warm import warm  # noqa: PLC0415 (loads the compiler)

    warm(LOG.debug)


def warm_trial() -> None:
    """The same for a trial."""
    from courtwright.engine import COMPILED  # noqa: PLC0415 (as above)
    from courtwright.trial.warm import warm  # noqa: PLC0415

    if COMPILED:  # plain Python has nothing to make ready, and would play
        warm(LOG.debug)


class Kernels:
    """Whether readings can be asked for yet. The trial comes after them: it has a queue and can wait."""

    def __init__(
        self,
        reading: Callable[[], None] = warm_reading,
        trial: Callable[[], None] = warm_trial,
        *,
        after_s: float = 0.0,
    ) -> None:
        self._reading, self._trial, self._after_s = reading, trial, after_s
        self._ready, self._stop = threading.Event(), threading.Event()
        self._error: Exception | None = None

    def start(self) -> None:
        """Begin. Not waited for at the end: a compiler cannot be interrupted, and leaves nothing half-written."""
        threading.Thread(target=self._warm, name="courtwright-warm", daemon=True).start()

    def close(self) -> None:
        """Stop after the present step."""
        self._stop.set()

    def wait(self, timeout_s: float) -> bool:
        """Wait until readings can be asked for; say whether they can."""
        return self._ready.wait(timeout_s)

    def check(self) -> None:
        """Raise `NotReadyError` while readings are getting ready."""
        if self._ready.is_set():
            return
        if self._error is not None:
            raise self._error
        raise NotReadyError("the readings are getting ready; after an update this takes about half a minute")

    def _warm(self) -> None:
        try:
            if self._after_s > 0 and self._stop.wait(self._after_s):
                return
            self._reading()
            self._ready.set()
            if not self._stop.is_set():
                self._trial()
        except Exception as error:  # whatever it was, whoever asks for a reading must be told
            LOG.exception("the kernels could not be made ready")
            self._error = error
