"""Who plays where in a real browser: turns, two who change places, a rule, a wish, the middle of a game, paper."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from tests.web.conftest import House, Visitor

pytestmark = pytest.mark.browser
PHONE_WIDTH = 360


@pytest.fixture
def page(visit: Visitor, house: House) -> Page:
    """The page of a demo game in a tab of its own, its turns found."""
    visitor = visit(house)
    page: Page = visitor.open(visitor.game("Low Man's Call"))
    page.get_by_role("link", name="Who plays where").click()
    settled(page, "Everyone plays")
    return page


def row(page: Page, turn: int) -> str:
    return page.locator(".turn-table tbody tr").nth(turn - 1).inner_text()


def settled(page: Page, text: str) -> None:
    page.locator("#judged", has_text=text).wait_for(timeout=60_000)
    page.locator("#rota[aria-busy=false]").wait_for(timeout=60_000)


def test_turns_are_found_and_judged(page: Page) -> None:
    assert "Perfect in" in page.locator("#judged").inner_text()
    names = page.locator(".names li").all_inner_texts()
    assert len(names) == 10
    assert page.locator(".matrix").count() == 2
    before = row(page, 1)
    page.get_by_role("button", name="Deal anew").click()
    settled(page, "Everyone plays")
    assert row(page, 1) != before
    again = row(page, 1)
    page.reload()
    settled(page, "Everyone plays")
    assert row(page, 1) == again  # what was found outlives a reload


def test_two_players_change_places_and_back(page: Page) -> None:
    in_turn = page.locator("button.who[data-turn='3']")
    one, other = in_turn.nth(0), in_turn.nth(7)
    names = one.get_attribute("data-name"), other.get_attribute("data-name")
    before = row(page, 3)
    one.click()
    assert one.get_attribute("aria-pressed") == "true"
    other.press("Enter")
    settled(page, f"{names[0]} and {names[1]} change places in turn 3")
    assert row(page, 3) != before
    page.get_by_role("button", name="Undo").click()
    assert row(page, 3) == before
    one.drag_to(in_turn.nth(5))
    settled(page, "change places in turn 3")


def test_a_wish_is_kept_and_contradictions_are_named(page: Page, visit: Visitor, house: House) -> None:
    form = page.locator("form.wish")
    form.get_by_label("kind of wish").select_option("apart")
    form.get_by_label("player").select_option("Ada")
    form.get_by_label("and", exact=True).select_option("Bex")
    form.get_by_role("button", name="add").click()
    page.get_by_text("Ada and Bex: apart").wait_for()
    settled(page, "Everyone plays")
    together = page.locator(".matrix").first.locator("tbody tr").first.locator("td").nth(1)
    assert together.inner_text() == "0"
    form.get_by_label("kind of wish").select_option("together")
    form.get_by_label("and", exact=True).select_option("Bex")
    form.get_by_role("button", name="add").click()
    settled(page, "these wishes cannot all be kept")
    refused = visit(house).complaints
    assert len(refused) == 1
    assert "422" in refused.pop()
    page.get_by_role("button", name="give up: Ada and Bex: together").click()
    settled(page, "Everyone plays")
    assert page.locator("#judged .problems").count() == 0


def test_the_middle_of_a_game(page: Page) -> None:
    stood = [row(page, turn) for turn in range(1, 6)]
    page.get_by_label("turns played so far").fill("5")
    page.get_by_label("turns played so far").press("Tab")
    settled(page, "turns 1 to 5 stand")
    page.get_by_label("somebody who comes").fill("Zoe")
    page.keyboard.press("Enter")
    settled(page, "From turn 6 Zoe comes in")
    page.get_by_role("button", name="Ada goes").click()
    settled(page, "Zoe comes in and Ada goes")
    assert [row(page, turn) for turn in range(1, 6)] == stood
    assert all("Ada" not in row(page, turn) for turn in range(6, 16))


def test_winners_stay_warns_of_nothing_for_ten_but_says_what_to_expect(page: Page) -> None:
    page.get_by_label("who plays next").select_option("winners stay")
    settled(page, "An even share is")
    assert "these turns are one example" in page.locator("#judged").inner_text()
    assert page.get_by_role("columnheader", name="to be expected").count() == 1
    assert "best possible" not in page.locator("#judged").inner_text()


def test_the_turns_on_paper(page: Page) -> None:
    with page.expect_download() as download:
        page.get_by_role("button", name="Print the turns (PDF)").click()
    text = "\n".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(download.value.path().read_bytes())).pages)
    assert "Low Man" in text
    assert re.search(r"What each gets", text)
    first = page.locator("button.who[data-turn='1']").first.get_attribute("data-name")
    assert first
    assert first in text


def test_it_fits_a_phone(page: Page) -> None:
    page.set_viewport_size({"width": PHONE_WIDTH, "height": 780})
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE_WIDTH
    box = page.locator("button.who").first.bounding_box()
    assert box is not None
    assert box["height"] >= 32
