"""A phone at the saw, as the tests of the saw page hold it."""

import re
from typing import Any

import pytest

expect = pytest.importorskip("playwright.sync_api", reason="playwright isn't installed").expect

WIDE = 390


class Phone:
    """A saw page on a phone of its own.

    Parameters
    ----------
    page
        The browser's.
    who
        Who holds it.
    """

    def __init__(self, page: Any, who: str) -> None:
        self.page = page
        page.fill("#who", who)
        page.locator("#who").blur()

    def network(self, *, there: bool) -> None:
        """Lose or find the network."""
        self.page.context.set_offline(not there)

    def row(self, bar: str) -> Any:
        """The line of a stick, on whichever layout it stands in force."""
        return self.page.locator(f'section:not([data-gone]) li[data-bar="{bar}"]:not([data-state="void"])')

    def turn_to(self, bar: str) -> None:
        """Turn to a stick's layout."""
        back, forth = self.page.locator("#turn button").all()
        while back.is_enabled():
            back.click()
        while not self.row(bar).is_visible():
            forth.click()

    def tick(self, bar: str) -> None:
        """Tick a stick as sawn."""
        self.turn_to(bar)
        self.row(bar).locator("input").check()

    def sawn(self, bar: str) -> None:
        """Wait until a stick is sawn as the service says, too."""
        expect(self.page.locator(f'li[data-bar="{bar}"][data-state="sawn"]')).to_have_count(1)

    def tell(self, what: str, *, stick: str = "", part: int = 0, **blanks: str) -> None:
        """Tell something by a panel: which stick, which part, what was measured."""
        if stick:
            self.turn_to(stick)
        self.page.locator(f"section:visible [data-open={what}], .told > [data-open={what}]:visible").first.click()
        panel = self.page.locator(f"#{what}")
        if stick:
            panel.locator(".which label", has_text=re.compile(rf"\b{stick}\b")).click()
        if part:
            panel.locator(".part label", has_text=re.compile(rf"^{part}:")).click()
        for name, text in blanks.items():
            panel.locator(f"[name={name}]").fill(text)
        panel.get_by_role("button", name="Write it down").click()

    def said(self, text: str | re.Pattern[str]) -> None:
        """Wait for a note, and put it away."""
        note = self.page.locator("#notes li", has_text=text)
        expect(note).to_have_count(1)
        note.get_by_role("button").click()
        expect(note).to_have_count(0)
