"""Jobs and plans for tests, short to write."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Buy, Cut, Objective, Piece, Plan
from cutting.question.job import Discount, Job, Part, PerLength, PerStick, PerWeight, Saw, Section, Source, Stick
from cutting.question.lengths import Unit, parse_length

TUBE = Section(name="tube")
ZERO = Fraction(0)
PATIENCE = 600.0
"""Seconds after which a test gives up what it waits for: a search that it wants proven, a process, an answer.

None of them takes a second on a quiet machine; on a busy one nothing may depend on how long it takes.
"""


def inch(text: str | int) -> Fraction:
    return parse_length(text, Unit.IN)


def part(mark: str, length: str | int, quantity: int, section: Section = TUBE, note: str = "") -> Part:
    return Part(mark=mark, section=section, length=inch(length), quantity=quantity, note=note)


def stick(
    identity: str,
    length: str | int,
    price: str | PerLength | PerWeight | Discount | None,
    available: int | None = None,
    *,
    source: Source = Source.STICKS,
    section: Section = TUBE,
    trims: tuple[str | int, str | int] = ("1/4", 0),
    usable: str | None = None,
) -> Stick:
    return Stick(
        id=identity,
        section=section,
        length=inch(length),
        source=source,
        price=PerStick(amount=Decimal(price)) if isinstance(price, str) else price,
        available=available,
        trims=(inch(trims[0]), inch(trims[1])),
        usable=None if usable is None else inch(usable),
    )


def job(
    parts: Sequence[Part],
    sticks: Sequence[Stick],
    *,
    kerf: str | int = "1/8",
    hold: str | None = None,
    currency: str | None = "USD",
    unit: Unit = Unit.IN,
) -> Job:
    saw = Saw(kerf=inch(kerf), hold=None if hold is None else inch(hold))
    return Job(parts=tuple(parts), sticks=tuple(sticks), saw=saw, unit=unit, currency=currency)


def cut(question: Job, identity: str, marks: Sequence[str], quantity: int = 1, *, unheld: tuple[int, ...] = ()) -> Cut:
    """Lay marks on a stick by hand, as the plan of a human would."""
    bar = next(each for each in question.sticks if each.id == identity)
    lengths = {each.mark: each.length for each in question.parts}
    pieces: list[Piece] = []
    for mark in marks:
        start = pieces[-1].end + question.saw.kerf if pieces else ZERO
        pieces.append(Piece(mark=mark, length=lengths[mark], start=start, end=start + lengths[mark]))
    rest = bar.clear - (pieces[-1].end if pieces else ZERO)
    return Cut(
        stick=bar.id,
        section=bar.section,
        length=bar.length,
        source=bar.source,
        quantity=quantity,
        pieces=tuple(pieces),
        drop=max(rest - question.saw.kerf, ZERO),
        skim=0 < rest + bar.trims[1] < question.saw.kerf,
        unheld=unheld,
    )


def plan(question: Job, cuts: Sequence[Cut], prices: dict[str, str]) -> Plan:
    """Put cuts together with a buy list at given prices."""
    buy = []
    for bar in question.sticks:
        count = sum(each.quantity for each in cuts if each.stick == bar.id)
        if count:
            price = Decimal(prices[bar.id])
            buy.append(
                Buy(
                    stick=bar.id,
                    section=bar.section,
                    length=bar.length,
                    source=bar.source,
                    quantity=count,
                    price=price,
                    cost=price * count,
                )
            )
    cost = sum((Fraction(line.cost or 0) for line in buy), ZERO)
    return Plan(objective=Objective.MONEY, cost=cost, buy=tuple(buy), cuts=tuple(cuts))


def swap(whole: Plan, number: int, **changes: object) -> Plan:
    """Return the plan with one cut changed."""
    cuts = list(whole.cuts)
    cuts[number] = replace(cuts[number], **changes)  # type: ignore[arg-type]
    return replace(whole, cuts=tuple(cuts))
