"""A day at the saw: two phones on one plan, the network lost and found, sticks short, parts spoilt, the rest replanned."""

import re

import pytest

from tests.browser.phone import WIDE, Phone
from tests.browser.test_page import axe, fits
from tests.served import Served, stand

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect

SECTION = "SHS 1-1/2x1-1/2x1/8"
PARTS = [
    {"mark": "A", "section": SECTION, "length": "80 1/2", "quantity": 9, "note": "vent hole"},
    {"mark": "B", "section": SECTION, "length": "34 5/8", "quantity": 23},
    {"mark": "C", "section": SECTION, "length": "50", "quantity": 9},
]


@pytest.fixture
def work(served: Served) -> dict:
    """A plan in hand whose sticks have come, each with its heat number."""
    job = served.post(stand(parts=PARTS), wait=60).json()
    begun = served.client.post("/v1/work", json={"job": job["id"], "who": "office"}).json()
    lines = [{"bar": bar["number"], "heat": f"H{48000 + bar['number']}"} for bar in begun["bars"]]
    came = served.client.post(f"/v1/work/{job['id']}/receive", json={"who": "office", "lines": lines})
    assert came.status_code == 200
    return served.client.get(f"/v1/work/{job['id']}").json()


def of(served: Served, work: dict) -> dict:
    return served.client.get(f"/v1/work/{work['id']}").json()


def counted(served: Served, work: dict, kind: str) -> int:
    return sum(entry.kind == kind for entry in served.service.shop.history(work=work["id"], limit=1000))


def test_a_whole_day(open_page, served: Served, work: dict) -> None:
    path = f"/plans/{work['id']}/saw"
    slots = {slot["bar"]: slot for slot in work["slots"]}
    kept = [bar for bar, slot in slots.items() if len(slot["parts"]) == 3]  # their drops are long enough for a label
    full = [bar for bar in slots if bar not in kept]
    assert len(kept) >= 2
    assert len(full) >= 6

    # Morning: the plan is in hand, revision A; what a stick is made of stands beside it.
    ann = Phone(open_page(WIDE, path=path), "Ann")
    expect(ann.page.locator(".mark")).to_have_text("Revision A")
    ann.turn_to(kept[0])
    expect(ann.row(kept[0])).to_contain_text(f"heat H{48000 + int(kept[0][1:])}")
    cuts = ann.page.locator("section:visible input.cut")
    cuts.nth(0).check()
    cuts.nth(1).check()
    assert fits(ann.page)
    assert axe(ann.page) == []

    # The first stick is sawn: its drop gets a number from the service, and the cuts are free for the next stick.
    ann.tick(kept[0])
    ann.sawn(kept[0])
    ann.said(re.compile(r"Write D\d+ on the drop, \d+ ?\S* in"))
    expect(ann.page.locator("section:visible input.cut:checked")).to_have_count(0)
    expect(ann.page.locator(".far")).to_contain_text("3 of 41 parts are made")

    # Ben works on the same plan and sees it. Then Ann loses the network, and goes on.
    ben = Phone(open_page(WIDE, path=path), "Ben")
    ben.sawn(kept[0])
    ann.network(there=False)
    for bar in (full[0], full[1], kept[1]):
        ann.tick(bar)
    expect(ann.page.locator("#net")).to_have_text("3 ticks wait for the network.")
    expect(ann.row(kept[1])).to_contain_text("The number for the drop comes with the network")
    assert axe(ann.page) == []
    assert sum(slot["state"] == "sawn" for slot in of(served, work)["slots"]) == 1

    # Ben saws meanwhile, one of them a stick that Ann has sawn, too: one of the two is mistaken.
    ben.tick(full[2])
    ben.tick(full[1])
    ben.sawn(full[2])
    ben.sawn(full[1])

    # The network is found: Ann's ticks arrive, once each; what can't be is said in plain words, nothing is lost.
    ann.network(there=True)
    ann.sawn(full[2])
    ann.said(re.compile(rf"Not taken .*{full[1]}.*: Layout \d+, stick \d+ was sawn already by Ben"))
    ann.said(re.compile(r"Write D\d+ on the drop"))
    expect(ann.page.locator("#net")).to_be_hidden()
    assert {bar for bar, slot in slots.items() if _state(served, work, bar) == "sawn"} == {*kept[:2], *full[:3]}
    assert counted(served, work, "sawn") == 5
    ben.sawn(full[0])

    # Noon: a part is spoilt, a stick is short, the blade is another one. Each says what no longer fits.
    ann.tell("spoilt", stick=full[3], part=2, left="100")
    ann.said(re.compile(r"part 2 \(C\) is spoilt; what is left is D\d+"))
    ann.said(re.compile(r"Write D\d+ on what is left, 100 in"))
    expect(ann.page.locator("div.watch")).to_contain_text("On no layout: 3 × B")
    ben.tell("short", stick=full[4], length="18 ft 2")
    ben.said(re.compile(rf"{full[4]} measures 218 in"))
    expect(ben.row(full[4])).to_contain_text("is short by")
    expect(ben.row(full[4]).locator("input")).to_be_disabled()
    ben.network(there=False)
    ann.tell("blade", kerf="1/8")
    ann.said("the blade now takes 1/8 in")
    expect(ann.page.locator("div.watch")).to_contain_text("the blade takes another width now")
    assert fits(ann.page)
    assert axe(ann.page) == []

    # The rest is planned anew, one step away. Nothing cheaper exists, and the paper says what is in force.
    ann.page.get_by_role("button", name="Plan the rest anew").click()
    expect(ann.page.locator("#replan")).to_contain_text("Throw away layout")
    assert fits(ann.page)
    assert axe(ann.page) == []
    ann.page.get_by_role("button", name="Saw it so from now on").click()
    expect(ann.page.locator(".mark")).to_have_text("Revision B")
    ann.said("Revision B is in force")
    book = of(served, work)
    assert book["revision"] == "B"
    assert not any(part["missing"] for part in book["parts"])

    # Ben, still on revision A and without network, ticks a stick that has another layout now.
    ben.tick(full[5])
    expect(ben.page.locator(".mark")).to_have_text("Revision A")
    ben.network(there=True)
    ben.said(re.compile(r"Revision B is in force: layouts? .* replaced"))
    ben.said(re.compile(rf"Not taken .*{full[5]}.*was replaced by revision B"))
    expect(ben.page.locator(".mark")).to_have_text("Revision B")
    expect(ben.page.locator('li[data-state="void"] input:enabled')).to_have_count(0)
    assert _state(served, work, full[5]) == "open"
    assert axe(ben.page) == []

    # Afternoon: the rest is sawn as revision B has it, by both, and the work is finished.
    todo = [slot["bar"] for slot in of(served, work)["slots"] if slot["state"] == "open"]
    for at, bar in enumerate(todo):
        phone = (ann, ben)[at % 2]
        phone.tick(bar)
        phone.sawn(bar)
    ann.sawn(todo[-1])
    ann.page.get_by_role("button", name="Finish this work").click()
    ann.page.get_by_role("button", name="It is finished").click()
    expect(ann.page.locator("#sheet")).to_have_attribute("data-state", "done")
    expect(ben.page.locator("#sheet")).to_have_attribute("data-state", "done")
    assert axe(ann.page) == []

    book = of(served, work)
    assert (book["state"], book["parts_made"], book["parts_asked"]) == ("done", 41, 41)
    assert counted(served, work, "sawn") == 5 + len(todo)
    assert served.service.shop.balance() == ()


def _state(served: Served, work: dict, bar: str) -> str:
    return next(slot["state"] for slot in of(served, work)["slots"] if slot["bar"] == bar and slot["state"] != "void")
