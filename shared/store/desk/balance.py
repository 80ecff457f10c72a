"""Whether the books balance: the ledger against the steel itself, and every promise about who has which piece."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from sqlalchemy import select
from sqlalchemy.orm import Session

from cutting.question.lengths import Unit, show_length
from shared.store.desk.rows import bar_of, made_of, slot_of
from shared.store.desk.tables import BarRow, LedgerRow, MadeRow, SlotRow, WorkRow
from shared.store.values import fraction_of
from shared.work.rack.bars import Bar, BarState, bar_name
from shared.work.saw.ledger import Account, Difference, Line, holdings, unbalanced
from shared.work.saw.work import Made, MadeState, Slot, SlotState, WorkState

__all__ = ["differences", "totals"]

Key = tuple[str, str]
Totals = dict[tuple[Key, Account], Fraction]

_THERE = frozenset({BarState.EXPECTED, BarState.RESERVED, BarState.LOST, BarState.SCRAP, BarState.CANCELLED})


def totals(session: Session) -> Totals:
    """Return the sum of every account for every section, from the ledger alone."""
    sums: Totals = {}
    for _, line in _lines(session):
        key = (line.section, line.account)
        sums[key] = sums.get(key, Fraction(0)) + line.amount
    return sums


def differences(session: Session) -> tuple[Difference, ...]:
    """Compare the ledger with the steel, and look for pieces in two places; empty where the books balance."""
    bars = [bar_of(row) for row in session.scalars(select(BarRow).order_by(BarRow.number))]
    slots = [slot_of(row) for row in session.scalars(select(SlotRow).order_by(SlotRow.id))]
    made = [
        ((row.section_name, row.section_material), made_of(row))
        for row in session.scalars(select(MadeRow).order_by(MadeRow.id))
    ]
    states = {row.id: WorkState(row.state) for row in session.scalars(select(WorkRow))}
    found = [*_entries(session), *_holdings(session, bars, slots, made), *_reservations(bars, states)]
    found += [*_slots(bars, slots), *_parts(slots, [each for _, each in made])]
    return tuple(found)


def _lines(session: Session) -> Iterator[tuple[int, Line]]:
    for row in session.scalars(select(LedgerRow).order_by(LedgerRow.id)):
        section = (row.section_name, row.section_material)
        yield row.entry, Line(section=section, account=Account(row.account), amount=fraction_of(row.amount))


def _mm(amount: Fraction) -> str:
    return show_length(amount, Unit.MM)


def _entries(session: Session) -> Iterator[Difference]:
    """Entries whose lines don't add up to zero."""
    of_entry: dict[int, list[Line]] = {}
    for entry, line in _lines(session):
        of_entry.setdefault(entry, []).append(line)
    for entry, lines in of_entry.items():
        for section, amount in unbalanced(lines).items():
            yield Difference(section=section, words=f"Entry {entry} misses zero by {_mm(amount)}.")


def _holdings(
    session: Session, bars: Sequence[Bar], slots: Sequence[Slot], made: Sequence[tuple[Key, Made]]
) -> Iterator[Difference]:
    there = holdings(bars, slots, made)
    said = {key: amount for key, amount in totals(session).items() if key[1].held}
    for key in sorted({*there, *said}):
        section, account = key
        real, written = there.get(key, Fraction(0)), said.get(key, Fraction(0))
        if real != written:
            words = f"{account}: {_mm(written)} in the ledger, {_mm(real)} there."
            yield Difference(section=section, words=words)


def _reservations(bars: Sequence[Bar], states: dict[str, WorkState]) -> Iterator[Difference]:
    for bar in bars:
        if bar.state is BarState.RESERVED and states.get(bar.work or "") is not WorkState.OPEN:
            yield Difference(section=bar.section.key, words=f"{bar.name} is reserved for a plan that isn't open.")
        if bar.length < 0 or (bar.state.at_hand and not bar.length):
            yield Difference(section=bar.section.key, words=f"{bar.name} is {_mm(bar.length)} long.")


def _slots(bars: Sequence[Bar], slots: Sequence[Slot]) -> Iterator[Difference]:
    known = {bar.number: bar for bar in bars}
    still_open = [slot for slot in slots if slot.state is SlotState.OPEN]
    counts = Counter(slot.bar for slot in still_open)
    for slot in still_open:
        bar = known[slot.bar]
        if counts[slot.bar] > 1:
            yield Difference(section=bar.section.key, words=f"{bar.name} lies in {counts[slot.bar]} open layouts.")
        if bar.state not in _THERE or bar.work != slot.work:
            yield Difference(
                section=bar.section.key, words=f"{bar.name} is {bar.state}, and an open layout counts on it."
            )
        if not 0 <= slot.used <= bar.length:
            yield Difference(section=bar.section.key, words=f"{bar.name} is used up beyond its length.")


def _parts(slots: Sequence[Slot], made: Sequence[Made]) -> Iterator[Difference]:
    """Parts that were made twice, or never, for what the sticks say; bars that a part became, in two places."""
    on: Counter[int] = Counter(each.slot for each in made)
    for slot in slots:
        if on[slot.id] != slot.sawn:
            words = f"{bar_name(slot.bar)}: {on[slot.id]} parts are in the books, {slot.sawn} were sawn."
            yield Difference(section=slot.cut.section.key, words=words)
    became = Counter(each.became for each in made if each.became is not None)
    for each in made:
        if (each.became is not None) != (each.state is MadeState.BACK) or (each.became and became[each.became] > 1):
            words = f"{each.mark} from {bar_name(each.bar)} is in two places."
            yield Difference(section=slots[0].cut.section.key, words=words)
