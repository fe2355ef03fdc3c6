"""First start, squad and games; on a phone, by keyboard alone, in the dark."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest
from tests.web.test_browser_game import centre

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
GAME = "Two to Read"


def saved(page: Page) -> None:
    """Wait until the server has everything."""
    page.locator(".status[data-state=saved]").wait_for(state="attached")


def squad_of(visitor: Any) -> dict[str, Any]:
    """The squad as the server has it."""
    squad: dict[str, Any] = visitor.context.request.get(f"{visitor.house.url}/api/squad").json()["squad"]
    return squad


def test_the_first_start_offers_the_demo_club(empty_house: Any, visit: Any) -> None:
    visitor = visit(empty_house)
    page = visitor.open("/")
    page.get_by_role("button", name="Load the demo club").click()
    page.locator(".game-list li").nth(2).wait_for()
    assert "Harbour Lane U16" in page.locator("#club").inner_text()
    page.locator(".thumb svg").nth(2).wait_for()
    page.goto(empty_house.url)
    assert page.url.endswith("/games"), "after the first start the games are home"


def test_one_can_start_empty_with_the_own_players(empty_house: Any, visit: Any) -> None:
    visitor = visit(empty_house)
    page = visitor.open("/")
    page.locator("#picture svg").wait_for()
    page.get_by_role("link", name="Start with my squad").click()
    page.get_by_label("name of the squad").fill("Pier Road U14")
    page.get_by_role("button", name="Add a player").click()
    page.keyboard.type("Nia")
    page.get_by_role("button", name="Add a player").click()
    page.keyboard.type("Olu")
    page.locator("#assumed").wait_for()
    saved(page)
    squad = squad_of(visitor)
    assert (squad["name"], [player["name"] for player in squad["players"]]) == ("Pier Road U14", ["Nia", "Olu"])
    assert page.locator("#club").inner_text() == "Pier Road U14 · 2 here"


def test_players_are_edited_in_place(house: Any, visit: Any) -> None:
    visitor = visit(house)
    page = visitor.open("/squad")
    row = page.locator(".players tbody tr").first
    row.get_by_label("height, cm").fill("169,5")
    row.get_by_label("grade").select_option("5")
    row.get_by_label("here").uncheck()
    assert "9 here" in page.locator(".sides").inner_text()
    page.get_by_role("button", name="Add a player").click()
    page.keyboard.type("Kit")
    saved(page)
    players = squad_of(visitor)["players"]
    assert (players[0]["height_cm"], players[0]["grade"], players[0]["here"]) == (169.5, 5, False)
    assert players[-1]["name"] == "Kit"
    page.get_by_role("button", name="Remove Kit").click()
    page.get_by_role("button", name="Undo").click()
    page.get_by_role("button", name="Undo").click()
    page.get_by_role("button", name="Undo").click()
    saved(page)
    assert len(squad_of(visitor)["players"]) == 10
    assert "No height" in page.locator("#assumptions").inner_text()


def test_a_pasted_squad_is_looked_at_before_anything_is_replaced(house: Any, visit: Any) -> None:
    visitor = visit(house)
    page = visitor.open("/squad")
    before = squad_of(visitor)
    paste = page.get_by_label("paste a table")
    paste.fill("name;height_cm;grade\nNia;1,82;3\nNia;300;9\n")
    page.get_by_role("button", name="Look at it").click()
    problems = page.locator(".found .problems li")
    problems.first.wait_for()
    assert problems.count() >= 3, "all problems at once"
    assert squad_of(visitor) == before

    paste.fill("name;height_cm;grade\nNia;182,5;3\nOlu;;4\n")
    page.get_by_role("button", name="Look at it").click()
    page.locator(".preview").wait_for()
    assert squad_of(visitor) == before
    page.get_by_role("button", name="Replace the squad").click()
    saved(page)
    assert [player["name"] for player in squad_of(visitor)["players"]] == ["Nia", "Olu"]
    page.get_by_role("button", name="Undo").click()
    saved(page)
    assert squad_of(visitor)["players"] == before["players"]
    assert all("422" in complaint for complaint in visitor.complaints)
    visitor.complaints.clear()


def test_the_squad_comes_out_as_a_file_that_can_be_read_back(house: Any, visit: Any) -> None:
    visitor = visit(house)
    page = visitor.open("/squad")
    with page.expect_download() as download:
        page.get_by_role("link", name="CSV").click()
    page.get_by_label("or open a file").set_input_files(download.value.path())
    page.locator(".preview").wait_for()
    assert "10 of them in the squad now, 0 new. 0 would leave." in page.locator(".preview").inner_text()


def test_games_are_begun_copied_removed_and_brought_back(house: Any, visit: Any) -> None:
    visitor = visit(house)
    page = visitor.open("/games")
    page.get_by_role("button", name=f"Copy {GAME}").click()
    page.get_by_label("name of the game").wait_for()
    assert page.get_by_label("name of the game").input_value() == f"{GAME} (copy)"
    page.goto(f"{house.url}/games")
    page.get_by_role("button", name="An empty game").click()
    page.locator(".board [data-figure='X3']").wait_for()
    page.goto(f"{house.url}/games")
    page.get_by_role("button", name=f"Remove {GAME} (copy)").click()
    back = page.get_by_role("button", name=f"Bring back {GAME} (copy)")
    back.wait_for()
    assert page.get_by_role("link", name=f"{GAME} (copy)").count() == 0
    back.click()
    page.get_by_role("link", name=f"{GAME} (copy)").wait_for()


def test_a_page_that_is_not_there_says_what_to_do(house: Any, visit: Any) -> None:
    visitor = visit(house)
    page = visitor.open("/games/nothing")
    assert page.get_by_role("link", name="To the games").is_visible()
    visitor.complaints.clear()  # the browser notes the 404


@pytest.mark.parametrize("address", ["/games", "/squad", "game"])
def test_pages_fit_a_phone(house: Any, visit: Any, address: str) -> None:
    visitor = visit(house, **PHONE)
    page = visitor.open(visitor.game(GAME) if address == "game" else address)
    page.locator(".board .grip, .thumb svg, .players tbody tr").first.wait_for(state="attached")
    page.evaluate("document.querySelectorAll('details').forEach(part => { part.open = true; })")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    overflowing = page.evaluate(
        """() => [...document.querySelectorAll('main table, main form, main ul')]
          .filter(part => part.checkVisibility() && part.getBoundingClientRect().right > 361)
          .map(part => part.outerHTML.slice(0, 80))"""
    )
    assert overflowing == []
    small = page.evaluate(
        """() => [...document.querySelectorAll('button, .button, select, main input[type=text], summary')]
          .filter(part => part.checkVisibility() && part.getBoundingClientRect().height < 44)
          .map(part => part.outerHTML.slice(0, 80))"""
    )
    assert small == [], "a finger needs 44 px"


def test_a_rule_is_added_on_a_phone(house: Any, visit: Any) -> None:
    visitor = visit(house, **PHONE)
    page = visitor.open(visitor.game(GAME))
    page.get_by_role("button", name="Add a constraint").tap()
    box = page.get_by_role("dialog").get_by_role("button", name="Done").bounding_box()
    assert box is not None
    assert box["x"] + box["width"] <= 360
    page.get_by_role("dialog").get_by_label("rule").select_option("weak hand")
    page.get_by_role("dialog").get_by_role("button", name="Done").tap()
    page.locator(".chip", has_text="finish with the weak hand").wait_for()
    page.get_by_role("button", name="Undo").tap()
    saved(page)


def test_a_figure_is_dragged_by_touch_on_a_phone_while_the_page_still_scrolls(house: Any, visit: Any) -> None:
    visitor = visit(house, **PHONE)
    address = visitor.game(GAME)
    page = visitor.open(address)
    page.locator(".figure .grip").first.wait_for(state="attached")
    page.locator("svg.board").scroll_into_view_if_needed()
    x, y = centre(page, "1")
    touch = visitor.context.new_cdp_session(page)

    def finger(kind: str, *points: tuple[float, float]) -> None:
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y} for x, y in points]})

    before = visitor.document(address)["start"]["placements"]
    scrolled = page.evaluate("scrollY")
    finger("touchStart", (x, y))
    for step in range(1, 6):
        finger("touchMove", (x, y + 12 * step))
    finger("touchEnd")
    saved(page)
    page.wait_for_function("() => document.querySelector('.status .saved').textContent !== 'saved'")
    assert visitor.document(address)["start"]["placements"] != before
    assert page.evaluate("scrollY") == scrolled, "a figure under the finger moves, not the page"
    handles = "[...document.querySelectorAll('svg.board, .grip')]"
    actions = page.evaluate(f"{handles}.map(part => getComputedStyle(part).touchAction)")
    assert actions[0] == "auto", "the rest of the board scrolls"
    assert set(actions[1:]) == {"none"}


def press_to(page: Page, name: str) -> None:
    """Tab until the element with that accessible name has the focus."""
    for _ in range(90):
        page.keyboard.press("Tab")
        told = page.evaluate("document.activeElement.ariaLabel ?? document.activeElement.textContent")
        if name in told:
            ring = page.evaluate("document.activeElement.matches(':focus-visible')")
            assert ring, "the focus is seen"
            return
    pytest.fail(f"Tab never reached “{name}”")


def test_the_whole_way_by_keyboard_alone(house: Any, visit: Any) -> None:
    visitor = visit(house)
    made = visitor.context.request.post(f"{house.url}/api/games", data={"starter": "two-to-read"}).json()
    address = f"/games/{made['id']}"
    page = visitor.open(address)
    page.locator(".figure .grip").first.wait_for(state="attached")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the content"
    page.keyboard.press("Enter")
    page.wait_for_timeout(400)
    assert "in-moment" not in (page.locator("#game").get_attribute("class") or "")
    assert "board shows" not in page.locator("#say").inner_text(), "the address of the link opens nothing"
    press_to(page, "attacker 1")
    for key in ("ArrowLeft", "ArrowLeft", "Shift+ArrowDown"):
        page.keyboard.press(key)
    page.wait_for_function("() => /attacker 1: .* m from X1/.test(document.getElementById('say').textContent)")
    saved(page)
    moved = next(item for item in visitor.document(address)["start"]["placements"] if item["figure"] == "1")["at"]
    start = next(item for item in made["document"]["start"]["placements"] if item["figure"] == "1")["at"]
    spots = visitor.context.request.get(f"{house.url}/api/vocabulary").json()["courts"]["fiba"]["spots"]
    x, y = spots[start] if isinstance(start, str) else start
    assert moved == pytest.approx([x - 0.2, y + 0.5], abs=0.011)

    press_to(page, "Add a constraint")
    page.keyboard.press("Enter")
    page.locator("dialog[open]").wait_for()
    page.keyboard.press("Escape")
    assert "Add a constraint" in page.evaluate("document.activeElement.textContent"), "the focus comes back"
    page.keyboard.press("Enter")
    page.keyboard.type("finish with")
    press_to(page, "Done")
    page.keyboard.press("Enter")
    page.locator(".chip", has_text="finish with the weak hand").wait_for()
    page.keyboard.press("Control+z")
    page.keyboard.press("Control+z")
    saved(page)
    assert visitor.document(address) == made["document"]
    press_to(page, "Run the trial")
    press_to(page, "Print the sheet")


def test_light_dark_and_lengths_are_chosen_and_remembered(house: Any, visit: Any) -> None:
    visitor = visit(house, color_scheme="light")
    page = visitor.open(visitor.game(GAME))
    page.locator(".figure .grip").first.wait_for(state="attached")

    def paper() -> str:
        return str(page.evaluate("getComputedStyle(document.documentElement).backgroundColor"))

    light = paper()
    page.get_by_label("dark", exact=True).check()
    dark = paper()
    assert light != dark
    page.get_by_label("feet", exact=True).check()
    page.locator(".rule-bar text", has_text="10 ft").wait_for()
    page.reload()
    page.locator(".rule-bar text", has_text="10 ft").wait_for()
    assert paper() == dark
    page.get_by_label("as the device", exact=True).check()
    assert paper() == light
    page.evaluate("localStorage.clear()")


@pytest.mark.parametrize("look", ["light", "dark"])
def test_text_stands_out_from_its_ground(house: Any, visit: Any, look: str) -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1 for text; 1.4.11: 3 to 1 for the edges of fields."""
    visitor = visit(house, color_scheme=look)
    page = visitor.open("/squad")
    names = ("paper", "sheet", "ink", "soft", "attack", "defend", "edge", "focus")
    read = "names => names.map(name => getComputedStyle(document.documentElement).getPropertyValue('--' + name))"
    colours = page.evaluate(read, list(names))
    found = dict(zip(names, colours, strict=True))
    for ground in ("paper", "sheet"):
        for ink in ("ink", "soft", "attack", "defend"):
            assert contrast(found[ink], found[ground]) >= 4.5, (ink, ground)
        for line in ("edge", "focus"):
            assert contrast(found[line], found[ground]) >= 3, (line, ground)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours as WCAG defines it."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    """Relative luminance of ``#rrggbb`` (WCAG 2.2)."""
    match = re.fullmatch(r"#(..)(..)(..)", colour.strip())
    assert match is not None, colour
    parts = [int(part, 16) / 255 for part in match.groups()]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_a_library_game_is_found_by_its_sides_and_grows(house: Any, visit: Any) -> None:
    """From the list to a 1-on-1, and from there to 3-on-3 with the first one to compare with."""
    visitor = visit(house)
    page = visitor.open("/games")
    page.get_by_role("button", name="+ One Step Ahead").wait_for()
    page.get_by_label("Sides of the games to begin with").select_option("1 on 1")
    assert page.locator("#begin .add:visible").count() == 1 + 3
    page.get_by_label("Sides of the games to begin with").select_option("2 on 2")
    drawn = page.get_by_role("button", name="+ Hand It Over")
    assert drawn.is_visible()
    page.get_by_label("with a trial only").check()
    assert not drawn.is_visible()
    page.get_by_label("Sides of the games to begin with").select_option("1 on 1")
    page.get_by_role("button", name="+ One Step Ahead").click()

    page.locator(".figure .grip").first.wait_for(state="attached")
    page.get_by_role("button", name="3-on-3", exact=True).click()
    page.wait_for_url("**/games/*?from=*")
    page.locator(".figure .grip").first.wait_for(state="attached")
    assert page.locator(".board [data-figure='X3']").count()
    assert page.get_by_label("compared with").locator("option:checked").text_content() == (
        "One Step Ahead, which it was made from"
    )
    assert page.locator(".grow").is_hidden()
