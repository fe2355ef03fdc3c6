"""The floor in a real browser: one tap a result, two with who, three with where; nothing lost when the server is."""

from __future__ import annotations

import re
import shutil
from typing import TYPE_CHECKING, Any

import pytest

from courtwright.live import fold
from courtwright.vocabulary import Fact

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser
GAME = "Low Man's Call"
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
LEAST_CONTRAST = 7.0
AWAY = re.compile("waiting for the server")


def begun(house: Any, visit: Any, **options: Any) -> Page:
    """A run of a game that has just been begun, as a coach would."""
    page: Page = visit(house, **options).open("/floor")
    page.get_by_text(GAME, exact=False).first.click()
    page.get_by_role("button", name="Play").click()
    page.locator(".keys").wait_for()
    page.locator(".safe", has_text="saved").wait_for()
    return page


def tap(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def score(page: Page) -> list[str]:
    return page.locator(".bar .score strong").all_inner_texts()


def wait_score(page: Page, *points: int) -> None:
    page.wait_for_function(
        "points => [...document.querySelectorAll('.score strong')].map(part => part.textContent).join() === points",
        arg=",".join(map(str, points)),
    )


def settled(page: Page) -> None:
    """Wait until the server has everything."""
    page.locator(".safe", has_text=re.compile("^saved$")).wait_for()


def hold(page: Page) -> list[Any]:
    """Keep what the page sends on its way."""
    held: list[Any] = []
    page.route("**/facts", lambda route: held.append(route))  # noqa: PLW0108 (the driver wants a function of its own)
    return held


def let_go(page: Page, held: list[Any]) -> None:
    for route in held:
        route.continue_()
    page.unroute("**/facts")


def kept(house: Any, visit: Any, page: Page, **options: Any) -> dict[str, Any]:
    """The state the server's facts fold to."""
    run = page.url.rsplit("/", 1)[-1]
    answer = visit(house, **options).context.request.get(f"{house.url}/api/runs/{run}").json()
    return fold(answer["opening"], map(Fact.from_json, answer["facts"])).to_json()


def test_one_tap_is_a_result_two_say_who_three_say_where_and_one_undoes(house: Any, visit: Any) -> None:
    page = begun(house, visit)

    tap(page, "score, three")
    wait_score(page, 3, 0)
    who = page.locator(".ask .figure").first
    name = who.inner_text().split()[-1]
    who.click()
    page.locator(".last .what", has_text=f"{name}: score, three").wait_for()
    court = page.locator(".tap-court").bounding_box()
    assert court is not None
    page.mouse.click(court["x"] + court["width"] / 2, court["y"] + court["height"] * 0.9)
    page.locator(".ask .place").wait_for(state="detached")
    settled(page)

    (one,) = kept(house, visit, page)["possessions"]
    detail = one["calls"][0]["detail"]
    assert (detail["zone"], one["figures"][detail["who"]], one["points"]) == ("three", name, [3, 0])
    assert detail["place"] == pytest.approx([0.0, 8.3], abs=0.3)

    tap(page, "Undo")
    wait_score(page, 0, 0)
    settled(page)
    assert kept(house, visit, page)["possessions"] == []


def test_a_switch_changes_later_points_only_and_the_last_ten_are_beside_it(house: Any, visit: Any) -> None:
    page = begun(house, visit)
    tap(page, "score, rim")
    wait_score(page, 2, 0)
    chip = page.get_by_role("button", name=re.compile("basket as the court counts it"))
    chip.click()
    page.locator(".chip[aria-pressed=false]").wait_for()
    tap(page, "score, rim")
    tap(page, "miss, defence has it")
    wait_score(page, 2, 1)

    assert page.locator(".dots").get_attribute("aria-label") == "1: make rim; 2: make rim; 3: stop"
    chip.click()
    page.wait_for_function("() => !document.querySelector('.chip[aria-pressed=false]')")
    tap(page, "score, mid")
    wait_score(page, 4, 1)


def test_a_qualifier_is_asked_only_where_a_rule_needs_it(house: Any, visit: Any) -> None:
    page = begun(house, visit)
    tap(page, "Violation")  # three limits are in force: which one was it?
    page.get_by_role("button", name="shot within 10 s", exact=True).last.click()
    page.locator(".last .what", has_text="violation, shot clock").wait_for()
    tap(page, "score, rim")
    page.get_by_role("group", name="off a kick-out?").get_by_role("button", name="yes").click()
    wait_score(page, 3, 1)
    assert page.get_by_role("group", name="assist?").count() == 0


def test_freeze_a_cue_and_run_it_again_counts_once(house: Any, visit: Any) -> None:
    page = begun(house, visit)
    page.get_by_role("button", name=re.compile("start the clock")).click()
    page.get_by_role("button", name=re.compile("stop the clock")).wait_for()
    page.get_by_role("button", name=re.compile("^Freeze")).click()
    page.get_by_role("button", name=re.compile("start the clock")).wait_for()
    page.locator(".cues button").first.click()
    cue = page.locator(".cues button").first.inner_text()
    page.locator(".frozen .cue", has_text=cue).wait_for()
    tap(page, "Run it again")
    page.locator(".keys").wait_for()
    tap(page, "score, rim")
    wait_score(page, 2, 0)
    settled(page)

    (one,) = kept(house, visit, page)["possessions"]
    assert (one["replays"], one["ended_in"], one["freezes"][0]["cue"]) == (1, 1, cue)


def test_two_scorers_give_one_result_also_called_by(house: Any, visit: Any) -> None:
    page = begun(house, visit)
    other = visit(house, **PHONE).open(page.url.removeprefix(house.url))
    other.locator(".keys").wait_for()
    settled(other)
    # both tap before either has heard of the other
    held = hold(page)
    tap(page, "score, mid")
    other.get_by_role("button", name="score, mid", exact=True).tap()
    other.locator(".ask .figure").first.tap()
    let_go(page, held)
    page.locator(".last .what", has_text="also called by 1 other device").wait_for()
    wait_score(page, 2, 0)
    wait_score(other, 2, 0)
    settled(page)

    (one,) = kept(house, visit, page)["possessions"]
    assert len(one["calls"][0]["called_by"]) == 2
    assert one["unsettled"] == []
    assert "who" in one["calls"][0]["detail"]


def test_what_devices_do_not_agree_on_is_shown_and_put_right_with_a_tap(house: Any, visit: Any) -> None:
    page = begun(house, visit)
    other = visit(house, **PHONE).open(page.url.removeprefix(house.url))
    other.locator(".keys").wait_for()
    settled(other)
    held = hold(page)
    tap(page, "score, mid")
    other.get_by_role("button", name="score, three", exact=True).tap()
    let_go(page, held)
    page.locator(".settle summary", has_text="1 to look at").click()
    page.locator(".settle").get_by_role("button", name="three", exact=True).click()
    wait_score(page, 3, 0)
    page.locator(".settle").wait_for(state="hidden")


def test_a_server_that_is_away_loses_nothing_and_a_reload_brings_everything_back(house: Any, visit: Any) -> None:
    visitor = visit(house)
    page = begun(house, visit)
    tap(page, "score, three")
    settled(page)
    house.stop()
    try:
        visitor.complaints.clear()
        for name in ("Turnover", "score, rim", "miss, defence has it"):
            tap(page, name)
        page.locator(".safe", has_text=AWAY).wait_for()
        wait_score(page, 5, 2)
    finally:
        house.start()
    settled(page)
    assert [one["result"] for one in kept(house, visit, page)["possessions"]] == [
        "make three",
        "turnover",
        "make rim",
        "stop",
    ]
    page.reload()
    wait_score(page, 5, 2)
    visitor.complaints.clear()  # the browser notes what could not be reached


def test_a_failing_server_is_tried_again_and_what_it_refuses_is_shown(house: Any, visit: Any) -> None:
    visitor = visit(house)
    page = begun(house, visit)
    answers = iter([503, 500])

    def unwell(route: Any) -> None:
        status = next(answers, 0)
        route.fulfill(status=status, body="") if status else route.continue_()

    page.route("**/facts", unwell)
    tap(page, "score, rim")
    wait_score(page, 2, 0)
    settled(page)
    assert next(answers, None) is None

    page.unroute("**/facts")
    refusal = {"problems": [{"place": "fact", "what": "is not to its liking", "mend": "Tell it anew."}]}
    page.route("**/facts", lambda route: route.fulfill(status=422, json=refusal))
    tap(page, "Turnover")
    page.locator(".settle summary", has_text="1 to look at").click()
    assert "is not to its liking" in page.locator(".settle").inner_text()
    page.unroute("**/facts")
    page.reload()
    page.locator(".settle summary", has_text="1 to look at").click()
    tap(page, "send it again")
    wait_score(page, 2, 1)
    settled(page)
    visitor.complaints.clear()


def test_more_undoes_any_fact_tells_late_and_ends_the_run(house: Any, visit: Any) -> None:
    page = begun(house, visit)
    tap(page, "score, rim")
    tap(page, "Turnover")
    tap(page, "More")
    page.get_by_role("button", name="undo score, rim").click()
    page.get_by_role("button", name="Close").click()
    wait_score(page, 0, 1)
    tap(page, "More")
    page.locator("dialog").get_by_role("button", name="score, three", exact=True).click()  # missed after number 2
    wait_score(page, 3, 1)
    tap(page, "More")
    for field, points in zip(page.locator("dialog input[type=number]").all(), ("3", "2"), strict=True):
        field.fill(points)
    tap(page, "they say")
    tap(page, "More")
    page.get_by_text("Last called 3 : 2, logged 3 : 1").wait_for()
    tap(page, "end the run")
    page.locator(".keys.over").wait_for()
    settled(page)

    state = kept(house, visit, page)
    assert (state["over"], state["score"], state["claims"][0]["agrees"]) == ("called", [3, 1], False)
    assert [(one["number"], one["inserted"]) for one in state["possessions"]] == [(2, 0), (2, 1)]


def test_who_goes_and_comes_changes_who_stands_there(house: Any, visit: Any) -> None:
    page = begun(house, visit)
    leaves = page.locator(".attacking .name").first.inner_text()
    tap(page, "More")
    page.get_by_label(f"{leaves} is").select_option("away")
    page.wait_for_function("name => document.querySelector('.attacking .name').textContent !== name", arg=leaves)
    page.get_by_placeholder("somebody who has come").fill("Kit")
    tap(page, "is here")
    page.get_by_label("Kit is").wait_for()
    tap(page, "new turns for those who are here")
    page.locator(".last .what", has_text="rota changed").wait_for(state="attached")
    settled(page)

    state = kept(house, visit, page)
    coming = {*state["figures"].values(), *state["off"]}
    assert leaves not in coming
    assert "Kit" in coming


def test_the_floor_fits_a_phone_with_room_for_a_thumb_and_contrast_for_a_loud_gym(house: Any, visit: Any) -> None:
    page = begun(house, visit, **PHONE)
    page.get_by_role("button", name="score, three", exact=True).tap()
    page.locator(".ask").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.evaluate(
        """() => [...document.querySelectorAll('button, select, input, summary')]
          .filter(part => part.checkVisibility())
          .filter(part => { const { width, height } = part.getBoundingClientRect(); return width < 64 || height < 64; })
          .map(part => part.outerHTML.slice(0, 80))"""
    )
    assert small == []
    weak = page.evaluate(CONTRAST, LEAST_CONTRAST)
    assert weak == []


CONTRAST = """least => {
  const parse = text => text.match(/[\\d.]+/g).map(Number);
  const light = ([r, g, b]) => [r, g, b].map(part => part / 255)
    .map(part => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4)
    .reduce((sum, part, index) => sum + part * [0.2126, 0.7152, 0.0722][index], 0);
  const behind = part => {
    for (let here = part; here; here = here.parentElement) {
      const [r, g, b, a = 1] = parse(getComputedStyle(here).backgroundColor);
      if (a === 1) return [r, g, b];
    }
    return [16, 21, 27];
  };
  return [...document.querySelectorAll('main *')]
    .filter(part => part.checkVisibility() && !part.matches(':disabled'))
    .filter(part => [...part.childNodes].some(node => node.nodeType === 3 && node.textContent.trim()))
    .map(part => {
      const [one, other] = [light(parse(getComputedStyle(part).color)), light(behind(part))].sort((a, b) => b - a);
      return [part.textContent.slice(0, 30), (one + 0.05) / (other + 0.05)];
    })
    .filter(([, ratio]) => ratio < least)
    .map(([text, ratio]) => `${text}: ${ratio.toFixed(1)}`);
}"""
"""Contrast as WCAG 2.2 defines it, of every text against what it lies on."""


def test_keys_alone_are_enough(house: Any, visit: Any) -> None:
    page = begun(house, visit)
    page.get_by_role("button", name="miss, defence has it").focus()
    page.keyboard.press("Enter")
    page.locator(".ask .figure").first.focus()
    page.keyboard.press("Space")
    page.get_by_role("button", name="Undo").focus()
    page.keyboard.press("Enter")
    page.locator(".last .what", has_text="nothing told yet").wait_for()
    page.get_by_role("button", name="More").focus()
    page.keyboard.press("Enter")
    page.locator("dialog[open]").wait_for()
    page.keyboard.press("Escape")
    page.locator("dialog[open]").wait_for(state="hidden")
    assert page.evaluate("document.activeElement.textContent") == "More"


def test_the_players_screen_follows_and_tells_nobodys_errors(house: Any, visit: Any) -> None:
    page = begun(house, visit)
    screen = visit(house).open(page.url.removeprefix(house.url) + "/players")
    screen.locator(".score strong").first.wait_for()
    tap(page, "Turnover")
    page.locator(".ask .figure").first.click()
    tap(page, "score, three")
    wait_score(screen, 3, 1)
    assert "possession 3" in screen.locator(".where").inner_text()
    assert "turnover" not in screen.locator("body").inner_text().lower()
    screen.get_by_role("button", name="start cue").click()
    screen.get_by_role("button", name="ready").wait_for()
    screen.get_by_role("button", name="go").wait_for(timeout=8_000)


def test_a_whole_practice_from_attendance_to_done(house: Any, visit: Any) -> None:  # noqa: PLR0915 (a practice is long)
    visitor = visit(house)
    page = visitor.open("/floor")
    page.get_by_text(GAME, exact=False).first.click()
    page.get_by_text("Jun", exact=True).click()  # is not here today
    page.get_by_text("far basket").click()
    page.get_by_label("what you may watch for").fill("talked early")
    page.get_by_role("button", name="Play").click()
    page.locator(".keys").wait_for()
    tap(page, "More")
    tap(page, "not watched")
    page.get_by_role("button", name="yes", exact=True).click()
    page.locator(".ask .figure").first.click()
    page.get_by_role("button", name=re.compile("start the clock")).click()
    tap(page, "score, rim")
    wait_score(page, 2, 0)
    page.reload()
    wait_score(page, 2, 0)
    settled(page)

    house.stop()
    try:
        visitor.complaints.clear()
        tap(page, "miss, attack has it")
        tap(page, "score, three")
        page.get_by_role("button", name=re.compile("stop \\+1")).click()  # stops pay no more
        tap(page, "Turnover")
        wait_score(page, 5, 0)
        page.get_by_role("button", name=re.compile("^Freeze")).click()
        page.locator(".frozen").get_by_role("button", name="Run it again").click()
        tap(page, "score, mid")  # a replay of what has its result
        page.locator(".safe", has_text=AWAY).wait_for()
    finally:
        house.start()
    settled(page)
    wait_score(page, 5, 0)
    tap(page, "More")
    leaves = page.locator(".here li span").first.inner_text()
    page.get_by_label(f"{leaves} is").select_option("away")
    tap(page, "Close")
    tap(page, "Turnover")
    tap(page, "More")
    tap(page, "end the run")
    page.locator(".keys.over").wait_for()
    page.reload()
    page.locator(".keys.over").wait_for()
    settled(page)
    visitor.complaints.clear()  # the browser notes what could not be reached

    state = kept(house, visit, page)
    assert [(one["result"], one["points"]) for one in state["possessions"]] == [
        ("make rim", [2, 0]),
        ("make three", [3, 0]),
        ("turnover", [0, 0]),
        ("turnover", [0, 0]),
    ]
    assert (state["score"], state["over"], state["attendance"]) == ([5, 0], "called", {leaves: "away"})
    assert [one["replays"] for one in state["possessions"]] == [0, 0, 1, 0], "what was replayed counts once"
    (tagged,) = state["tags"]["talked early"]["players"].values()
    assert tagged == {"did": 1, "opportunities": 1}
    assert "Jun" not in {name for one in state["possessions"] for name in one["figures"].values()}


def test_a_server_that_was_set_back_to_an_older_backup_gets_everything_again(house: Any, visit: Any) -> None:
    visitor = visit(house)
    page = begun(house, visit)
    tap(page, "score, three")
    wait_score(page, 3, 0)
    settled(page)
    house.stop()
    older = house.path.with_suffix(".older")
    shutil.copy(house.path, older)
    house.start()
    for name, points in (("score, rim", 5), ("score, mid", 7)):
        tap(page, name)
        wait_score(page, points, 0)
    settled(page)
    house.stop()
    try:
        for leftover in house.path.parent.glob(f"{house.path.name}-*"):
            leftover.unlink()
        shutil.copy(older, house.path)
    finally:
        house.start()

    run = page.url.rsplit("/", 1)[-1]
    for _ in range(100):
        answer = visitor.context.request.get(f"{house.url}/api/runs/{run}").json()
        if answer["last"] == 3:
            break
        page.wait_for_timeout(100)
    assert fold(answer["opening"], map(Fact.from_json, answer["facts"])).to_json()["score"] == [7, 0]
    settled(page)
    visitor.complaints.clear()  # the browser notes what could not be reached
