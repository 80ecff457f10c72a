"""The checker's rules for real yards: orders, fees, taxes, breaks, carrying, yard cuts, leftovers' worth.

Written from the agreed rules alone; it shares nothing with the solver.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from cutting.answer.plan import Carried, Cut, Order, Piece, Plan, Stroke, Transport
from cutting.checking.angled import angled_faults
from cutting.checking.idle import counts_of, idle_faults, idle_worth
from cutting.checking.layouts import layout_faults, layouts_due
from cutting.checking.prices import cents, cents_down, charges_of, lowest_price, trips_of
from cutting.question.job import Job, Part, Source, Stick
from cutting.question.lengths import show_length
from cutting.question.yards import Carry, Yard

__all__ = ["order_faults", "states_terms", "window_faults"]


def states_terms(job: Job) -> bool:
    """Whether anything in the job goes beyond sticks with a price each."""
    return (
        bool(job.yards)
        or job.kind_cost > 0
        or job.layout_cost > 0
        or job.keep_value is not None
        or job.carry != Carry()
        or any(stick.breaks for stick in job.sticks)
        or any(part.substitutes for part in job.parts)
    )


# -- what the yard cuts and what is carried ---------------------------------------------------


def window_faults(job: Job, cut: Cut, stick: Stick, name: str, parts: Sequence[Part]) -> Iterator[str]:
    """One stick that the yard cuts: every part within one window, in order, and every number right."""
    yard = _yard(job, stick.yard)
    if stick.source is Source.OWN or yard.cuts is None:
        yield f"{name} has {stick.id} cut by a yard that doesn't cut it."
    elif list(cut.marks) != sorted(set(cut.marks)) or len(cut.carried) != len(cut.marks) + 1:
        yield f"{name} needs rising marks and one piece to carry more than there are marks."
    elif sum(piece.parts for piece in cut.carried) != len(cut.pieces):
        yield f"{name} doesn't say rightly which parts lie in which carried piece."
    else:
        yield from _windows(job, cut, stick, name, parts)


def _windows(job: Job, cut: Cut, stick: Stick, name: str, parts: Sequence[Part]) -> Iterator[str]:
    cuts = _yard(job, stick.yard).cuts
    assert cuts is not None
    half, (first, last) = cuts.allowance / 2, stick.trims
    counted = stick.length if stick.usable is None else stick.usable
    begins = [Fraction(0), *(mark + half - first for mark in cut.marks)]
    ends = [*(mark - half - first for mark in cut.marks), counted - last - first]
    tails = [*(half for _ in cut.marks), last]
    unheld: list[int] = []
    strokes: list[Stroke] = []
    at = 0
    for begin, end, tail, piece in zip(begins, ends, tails, cut.carried, strict=True):
        here = parts[at : at + piece.parts]
        inside = [part.length for part in here]
        where = f"{name}, the carried piece from {show_length(begin, job.unit)} on"
        if end < begin or piece.begin != begin:
            yield f"{where}, is said to begin at {show_length(piece.begin, job.unit)}, or ends before it begins."
        if any(part.ends is not None and any(part.ends.angles) for part in here):
            alone, bar = _apart(cut, stick, piece, at, (begin, end + tail, tail))
            yield from angled_faults(job, alone, bar, here, where)
            strokes += [stroke for stroke in cut.strokes if at < _first(stroke) <= at + piece.parts]
            unheld += [at + number for number in alone.unheld]
            at += piece.parts
            continue
        yield from _lying(job, cut.pieces[at : at + piece.parts], inside, begin, where)
        steel = sum((each + job.saw.kerf for each in inside), -job.saw.kerf if inside else Fraction(0))
        rest = end - begin - steel
        if rest < 0:
            yield f"{where}, is {show_length(-rest, job.unit)} too full."
        drop = max(Fraction(0), rest - job.saw.kerf if inside else rest)
        if (piece.drop, piece.skim) != (drop, bool(inside) and 0 < rest + tail < job.saw.kerf):
            yield f"{where}, leaves a drop of {show_length(drop, job.unit)}, or a skim cut; the plan doesn't."
        unheld += _unheld(job, inside, rest + tail, at)
        at += piece.parts
    if cut.strokes != tuple(strokes):
        yield f"{name} has strokes that belong to none of its carried pieces with angled ends, or not in their order."
    if cut.unheld != tuple(unheld):
        yield f"{name} has cuts {unheld} that the saw cannot hold; the plan says {list(cut.unheld)}."
    if (cut.drop, cut.skim) != (cut.carried[-1].drop, cut.carried[-1].skim):
        yield f"{name} says another drop than that of its last carried piece."


def _first(stroke: Stroke) -> int:
    return (stroke.begins if stroke.ends is None else stroke.ends) or 0


def _apart(
    cut: Cut, stick: Stick, piece: Carried, before: int, ends: tuple[Fraction, Fraction, Fraction]
) -> tuple[Cut, Stick]:
    """Return one carried piece as a stick that begins where its parts do, with what the plan says of it.

    `ends` are where it begins, where its steel ends, and how much of that end isn't counted on.
    """
    begin, end, tail = ends

    def number(of: int | None) -> int | None:
        return None if of is None else of - before

    last = before + piece.parts
    bar = replace(stick, length=end - begin, trims=(Fraction(0), tail), usable=None)
    alone = replace(
        cut,
        pieces=tuple(replace(p, start=p.start - begin, end=p.end - begin) for p in cut.pieces[before:last]),
        strokes=tuple(
            replace(stroke, at=stroke.at - begin, ends=number(stroke.ends), begins=number(stroke.begins))
            for stroke in cut.strokes
            if before < _first(stroke) <= last
        ),
        unheld=tuple(each - before for each in cut.unheld if before < each <= last),
        drop=piece.drop,
        skim=piece.skim,
        marks=(),
        carried=(),
    )
    return alone, bar


def _lying(
    job: Job, pieces: Sequence[Piece], lengths: Sequence[Fraction], place: Fraction, where: str
) -> Iterator[str]:
    for piece, length in zip(pieces, lengths, strict=True):
        if (piece.start, piece.end) != (place, place + length):
            said, right = show_length(piece.start, job.unit), show_length(place, job.unit)
            yield f"{where}, has {piece.mark} from {said}; it lies from {right}."
        if piece.lie is not None:
            yield f"{where}, has {piece.mark} lie in a pose, though all its parts are square."
        place += length + job.saw.kerf


def _unheld(job: Job, lengths: Sequence[Fraction], behind: Fraction, before: int) -> Iterator[int]:
    hold, kerf = job.saw.hold, job.saw.kerf
    if hold is None:
        return
    for number, length in enumerate(lengths, start=1):
        later = lengths[number:]
        rest = sum((each + kerf for each in later), -kerf if later else Fraction(0)) + behind
        is_cut = bool(later) or behind > 0
        side = rest if later else behind - kerf
        if is_cut and length < hold and side < hold:
            yield before + number


def _carrying_faults(job: Job, plan: Plan, sticks: dict[str, Stick], ways: dict[str, Transport]) -> Iterator[str]:
    for number, cut in enumerate(plan.cuts, start=1):
        stick = sticks[cut.stick]
        name = f"Layout {number}"
        way = None if stick.source is Source.OWN else ways.get(stick.yard)
        if way is not Transport.COLLECTED:
            if cut.marks or cut.carried:
                yield f"{name} says how {stick.id} is carried, and it isn't collected."
            continue
        bounds = [Fraction(0), *cut.marks, stick.length]
        lengths = [after - before for before, after in pairwise(bounds)]
        if [piece.length for piece in cut.carried] != lengths:
            yield f"{name} is carried in other lengths than its marks make."
        if not cut.marks and [(piece.begin, piece.parts, piece.drop, piece.skim) for piece in cut.carried] != [
            (Fraction(0), len(cut.pieces), cut.drop, cut.skim)
        ]:
            yield f"{name} says something else of the piece carried than of the stick."
        for length, piece in zip(lengths, cut.carried, strict=False):
            mass = None if stick.section.mass is None else stick.section.mass * length / 1000
            if piece.weight != mass:
                yield f"{name} has a carried piece whose weight is {mass} kg, not {piece.weight}."
            if job.carry.longest is not None and length > job.carry.longest:
                longest = show_length(job.carry.longest, job.unit)
                yield f"{name}: a piece of {show_length(length, job.unit)} is carried, and {longest} is the longest."
            if job.carry.load is not None and (mass is None or mass > job.carry.load):
                yield f"{name}: a piece of {mass} kg is carried, and {job.carry.load} kg is the most."


# -- orders -----------------------------------------------------------------------------------


def _yard(job: Job, name: str) -> Yard:
    return next((yard for yard in job.yards if yard.name == name), Yard(name=name))


def order_faults(job: Job, plan: Plan, sticks: dict[str, Stick], prices: dict[str, Decimal | None]) -> Iterator[str]:
    """Every order and every sum of money of a plan, worked out again."""
    bought: dict[str, list[Cut]] = {sticks[line].yard: [] for line in counts_of(plan) if line in sticks}
    for cut in plan.cuts:
        if sticks[cut.stick].source is not Source.OWN:
            bought.setdefault(sticks[cut.stick].yard, []).append(cut)
    if not states_terms(job):
        told = (plan.orders, plan.changes, plan.idle, plan.kinds, plan.paid, plan.own_value, plan.credit, plan.layouts)
        apart = any(cut.marks or cut.carried or cut.credit is not None for cut in plan.cuts)
        if told != ((), (), (), None, None, None, None, None) or apart:
            yield "The plan states orders for a job without yards' terms."
        return
    names = [yard.name for yard in job.yards] + [s.yard for s in job.sticks if s.source is not Source.OWN]
    taken = [name for name in dict.fromkeys(names) if name in bought]
    if [order.yard for order in plan.orders] != taken:
        yield f"The plan orders from {[order.yard for order in plan.orders]}; sticks are taken from {taken}, in turn."
        return
    yield from _carrying_faults(job, plan, sticks, {order.yard: order.transport for order in plan.orders})
    for order in plan.orders:
        yield from _order(job, plan, order, bought[order.yard], prices)
    yield from idle_faults(job, plan, sticks)
    yield from _sums(job, plan, sticks)


def _order_name(order: Order) -> str:
    return f"The order from {order.yard or 'the yard'}"


def _order(job: Job, plan: Plan, order: Order, cuts: Sequence[Cut], prices: dict[str, Decimal | None]) -> Iterator[str]:
    yard = _yard(job, order.yard)
    name = _order_name(order)
    made = sum(len(cut.marks) * cut.quantity for cut in cuts)
    whole = [(_of(job, line), count) for line, count in counts_of(plan).items()]
    steel = [(cut.section.mass, cut.length * cut.quantity) for cut in cuts]
    steel += [(stick.section.mass, stick.length * count) for stick, count in whole if stick.yard == order.yard]
    weight = None
    if all(mass is not None for mass, _ in steel):
        weight = sum(((mass or 0) * mm / 1000 for mass, mm in steel), Fraction(0))
    if (order.cuts, order.weight) != (made, weight):
        yield f"{name} has {made} cuts and weighs {weight} kg; the plan says {order.cuts} and {order.weight}."
    trips = trips_of(job, order.transport, weight)
    if order.trips != trips:
        yield f"{name} takes {trips} trips, not {order.trips}."
    if order.transport is Transport.COLLECTED and yard.collecting is None:
        yield f"{name} is collected, and nothing can be fetched there."
    if order.transport is Transport.DELIVERED and yard.delivery is None:
        yield f"{name} is delivered, and that yard doesn't deliver."
    if job.currency is None:
        if any(money is not None for money in (order.material, order.tax, order.total)):
            yield f"{name} states money in a job without prices."
        return
    yield from _charges(job, plan, order, prices)


def _charges(job: Job, plan: Plan, order: Order, prices: dict[str, Decimal | None]) -> Iterator[str]:
    assert job.currency is not None
    currency, yard, name = job.currency, _yard(job, order.yard), _order_name(order)
    lines = [line for line in plan.buy if line.source is not Source.OWN and _of(job, line.stick).yard == yard.name]
    material = sum((line.quantity * (prices[line.stick] or Decimal(0)) for line in lines), Decimal(0))
    if material < yard.minimum:
        yield f"{name} has material for {material}, below that yard's minimum of {yard.minimum}."
    trips = order.trips if order.transport is Transport.COLLECTED else None
    due = charges_of(currency, yard, material, order.cuts, trips)
    right = (material, due.cutting, due.delivery, due.collecting, due.tax, material + due.total)
    said = (order.material, order.cutting, order.delivery, order.collecting, order.tax, order.total)
    names = ("material", "cutting", "delivery", "collecting", "tax", "total")
    for what, wanted, stated in zip(names, right, said, strict=True):
        if wanted != stated:
            yield f"{name}: {what} is {wanted}, not {stated}."


def _of(job: Job, identity: str) -> Stick:
    return next(stick for stick in job.sticks if stick.id == identity)


def _sums(job: Job, plan: Plan, sticks: dict[str, Stick]) -> Iterator[str]:
    """What is paid, what one's own steel and the drops are worth, and that the cost is their sum."""
    if job.currency is None:
        if (plan.kinds, plan.paid, plan.own_value, plan.credit, plan.layouts) != (None, None, None, None, None):
            yield "The plan states money in a job without prices."
        return
    bought = {line.section.key for line in plan.buy if line.source is not Source.OWN}
    kinds = cents(job.currency, Fraction(job.kind_cost)) * max(0, len(bought) - 1)
    paid = sum((order.total or Decimal(0) for order in plan.orders), Decimal(0))
    own, credit = Fraction(0), Fraction(0)
    for number, cut in enumerate(plan.cuts, start=1):
        stick = sticks[cut.stick]
        worth = drop_worth(job, stick, cut)
        if cut.credit != worth:
            yield f"Layout {number} leaves drops worth {worth}, not {cut.credit}."
        credit += cut.quantity * (worth or 0)
        own += cut.quantity * own_worth(job, stick)
    credit += sum((count * idle_worth(job, sticks[line]) for line, count in counts_of(plan).items()), Fraction(0))
    right, said = (kinds, paid, own, credit), (plan.kinds, plan.paid, plan.own_value, plan.credit)
    names = ("Extra kinds cost", "Paid is", "Own pieces used are worth", "Drops are worth")
    for what, wanted, stated in zip(names, right, said, strict=True):
        if wanted != stated:
            yield f"{what} {wanted}, not {stated}."
    yield from layout_faults(job, plan)
    layouts = layouts_due(job, plan) or Decimal(0)
    if plan.cost != Fraction(paid + kinds + layouts) + own - credit:
        yield (
            f"The plan says it costs {plan.cost}; it is {paid} paid + {own} of own steel - {credit} kept"
            f"{f' + {kinds} for further sections' if kinds else ''}"
            f"{f' + {layouts} for further layouts' if layouts else ''}."
        )


def own_worth(job: Job, stick: Stick) -> Fraction:
    """Value of one own piece that is used; 0 for what is bought."""
    keep = job.keep_value
    if keep is None or job.currency is None or stick.source is not Source.OWN or stick.length < keep.shortest:
        return Fraction(0)
    return Fraction(keep.amount) / keep.per * stick.length


def drop_worth(job: Job, stick: Stick, cut: Cut) -> Fraction | None:
    """Worth of the drop of a stick that the yard doesn't cut: at most what its length cost at the lowest price.

    That cost is taken per metre, in whole smallest units rounded down.
    """
    keep = job.keep_value
    if keep is None or job.currency is None:
        return None
    if cut.marks or cut.drop < keep.shortest:
        return Fraction(0)
    rate = Fraction(keep.amount) / keep.per
    if stick.source is not Source.OWN:
        metre = cents_down(job.currency, Fraction(lowest_price(job, stick)) * 1000 / stick.length)
        rate = min(rate, Fraction(metre) / 1000)
    return rate * cut.drop
