"""Buying from yards on the page, in a real browser, wide and narrow, with a script and without."""

import re

import pytest

from tests.browser.test_page import WIDTHS, axe, cost, fits, over, write

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect

pytestmark = [
    pytest.mark.kind(name="browser walk"),
    pytest.mark.slow("a further walk, after the main one"),
]

PARTS = "8 - SHS 2x2x1/8 @ 80 1/2 posts, or SHS 2x2x3/16 (heavier)\n6 - SHS 2x2x1/8 @ 30"
STICKS = """\
Harbour Steel:
SHS 2x2x1/8 20 ft $61.40, from 2: $57.90
North Yard Metals:
SHS 2x2x3/16 20 ft $51.40"""
TERMS = {"yard-1-delivery": "45", "yard-1-tax": "8.25", "yard-1-cut_charge": "2.50", "yard-1-allowance": "1/4"}


def fill(page, field: str, text: str) -> None:
    """Fill in a blank and wait until the sheet has answered."""
    with page.expect_response(lambda answer: answer.url.endswith("/sheet")):
        page.fill(f"#{field}", text)
        page.locator(f"#{field}").blur()


def lists(page) -> None:
    write(page, "parts", PARTS)
    write(page, "sticks", STICKS)
    page.wait_for_selector("#said")
    over(page)


@WIDTHS
def test_from_two_price_lists_to_what_each_choice_is_worth(open_page, wide: int) -> None:
    page = open_page(wide)
    lists(page)
    assert page.locator("#buying").get_attribute("open") is None
    before = cost(page)
    write(page, "rack", '2 pcs SHS 2x2x1/8 81" $12')
    question = page.locator("#open-rack fieldset")
    expect(question).to_contain_text("which yard is this line from?")
    with page.expect_response(lambda answer: answer.url.endswith("/sheet")):
        question.get_by_role("button", name="North Yard Metals").click()
    expect(page.locator("#rack")).to_have_value('North Yard Metals:\n2 pcs SHS 2x2x1/8 81" $12')
    page.click("#buying summary")
    page.get_by_role("button", name="terms of Harbour Steel").click()
    expect(page.locator("#yard-1-name")).to_have_value("Harbour Steel")
    for field, text in TERMS.items():
        fill(page, field, text)
    fill(page, "longest", "13 ft")
    expect(page.locator("#said")).to_contain_text("North Yard Metals")
    over(page)
    assert cost(page) < before + 45
    assert axe(page) == []
    assert fits(page)
    page.click("#ask-comparison")
    ways = page.locator("#ways tbody tr")
    expect(ways).to_have_count(6)
    expect(page.locator("#comparison")).not_to_have_attribute("hx-get", re.compile("."))
    expect(ways.filter(has_text="without the rack")).to_contain_text("nothing cheaper exists")
    expect(ways.filter(has_text="North Yard Metals alone")).to_contain_text("no plan exists")
    assert axe(page) == []
    assert fits(page)
    page.get_by_role("link", name="without the rack").click()
    expect(page.locator("#said")).to_be_visible()
    assert "rack" not in page.inner_text("#said")


@WIDTHS
def test_bad_terms_are_said_at_their_yard_and_go_once_they_are_right(open_page, wide: int) -> None:
    page = open_page(wide)
    lists(page)
    page.click("#buying summary")
    fill(page, "yard-1-name", "Harbour Steel")
    fill(page, "yard-1-tax", "eight")
    fill(page, "load", "900")
    expect(page.locator("#why-yard-1 .why")).to_have_count(1)
    expect(page.locator("#why-buying .why")).to_contain_text("900 lb or 900 kg")
    expect(page.locator("#searching")).to_contain_text("yards and carrying")
    assert axe(page) == []
    assert fits(page)
    page.locator("#why-yard-1 label").click()
    assert page.evaluate("document.activeElement.id") == "yard-1-tax"
    fill(page, "yard-1-tax", "8")
    fill(page, "load", "900 lb")
    expect(page.locator("#why-yard-1 .why")).to_have_count(0)
    expect(page.locator("#why-buying .why")).to_have_count(0)
    expect(page.locator("#result")).to_contain_text("To pay")


def test_a_place_for_the_next_yard_comes_while_the_one_before_is_written(open_page) -> None:
    page = open_page()
    lists(page)
    page.click("#buying summary")
    assert page.locator("fieldset.yard").count() == 1
    page.fill("#yard-1-name", "Harbour Steel")
    page.press("#yard-1-name", "Tab")
    page.keyboard.type("45")
    expect(page.locator("fieldset.yard")).to_have_count(2)
    assert page.evaluate("document.activeElement.id") == "yard-1-delivery"
    assert page.input_value("#yard-1-delivery") == "45"
    assert page.input_value("#yard-1-name") == "Harbour Steel"


def test_without_a_script_the_whole_form_does_the_same(open_page) -> None:
    page = open_page(javascript=False)
    page.fill("#parts", PARTS)
    page.fill("#sticks", STICKS)
    page.click("#buying summary")
    page.fill("#yard-1-name", "Harbour Steel")
    page.fill("#yard-1-tax", "8,25 %")
    page.fill("#yard-1-collecting", "a trip")
    page.locator("button.act", has_text="Work it out").click()
    expect(page.locator("#why-yard-1")).to_contain_text("a trip is no amount")
    page.fill("#yard-1-collecting", "12")
    page.get_by_role("button", name="terms of North Yard Metals").click()
    page.wait_for_url("**/plans/*")
    assert page.input_value("#yard-1-tax") == "8,25 %"
    page.locator("#ask-comparison").click()  # the page looks again by itself until the plan is there
    page.wait_for_url("**/plans/*#comparison")
    expect(page.locator("#ways")).to_contain_text("North Yard Metals alone")
