"""The rack as people use it, in a real browser, wide and narrow."""

import re
from collections.abc import Iterator

import pytest

from tests.browser.test_page import WIDTHS, axe, fits
from tests.served import Served, serving

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect

pytestmark = [
    pytest.mark.kind(name="browser walk"),
    pytest.mark.slow("a further walk, after the main one"),
]

LINES = 'SHS 3x3x1/8 41 3/8"\n2 pcs L 50x50x5 1240 mm bent\n3 pcs 3x3x1/8 sq tube 6-8'


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("rack")) as running:
        yield running


def put(served: Served, *bars: dict) -> list[str]:
    return served.client.post("/v1/rack", json={"bars": list(bars), "who": "Test"}).json()["bars"]


def state(served: Served, name: str) -> dict:
    return served.client.get(f"/v1/rack/{name[1:]}").json()


@WIDTHS
def test_pieces_are_seen_as_understood_before_they_are_on_the_rack(open_page, served: Served, wide: int) -> None:
    page = open_page(wide, path="/rack")
    before = len(served.client.get("/v1/rack").json()["bars"])
    with page.expect_response(lambda answer: answer.url.endswith("/rack") and answer.request.method == "POST"):
        page.fill("#own", LINES)
    page.wait_for_selector("#open-own fieldset")
    assert "two readings" in page.inner_text("#echo-own")
    assert axe(page) == []
    with page.expect_response(lambda answer: answer.url.endswith("/rack") and answer.request.method == "POST"):
        page.locator("#open-own").get_by_role("button", name="6' 8\"").click()
    button = page.get_by_role("button", name="Put 6 pieces on the rack")
    expect(button).to_be_visible()
    assert len(served.client.get("/v1/rack").json()["bars"]) == before
    page.fill("#place", "Bay 7")
    button.click()
    expect(page.locator(".told")).to_contain_text("6 pieces put on the rack")
    found = served.client.get("/v1/rack").json()["bars"]
    assert len(found) == before + 6
    bent = [bar for bar in found if bar["remark"] == "bent"]
    assert {bar["place"] for bar in bent} == {"Bay 7"}
    assert fits(page)
    assert axe(page) == []
    page.locator(".told").get_by_role("button", name="Undo").click()
    expect(page.locator(".told")).to_be_visible()
    assert len(served.client.get("/v1/rack").json()["bars"]) == before


@WIDTHS
def test_a_piece_is_put_right_scrapped_and_brought_back(open_page, served: Served, wide: int) -> None:
    (name,) = put(served, {"section": "SHS 50x50x4", "length": "1240 mm", "place": "Bay 1"})
    page = open_page(wide, path="/rack")
    page.get_by_role("link", name=name, exact=True).click()
    page.fill("#length", "12,5,")
    page.get_by_role("button", name="Put right").click()
    expect(page.get_by_role("alert")).to_contain_text("Length")
    assert page.input_value("#length") == "12,5,"
    page.fill("#length", "1238.5")
    page.fill("#remark", "drilled")
    page.get_by_role("button", name="Put right").click()
    expect(page.locator("h1")).to_contain_text("1238.5 mm")
    assert state(served, name)["remark"] == "drilled"
    page.get_by_role("button", name="Into the scrap bin").click()
    expect(page.locator("main")).to_contain_text("went into the scrap bin")
    page.locator(".told").get_by_role("button", name="Undo").click()
    expect(page.locator("main")).to_contain_text("is free")
    assert state(served, name)["state"] == "free"
    assert fits(page)
    assert axe(page) == []


def test_somebody_else_s_change_isn_t_overwritten(open_page, served: Served) -> None:
    (name,) = put(served, {"section": "SHS 50x50x4", "length": "800 mm"})
    page = open_page(390, path=f"/rack/{name[1:]}")
    served.client.patch(f"/v1/rack/{name[1:]}", json={"length": "790 mm"})
    page.fill("#place", "Bay 2")
    page.get_by_role("button", name="Put right").click()
    expect(page.get_by_role("alert")).to_contain_text("changed since you looked")
    assert (state(served, name)["length"], state(served, name)["place"]) == ("790 mm", "")


@WIDTHS
def test_stock_is_taken_by_place(open_page, served: Served, wide: int) -> None:
    one, two = put(served, *[{"section": "flat 60x8", "length": "700 mm", "place": "Yard door"}] * 2)
    page = open_page(wide, path="/rack/count")
    page.get_by_role("button", name="Book the stock-take").click()
    expect(page.get_by_role("alert")).to_contain_text("Nothing was written")
    page.get_by_text(f"Something is different about {one}").click()
    page.fill(f"#length-{one[1:]}", "6-8-9")
    page.check(f"#gone-{two[1:]}")
    page.get_by_role("button", name="Book the stock-take").click()
    expect(page.get_by_role("alert")).to_contain_text(one)
    assert page.is_checked(f"#gone-{two[1:]}")
    assert state(served, two)["state"] == "free"
    assert axe(page) == []
    page.fill(f"#length-{one[1:]}", "698")
    page.get_by_role("button", name="Book the stock-take").click()
    expect(page.locator(".told")).to_contain_text("Stock taken")
    assert (state(served, one)["length"], state(served, two)["state"]) == ("698 mm", "lost")
    assert fits(page)


def test_the_rack_is_filtered_and_signed(open_page, served: Served) -> None:
    put(served, {"section": "L 2x2x1/4", "length": "77 in"}, {"section": "SHS 3x3x1/8", "length": "30 in"})
    page = open_page(path="/rack")
    page.select_option("#section", "L 2x2x1/4")
    page.get_by_role("button", name="Show").click()
    assert page.locator("main h2").first.inner_text() == "L 2x2x1⁄4"
    assert "SHS 3x3" not in page.inner_text(".bars")
    page.fill("#who", "Phone at the gate")
    page.get_by_role("button", name="Keep").click()
    page.get_by_role("link", name=re.compile(r"^D\d+$")).first.click()
    page.get_by_role("button", name="It can't be found").click()
    expect(page.locator(".log")).to_contain_text("Phone at the gate")
    page.get_by_role("button", name="It has turned up again").click()
    expect(page.locator("main")).to_contain_text("is free")


@WIDTHS
def test_a_list_comes_in_whole_or_says_what_is_wrong(open_page, served: Served, wide: int, tmp_path) -> None:
    page = open_page(wide, path="/rack/list")
    bad, good = tmp_path / "bad.csv", tmp_path / "good.csv"
    bad.write_text("label,section,length\n,SHS 50x50x4,huh\n", encoding="utf-8")
    good.write_text("label,section,length,place\n,SHS 50x50x4,1 m,From a list\n", encoding="utf-8")
    page.set_input_files("#file", bad)
    page.get_by_role("button", name="Take it in").click()
    expect(page.get_by_role("alert")).to_contain_text("row 2")
    assert axe(page) == []
    page.set_input_files("#file", good)
    page.get_by_role("button", name="Take it in").click()
    expect(page.locator(".told")).to_be_visible()
    assert "From a list" in [bar["place"] for bar in served.client.get("/v1/rack").json()["bars"]]
    assert fits(page)
    assert axe(page) == []


def test_without_javascript_lines_are_read_first_and_put_on_the_rack_then(open_page) -> None:
    page = open_page(390, javascript=False, path="/rack")
    page.fill("#own", "2 pcs SHS 60x60x4 850 mm")
    page.get_by_role("button", name="Read the lines").click()
    assert "2 x SHS 60x60x4" in page.inner_text("#echo-own")
    page.get_by_role("button", name="Put 2 pieces on the rack").click()
    assert "2 pieces put on the rack" in page.inner_text(".told")
    page.fill("#own", "3 pcs SHS 60x60x4 850 mm")
    page.get_by_role("button", name="Read the lines").click()
    page.fill("#own", "4 pcs SHS 60x60x4 850 mm")
    page.get_by_role("button", name="Put 3 pieces on the rack").click()
    assert page.get_by_role("button", name="Put 4 pieces on the rack").is_visible()  # what wasn't seen isn't booked


def test_the_sheet_offers_what_is_free_where_it_is_ticked(open_page, served: Served) -> None:
    put(served, {"section": "SHS 2x2x1/8", "length": "90 in"})
    page = open_page()
    page.fill("#sticks", "SHS 2x2x1/8 20 ft $50")
    page.fill("#parts", '2 pcs SHS 2x2x1/8 40"')
    expect(page.locator("#said")).to_contain_text("Take 1 piece of your own")
    page.uncheck("#shop_rack")
    expect(page.locator("#said")).to_contain_text("Buy 1 stick")
