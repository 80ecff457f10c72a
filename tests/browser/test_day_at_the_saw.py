"""A day at the saw: two phones on one plan, the network lost and found, steel short and spoilt, the rest replanned."""

import re
from dataclasses import dataclass

import pytest

from tests.browser.phone import WIDE, Phone
from tests.browser.test_page import axe, fits
from tests.served import Served, stand

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect

pytestmark = [
    pytest.mark.kind(name="browser walk"),
    pytest.mark.slow("a further walk, after the main one"),
]

SECTION = "SHS 1-1/2x1-1/2x1/8"
PARTS = [
    {"mark": "A", "section": SECTION, "length": "80 1/2", "quantity": 9, "note": "vent hole"},
    {"mark": "B", "section": SECTION, "length": "34 5/8", "quantity": 23},
    {"mark": "C", "section": SECTION, "length": "50", "quantity": 9},
]
EVERY = sum(part["quantity"] for part in PARTS)


@dataclass
class Day:
    """A plan in hand whose sticks have come, each with its heat number, and two phones."""

    served: Served
    work: str
    kept: list[str]  # sticks whose drops are long enough for a label
    full: list[str]  # the others
    ann: Phone
    ben: Phone

    @property
    def book(self) -> dict:
        return self.served.client.get(f"/v1/works/{self.work}").json()

    def bars(self, state: str) -> list[str]:
        return [slot["bar"] for slot in self.book["slots"] if slot["state"] == state]

    @property
    def ticks(self) -> int:
        entries = self.served.service.shop.history(work=self.work, limit=1000)
        return sum(entry.kind == "sawn" for entry in entries)


@pytest.fixture
def day(open_page, served: Served) -> Day:
    job = served.post(stand(parts=PARTS), wait=60).json()
    begun = served.client.post("/v1/works", json={"job": job["id"], "who": "office"}).json()
    lines = [{"bar": bar["number"], "heat": f"H{48000 + bar['number']}"} for bar in begun["bars"]]
    came = served.client.post(f"/v1/works/{job['id']}/receive", json={"who": "office", "lines": lines})
    assert came.status_code == 200
    kept = [slot["bar"] for slot in begun["slots"] if len(slot["parts"]) == 3]
    full = [slot["bar"] for slot in begun["slots"] if len(slot["parts"]) > 3]
    assert len(kept) >= 2
    assert len(full) >= 6
    path = f"/plans/{job['id']}/saw"
    ann, ben = (Phone(open_page(WIDE, path=path), who) for who in ("Ann", "Ben"))
    return Day(served=served, work=job["id"], kept=kept, full=full, ann=ann, ben=ben)


def test_a_whole_day(day: Day) -> None:
    begin(day)
    lose_and_find_the_network(day)
    need_a_replan(day)
    replan(day)
    learn_of_it_late(day)
    saw_the_rest(day)


def begin(day: Day) -> None:
    """Revision A is in force, and what each stick is made of stands beside it. The first drop gets its number."""
    ann, bar = day.ann, day.kept[0]
    expect(ann.page.locator(".mark")).to_have_text("Revision A")
    ann.turn_to(bar)
    expect(ann.row(bar)).to_contain_text(f"heat H{48000 + int(bar[1:])}")
    cuts = ann.page.locator("section:visible input.cut")
    cuts.nth(0).check()
    cuts.nth(1).check()
    no_barriers(ann)
    ann.tick(bar)
    ann.sawn(bar)
    ann.said(re.compile(r"Write D\d+ on the drop, \d+ ?\S* in"))
    expect(ann.page.locator("section:visible input.cut:checked")).to_have_count(0)  # free for the next stick
    expect(ann.page.locator(".far")).to_contain_text(f"3 of {EVERY} parts are made")
    day.ben.sawn(bar)


def lose_and_find_the_network(day: Day) -> None:
    """Ann saws on without network, Ben with it, and both tick the same stick: one of them is mistaken."""
    ann, ben, full = day.ann, day.ben, day.full
    ann.network(there=False)
    for bar in (full[0], full[1], day.kept[1]):
        ann.tick(bar)
    expect(ann.page.locator("#net")).to_have_text("3 ticks wait for the network.")
    expect(ann.row(day.kept[1])).to_contain_text("The number for the drop comes with the network")
    no_barriers(ann)
    assert day.bars("sawn") == [day.kept[0]]
    for bar in (full[2], full[1]):
        ben.tick(bar)
        ben.sawn(bar)
    ann.network(there=True)
    ann.sawn(full[2])
    ann.said(re.compile(rf"Not taken .*{full[1]}.*: Layout \d+, stick \d+ was sawn already by Ben"))
    ann.said(re.compile(r"Write D\d+ on the drop"))
    expect(ann.page.locator("#net")).to_be_hidden()
    assert set(day.bars("sawn")) == {*day.kept[:2], *full[:3]}
    assert day.ticks == 5
    ben.sawn(full[0])


def need_a_replan(day: Day) -> None:
    """A part is spoilt, a stick is short, the blade is another one: each says what no longer fits."""
    ann, ben, full = day.ann, day.ben, day.full
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
    no_barriers(ann)


def replan(day: Day) -> None:
    """The rest is planned anew, one step away, and revision B is in force at once."""
    page = day.ann.page
    page.get_by_role("button", name="Plan the rest anew").click()
    expect(page.locator("#replan")).to_contain_text("Throw away layout")
    no_barriers(day.ann)
    page.get_by_role("button", name="Saw it so from now on").click()
    expect(page.locator(".mark")).to_have_text("Revision B")
    day.ann.said("Revision B is in force")
    book = day.book
    assert book["revision"] == "B"
    assert not any(part["missing"] for part in book["parts"])


def learn_of_it_late(day: Day) -> None:
    """Ben, still on revision A and without network, ticks a stick that has another layout now."""
    ben, bar = day.ben, day.full[5]
    ben.tick(bar)
    expect(ben.page.locator(".mark")).to_have_text("Revision A")
    ben.network(there=True)
    ben.said(re.compile(r"Revision B is in force: layouts? .* replaced"))
    ben.said(re.compile(rf"Not taken .*{bar}.*was replaced by revision B"))
    expect(ben.page.locator(".mark")).to_have_text("Revision B")
    expect(ben.page.locator('li[data-state="void"] input:enabled')).to_have_count(0)
    assert bar in day.bars("open")
    no_barriers(ben)


def saw_the_rest(day: Day) -> None:
    """The rest is sawn as revision B has it, by both, and the work is finished: the books balance."""
    todo = day.bars("open")
    for at, bar in enumerate(todo):
        phone = (day.ann, day.ben)[at % 2]
        phone.tick(bar)
        phone.sawn(bar)
    page = day.ann.page
    page.get_by_role("button", name="Finish this work").click()
    page.get_by_role("button", name="It is finished").click()
    for phone in (day.ann, day.ben):
        expect(phone.page.locator("#sheet")).to_have_attribute("data-state", "done")
    no_barriers(day.ann)
    book = day.book
    assert (book["state"], book["parts_made"], book["parts_asked"]) == ("done", EVERY, EVERY)
    assert day.ticks == 5 + len(todo)
    assert day.served.service.shop.balance() == ()


def no_barriers(phone: Phone) -> None:
    assert fits(phone.page)
    assert axe(phone.page) == []
