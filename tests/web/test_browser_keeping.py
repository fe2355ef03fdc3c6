"""No edit is ever lost: a server that is down, a reload in the middle, two tabs on one game."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser
REFUSED = "net::ERR_CONNECTION_REFUSED"


def state(page: Page, name: str) -> None:
    """Wait for a state of saving."""
    page.locator(f".status[data-state={name}]").wait_for(state="attached")


def name_field(page: Page) -> Any:
    """The game's name, once the page is ready."""
    field = page.get_by_label("name of the game")
    field.wait_for()
    return field


@pytest.fixture
def desk(house: Any, visit: Any) -> Any:
    """A visitor with a game of their own; gives visit, address and page."""
    visitor = visit(house)
    made = visitor.context.request.post(f"{house.url}/api/games", data={"starter": "two-to-read"}).json()
    address = f"/games/{made['id']}"
    return visitor, address, visitor.open(address)


def only(visitor: Any, *reasons: str) -> None:
    """The browser reports requests that fail; it may have reported nothing else."""
    assert visitor.complaints
    assert all(any(reason in complaint for reason in reasons) for complaint in visitor.complaints)
    visitor.complaints.clear()


def test_edits_made_while_the_server_is_down_survive_a_reload_and_arrive(house: Any, desk: Any) -> None:
    from playwright.sync_api import Error

    visitor, address, page = desk
    name_field(page).fill("Before the power went")
    state(page, "saved")
    house.stop()
    try:
        name_field(page).fill("While it was down")
        state(page, "offline")
        assert "saved here, not yet on the server" in page.locator(".saved").inner_text()
        page.get_by_label("purpose").fill("Typed in the dark.")
        page.on("dialog", lambda dialog: dialog.accept())  # the page warns, as something is unsent
        with pytest.raises(Error, match=REFUSED):
            page.reload()
        page.wait_for_url("chrome-error://**")
    finally:
        house.start()
    page.goto(house.url + address)
    assert name_field(page).input_value() == "While it was down"
    state(page, "saved")
    document = visitor.document(address)
    assert (document["name"], document["purpose"]) == ("While it was down", "Typed in the dark.")
    only(visitor, REFUSED)


def test_the_page_sends_by_itself_when_the_server_is_back(house: Any, desk: Any) -> None:
    visitor, address, page = desk
    name_field(page)
    house.stop()
    try:
        name_field(page).fill("Sent later")
        state(page, "offline")
    finally:
        house.start()
    state(page, "saved")
    assert visitor.document(address)["name"] == "Sent later"
    only(visitor, REFUSED)


def test_a_reload_right_after_an_edit_loses_nothing(desk: Any) -> None:
    visitor, address, page = desk
    name_field(page).fill("Half a second ago")
    page.reload()  # before the edit was sent
    assert name_field(page).input_value() == "Half a second ago"
    state(page, "saved")
    assert visitor.document(address)["name"] == "Half a second ago"


def test_a_tab_without_edits_follows_the_other(desk: Any) -> None:
    visitor, address, one = desk
    name_field(one)
    other = visitor.open(address)
    name_field(other).fill("From the other tab")
    state(other, "saved")
    one.wait_for_function("() => document.querySelector('.title input').value === 'From the other tab'")
    name_field(one).fill("And back again")
    state(one, "saved")
    other.wait_for_function("() => document.querySelector('.title input').value === 'And back again'")


@pytest.mark.parametrize(("choice", "kept"), [("Keep mine as the new version", "mine"), ("Take theirs", "theirs")])
def test_two_tabs_that_change_one_game_lose_neither_version(desk: Any, choice: str, kept: str) -> None:
    visitor, address, one = desk
    name_field(one)
    other = visitor.open(address)
    name_field(other)
    one.route("**/api/**", lambda route: route.abort())
    name_field(one).fill("mine")
    state(one, "offline")
    name_field(other).fill("theirs")
    state(other, "saved")
    one.unroute("**/api/**")
    one.evaluate("dispatchEvent(new Event('online'))")  # rather than wait for the next try
    state(one, "conflict")
    only(visitor, "ERR_FAILED", "409")
    one.get_by_role("button", name=choice).click()
    state(one, "saved")
    assert visitor.document(address)["name"] == kept
    assert name_field(one).input_value() == kept
    revisions = visitor.context.request.get(f"{visitor.house.url}/api{address}/revisions").json()["revisions"]
    assert {"mine", "theirs"} <= {revision["name"] for revision in revisions}


def test_an_earlier_version_can_be_brought_back(desk: Any) -> None:
    visitor, address, page = desk
    first = visitor.document(address)
    name_field(page).fill("Second thoughts")
    state(page, "saved")
    page.locator("summary", has_text="Earlier versions").click()
    page.get_by_role("button", name="Bring back version 1", exact=True).click()
    page.wait_for_function("name => document.querySelector('.title input').value === name", arg=first["name"])
    state(page, "saved")
    assert visitor.document(address) == first
