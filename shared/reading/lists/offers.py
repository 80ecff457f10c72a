"""Lists of sticks: a yard's price list, its rack, one's own drops."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from cutting.question.job import Break, Discount, PerLength, PerStick, PerWeight, Price, Section, Source
from cutting.question.lengths import Unit, show_length
from shared.reading.aside.yards import Yards
from shared.reading.grid.sheet import open_list
from shared.reading.lists.echo import say_offer
from shared.reading.lists.entry import Entry, List, joined
from shared.reading.lists.listing import read_rows
from shared.reading.lists.plausible import doubts_length, doubts_prices
from shared.reading.lists.reread import show_choices
from shared.reading.lists.selling import ask_lots, settle_selling
from shared.reading.lists.units import length_cell
from shared.reading.values.draft import Ask, Money
from shared.reading.values.result import Kind, LineRead, OfferList, OfferRead, Question

__all__ = ["read_offers"]

_MOST_DISCOUNT: Final = 1
_OF_A_PLAN: Final = (
    "this is the workbook of a plan, which lists what was bought and cut; paste a list of what there is, such as the "
    "rows of its sheet Drops"
)


def read_offers(
    source: str | bytes,
    *,
    kind: Source,
    unit: Unit | None = None,
    known: Sequence[Section] = (),
    yards: Sequence[str] = (),
) -> tuple[OfferList, tuple[Question, ...]]:
    r"""Read a list of sticks as people paste it.

    Parameters
    ----------
    source : str or bytes
        Free text, a table as text, or the bytes of a text, CSV, xlsx or ods file.
    kind : Source
        What the list is: a yard's sticks, a yard's rack, or one's own drops.
    unit : Unit or None
        What a bare length means; None to let the list tell.
    known : sequence of Section
        Sections of the parts. Where there is one only, lines that name none mean that.
    yards : sequence of str
        Names of yards that are known already; more may be named by the list itself.

    Returns
    -------
    OfferList
        What was understood.
    tuple of Question
        Everything that is open.

    Examples
    --------
    >>> found, questions = read_offers("63-1/4 SHS 3x3x1/8 $6", kind=Source.RACK)
    >>> [(offer.section.name, offer.price.amount, offer.available) for offer in found.offers], questions
    ([('SHS 3x3x1/8', Decimal('6'), 1)], ())
    >>> found, _ = read_offers("Harbour Steel:\nSHS 40x40x3 6 m 38.20 EUR, from 10: 35.90", kind=Source.STICKS)
    >>> [(offer.yard, offer.breaks[0].least, offer.breaks[0].price.amount) for offer in found.offers]
    [('Harbour Steel', 10, Decimal('35.90'))]
    >>> read_offers("3 pcs 20' @ 58.40", kind=Source.STICKS)[1][0].message
    'no section; write what it is cut from, such as SHS 40x40x3'
    """
    return _read(source, kind, unit, known, yards, offer=True)


def _read(
    source: str | bytes,
    kind: Source,
    unit: Unit | None,
    known: Sequence[Section],
    yards: Sequence[str],
    *,
    offer: bool,
) -> tuple[OfferList, tuple[Question, ...]]:
    """Read a list; its choices are read where it is to be offered to somebody."""
    sheet, problems = open_list(source)
    if sheet.planned:
        problems = (*problems, Question(line=0, text="", message=_OF_A_PLAN))
    named = None if kind is Source.OWN else Yards(yards)
    listing = read_rows(sheet, offers=True, unit=unit, known=known, yards=named)
    for entry in listing.entries:
        settle_selling(entry)
    ask_lots(listing.entries)
    currency = _currency(listing)
    made = {id(entry): _offer(entry, kind, listing) for entry in listing.entries}
    made.update(dict.fromkeys(doubts_prices(listing.entries, made)))
    if offer:
        show_choices(listing.entries, lambda text: _read(text, kind, unit, known, yards, offer=False)[0].lines)
    lines = joined(_line(entry, made, currency) for entry in listing.entries)
    assert listing.unit is not None
    found = OfferList(
        offers=tuple(offer for offer in made.values() if offer is not None),
        lines=lines,
        currency=currency,
        unit=listing.unit,
    )
    return found, (*problems, *(question for line in lines for question in line.questions))


def _currency(listing: List) -> str | None:
    """Return the list's currency; a line in another one is a question."""
    first: Entry | None = None
    code = None
    for entry in listing.entries:
        money = entry.draft.money if entry.draft else None
        if money is None or not money.currency:
            continue
        if first is None:
            first, code = entry, money.currency
        elif money.currency != code:
            entry.ask(
                Ask(
                    message=f"{money.currency} here, {code} in line {first.row.line}; give all prices in one currency",
                    position=0,
                )
            )
    return code


def _offer(entry: Entry, kind: Source, listing: List) -> OfferRead | None:
    """Return the stick of one line."""
    draft = entry.draft
    if entry.kind is not Kind.OFFER or draft is None or draft.section is None or draft.length is None:
        return None
    if draft.length.unit is None:
        return None
    length = draft.length.value * draft.length.unit.mm
    if doubts_length(entry, length, kind, length_cell(entry), listing.delimiter):
        return None
    price = _price(draft.money)
    if isinstance(price, Discount) and (kind is not Source.RACK or not 0 < price.share <= _MOST_DISCOUNT):
        entry.ask(Ask(message="a discount is for rack pieces, above 0 and up to 100 %; write a price here", position=0))
        return None
    if kind is Source.OWN and price is not None:
        entry.notes.append("own pieces cost nothing: the price is left out")
        price = None
    available = draft.quantity
    if available is None and kind is not Source.STICKS:
        available = 1
    return OfferRead(
        line=entry.row.line,
        section=draft.section,
        length=length,
        unit=draft.length.unit,
        source=kind,
        price=price,
        available=available,
        note=draft.note,
        yard=entry.yard,
        breaks=tuple(each for entry in _together(entry, listing.entries) for each in _breaks(entry, draft.money)),
    )


def _together(entry: Entry, entries: Sequence[Entry]) -> list[Entry]:
    """Return a stick's line and those that go on with it."""
    return [entry, *(each for each in entries if each.above is entry)]


def _breaks(entry: Entry, base: Money | None) -> list[Break]:
    """Return the prices by quantity of one line; one that says no more is for the same as the price of the stick."""
    found = []
    for each in entry.breaks:
        money = each.money
        if each.bare and base is not None and base.per in {"length", "weight"}:
            money = replace(money, per=base.per, base=base.base)
        price = _price(money)
        if price is None or isinstance(price, Discount):
            entry.ask(Ask(message="a price by quantity is an amount, such as from 10: 57.90", position=0))
        else:
            found.append(Break(least=each.least, price=price))
    return found


def _price(money: Money | None) -> Price | None:
    """Return a price as the job has it."""
    if money is None:
        return None
    if money.per == "length":
        return PerLength(amount=money.amount, per=money.base)
    if money.per == "weight":
        return PerWeight(amount=money.amount, per=money.base)
    if money.per == "discount":
        return Discount(share=money.amount)
    return PerStick(amount=money.amount)


def _say_price(price: Price | None, currency: str | None) -> str:
    """Write a price for people."""
    money = f" {currency}" if currency else ""
    if price is None:
        return "no price"
    if isinstance(price, PerLength):
        unit = Unit.FT if price.per == Unit.FT.mm else Unit.IN if price.per == Unit.IN.mm else Unit.M
        return f"{price.amount}{money} for {show_length(price.per, unit)}"
    if isinstance(price, PerWeight):
        return f"{price.amount}{money} for {float(price.per):.8g} kg"
    if isinstance(price, Discount):
        return f"{float(price.share * 100):g} % off"
    return f"{price.amount}{money} each"


def _say_breaks(breaks: Sequence[Break], currency: str | None) -> str:
    return ", ".join(f"from {each.least}: {_say_price(each.price, currency)}" for each in breaks)


def _line(entry: Entry, made: Mapping[int, OfferRead | None], currency: str | None) -> LineRead:
    """Return a line for the echo."""
    offer = made[id(entry)]
    understood: tuple[str, ...] = ()
    if offer is not None:
        own = offer.breaks[: len(entry.breaks)]
        price = ", ".join(filter(None, [_say_price(offer.price, currency), _say_breaks(own, currency)]))
        understood = (say_offer(offer, price),)
    elif entry.kind is Kind.ADDITION and entry.above is not None:
        base = entry.above.draft.money if entry.above.draft is not None else None
        said = _say_breaks(_breaks(entry, base), currency)
        understood = (f"for line {entry.above.row.line}: {said}",) if said else ()
    elif entry.yard_below:
        understood = (f"the yard of the lines below: {entry.yard_below}",)
    elif entry.kind is Kind.HEADING and entry.draft is not None and entry.draft.section is not None:
        understood = (f"section for the lines below: {entry.draft.section.label}",)
    return entry.read(understood)
