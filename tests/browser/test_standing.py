"""The one line that always stands in view: what the answer on the page says, or that it isn't worked out."""

import re

import pytest

from tests.browser.test_page import WIDTHS, in_view, over, write
from tests.served import long_job

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect
pytestmark = [
    pytest.mark.kind(name="browser walk"),
    pytest.mark.slow("a further walk, after the main one"),
]


def amounts(page) -> set[str]:
    """Every sum of the answer that can be seen, wherever it stands."""
    shown = [
        page.inner_text(f"{where}:visible") for where in ("#standing", "#said") if page.locator(where).is_visible()
    ]
    return {amount for text in shown for amount in re.findall(r"[A-Z]{3} [\d,.]+\d", text)}


@WIDTHS
def test_the_sum_in_view_is_that_of_the_sheet_as_it_is_written(open_page, wide: int) -> None:
    page = open_page(wide)
    write(page, "parts", "4 pcs SHS 3x3x1/8 80 in\n7 pcs FLAT 2x1/4 20 in")
    expect(page.locator("#standing")).to_contain_text("Not worked out")
    write(page, "sticks", "SHS 3x3x1/8 20 ft $60\nFLAT 2x1/4 20 ft $40")
    expect(page.locator("#standing")).to_contain_text("USD 160.00")
    over(page)
    assert amounts(page) == {"USD 160.00"}
    held = []
    page.route("**/answer*", lambda route: held.append(route))  # noqa: PLW0108  the driver marks its handlers
    write(page, "parts", "8 pcs SHS 3x3x1/8 80 in\n7 pcs FLAT 2x1/4 20 in")
    expect(page.locator("#standing")).to_contain_text(re.compile("USD 280.00|Being worked out"))
    assert "USD 160.00" not in amounts(page)
    page.unroute("**/answer*")
    for route in held:
        route.continue_()
    expect(page.locator("#standing")).to_contain_text("USD 280.00")
    over(page)
    assert amounts(page) == {"USD 280.00"}
    write(page, "parts", "8 pcs SHS 3x3x1/8\n7 pcs FLAT 2x1/4 20 in")
    expect(page.locator("#standing")).to_contain_text("Not worked out")
    assert amounts(page) == set()
    assert not page.locator("#result").is_visible()
    assert in_view(page, "#standing")


def test_a_tap_on_a_thin_bar_leads_to_its_drawing(open_page) -> None:
    page = open_page(390)
    page.click("text=Show me with a filled-in sheet")
    page.wait_for_selector("#said")
    over(page)
    thin = page.locator(".glance a")
    assert thin.count() == page.locator(".layout").count()
    thin.last.click()
    expect(page.locator(".layout h4").last).to_be_in_viewport()


def test_while_a_search_goes_on_the_line_says_so_and_the_bound_is_drawn(open_page, served) -> None:
    sent = served.post(long_job(), limit=60).json()
    page = open_page(path=f"/plans/{sent['id']}")
    expect(page.locator("#standing")).to_contain_text("best so far")
    expect(page.locator("#searching .closing")).to_be_visible()
    page.click("text=Stop and keep the best")
    expect(page.locator("#standing")).to_contain_text("more could be saved")
    expect(page.locator("#searching .closing")).to_have_count(0)
