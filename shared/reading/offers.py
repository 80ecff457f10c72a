"""Lists of sticks: a yard's price list, its rack, one's own drops."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from cutting.job import Discount, PerLength, PerStick, PerWeight, Price, Section, Source
from cutting.lengths import Unit, show_length
from shared.reading.draft import Ask, Money
from shared.reading.echo import say_offer
from shared.reading.entry import Entry, List
from shared.reading.listing import read_rows
from shared.reading.model import Kind, LineRead, OfferList, OfferRead, Question
from shared.reading.sheet import open_sheet

__all__ = ["read_offers"]

_MOST_DISCOUNT: Final = 1


def read_offers(
    source: str | bytes, *, kind: Source, unit: Unit | None = None, known: Sequence[Section] = ()
) -> tuple[OfferList, tuple[Question, ...]]:
    """Read a list of sticks as people paste it.

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
    >>> read_offers("3 pcs 20' @ 58.40", kind=Source.STICKS)[1][0].message
    'no section; write what it is cut from, such as SHS 40x40x3'
    """
    sheet, problems = open_sheet(source)
    listing = read_rows(sheet, offers=True, unit=unit, known=known)
    currency = _currency(listing)
    made = {entry.row.line: _offer(entry, kind) for entry in listing.entries}
    lines = tuple(_line(entry, made[entry.row.line], currency) for entry in listing.entries)
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


def _offer(entry: Entry, kind: Source) -> OfferRead | None:
    """Return the stick of one line."""
    draft = entry.draft
    if entry.kind is not Kind.OFFER or draft is None or draft.section is None or draft.length is None:
        return None
    if draft.length.unit is None:
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
        length=draft.length.value * draft.length.unit.mm,
        unit=draft.length.unit,
        source=kind,
        price=price,
        available=available,
        note=draft.note,
    )


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


def _line(entry: Entry, offer: OfferRead | None, currency: str | None) -> LineRead:
    """Return a line for the echo."""
    understood: tuple[str, ...] = ()
    if offer is not None:
        understood = (say_offer(offer, _say_price(offer.price, currency)),)
    elif entry.kind is Kind.HEADING and entry.draft is not None and entry.draft.section is not None:
        understood = (f"section for the lines below: {entry.draft.section.label}",)
    return entry.read(understood)
