"""The reading beside the board: it follows a figure, by hand and by keys, and is never a guess about its age."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser
READY_MS = 30_000
GETTING_READY = 503  # the kernels may have to be compiled first


def opened(house: Any, visit: Any, **options: Any) -> Page:
    """The game page of a fresh copy, with the reading open and full."""
    return opened_by(visit(house, **options), house)


def opened_by(visitor: Any, house: Any) -> Page:
    """The same for a visitor who is there already."""
    made = visitor.context.request.post(f"{house.url}/api/games", data={"starter": "low-mans-call"}).json()
    kept = visitor.context.request.post(f"{house.url}/api/games/{made['id']}/moments", data={}).json()
    visitor.context.request.delete(f"{house.url}/api/games/{made['id']}/moments/{kept['id']}")
    moment = kept["document"]
    while visitor.context.request.post(f"{house.url}/api/read", data={"moment": moment}).status == GETTING_READY:
        time.sleep(0.3)
    page: Page = visitor.open(f"/games/{made['id']}")
    page.locator(".reading > summary").focus()
    page.keyboard.press("Enter")
    page.locator(".switch-curve").first.wait_for(timeout=READY_MS)
    return page


def shot(page: Page) -> str:
    """What the first panel says."""
    return page.locator(".reading .panel").first.locator("p").inner_text()


def test_the_reading_follows_a_figure_moved_by_keys(house: Any, visit: Any) -> None:
    page = opened(house, visit)
    before = shot(page)

    page.locator("[data-figure='X1']").focus()
    for _ in range(4):
        page.keyboard.press("Shift+ArrowUp")

    page.wait_for_function(
        "before => document.querySelector('.reading .panel p').textContent.trim() !== before.trim()", arg=before
    )
    assert "m away at the release" in shot(page)


def test_it_follows_a_finger_with_one_request_in_flight(house: Any, visit: Any) -> None:
    page = opened(house, visit)
    open_now, most = 0, 0

    def count(step: int) -> Any:
        def noted(request: Any) -> None:
            nonlocal open_now, most
            if request.url.endswith("/api/read"):
                open_now += step
                most = max(most, open_now)

        return noted

    page.on("request", count(1))
    page.on("requestfinished", count(-1))
    before = shot(page)
    page.evaluate("scrollTo(0, 0)")
    box = page.locator("[data-figure='X1'] .mark").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    seen = {before}
    for step in range(60):  # the finger never rests, and the numbers follow all the same
        page.mouse.move(x - step, y - 2.5 * step)
        page.wait_for_timeout(16)
        seen.add(shot(page))
    page.mouse.up()

    assert len(seen) > 3
    assert most == 1


def test_plain_points_change_the_unit_and_the_map_has_words(house: Any, visit: Any) -> None:
    page = opened(house, visit)
    assert "this game's points" in page.locator(".reading .unit").inner_text()

    page.get_by_label("plain twos and threes").check()
    page.get_by_label("who is first where").check()

    page.locator(".reading .unit", has_text="Counted in points per chance").wait_for()
    assert page.locator(".board .space path").count() == 3
    assert "of the half court" in page.locator(".reading").inner_text()


def test_old_numbers_are_dimmed_while_the_server_is_away(house: Any, visit: Any) -> None:
    visitor = visit(house)
    page = opened_by(visitor, house)

    page.locator("[data-figure='X1']").focus()
    page.route("**/api/read", lambda route: route.abort())
    page.keyboard.press("Shift+ArrowUp")

    page.locator(".reading .state", has_text="does not answer").wait_for()
    assert page.locator(".reading .results.stale").count() == 1
    visitor.complaints.clear()  # the browser notes the request that failed on purpose


def test_on_a_phone_nothing_runs_off_the_side(house: Any, visit: Any) -> None:
    page = opened(house, visit, viewport={"width": 360, "height": 740})

    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_a_moment_is_kept_named_drawn_and_brought_back(house: Any, visit: Any) -> None:
    page = opened(house, visit)

    page.get_by_role("button", name="Keep this as a moment").click()
    name = page.get_by_label("name of the moment")
    name.fill("Low man late")
    name.press("Enter")
    page.get_by_label("cue of the moment").fill("Stay down")
    page.get_by_label("cue of the moment").press("Tab")
    page.wait_for_timeout(500)
    page.reload()
    page.locator(".reading > summary").click()
    page.locator(".moments-kept li").wait_for()

    assert page.get_by_label("name of the moment").input_value() == "Low man late"
    assert page.get_by_label("cue of the moment").input_value() == "Stay down"
    for link, kind in (("drawing", "image/svg+xml"), ("sheet", "application/pdf"), ("played", "image/gif")):
        address = page.locator(".moments-kept").get_by_role("link", name=link).get_attribute("href")
        answer = page.request.get(f"{house.url}{address}")
        assert answer.status == 200
        assert answer.headers["content-type"].startswith(kind)
    page.locator(".moments-kept").get_by_role("button", name="Remove").click()
    page.get_by_role("button", name="Bring “Low man late” back").click()
    page.locator(".moments-kept li").wait_for()


def test_the_preset_changes_the_numbers_and_hides_the_youngests_chances(house: Any, visit: Any) -> None:
    page = opened(house, visit)
    made = page.locator(".reading .panel").first.locator("tbody tr").first.locator("td").nth(1)
    assert "%" in made.inner_text()

    page.get_by_label("preset").select_option("U12")

    page.locator(".reading .unit", has_text="U12 preset").wait_for()
    assert "%" not in made.inner_text()
