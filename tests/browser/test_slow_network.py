"""A sheet whose answers come late: what was clicked meanwhile must not be lost."""

import contextlib
import re
from collections.abc import Iterator

import pytest

from tests.browser.conftest import WAITS
from tests.browser.test_page import write

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect

pytestmark = [
    pytest.mark.kind(name="browser walk"),
    pytest.mark.slow("a further walk, after the main one"),
]

PARTS = '4 pcs 3x3x1/8 sq tube 80 1/2"'
TWICE = PARTS + "\n2 pcs 3x3x1/8 sq tube 6-8\n3 pcs 3x3x1/8 sq tube 5-4"
ADDED = "SHS 3x3x1/8  20 ft"


COUNT = """() => {
  const kept = document.documentElement.dataset;
  for (const [event, name] of [["htmx:confirm", "asked"], ["htmx:afterOnLoad", "answers"]]) {
    kept[name] = 0;
    document.addEventListener(event, () => { kept[name] = Number(kept[name]) + 1; });
  }
}"""


class Held:
    """A sheet whose requests wait until the test lets them go."""

    def __init__(self, page) -> None:
        self.page = page
        self.waiting = []
        self.answers = 0
        page.evaluate(COUNT)
        page.route("**/sheet", lambda route: self.waiting.append(route))  # noqa: PLW0108  the driver marks its handlers

    def until(self, number: int) -> None:
        """Wait until some number of requests is held."""
        for _ in range(WAITS // 20):
            if len(self.waiting) >= number:
                return
            self.page.wait_for_timeout(20)  # only lets the driver hear; what counts is the request
        raise AssertionError(f"{len(self.waiting)} of {number} requests came")

    def let_go(self) -> None:
        """Let the oldest request go, and wait until its answer is on the page."""
        self.answers += 1
        self.waiting.pop(0).continue_()
        expect(self.page.locator("html")).to_have_attribute("data-answers", str(self.answers))

    def press(self, button) -> None:
        """Put the mouse's button down on something, and leave it there."""
        button.scroll_into_view_if_needed()
        box = button.bounding_box()
        self.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        self.page.mouse.down()

    def settle(self) -> None:
        """Let everything go, and wait until the sheet asks no more."""
        for route in self.waiting:
            route.continue_()
        self.waiting.clear()
        self.page.unroute("**/sheet")
        expect(self.page.locator("#sheet")).not_to_have_class(re.compile("htmx-request"))


@pytest.fixture
def hold(open_page) -> Iterator:
    pages = []

    def held(text: str) -> Held:
        page = open_page()
        write(page, "parts", text)
        expect(page.locator("#sheet")).not_to_have_class(re.compile("htmx-request"))
        pages.append(page)
        return Held(page)

    yield held
    for page in pages:
        with contextlib.suppress(Exception):
            page.unroute_all(behavior="ignoreErrors")


def added(page) -> None:
    """The line that was clicked stands in the list, once, and was answered."""
    expect(page.locator("#sticks")).to_have_value(ADDED)
    page.wait_for_selector("#said")


def test_a_click_out_of_a_field_counts_when_the_fields_own_request_goes_first(hold) -> None:
    held = hold(PARTS)
    page = held.page
    page.locator("#kerf").press_sequentially("1/8")
    held.press(page.get_by_role("button", name="20 ft"))
    held.until(1)  # leaving the field asked, before the click was complete
    page.mouse.up()
    held.let_go()
    held.settle()
    added(page)
    assert "The saw takes 1⁄8 in a cut" in page.inner_text("#result")


def test_a_click_counts_when_its_button_was_written_anew_under_the_finger(hold) -> None:
    held = hold(PARTS)
    page = held.page
    page.locator("#kerf").press_sequentially("1/8")
    held.press(page.get_by_role("button", name="20 ft"))
    held.until(1)
    held.let_go()
    page.mouse.up()
    held.settle()
    added(page)


def test_a_click_taken_back_does_not_count(hold) -> None:
    held = hold(PARTS)
    page = held.page
    page.locator("#kerf").press_sequentially("1/8")
    held.press(page.get_by_role("button", name="20 ft"))
    held.until(1)
    held.let_go()
    page.mouse.move(2, 2)
    page.mouse.up()
    held.settle()
    page.locator("#trim").fill("1/4")
    page.locator("#trim").press("Tab")
    expect(page.locator("#sheet")).not_to_have_class(re.compile("htmx-request"))
    expect(page.locator("#sticks")).to_have_value("")


def test_a_click_counts_when_a_later_change_takes_its_place_in_the_queue(hold) -> None:
    held = hold(PARTS)
    page = held.page
    page.fill("#kerf", "1/8")
    page.locator("#kerf").press("Tab")
    held.until(1)
    page.get_by_role("button", name="20 ft").click()
    page.select_option("#saw", index=1)
    expect(page.locator("html")).to_have_attribute("data-asked", "3")
    held.let_go()
    held.settle()
    added(page)


def test_each_of_two_clicks_counts_once(hold) -> None:
    held = hold(TWICE)
    page = held.page
    page.fill("#kerf", "1/8")
    page.locator("#kerf").press("Tab")
    held.until(1)
    page.locator("#open-parts fieldset").nth(1).get_by_role("button", name="5' 4\"", exact=True).click()
    page.locator("#open-parts fieldset").nth(0).get_by_role("button", name="6' 8\"", exact=True).dblclick()
    page.get_by_role("button", name="20 ft").dblclick()
    held.let_go()
    held.settle()
    expect(page.locator("#parts")).to_have_value(PARTS + "\n2 pcs 3x3x1/8 sq tube 6' 8\"\n3 pcs 3x3x1/8 sq tube 5' 4\"")
    added(page)


def test_a_click_whose_request_failed_goes_with_the_next_one(chromium, served) -> None:
    with contextlib.closing(chromium.new_context(base_url=served.url)) as context:
        page = context.new_page()
        page.goto("/")
        write(page, "parts", PARTS)
        expect(page.locator("#sheet")).not_to_have_class(re.compile("htmx-request"))
        page.route("**/sheet", lambda route: route.abort())
        with page.expect_event("requestfailed"):
            page.get_by_role("button", name="20 ft").click()
        page.unroute("**/sheet")
        page.fill("#kerf", "1/8")
        page.locator("#kerf").press("Tab")
        added(page)
