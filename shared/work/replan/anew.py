"""Plan the rest of a work anew: the least extra money, proven; then as much printed paper kept as goes with it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from cutting.answer.plan import Objective, Plan, Proof, Result
from cutting.fit.clock import Clock
from cutting.question.job import Job, Source
from shared.work.rack.bars import Bar, BarState
from shared.work.replan.remains import Remains, remains_of
from shared.work.replan.search import Found, search
from shared.work.replan.sums import paid, spent
from shared.work.replan.words import words_of
from shared.work.saw.work import SlotState, WorkBook

__all__ = ["Replanned", "replan"]

_SHARE: Final = 0.95  # of the time for the search; the rest is for looking before and checking after it


@dataclass(frozen=True, kw_only=True, slots=True)
class Replanned:
    """A proposal for the rest of a work.

    Attributes
    ----------
    work : str
        Which work.
    version : int
        Of the work that it was made from; a later one makes it void.
    kept : tuple of int
        Ids of the slots that are sawn as they are printed.
    void : tuple of int
        Ids of the open slots that are replaced. One that was begun is given up: what is left of its bar is what
        `job` calls by the bar's name.
    together : tuple of int
        Ids of those among `void` whose parts stay together on their stick, and only their paper changes.
    job : Job or None
        What is planned new: parts, the bars they may be cut from (``D17`` is bar 17), what the yards offer. None where
        nothing is.
    result : Result or None
        Its plan, checked, with a bound that follows from `proof`.
    used : tuple of int
        Numbers of the bars that the new plan cuts from.
    freed : tuple of int
        Numbers of the bars reserved for this work that nothing is cut from any more: they go back to the rack.
    idle : tuple of int
        Numbers of the bars bought for this work that haven't come, and that nothing is cut from any more: they may
        still come, or be called off.
    extra : Fraction or None
        What is bought anew in the objective's unit; None where there is no plan.
    pay : Decimal or None
        The same in money, all fees included; None without prices.
    objective : Objective
        What was minimised.
    cost : Fraction or None
        Its value over all that is left to be sawn, kept layouts included: `extra`, and where leftovers have a worth,
        that of the own steel used less that of the drops.
    proof : Proof
        What no way to finish the work from all steel at hand and all offers falls below, however much is printed anew.
    reasons : tuple of str
        Why there is no plan; empty where there is one.
    words : tuple of str
        All of it for people, a sentence each.
    """

    work: str
    version: int
    kept: tuple[int, ...]
    void: tuple[int, ...]
    together: tuple[int, ...]
    job: Job | None
    result: Result | None
    used: tuple[int, ...]
    freed: tuple[int, ...]
    idle: tuple[int, ...]
    extra: Fraction | None
    pay: Decimal | None
    objective: Objective
    cost: Fraction | None
    proof: Proof
    reasons: tuple[str, ...]
    words: tuple[str, ...]

    @property
    def plan(self) -> Plan | None:
        """What is planned new."""
        return None if self.result is None else self.result.plan

    @property
    def possible(self) -> bool:
        """Whether it can be accepted."""
        return not self.reasons

    @property
    def certain(self) -> bool:
        """Whether nothing cheaper exists."""
        return self.cost is not None and self.proof.lower_bound >= self.cost

    @property
    def changes(self) -> bool:
        """Whether accepting it would change anything."""
        return bool(self.void or self.freed or self.plan is not None)


def replan(
    book: WorkBook, rack: Iterable[Bar], *, limit: float = 10.0, seed: int = 0, cores: int | None = None
) -> Replanned:
    """Plan what is left of a work anew.

    Parameters
    ----------
    book : WorkBook
        The work as it is now: what is cut stays cut.
    rack : iterable of Bar
        The shop's bars, at least the free ones.
    limit : float
        Seconds.
    seed : int
        For every random choice; the same book, rack and seed give the same proposal wherever the proofs close in time.
    cores : int, optional
        Processes to use at most; all of the machine's by default.

    Returns
    -------
    Replanned
        The least extra money is proven as far as `Replanned.proof` says. That as many layouts as possible are kept at
        that cost is best effort.

    Raises
    ------
    ValueError
        A limit that is no positive number of seconds; or a stored revision that can't be read back.
    """
    if not limit > 0:
        raise ValueError(f"the time limit must be above 0 seconds, not {limit}")
    remains = remains_of(book, rack)
    found = search(remains, clock=Clock(limit * _SHARE), seed=seed, cores=cores)
    return _told(book, remains, found)


def _told(book: WorkBook, remains: Remains, found: Found) -> Replanned:
    plan = None if found.result is None else found.result.plan
    taken = {line.stick for line in plan.buy if line.source is Source.OWN} if plan else set()
    used = tuple(bar.number for bar in remains.bars if bar.name in taken)
    unneeded = () if found.reasons else _unneeded(book, remains, found, used)
    return Replanned(
        work=book.work.id,
        version=book.work.version,
        kept=tuple(pin.slot.id for pin in found.kept),
        void=() if found.reasons else _void(book, found, used),
        together=tuple(pin.slot.id for pin in found.together),
        job=found.job,
        result=found.result,
        used=used,
        freed=tuple(bar.number for bar in unneeded if bar.state is BarState.RESERVED),
        idle=tuple(bar.number for bar in unneeded if bar.state is BarState.EXPECTED),
        extra=None if found.reasons else spent(plan, found.objective),
        pay=None if found.reasons or remains.job.currency is None else paid(plan),
        objective=found.objective,
        cost=found.cost,
        proof=found.proof,
        reasons=found.reasons,
        words=words_of(remains, found, used=used, unneeded=unneeded, keep_from=book.work.keep_from),
    )


def _void(book: WorkBook, found: Found, used: tuple[int, ...]) -> tuple[int, ...]:
    """Open slots that aren't kept; and those that nothing was to be cut from, where something is now."""
    kept = {pin.slot.id for pin in found.kept}
    still = (slot for slot in book.slots if slot.state is SlotState.OPEN and slot.id not in kept)
    return tuple(slot.id for slot in still if slot.left or (not slot.cut.pieces and slot.bar in used))


def _unneeded(book: WorkBook, remains: Remains, found: Found, used: tuple[int, ...]) -> tuple[Bar, ...]:
    """Bars held for the work that nothing is cut from; those that were only to be received stay as they are."""
    waiting = {slot.bar for slot in book.slots if slot.state is SlotState.OPEN and not slot.cut.pieces}
    needed = {*used, *waiting, *(pin.slot.bar for pin in found.kept)}
    return tuple(bar for bar in remains.bars if bar.state is not BarState.FREE and bar.number not in needed)
