"""Every refusal of the shop's memory, drawn as one tree.

::

    ShopError
    +-- TakenError        somebody else has the steel
    +-- StaleError        what one looked at has changed since
    +-- NotPossibleError  it can't be done as things are
    |   +-- NoPlanError   the job has no final plan to take in hand
    +-- UnknownError      there is no such bar, work, slot, part or entry
"""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["NoPlanError", "NotPossibleError", "ShopError", "StaleError", "TakenError", "UnknownError"]


class ShopError(Exception):
    """Root of the tree. Its text is for people: what, where, and what to do.

    Parameters
    ----------
    reasons : str or sequence of str
        One sentence for each thing that is wrong, all of them at once.
    """

    def __init__(self, reasons: str | Sequence[str]) -> None:
        self.reasons = (reasons,) if isinstance(reasons, str) else tuple(reasons)
        super().__init__(" ".join(self.reasons))


class TakenError(ShopError):
    """Own pieces that a plan needs aren't free any more; a sentence for each says who has it."""


class StaleError(ShopError):
    """Somebody changed it in the meantime: look again."""


class NotPossibleError(ShopError):
    """As things are it can't be done."""


class NoPlanError(NotPossibleError):
    """A job without a final plan can't be taken in hand."""


class UnknownError(ShopError):
    """There is no such thing."""
