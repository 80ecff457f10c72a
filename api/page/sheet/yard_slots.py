"""The places for yards on the sheet: one for each yard, and always an empty one behind them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from api.sheet.form import SheetForm
from api.sheet.yards import MOST_YARDS, YardForm

__all__ = ["YardSlots", "slots_in"]


@dataclass(frozen=True, kw_only=True, slots=True)
class YardSlots:
    """The places, and which of them a browser doesn't show yet.

    Attributes
    ----------
    form : SheetForm
        The sheet as it is now.
    before : SheetForm
        The sheet as it was sent.
    shown : int
        Places that the browser shows.
    """

    form: SheetForm
    before: SheetForm
    shown: int

    @property
    def all(self) -> tuple[YardForm, ...]:
        """Return what stands in each place."""
        count = min(max(len(self.form.yards) + 1, self.shown), MOST_YARDS)
        return (*self.form.yards, *[YardForm()] * (count - len(self.form.yards)))

    @property
    def rewritten(self) -> bool:
        """Whether something other than typing has changed them."""
        return self.form.yards != self.before.yards

    @property
    def fresh(self) -> range:
        """Return the numbers of the places to be added behind those shown."""
        return range(self.shown + 1, len(self.all) + 1)


def slots_in(names: Iterable[str]) -> int:
    """Count the places for yards that a form was sent with."""
    return sum(bool(re.fullmatch(r"yard-\d{1,2}-name", name)) for name in names)
