"""Nothing typed is lost: reload, back, links, a second tab, the service restarted in the middle, no network."""

import re

import pytest

from tests.browser.test_page import over, write
from tests.served import few, serving

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect
pytestmark = [
    pytest.mark.kind(name="browser walk"),
    pytest.mark.slow("a further walk, after the main one"),
]

PARTS = "4 pcs SHS 3x3x1/8 80 in\n3 pcs SHS 3x3x1/8"


def drafted(page) -> str:
    """Wait until the service has the sheet; return its address."""
    page.wait_for_url(re.compile("/sheets/"))
    return page.url


def test_a_sheet_in_question_is_kept_over_reload_back_and_links(open_page) -> None:
    page = open_page()
    page.fill("#title", "Bench for the fountain")
    write(page, "parts", PARTS)
    address = drafted(page)
    write(page, "sticks", "SHS 3x3x1/8 20 ft $60")
    assert page.url == address
    page.reload()
    assert page.input_value("#parts") == PARTS
    assert page.input_value("#sticks") == "SHS 3x3x1/8 20 ft $60"
    page.click("text=Earlier sheets")
    expect(page.locator(".sheets li").first).to_contain_text("not finished")
    expect(page.locator(".sheets code").first).to_have_text("4 pcs SHS 3x3x1/8 80 in")
    page.go_back()
    assert page.input_value("#parts") == PARTS
    write(page, "parts", PARTS + " 30 in")
    page.wait_for_url(re.compile("/plans/"))
    over(page)
    plan = page.url
    page.goto("/plans?q=fountain+30")
    expect(page.locator(".sheets li")).to_have_count(1)
    expect(page.locator(".sheets li")).to_contain_text("USD 120.00")
    assert page.locator(".sheets a").get_attribute("href") in plan
    page.goto("/plans?q=fountain+31")
    expect(page.locator(".sheets li")).to_have_count(0)


def test_a_sheet_that_has_an_answer_is_kept_as_it_is_written_on(open_page) -> None:
    page = open_page()
    write(page, "parts", "4 pcs SHS 3x3x1/8 80 in")
    write(page, "sticks", "SHS 3x3x1/8 20 ft $60")
    page.wait_for_url(re.compile("/plans/"))
    over(page)
    write(page, "parts", PARTS)
    drafted(page)
    page.reload()
    assert page.input_value("#parts") == PARTS


def test_two_tabs_on_one_sheet_keep_both(open_page) -> None:
    first = open_page()
    write(first, "parts", PARTS)
    address = drafted(first)
    second = first.context.new_page()
    second.goto(address)
    write(second, "parts", "9 pcs SHS 3x3x1/8")
    assert second.url == address
    write(first, "parts", PARTS + "\n1 pc SHS 3x3x1/8")
    first.wait_for_url(lambda url: url != address)
    first.reload()
    assert first.input_value("#parts") == PARTS + "\n1 pc SHS 3x3x1/8"
    second.reload()
    assert second.input_value("#parts") == "9 pcs SHS 3x3x1/8"


def test_what_was_typed_and_never_reached_the_service_comes_back(open_page) -> None:
    page = open_page()
    write(page, "parts", PARTS)
    drafted(page)
    page.route("**/sheet", lambda route: None)  # noqa: ARG005  the driver looks for the name
    with page.expect_request("**/sheet"):
        page.fill("#parts", PARTS + "\n7 pcs FLAT 2x1/4 20 in")
    page.unroute("**/sheet")
    with page.expect_response(lambda answer: answer.url.endswith("/sheet")):
        page.reload()
    assert page.input_value("#parts").endswith("7 pcs FLAT 2x1/4 20 in")
    expect(page.locator("#sheet > .told")).to_be_visible()
    page.reload()
    assert page.input_value("#parts").endswith("7 pcs FLAT 2x1/4 20 in")
    expect(page.locator("#sheet > .told")).to_have_count(0)


def test_a_service_that_restarts_in_the_middle_has_the_sheet(chromium, tmp_path) -> None:
    with serving(tmp_path, limits=few()) as served:
        page = chromium.new_context(base_url=served.url).new_page()
        page.goto("/")
        write(page, "parts", PARTS)
        path = drafted(page).removeprefix(served.url)
    with serving(tmp_path, limits=few()) as served:
        again = chromium.new_context(base_url=served.url).new_page()
        again.goto(path)
        assert again.input_value("#parts") == PARTS
        again.context.close()
    page.context.close()
