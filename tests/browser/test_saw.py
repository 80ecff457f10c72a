"""The cut sheet on a phone at the saw."""

import re

import pytest

from tests.browser.phone import WIDE as PHONE
from tests.browser.phone import Phone
from tests.browser.test_page import axe, fits
from tests.served import Served, stand

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect

pytestmark = [
    pytest.mark.kind(name="browser walk"),
    pytest.mark.slow("a further walk, after the main one"),
]


@pytest.fixture
def saw(served: Served) -> str:
    parts = [
        {"mark": "A", "section": "SHS 1-1/2x1-1/2x1/8", "length": "80 1/2", "quantity": 5, "note": "vent hole"},
        {"mark": "B", "section": "SHS 1-1/2x1-1/2x1/8", "length": "34 5/8", "quantity": 7},
    ]
    return served.post(stand(parts=parts), wait=60).json()["links"]["page"] + "/saw"


def test_one_layout_at_a_time_with_big_running_dimensions(open_page, saw: str) -> None:
    page = open_page(PHONE, path=saw)
    assert page.locator("section:visible").count() == 1
    size = page.locator(".run").first.evaluate("node => parseFloat(getComputedStyle(node).fontSize)")
    assert size >= 36
    box = page.locator("section:visible li label").first.bounding_box()
    assert box["height"] >= 44  # WCAG 2.2, 2.5.5 target size (enhanced): 44 CSS pixels
    first = page.locator("section:visible h2").inner_text()
    page.click("#turn button >> text=Next")
    assert page.locator("section:visible h2").inner_text() != first
    page.click("#turn button >> text=Back")
    assert page.locator("section:visible h2").inner_text() == first
    assert page.locator("#turn button").first.is_disabled()
    assert axe(page) == []


def test_ticks_stay_on_the_device_and_survive_a_reload_and_a_lost_network(open_page, saw: str) -> None:
    page = open_page(PHONE, path=saw)
    page.context.set_offline(True)
    boxes = page.locator("section:visible input[type=checkbox]")
    boxes.nth(0).check()
    boxes.nth(1).check()
    page.click("#turn button >> text=Next")
    page.locator("section:visible input[type=checkbox]").nth(0).check()
    page.context.set_offline(False)
    page.reload()
    assert page.locator("section:visible input:checked").count() == 1
    page.click("#turn button >> text=Back")
    assert page.locator("section:visible input:checked").count() == 2
    boxes = page.locator("section:visible input[type=checkbox]")
    boxes.nth(1).uncheck()
    page.reload()
    assert page.locator("section:visible input:checked").count() == 1


def test_it_is_one_page_that_asks_for_nothing_more(open_page, served: Served, saw: str) -> None:
    text = served.client.get(saw).text
    assert not re.search(r"<(?:link[^>]+stylesheet|script[^>]+src|img|iframe)", text)
    page = open_page(PHONE, path="/plans")
    page.wait_for_load_state("networkidle")
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(saw)
    page.click("#turn button >> text=Next")
    page.wait_for_load_state("networkidle")
    # Once open it asks one thing, and no more where the plan isn't in hand: whether somebody took it in hand.
    assert [url for url in asked if not url.startswith("data:")] == [served.url + saw, f"{served.url}{saw}/now?have=0"]


def test_every_running_dimension_of_the_plan_is_there(open_page, served: Served, saw: str) -> None:
    plan = served.client.get(f"/v1/jobs/{saw.split('/')[2]}/plan").json()
    page = open_page(PHONE, path=saw)
    shown = page.locator(".run").all_text_contents()
    plain = [text.replace("\u202f", " ").replace("⁄", "/") for text in shown]
    assert plain == [end for cut in plan["cuts"] for end in ["1/4", *(part["end"] for part in cut["parts"])]]
    assert "vent hole" in page.content()


def test_angled_ends_come_stroke_by_stroke(open_page, served: Served) -> None:
    lists = {"parts": "4 x SHS 40x40x3 500 mm 45/45 LP", "sticks": "SHS 40x40x3 6 m 21.50 EUR", "kerf": "2.5 mm"}
    job = served.client.post("/v1/read", json=lists).json()["job"]
    plan = served.post(job, wait=60).json()
    page = open_page(PHONE, path=plan["links"]["page"] + "/saw")
    strokes = plan["plan"]["cuts"][0]["strokes"]
    assert page.locator("ol .run").count() == len(strokes)
    assert page.locator("ol .what", has_text="45°").count() >= len(strokes)
    assert "long point 500" in page.inner_text("section")
    assert axe(page) == []


@pytest.fixture
def in_hand(served: Served) -> dict:
    parts = [
        {"mark": "A", "section": "SHS 1-1/2x1-1/2x1/8", "length": "80 1/2", "quantity": 5},
        {"mark": "B", "section": "SHS 1-1/2x1-1/2x1/8", "length": "34 5/8", "quantity": 7},
    ]
    job = served.post(stand(parts=parts), wait=60).json()
    return served.client.post("/v1/works", json={"job": job["id"], "who": "office"}).json()


def sawn(served: Served, work: dict) -> list[str]:
    return [each.words for each in served.service.shop.history(work=work["id"], limit=1000) if each.kind == "sawn"]


def test_an_answer_that_was_lost_is_asked_for_again_and_counts_once(open_page, served: Served, in_hand: dict) -> None:
    phone = Phone(open_page(PHONE, path=f"/plans/{in_hand['id']}/saw"), "Ann")
    keys = []

    def lose(route) -> None:
        keys.append([event["key"] for event in route.request.post_data_json["events"]])
        if len(keys) == 1:
            route.fetch()  # the service hears of it, the phone doesn't hear of that
            phone.network(there=False)
            route.abort("internetdisconnected")
        else:
            route.continue_()

    phone.page.route("**/events", lose)
    bar = in_hand["slots"][0]["bar"]
    phone.tick(bar)
    expect(phone.page.locator("#net")).to_have_text("1 tick waits for the network.")
    assert len(sawn(served, in_hand)) == 1
    phone.network(there=True)
    phone.sawn(bar)
    expect(phone.page.locator("#net")).to_be_hidden()
    assert keys[0] == keys[1]
    assert len(sawn(served, in_hand)) == 1
    phone.page.unroute_all(behavior="ignoreErrors")


def test_what_was_ticked_last_can_be_taken_back(open_page, served: Served, in_hand: dict) -> None:
    phone = Phone(open_page(PHONE, path=f"/plans/{in_hand['id']}/saw"), "Ann")
    first, second = (slot["bar"] for slot in in_hand["slots"][:2])
    phone.tick(first)
    phone.sawn(first)
    phone.page.get_by_role("button", name="Take it back").click()
    phone.said(re.compile(rf"Taken back: .*{first}"))
    expect(phone.row(first).locator("input")).not_to_be_checked()
    phone.network(there=False)
    phone.tick(first)
    phone.tick(second)
    expect(phone.page.locator("#net")).to_have_text("2 ticks wait for the network.")
    phone.row(second).locator("input").uncheck()  # not told yet: nothing to take back
    expect(phone.page.locator("#net")).to_have_text("1 tick waits for the network.")
    phone.network(there=True)
    phone.sawn(first)
    state = served.client.get(f"/v1/works/{in_hand['id']}").json()
    assert [slot["state"] for slot in state["slots"][:2]] == ["sawn", "open"]
    assert served.service.shop.balance() == ()


def test_ticks_wait_through_a_closed_page(open_page, served: Served, in_hand: dict) -> None:
    path = f"/plans/{in_hand['id']}/saw"
    phone = Phone(open_page(PHONE, path=path), "Ann")
    phone.page.route("**/events", lambda route: route.abort("internetdisconnected"))
    bar = in_hand["slots"][0]["bar"]
    phone.tick(bar)
    expect(phone.page.locator("#net")).to_have_text("1 tick waits for the network.")
    phone.page.goto("about:blank")
    assert sawn(served, in_hand) == []
    phone.page.unroute_all(behavior="ignoreErrors")
    phone.page.goto(path)
    phone.sawn(bar)
    assert len(sawn(served, in_hand)) == 1


def test_a_page_that_was_open_before_learns_that_the_plan_is_in_hand(open_page, served: Served, saw: str) -> None:
    page = open_page(PHONE, path=saw)
    while not page.locator("section:visible .alike").count():
        page.click("#turn button >> text=Next")
    layout = page.locator("section:visible").get_attribute("data-layout")
    page.locator("section:visible .alike input").nth(1).check()
    served.client.post("/v1/works", json={"job": saw.split("/")[2]})
    page.context.set_offline(True)
    page.context.set_offline(False)
    expect(page.locator(".mark")).to_have_text("Revision A")
    expect(page.locator("#notes")).to_contain_text(f"before the plan was taken in hand: stick 2 of layout {layout}")


def test_a_copy_that_the_browser_kept_is_not_taken_for_new(open_page, served: Served, in_hand: dict) -> None:
    path, url = f"/plans/{in_hand['id']}/saw", f"/v1/works/{in_hand['id']}"
    phone = Phone(open_page(PHONE, path=path), "Ann")
    old = served.client.get(path)
    bar = in_hand["slots"][-1]["bar"]
    event = {"key": "short", "kind": "short", "slot": in_hand["slots"][-1]["id"], "length": "100 in"}
    served.client.post(f"{url}/events", json={"events": [event]})
    proposal = served.client.post(f"{url}/replans", json={}).json()
    served.client.post(f"{url}/replans/accept", json={"proposal": proposal["proposal"]})
    phone.said("Revision B is in force")
    headers = {name: value for name, value in old.headers.items() if name.startswith("content-s")}
    phone.page.route(f"**{path}", lambda route: route.fulfill(body=old.text, headers=headers, content_type="text/html"))
    phone.page.route("**/saw/now*", lambda route: route.abort("internetdisconnected"))
    phone.page.goto(path)
    expect(phone.page.locator(".mark")).to_have_text("Revision B")
    expect(phone.page.locator(f'li[data-bar="{bar}"] input:enabled')).to_have_count(
        sum(bar == name for name in proposal["used"])
    )
    phone.page.unroute_all(behavior="ignoreErrors")


def test_in_hand_without_javascript_the_layouts_in_force_can_be_read(open_page, in_hand: dict) -> None:
    page = open_page(PHONE, javascript=False, path=f"/plans/{in_hand['id']}/saw")
    assert page.locator("section:visible").count() == len({slot["layout"] for slot in in_hand["slots"]})
    assert "nothing that is ticked here reaches the service" in page.inner_text("main")
    assert fits(page)


def test_the_page_talks_to_nobody_else(served: Served, in_hand: dict) -> None:
    policy = served.client.get(f"/plans/{in_hand['id']}/saw").headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "connect-src 'self';" in policy
    assert "unsafe" not in policy


def test_a_length_that_cannot_be_read_is_said_with_what_to_write(open_page, served: Served, in_hand: dict) -> None:
    phone = Phone(open_page(PHONE, path=f"/plans/{in_hand['id']}/saw"), "Ann")
    bar = in_hand["slots"][0]["bar"]
    phone.tell("short", stick=bar, length="12 foo")
    phone.said(re.compile(rf"Not taken \({bar} on layout \d+ measures 12 foo\): .*write"))
    assert not served.client.get(f"/v1/works/{in_hand['id']}").json()["flags"]
    phone.page.locator("section:visible [data-open=short]").click()
    phone.page.fill("#short [name=length]", "short")
    phone.page.get_by_role("button", name="Write it down").click()
    expect(phone.page.locator("#short")).to_be_visible()  # no length at all: the browser says so
    phone.page.get_by_role("button", name="Leave it").click()


def test_the_rest_planned_anew_says_what_it_costs_and_may_be_left(open_page, served: Served, in_hand: dict) -> None:
    phone = Phone(open_page(PHONE, path=f"/plans/{in_hand['id']}/saw"), "Ann")
    for slot in in_hand["slots"]:
        phone.tell("short", stick=slot["bar"], length="7 ft")
        phone.said("measures 84 in")
    phone.page.get_by_role("button", name="Plan the rest anew").click()
    panel = phone.page.locator("#replan .proposal")
    expect(panel).to_contain_text(re.compile(r"Buy \d sticks? more: USD \d+\.\d\d"))
    expect(panel).to_contain_text("Nothing cheaper exists")
    assert fits(phone.page)
    assert axe(phone.page) == []
    phone.page.get_by_role("button", name="Leave it").click()
    expect(phone.page.locator(".mark")).to_have_text("Revision A")
    assert served.client.get(f"/v1/works/{in_hand['id']}").json()["revision"] == "A"


def test_a_proposal_that_somebody_overtook_is_refused_and_says_so(open_page, served: Served, in_hand: dict) -> None:
    phone = Phone(open_page(PHONE, path=f"/plans/{in_hand['id']}/saw"), "Ann")
    first, last = in_hand["slots"][0], in_hand["slots"][-1]
    phone.tell("short", stick=last["bar"], length="7 ft")
    phone.said("measures 84 in")
    phone.page.get_by_role("button", name="Plan the rest anew").click()
    take = phone.page.get_by_role("button", name="Saw it so from now on")
    expect(take).to_be_visible()
    event = {"key": "meanwhile", "kind": "tick", "slot": first["id"]}
    served.client.post(f"/v1/works/{in_hand['id']}/events", json={"who": "Ben", "events": [event]})
    take.click()
    expect(phone.page.locator("#replan .proposal")).to_contain_text("plan anew")
    phone.page.get_by_role("button", name="Leave it").click()
    phone.sawn(first["bar"])
    expect(phone.page.locator(".mark")).to_have_text("Revision A")
