"""A real Chromium for tests. Its driver runs an event loop in the thread of the tests until it is closed."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser

FLAGS: Final = (
    "--no-sandbox",  # the tests may run as root
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-features=MediaRouter,OptimizationHints,Translate",
    "--disable-sync",
    "--no-first-run",
)
NAMES: Final = ("chromium", "chromium-browser", "google-chrome")


@contextmanager
def a_chromium() -> Iterator[Browser]:
    """Start one, and close it; a bare laptop skips with a reason, CI fails."""
    path = next(filter(None, map(shutil.which, NAMES)), None)
    if path is None:
        why = "needs Chromium, which was not found"
        pytest.fail(f"CI must not skip this: {why}") if os.environ.get("CI") == "true" else pytest.skip(why)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=path, args=list(FLAGS))
        yield browser
        browser.close()
