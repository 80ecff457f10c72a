"""The page as people use it, in a real browser, wide and narrow."""

import re
from pathlib import Path

import pytest

from tests.served import Served, long_job, stand

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect

AXE = (Path(__file__).parent / "vendor" / "axe-4.14.1.min.js").read_text(encoding="utf-8")
WIDTHS = pytest.mark.parametrize("wide", [390, 1280])
FURTHER = pytest.mark.slow("a further walk, after the main one")
pytestmark = pytest.mark.kind(name="browser walk")

PARTS = """\
4 - 3x3x1/8 sq tube @ 6'-8 1/2" posts
6 pcs 3x3x1/8 sq tube 34 5/8"
8 x hinges"""


def axe(page) -> list[str]:
    """What axe-core finds wrong with a page (its own rules, those of WCAG 2.2 included)."""
    page.wait_for_load_state()  # a style sheet still on its way makes another page of it
    page.evaluate(AXE)  # through the debugger's door: the page's own policy lets no script in
    found = page.evaluate("async () => (await axe.run()).violations")
    return [f"{one['id']}: {node['html'][:120]}" for one in found for node in one["nodes"]]


def fits(page) -> bool:
    """Whether nothing sticks out of the page's width, once its style sheets are there."""
    page.wait_for_load_state()
    return page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def write(page, field: str, text: str) -> None:
    """Type into a list and wait until the sheet has answered."""
    with page.expect_response(lambda answer: answer.url.endswith("/sheet")):
        page.fill(f"#{field}", text)


def over(page) -> None:
    """Wait until the search is over: what stands on the page is the answer and not the best so far."""
    expect(page.locator("#result")).to_be_visible()
    expect(page.locator("#searching.busy")).to_have_count(0)


def cost(page) -> float:
    return float(re.search(r"USD ([\d,.]+\d)", page.inner_text("#said"))[1].replace(",", ""))


def in_view(page, what: str) -> bool:
    """Whether something stands on the screen as it is scrolled, whole."""
    box = page.locator(what).bounding_box()
    return box is not None and box["y"] >= 0 and box["y"] + box["height"] <= page.viewport_size["height"]


@WIDTHS
def test_from_paste_to_buy_list(open_page, wide: int) -> None:
    page = open_page(wide)
    write(page, "parts", PARTS)
    readings = page.locator("#echo-parts .reading")
    assert "4 x SHS 3x3x1⁄8 x 80\u202f1⁄2 in" in readings.nth(0).inner_text()
    assert "also needed" in readings.nth(2).inner_text()
    assert page.inner_text("#sum").startswith("10 pieces, 1 section, 44' 1")
    assert "waits for sticks" in page.inner_text("#searching")
    write(page, "sticks", "SHS 3x3x1/8 20 ft $98.50\nSHS 3x3x1/8 24 ft $119")
    expect(page.locator("#result")).to_contain_text("Nothing cheaper exists at these prices")
    before = cost(page)
    expect(page.locator("#standing")).to_have_text(re.compile(rf"^USD {before:.2f}\s*nothing cheaper exists$"))
    assert in_view(page, "#standing")
    assert wide < 1280 or in_view(page, "#said")
    assert "8 x hinges" in page.inner_text("#result")
    assert re.search(r"/plans/[\w-]+$", page.url)
    write(page, "rack", '2 pcs SHS 3x3x1/8 117" $20')
    expect(page.locator("#said")).to_contain_text("from the rack")
    over(page)
    assert cost(page) < before
    expect(page.locator("#standing")).to_contain_text(f"USD {cost(page):.2f}")
    assert fits(page)
    assert axe(page) == []


@FURTHER
@WIDTHS
def test_a_bad_line_is_put_right_where_it_stands(open_page, wide: int) -> None:
    page = open_page(wide)
    write(page, "parts", "2 pcs 3x3x1/8 sq tube 6-8\n3 pcs 3x3x1/8 sq tube")
    page.wait_for_selector("#open-parts fieldset")
    assert "two readings" in page.inner_text("#echo-parts")
    assert axe(page) == []
    with page.expect_response(lambda answer: answer.url.endswith("/sheet")):
        page.locator("#open-parts fieldset").first.get_by_role("button", name="6' 8\"").click()
    expect(page.locator("#parts")).to_have_value(re.compile("^2 pcs 3x3x1/8 sq tube 6' 8\""))
    wrong = page.locator("#open-parts .fix").last
    with page.expect_response(lambda answer: answer.url.endswith("/sheet")):
        wrong.fill('3 pcs 3x3x1/8 sq tube 30"')
        wrong.press("Tab")
    expect(page.locator("#open-parts fieldset")).to_have_count(0)
    assert page.input_value("#parts") == '2 pcs 3x3x1/8 sq tube 6\' 8"\n3 pcs 3x3x1/8 sq tube 30"'


@FURTHER
def test_usual_mill_lengths_are_one_click_away(open_page) -> None:
    page = open_page()
    write(page, "parts", PARTS)
    page.get_by_role("button", name="20 ft").click()
    expect(page.locator("#result")).to_contain_text("No prices were given")
    assert page.input_value("#sticks") == "SHS 3x3x1/8  20 ft"


@FURTHER
def test_a_kerf_is_measured_and_a_file_is_dropped(open_page, tmp_path: Path) -> None:
    page = open_page()
    page.click("text=Measure yours")
    page.fill("#measured_before", "24")
    page.fill("#measured_cuts", "6")
    page.fill("#measured_after", "23 7/16")
    listed = tmp_path / "list.csv"
    listed.write_text("Qty,Section,Length\n4,SHS 3x3x1/8,80.5 in\n", encoding="utf-8")
    with page.expect_response(lambda answer: answer.url.endswith("/sheet")):
        page.set_input_files("#parts_file", listed)
    expect(page.locator("#parts")).to_have_value(re.compile("80.5"))
    assert "4 x SHS 3x3x1⁄8 x 80\u202f1⁄2 in" in page.inner_text("#echo-parts")
    page.get_by_role("button", name="20 ft").click()
    expect(page.locator("#result")).to_contain_text("The saw takes 3⁄32 in a cut")


@FURTHER
@WIDTHS
def test_the_demo_its_drawings_and_its_downloads(open_page, wide: int) -> None:
    page = open_page(wide)
    page.click("text=Show me with a filled-in sheet")
    page.wait_for_selector("#said")
    over(page)
    assert cost(page) > 0
    shown = ".bar.narrow svg" if wide < 720 else ".bar.wide svg"
    assert page.locator(shown).first.is_visible()
    assert page.locator(".layout details table").count() == page.locator(".layout").count()
    assert fits(page)
    assert axe(page) == []
    marks = {"pdf": b"%PDF-", "xlsx": b"PK\x03\x04", "csv": b"", "txt": b"", "svg": b"<svg"}
    links = [link.get_attribute("href") for link in page.locator(".papers a").all()]
    papers = [link for link in links if link.startswith("/v1/")]
    assert len(papers) == 8
    for path in papers:
        answer = page.request.get(path)
        assert answer.status == 200, path
        assert answer.body().startswith(marks[path.rpartition(".")[2]]), path
    with page.expect_download() as coming:
        page.click("text=workbook")
    assert coming.value.suggested_filename == "market-stalls-set-of-two-plan.xlsx"


@FURTHER
@WIDTHS
def test_progress_with_a_plan_to_read_and_a_stop_that_keeps_it(open_page, wide: int) -> None:
    page = open_page(wide)
    job = long_job(11)
    page.fill("#limit", "300")
    page.fill("#kerf", "2.4 mm")
    page.fill("#sticks", "\n".join(f"{one['section']} {one['length']} mm {one['price']} EUR" for one in job["sticks"]))
    page.fill("#parts", "\n".join(f"{one['quantity']} x {one['section']} {one['length']} mm" for one in job["parts"]))
    page.wait_for_selector("#searching.busy")
    expect(page.locator("#searching")).to_contain_text("Looking: best so far")
    expect(page.locator("#result")).to_contain_text("So far:")
    page.click("text=Stop and keep the best")
    expect(page.locator("#result")).to_contain_text("The search was stopped")
    assert "more could be saved" in page.inner_text("#result")
    assert not page.locator("#searching.busy").count()


@FURTHER
def test_typing_on_ends_the_search_for_the_sheet_as_it_was(open_page, served: Served) -> None:
    page = open_page()
    job = long_job(12)
    lines = [f"{one['quantity']} x {one['section']} {one['length']} mm" for one in job["parts"]]
    page.fill("#limit", "300")
    page.fill("#sticks", "\n".join(f"{one['section']} {one['length']} mm {one['price']} EUR" for one in job["sticks"]))
    page.fill("#parts", "\n".join(lines))
    page.wait_for_selector("#searching.busy")
    page.wait_for_url("**/plans/*")
    before = page.url.rpartition("/")[2]
    write(page, "parts", "\n".join(lines[:2]))
    page.wait_for_url(lambda url: not url.endswith(before))
    page.wait_for_selector("#searching:not(.busy)", state="attached")
    assert served.client.get(f"/v1/jobs/{before}").json()["state"] == "cancelled"


@FURTHER
def test_a_link_shows_the_plan_and_its_sheet_to_somebody_else(open_page) -> None:
    page = open_page()
    page.click("text=Show me with a filled-in sheet")
    page.wait_for_selector("#said")
    over(page)
    other = open_page(390, path=page.url)
    assert other.inner_text("#said") == page.inner_text("#said")
    assert other.input_value("#parts") == page.input_value("#parts")
    other.click("text=Earlier sheets")
    assert "Market stalls" in other.inner_text("main")
    assert axe(other) == []


@FURTHER
def test_without_javascript_the_main_path_still_works(open_page) -> None:
    page = open_page(390, javascript=False)
    page.fill("#parts", "2 pcs 3x3x1/8 sq tube 6-8")
    page.click(".go button")
    page.locator("#open-parts .choices button").first.click()
    assert page.input_value("#parts").strip() == "2 pcs 3x3x1/8 sq tube 6' 8\""
    page.click("#lengths button >> nth=0")
    page.fill("#sticks", "SHS 3x3x1/8 20 ft $98.50")
    page.click(".go button")
    assert page.inner_text("#said").startswith("Buy 1 stick: USD 98.50")
    page.click("text=At the saw, on a phone")
    assert page.locator("section").count() == 1
    assert page.locator("input[type=checkbox]").first.is_visible()


@FURTHER
def test_the_keyboard_reaches_everything_in_order(open_page) -> None:
    page = open_page()
    seen = []
    for _ in range(40):
        page.keyboard.press("Tab")
        seen.append(page.evaluate("document.activeElement.id || document.activeElement.textContent.trim()"))
    wanted = ["title", "parts_file", "unit", "parts", "currency", "sticks_file", "sticks", "rack", "own", "saw", "kerf"]
    places = [seen.index(one) for one in wanted]
    assert places == sorted(places)
    assert "Work it out" in seen


@FURTHER
def test_the_docs_and_the_door_have_no_barriers(open_page) -> None:
    for path in ("/", "/docs", "/problems/invalid-job", "/plans"):
        page = open_page(390, path=path)
        assert axe(page) == []
        assert fits(page)


def test_every_page_fits_the_narrowest_phone(open_page, served: Served) -> None:
    """320 CSS pixels without scrolling both ways: WCAG 2.2, 1.4.10 (reflow)."""
    job = served.post(stand(title="A stand for the narrowest phone"), wait=60).json()["id"]
    served.client.post("/v1/works", json={"job": job})
    bar = {"section": "SHS 3x3x1/8", "length": "80 in", "place": "Bay 1"}
    (name,) = served.client.post("/v1/rack", json={"bars": [bar]}).json()["bars"]
    page = open_page(320)
    for path in (
        *("/", "/plans", "/works", "/docs", "/problems/invalid-job", f"/plans/{job}", f"/plans/{job}/saw"),
        *(f"/works/{job}", "/rack", "/rack/list", "/rack/count", "/rack/history", f"/rack/{name[1:]}"),
    ):
        answer = page.goto(path)
        assert answer.status == 200, path
        assert fits(page), path
