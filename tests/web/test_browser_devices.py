"""The page of devices and the way in: one browser makes a code, another joins by it, and is let in no more."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
LAPTOP = {"viewport": {"width": 1440, "height": 900}}


@dataclass
class Gym:
    """A server the network can reach: by the coach at this computer, by others under another address."""

    port: int
    complaints: list[str]

    @property
    def coach(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def device(self) -> str:
        """All of 127.0.0.0/8 is this computer, but only 127.0.0.1 is its owner's way in."""
        return f"http://127.0.0.2:{self.port}"


@pytest.fixture
def gym(chromium: Browser, tmp_path: Path) -> Iterator[Gym]:
    import uvicorn

    from courtwright.game.starters import starters
    from courtwright.squad.demo import DEMO_SQUAD
    from courtwright.store import Store
    from courtwright.web import create_app
    from courtwright.web.reach import Reach
    from courtwright.web.serve import listen

    listener = listen("0.0.0.0", 0)
    port = listener.getsockname()[1]
    with Store.open(tmp_path / "club.sqlite") as store, closing(listener):
        store.add_club(DEMO_SQUAD, list(starters().values()))
        app = create_app(store, reach=Reach(lan=True, host="127.0.0.2", port=port))
        server = uvicorn.Server(uvicorn.Config(app, log_level="critical", timeout_graceful_shutdown=1))
        thread = threading.Thread(target=lambda: server.run(sockets=[listener]))
        thread.start()
        try:
            while not server.started:
                time.sleep(0.01)
            found = Gym(port, [])
            yield found
            assert found.complaints == []
        finally:
            server.should_exit = True
            thread.join(10)


def browser(chromium: Browser, gym: Gym, **options: Any) -> Page:
    """A page in a browser profile of its own."""
    context = chromium.new_context(**options)
    context.set_default_timeout(10_000)
    context.on("console", lambda message: gym.complaints.append(message.text) if message.type == "error" else None)
    context.on("weberror", lambda error: gym.complaints.append(str(error.error)))
    context.on("request", lambda request: _outside(gym, request.url))
    return context.new_page()


def _outside(gym: Gym, url: str) -> None:
    if not url.startswith((gym.coach, gym.device, "blob:", "data:")):
        gym.complaints.append(f"asked {url}")


def code_on(page: Page, role: str) -> str:
    page.get_by_label("it joins as").select_option(role)
    page.get_by_role("button", name="code").click()
    page.get_by_text(f"Lets a device in as {role}").wait_for()
    assert page.get_by_role("img", name="to scan").is_visible()
    return page.locator(".letters").inner_text()


def joins(page: Page, gym: Gym, code: str, name: str, *, scanned: bool) -> None:
    page.goto(f"{gym.device}/join#{code}" if scanned else gym.device)
    if not scanned:
        assert page.url == f"{gym.device}/join", "who comes to any page is led to the way in"
        page.get_by_label("code").fill(code.lower().replace("-", " "))
    assert page.get_by_label("code").input_value().replace(" ", "-").upper() == code
    assert "#" not in page.url, "the code does not stay in the address"
    page.get_by_label("what this device is called").fill(name)
    page.get_by_role("button", name="Join").click()


def test_a_device_joins_is_seen_named_and_let_in_no_more(chromium: Browser, gym: Gym) -> None:
    coach, tablet = browser(chromium, gym, **LAPTOP), browser(chromium, gym, **PHONE)
    coach.goto(gym.coach)
    coach.get_by_role("link", name="Devices").click()
    coach.get_by_text("No other device has joined yet.").wait_for()
    joins(tablet, gym, code_on(coach, "scorer"), "tablet at basket 2", scanned=True)
    tablet.get_by_role("heading", name="Floor").wait_for()
    assert tablet.url == f"{gym.device}/floor", "a scorer has no business elsewhere"
    tablet.get_by_text("No run yet.").wait_for()
    assert tablet.get_by_role("link", name="Squad").count() == 0
    assert tablet.get_by_role("button", name="Play").count() == 0

    name = coach.get_by_label("name of the device")
    name.wait_for()  # by itself, while the code stands there
    assert name.input_value() == "tablet at basket 2"
    name.fill("tablet at basket 1")
    name.press("Enter")
    coach.get_by_role("button", name="Revoke tablet at basket 1").wait_for()
    coach.get_by_label("role of tablet at basket 1").select_option("assistant")
    coach.get_by_text("kept").wait_for(state="attached")
    tablet.goto(f"{gym.device}/games")
    tablet.locator(".thumb svg").nth(2).wait_for()
    assert tablet.get_by_role("button", name="Remove").count() == 0
    assert tablet.get_by_text("Harbour Lane").count() == 0

    coach.get_by_role("button", name="Revoke tablet at basket 1").click()
    coach.get_by_role("button", name="Keep").click()
    coach.get_by_role("button", name="Revoke tablet at basket 1").click()
    coach.get_by_role("button", name="Let tablet at basket 1 in no more").click()
    coach.get_by_text("No other device has joined yet.").wait_for()
    assert coach.locator("#gone summary").is_visible()
    tablet.goto(f"{gym.device}/games")
    tablet.get_by_text("let in before, and is not any more").wait_for()
    status = tablet.evaluate("fetch('/api/games').then(answer => answer.status)")
    assert status == 401
    gym.complaints[:] = [text for text in gym.complaints if "401" not in text]  # the browser notes the refusal


def test_a_code_typed_by_hand_a_wrong_one_and_one_taken_back(chromium: Browser, gym: Gym) -> None:
    coach, phone = browser(chromium, gym, **LAPTOP), browser(chromium, gym, **PHONE)
    coach.goto(f"{gym.coach}/devices")
    code = code_on(coach, "assistant")
    joins(phone, gym, "CCCC-CCCC", "phone", scanned=True)
    phone.get_by_text("this code is not valid").wait_for()
    joins(phone, gym, code, "phone", scanned=False)
    phone.wait_for_url("**/games")
    coach.get_by_label("it joins as").select_option("screen")
    code = code_on(coach, "screen")
    coach.get_by_role("button", name="Take it back").click()
    coach.locator(".letters").wait_for(state="hidden")
    wall = browser(chromium, gym, **LAPTOP)
    joins(wall, gym, code, "wall", scanned=True)
    wall.get_by_text("this code is not valid").wait_for()
    gym.complaints[:] = [text for text in gym.complaints if "403" not in text]


def test_a_backup_is_saved_from_the_page(chromium: Browser, gym: Gym, tmp_path: Path) -> None:
    from courtwright.store.manifest import verified

    page = browser(chromium, gym, **LAPTOP)
    page.goto(f"{gym.coach}/devices")
    with page.expect_download() as download:
        page.get_by_role("link", name="Save a backup").click()
    assert download.value.suggested_filename.endswith(".courtwright-backup")
    assert verified(Path(download.value.path())).parts["document"].rows == 4


@pytest.mark.parametrize("look", ["light", "dark"])
def test_both_pages_fit_a_phone_and_a_finger(chromium: Browser, gym: Gym, look: str) -> None:
    coach = browser(chromium, gym, color_scheme=look, **PHONE)
    coach.goto(f"{gym.coach}/devices")
    code = code_on(coach, "coach")
    assert coach.get_by_text("It works once.").is_visible()
    phone = browser(chromium, gym, color_scheme=look, **PHONE)
    phone.goto(f"{gym.device}/join")
    fits(phone)
    joins(phone, gym, code, "a phone with a name of forty letters, yes", scanned=True)
    phone.wait_for_url("**/games")
    coach.get_by_label("name of the device").wait_for()
    coach.get_by_role("button", name="Revoke").tap()
    fits(coach)
    letters = coach.evaluate("getComputedStyle(document.querySelector('.qr svg')).backgroundColor")
    assert letters == "rgb(255, 255, 255)", "a camera reads dark on white"


def fits(page: Page) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.evaluate(
        """() => [...document.querySelectorAll('button, .button, select, main input[type=text], summary')]
          .filter(part => part.checkVisibility() && part.getBoundingClientRect().height < 44)
          .map(part => part.outerHTML.slice(0, 80))"""
    )
    assert small == [], "a finger needs 44 px"
