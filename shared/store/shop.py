"""The shop's memory in the store: the rack, the works in hand, the journal. Each method is one transaction."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from shared.store.desk import balance, begin, rack, read, saw, undo
from shared.store.desk import plan as plans
from shared.store.desk.rows import bar_of
from shared.store.desk.run import Act, Asked, run
from shared.work.rack.bars import Bar, BarChanges, BarState, Counted, NewBar, Received
from shared.work.saw.ledger import Account, Difference
from shared.work.saw.work import Entry, Outcome, PlanInHand, WorkBook

if TYPE_CHECKING:
    from shared.work.replan.anew import Replanned

__all__ = ["ShopStore"]


@dataclass(frozen=True, slots=True)
class ShopStore:
    """The shop's memory in one database; every method may be called from any thread and process.

    Each event answers with an `Outcome`, or raises a `shared.work.errors.ShopError` and changes nothing. `who` is the
    person or device that tells it; `key`, where given, names the event: told again under the same key it counts once,
    and is answered as the first time.

    Attributes
    ----------
    engine : Engine
        An open database, see `shared.store.open_database`.
    clock : callable
        What time it is, in milliseconds since 1970: the door's, which reads a clock.
    """

    engine: Engine
    clock: Callable[[], int]

    def _read(self) -> Session:
        return Session(self.engine)

    def _tell(
        self, act: Act, kind: str, who: str, *what: object, work: str | None = None, key: str | None = None
    ) -> Outcome:
        return run(self.engine, Asked(kind=kind, who=who, what=what, work=work, key=key), act, self.clock())

    # -- the rack -------------------------------------------------------------------------------

    def bars(
        self,
        states: Iterable[BarState] | None = (BarState.FREE, BarState.RESERVED),
        section: tuple[str, str] | None = None,
    ) -> tuple[Bar, ...]:
        """Return pieces by number: those on the rack, or in other states, or in any (None); of a section (its key)."""
        with self._read() as session:
            return read.find_bars(session, states, section)

    def bar(self, number: int) -> Bar:
        """Return one piece; raises UnknownError."""
        with self._read() as session:
            return bar_of(read.bar_row(session, number))

    def add_bars(self, news: Iterable[NewBar], who: str, key: str | None = None) -> Outcome:
        """Put pieces on the rack, all of them or none; `Outcome.bars` has their numbers in the order given."""
        lines = tuple(news)
        return self._tell(lambda desk: rack.add_bars(desk, lines), "added", who, lines, key=key)

    def correct(self, number: int, changes: BarChanges, who: str, words: str = "", key: str | None = None) -> Outcome:
        """Correct what the books say about a piece on the rack."""
        return self._tell(
            lambda desk: rack.correct(desk, number, changes, words), "corrected", who, number, changes, words, key=key
        )

    def scrap(self, number: int, who: str, words: str = "", key: str | None = None) -> Outcome:
        """Throw a free piece away."""
        return self._tell(lambda desk: rack.scrap(desk, number, words), "scrapped", who, number, words, key=key)

    def lost(self, number: int, who: str, words: str = "", key: str | None = None) -> Outcome:
        """Note that a piece isn't where it should be; a work that counts on it is flagged."""
        return self._tell(lambda desk: rack.lost(desk, number, words), "lost", who, number, words, key=key)

    def found(self, number: int, who: str, words: str = "", key: str | None = None) -> Outcome:
        """Note that a lost piece is there after all."""
        return self._tell(lambda desk: rack.found(desk, number, words), "found", who, number, words, key=key)

    def stock_take(self, lines: Iterable[Counted], who: str, key: str | None = None) -> Outcome:
        """Take over all lines of a stock-take as one entry, or none and every reason why."""
        counted = tuple(lines)
        return self._tell(lambda desk: rack.stock_take(desk, counted), "stock-take", who, counted, key=key)

    # -- a work ---------------------------------------------------------------------------------

    def begin(self, job_id: str, who: str, key: str | None = None) -> Outcome:
        """Take a job's final plan in hand: own pieces are reserved, what is bought is expected.

        Raises
        ------
        TakenError
            Own pieces can't be had any more: a sentence for each.
        NoPlanError
            There is no final plan.
        """
        return self._tell(lambda desk: begin.begin(desk, job_id), "begun", who, work=job_id, key=key)

    def receive(self, work_id: str, lines: Iterable[Received], who: str, key: str | None = None) -> Outcome:
        """Note what came, with measured lengths and heat numbers; all lines or none and every reason why."""
        came = tuple(lines)
        return self._tell(lambda desk: begin.receive(desk, work_id, came), "received", who, came, work=work_id, key=key)

    def tick(self, work_id: str, slot: int, who: str, key: str | None = None, parts: int | None = None) -> Outcome:
        """Note that a stick was sawn, or its first `parts` parts.

        A drop worth keeping goes on the rack; `Outcome.bars` has its number, for its label.
        """
        return self._tell(
            lambda desk: saw.tick(desk, work_id, slot, parts), "sawn", who, slot, parts, work=work_id, key=key
        )

    def short(self, work_id: str, slot: int, length: Fraction, who: str, key: str | None = None) -> Outcome:
        """Note how long (mm) a stick really is, or, where it was begun, what is left of it behind its last cut."""
        return self._tell(
            lambda desk: saw.short(desk, work_id, slot, length), "measured", who, slot, length, work=work_id, key=key
        )

    def spoilt(
        self, work_id: str, slot: int, position: int, who: str, key: str | None = None, *, left: Fraction | None = None
    ) -> Outcome:
        """Note that the part at a position (from 1) is spoilt.

        On a stick that isn't done, the parts before it are good and sawing stops behind it: what is left (`left`
        mm, where somebody measured) stays with the work under a number of its own, in `Outcome.bars`.
        """
        return self._tell(
            lambda desk: saw.spoilt(desk, work_id, slot, position, left),
            "spoilt",
            who,
            slot,
            position,
            left,
            work=work_id,
            key=key,
        )

    def blade(self, work_id: str, kerf: Fraction, who: str, key: str | None = None) -> Outcome:
        """Note what the blade takes (mm) from now on."""
        return self._tell(lambda desk: saw.blade(desk, work_id, kerf), "blade", who, kerf, work=work_id, key=key)

    def revise(self, work_id: str, document: bytes, who: str, key: str | None = None) -> Outcome:
        """Put another parts list (a job file) in force; parts made that it doesn't ask for are surplus."""
        return self._tell(
            lambda desk: plans.revise(desk, work_id, document), "revised", who, document, work=work_id, key=key
        )

    def surplus_to_rack(self, work_id: str, made: Iterable[int], who: str, key: str | None = None) -> Outcome:
        """Put surplus parts, by their ids, on the rack; `Outcome.bars` has their numbers in that order."""
        ids = tuple(made)
        return self._tell(
            lambda desk: plans.surplus_to_rack(desk, work_id, ids), "surplus", who, ids, work=work_id, key=key
        )

    def accept(self, work_id: str, proposal: Replanned, version: int, who: str, key: str | None = None) -> Outcome:
        """Put a proposal for the rest in force as the next revision.

        Raises
        ------
        StaleError
            The work has changed since `version`.
        TakenError
            Pieces of the rack that it counts on can't be had any more.
        """
        return self._tell(
            lambda desk: plans.accept(desk, work_id, proposal, version),
            "replanned",
            who,
            version,
            proposal.void,
            proposal.words,
            work=work_id,
            key=key,
        )

    def drop(self, work_id: str, who: str, *, call_off: bool = False, key: str | None = None) -> Outcome:
        """Give a work up: what it reserved is free; what is expected still comes, or is called off."""
        return self._tell(
            lambda desk: plans.drop(desk, work_id, call_off=call_off), "dropped", who, call_off, work=work_id, key=key
        )

    def finish(self, work_id: str, who: str, key: str | None = None) -> Outcome:
        """End a work that is all made."""
        return self._tell(lambda desk: plans.finish(desk, work_id), "finished", who, work=work_id, key=key)

    # -- the journal ----------------------------------------------------------------------------

    def undo(self, entry: int, who: str, key: str | None = None) -> Outcome:
        """Take an entry of the journal back; refused, naming the entry, where a later one was built on it."""
        return self._tell(lambda desk: undo.undo(desk, entry), "undone", who, entry, key=key)

    def balance(self) -> tuple[Difference, ...]:
        """Compare the ledger with the steel and look for pieces in two places; empty where the books balance."""
        with self._read() as session:
            return balance.differences(session)

    def accounts(self) -> dict[tuple[tuple[str, str], Account], Fraction]:
        """Return what stands on every account (mm), by section and account."""
        with self._read() as session:
            return balance.totals(session)

    # -- looking things up ----------------------------------------------------------------------

    def work(self, work_id: str) -> WorkBook:
        """Return everything known of a work; raises UnknownError."""
        with self._read() as session:
            return read.book_of(session, read.work_row(session, work_id))

    def works(self) -> tuple[PlanInHand, ...]:
        """Return all works, the one taken in hand last first."""
        with self._read() as session:
            return read.works(session)

    def history(self, number: int | None = None, work: str | None = None, limit: int = 100) -> tuple[Entry, ...]:
        """Return the journal's entries, newest first: of one piece, of one work, or all."""
        with self._read() as session:
            return read.entries(session, number, work, limit)
