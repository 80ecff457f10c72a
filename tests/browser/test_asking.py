"""Questions about a pasted list in a real browser: one answer for all alike, set aside, back, and what a word is."""

import re

import pytest

from tests.browser.test_page import axe, fits, write

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect
pytestmark = pytest.mark.kind(name="browser walk")

PARTS = """Hi Pat, order 4711
4 - SHS 40x40x3 @ 1200 posts
2 - SHS 40x40x3 1.500 mm
3 - SHS 40x40x3 1.300 mm
24 bolts M10"""

MARGIN = 1150
"""A width at which readings stand in the margin of their list."""


def tap(page, line: int, at: int) -> None:
    """Put the caret into a line of the parts, as a tap on a word does, and let the page know."""
    page.evaluate(
        """([line, at]) => {
            const area = document.getElementById("parts");
            const start = area.value.split("\\n").slice(0, line - 1).join("\\n").length + (line > 1 ? 1 : 0) + at;
            area.setSelectionRange(start, start);
            area.dispatchEvent(new MouseEvent("click", { bubbles: true }));
        }""",
        [line, at],
    )


@pytest.mark.parametrize("wide", [390, 1280])
def test_questions_are_answered_for_all_and_lines_come_back(open_page, wide: int) -> None:
    page = open_page(wide)
    write(page, "parts", PARTS)
    expect(page.locator("#open-parts fieldset")).to_have_count(2)
    assert axe(page) == []
    assert fits(page)
    page.get_by_role("button", name="1500 mm, in all 2 lines").click()
    expect(page.locator("#open-parts fieldset")).to_have_count(0)
    expect(page.locator("#parts")).to_have_value(re.compile(r"1500 mm\n3 - SHS 40x40x3 1300 mm\n"))
    tap(page, 2, 6)
    expect(page.locator("#taken-parts")).to_have_text("SHS 40x40x3: section")
    tap(page, 2, 24)
    expect(page.locator("#taken-parts")).to_have_text("posts: note")
    tap(page, 5, 4)
    expect(page.locator("#taken-parts")).to_have_text("24 bolts M10: also needed")
    assert axe(page) == []
    page.get_by_role("button", name="24 bolts M10").click()
    expect(page.locator("#parts")).to_have_value(re.compile(r"24 bolts M10 \(a part\)$"))
    page.locator("#open-parts fieldset").get_by_role("button", name="not a part", exact=True).click()
    expect(page.locator("#open-parts fieldset")).to_have_count(0)
    expect(page.locator("#parts")).to_have_value(re.compile(r"24 bolts M10 \(not a part\)$"))
    assert fits(page)
    assert axe(page) == []
    write(page, "parts", "SHS 40x40x3: 1200 (4), 950 (2), 640 (8), 1580 (2)\n2 - SHS 40x40x3 @ 700")
    page.set_viewport_size({"width": min(MARGIN, wide), "height": 900})
    reading = page.locator("#echo-parts .several .reading")
    expect(reading).to_contain_text("P4: 2 x SHS 40x40x3 x 1580 mm")
    assert reading.evaluate(
        "it => it.getBoundingClientRect().right <= it.closest('.margin').getBoundingClientRect().right"
    )
    assert reading.evaluate("it => it.parentElement.scrollWidth <= it.parentElement.clientWidth")
    assert fits(page)
    assert axe(page) == []
