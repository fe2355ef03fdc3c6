"""Kernels made ready in the background, so that the first drag need not wait for the compiler."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Sequence
from typing import Final

from courtwright.errors import CourtwrightError
from courtwright.warming import STEPS

LOG: Final = logging.getLogger("courtwright.web")


Steps = Sequence[tuple[str, Callable[[], None]]]
"""what is made ready, and how"""


class NotReadyError(CourtwrightError):
    """The kernels are still being compiled."""


class Kernels:
    """What can be asked for yet: each step in turn, readings first; a trial has a queue and can wait."""

    def __init__(self, steps: Steps = STEPS, *, after_s: float = 0.0) -> None:
        self._steps, self._after_s = steps, after_s
        self._ready, self._stop = threading.Event(), threading.Event()
        self._error: Exception | None = None
        self.getting_ready = ""
        """which step is being made ready, in words; empty before and after"""

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
            for number, (what, step) in enumerate(self._steps, start=1):
                if number > 1 and self._stop.is_set():
                    return
                self.getting_ready = f"{what}, step {number} of {len(self._steps)}"
                step()
                self._ready.set()  # by the first step, the readings
        except Exception as error:  # whatever it was, whoever asks for a reading must be told
            LOG.exception("the kernels could not be made ready")
            self._error = error
        finally:
            self.getting_ready = ""
