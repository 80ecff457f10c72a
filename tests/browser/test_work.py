"""A work in hand as people see it, in a real browser, wide and narrow."""

import re
from collections.abc import Iterator

import pytest

from tests.browser.test_page import WIDTHS, axe, fits
from tests.served import Served, serving, stand

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect

pytestmark = [
    pytest.mark.kind(name="browser walk"),
    pytest.mark.slow("a further walk, after the main one"),
]

SECTION = "SHS 1-1/2x1-1/2x1/8"


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("work")) as running:
        yield running


@pytest.fixture
def job(served: Served) -> str:
    return served.post(stand(keep_from="12 in"), wait=60).json()["id"]


@pytest.fixture
def begun(served: Served, job: str) -> str:
    served.client.post("/v1/works", json={"job": job})
    return job


def state(served: Served, work: str) -> dict:
    return served.client.get(f"/v1/works/{work}").json()


def all_came(served: Served, work: str) -> None:
    bars = [bar["number"] for bar in state(served, work)["bars"] if bar["state"] == "expected"]
    served.client.post(f"/v1/works/{work}/receive", json={"lines": [{"bar": bar, "heat": "K1"} for bar in bars]})


@WIDTHS
def test_taken_in_hand_received_short_and_planned_anew(open_page, served: Served, job: str, wide: int) -> None:
    page = open_page(wide, path=f"/plans/{job}")
    page.get_by_role("button", name="Take this plan in hand").click()
    page.wait_for_url(re.compile(f"/works/{job}"))
    assert "Nothing is sawn yet: 3 sticks for 10 parts" in page.inner_text("h1")
    assert fits(page)
    assert axe(page) == []
    page.get_by_role("button", name="Book what came").click()
    expect(page.get_by_role("alert")).to_contain_text("Nothing was ticked")
    short = state(served, job)["slots"][0]["bar"]
    for box in page.locator("[name^=all-]").all():
        box.check()
    for heat in page.locator("[name^=heat-all]").all():
        heat.fill("K4471")
    page.fill(f"#length-{short[1:]}", "long")
    page.get_by_role("button", name="Book what came").click()
    expect(page.get_by_role("alert")).to_contain_text(short)
    assert {bar["state"] for bar in state(served, job)["bars"]} == {"expected"}
    page.fill(f"#length-{short[1:]}", "150")
    page.get_by_role("button", name="Book what came").click()
    expect(page.locator("#wants")).to_contain_text("is short by")
    assert {bar["heat"] for bar in state(served, job)["bars"]} == {"K4471"}
    assert axe(page) == []
    page.locator("#wants").get_by_role("button", name="Plan the rest anew").click()
    expect(page.get_by_role("button", name="Do it so: revision B")).to_be_visible()
    assert fits(page)
    assert axe(page) == []
    assert state(served, job)["revision"] == "A"
    page.get_by_role("button", name="Do it so: revision B").click()
    expect(page.locator(".told")).to_contain_text("revision B is in force")
    assert page.locator("#wants").count() == 0
    papers = [link.get_attribute("href") for link in page.locator(".papers a").all()]
    assert any("changed=true" in path for path in papers)
    for path in papers:
        assert page.request.get(path).status == 200, path
    assert fits(page)
    assert axe(page) == []


@WIDTHS
def test_sawn_spoilt_and_the_blade_from_the_page(open_page, served: Served, begun: str, wide: int) -> None:
    all_came(served, begun)
    page = open_page(wide, path=f"/works/{begun}")
    page.get_by_role("button", name=re.compile("^Sawn: layout")).first.click()
    expect(page.locator("h1")).to_contain_text("1 of 3 sticks sawn")
    page.get_by_text("Something is wrong with it").last.click()
    page.get_by_role("button", name="This part is spoilt").last.click()
    expect(page.locator("#wants")).to_contain_text("No layout gives")
    page.fill("#kerf", "wide")
    page.get_by_role("button", name="From now on").click()
    expect(page.get_by_role("alert")).to_be_visible()
    page.fill("#kerf", "1/8")
    page.get_by_role("button", name="From now on").click()
    expect(page.locator("main")).to_contain_text("One cut takes 1⁄8 in")
    assert state(served, begun)["kerf"] == "1/8 in"
    page.locator(".told").get_by_role("button", name="Undo").click()
    expect(page.locator("main")).to_contain_text("One cut takes 3⁄32 in")
    assert fits(page)
    assert axe(page) == []


@WIDTHS
def test_a_new_drawing_is_shown_before_it_counts(open_page, served: Served, begun: str, wide: int) -> None:
    page = open_page(wide, path=f"/works/{begun}")
    page.fill("#parts-list", f'4 pcs {SECTION} 80 1/2"\n5 pcs {SECTION} 34 5/8"\n2 pcs {SECTION} 20"')
    page.get_by_role("button", name="What is different?").click()
    changes = page.locator(".changes").inner_text()
    assert "B is wanted 5 times instead of 6: 1 fewer." in changes
    assert "is new: 2 of" in changes
    assert "A " not in changes
    assert axe(page) == []
    assert fits(page)
    assert state(served, begun)["parts_asked"] == 10
    page.get_by_role("button", name="This is the list from now on").click()
    expect(page.locator(".told")).to_contain_text("a new parts list is in force")
    assert state(served, begun)["parts_asked"] == 11
    assert {part["mark"]: part["asked"] for part in state(served, begun)["parts"]} == {"A": 4, "B": 5, "P1": 2}
    page.get_by_role("link", name="change the list as it is").click()
    text = page.input_value("#parts")
    page.fill("#parts", text.replace("A,4", "A,3"))
    page.get_by_role("button", name="What is different?").click()
    assert page.locator(".changes").inner_text() == "A is wanted 3 times instead of 4: 1 fewer."
    page.fill("#parts", "2 pcs 3x3x1/8 sq tube 6-8")
    page.get_by_role("button", name="What is different?").click()
    expect(page.locator("#open-parts fieldset")).to_be_visible()
    assert page.get_by_role("button", name="This is the list from now on").count() == 0


def test_parts_cut_for_nothing_go_to_the_rack_and_the_work_is_given_up(open_page, served: Served, begun: str) -> None:
    all_came(served, begun)
    slot = state(served, begun)["slots"][0]["id"]
    event = {"key": f"{begun}-1", "kind": "tick", "slot": slot}
    served.client.post(f"/v1/works/{begun}/events", json={"events": [event]})
    page = open_page(390, path=f"/works/{begun}")
    marks = {part["mark"] for part in state(served, begun)["slots"][0]["parts"]}
    other = {"A": f'6 pcs {SECTION} 34 5/8"', "B": f'4 pcs {SECTION} 80 1/2"'}[min(marks)]
    page.fill("#parts-list", other)
    page.get_by_role("button", name="What is different?").click()
    page.get_by_role("button", name="This is the list from now on").click()
    page.get_by_role("button", name="These go on the rack").click()
    expect(page.locator(".told")).to_contain_text("cut for nothing, on the rack as")
    assert axe(page) == []
    page.get_by_role("button", name="Everything is made: finish it").click()
    expect(page.get_by_role("alert")).to_contain_text("isn't sawn yet")
    page.get_by_text("Give it up").click()
    page.get_by_role("button", name="Give this work up").click()
    expect(page.locator("h1")).to_contain_text("Given up")
    assert axe(page) == []
    page.goto("/works")
    expect(page.locator(".works").last).to_contain_text("Given up")
    assert axe(page) == []


def test_a_piece_that_somebody_else_has_is_named(open_page, served: Served) -> None:
    bar = {"section": SECTION, "length": "200 in"}
    (name,) = served.client.post("/v1/rack", json={"bars": [bar]}).json()["bars"]
    own = [{"id": name, **bar, "quantity": 1}]
    one, two = (served.post(stand(title=title, own=own), wait=60).json()["id"] for title in ("First", "Second"))
    served.client.post("/v1/works", json={"job": one})
    page = open_page(390, path=f"/plans/{two}")
    page.get_by_role("button", name="Take this plan in hand").click()
    expect(page.get_by_role("alert")).to_contain_text(name)
    assert "First" in page.get_by_role("alert").inner_text()
    assert axe(page) == []
    assert served.client.get(f"/v1/works/{two}").status_code == 404


def test_without_javascript_the_main_path_works(open_page, job: str) -> None:
    page = open_page(390, javascript=False, path=f"/plans/{job}")
    page.get_by_role("button", name="Take this plan in hand").click()
    page.wait_for_url("**/works/*")
    for box in page.locator("[name^=all-]").all():
        box.check()
    page.get_by_role("button", name="Book what came").click()
    assert "came" in page.inner_text(".told")
    page.get_by_role("button", name=re.compile("^Sawn: layout")).first.click()
    assert "sawn" in page.inner_text("h1")
    page.get_by_role("button", name="Plan the rest anew").first.click()
    assert "nothing to buy" in page.inner_text("h1")
