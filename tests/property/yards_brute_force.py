"""Brute force over jobs with yards: every way to place, fill, order and fetch, in exact fractions; no engine code.

Rules as agreed for the engine, written down anew: see DEVELOPERS.md, "Real yards".
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache, partial
from itertools import count as numbers
from itertools import product
from math import ceil, floor

from cutting.question.job import Ends, Job, Part, PerStick, Source, Stick
from cutting.question.yards import Charge, Yard
from tests.angled_oracle import Oracle

Steel = Callable[[tuple[int, ...]], Fraction]
Counts = tuple[tuple[str, int, int], ...]  # (line, yard cuts, sticks), sorted
Layouts = frozenset[frozenset[tuple[tuple[Fraction, Ends | None], int]]]
CENT = Fraction(1, 100)


def cheapest(job: Job) -> Fraction | None:
    """Cost of the cheapest plan; None where no plan exists."""
    best = None
    buying = _Buying(job)
    sections = sorted({key for part in job.parts for key in _keys(part)})
    for choice in product(*(_keys(part) for part in job.parts)):
        options = []
        for key in sections:
            placed = [part for part, chosen in zip(job.parts, choice, strict=True) if chosen == key]
            options.append(_stocks(job, key, placed))
        for stocks in product(*(list(option.items()) for option in options)):
            counts = tuple(entry for (stock, _), _ in stocks for entry in stock)
            cost = buying.cost(counts)
            if cost is not None:
                layouts = sum(len(held) for (_, held), _ in stocks)
                cost += Fraction(job.layout_cost) * (layouts - 1)
                worth = cost - sum((credit for _, credit in stocks), Fraction(0))
                best = worth if best is None else min(best, worth)
    return best


def _keys(part: Part) -> list[tuple[str, str]]:
    return [part.section.key, *(other.section.key for other in part.substitutes)]


def _yard(job: Job, stick: Stick) -> Yard:
    return next((yard for yard in job.yards if yard.name == stick.yard), Yard(name=stick.yard))


def _ways(job: Job, stick: Stick) -> list[int]:
    """Numbers of yard cuts worth trying: none, and where it is too long to carry the fewest that do, and one more."""
    reach = _reach(job, stick)
    if stick.source is Source.OWN or _yard(job, stick).cuts is None or reach is None or stick.length <= reach:
        return [0]
    return [0, *range(1, ceil(stick.length / reach) + 1)]


def _reach(job: Job, stick: Stick) -> Fraction | None:
    reach = job.carry.longest
    if job.carry.load is not None:
        assert stick.section.mass is not None
        by_load = job.carry.load * 1000 / stick.section.mass
        reach = by_load if reach is None else min(reach, by_load)
    return reach


def _fillings(left: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """Every set of pieces that holds the first one left."""
    first = next(n for n, count in enumerate(left) if count)
    for chosen in product(*(range(count + 1) for count in left)):
        if chosen[first]:
            yield chosen


def _stocks(job: Job, key: tuple[str, str], parts: list[Part]) -> dict[tuple[Counts, Layouts], Fraction]:
    """Every multiset of sticks that all these parts can be cut from, none left empty, with the best worth of drops.

    Where layouts cost something, each set of layouts stands by itself.
    """
    lines = [(stick, cuts) for stick in job.sticks if stick.section.key == key for cuts in _ways(job, stick)]
    angled = any(part.ends is not None for part in parts)
    steel, gone = _angled(job, key, parts) if angled else _square(job, parts)

    @cache
    def worth(line: int, chosen: tuple[int, ...]) -> Fraction | None:
        return _worth(job, *lines[line], chosen, (steel, gone))

    def yielded(chosen: tuple[int, ...]) -> Layouts:
        sorts = Counter((part.length, part.ends) for part, n in zip(parts, chosen, strict=True) for _ in range(n))
        return frozenset([frozenset(sorts.items())]) if job.layout_cost else frozenset()

    @cache
    def stocks(left: tuple[int, ...], taken: tuple[int, ...]) -> dict[tuple[Counts, Layouts], Fraction]:
        if not any(left):
            entries = ((lines[at][0].id, lines[at][1], n) for at, n in enumerate(taken) if n)
            return {(tuple(sorted(entries)), frozenset()): Fraction(0)}
        found: dict[tuple[Counts, Layouts], Fraction] = {}
        for at, (stick, _) in enumerate(lines):
            sticks = sum(n for (other, _), n in zip(lines, taken, strict=True) if other is stick)
            if stick.available is not None and sticks >= stick.available:
                continue
            for chosen in _fillings(left):
                credit = worth(at, chosen)
                if credit is None:
                    continue
                rest = tuple(a - b for a, b in zip(left, chosen, strict=True))
                more = (*taken[:at], taken[at] + 1, *taken[at + 1 :])
                for (counts, held), later in stocks(rest, more).items():
                    stock = (counts, held | yielded(chosen))
                    found[stock] = max(found.get(stock, credit + later), credit + later)
        return found

    return stocks(tuple(part.quantity for part in parts), (0,) * len(lines))


def _square(job: Job, parts: list[Part]) -> tuple[Steel, Steel]:
    """Clear length that so many square pieces of each part need, and what is gone of it before a drop begins."""

    def steel(chosen: tuple[int, ...]) -> Fraction:
        lengths = [part.length for part, n in zip(parts, chosen, strict=True) for _ in range(n)]
        return sum(lengths, Fraction(0)) + max(0, len(lengths) - 1) * job.saw.kerf

    return steel, lambda chosen: steel(chosen) + job.saw.kerf


def _angled(job: Job, key: tuple[str, str], parts: list[Part]) -> tuple[Steel, Steel]:
    """Do likewise where ends are angled, by brute force over orders and poses of pieces of this section."""
    sections = [part.section for part in job.parts] + [s.section for part in job.parts for s in part.substitutes]
    section = next(each for each in sections if each.key == key)
    oracle = Oracle(replace(job, parts=tuple(replace(part, section=section) for part in parts)))
    needs = oracle.shortest(), oracle.shortest(with_last_cut=True)
    starts = [sum(part.quantity for part in parts[:at]) for at in range(len(parts))]

    def of(need: dict[int, Fraction], chosen: tuple[int, ...]) -> Fraction:
        mask = sum(1 << start + n for start, count in zip(starts, chosen, strict=True) for n in range(count))
        return need[mask] if mask else Fraction(0)

    return partial(of, needs[0]), partial(of, needs[1])


def _worth(job: Job, stick: Stick, cuts: int, chosen: tuple[int, ...], needs: tuple[Steel, Steel]) -> Fraction | None:
    """Worth of the drops of one stick that holds these parts, less what using it costs as own steel; None: no fit."""
    clear = (stick.length if stick.usable is None else stick.usable) - sum(stick.trims)
    steel, gone = needs
    if cuts == 0:
        return None if steel(chosen) > clear else _credit(job, stick, [max(Fraction(0), clear - gone(chosen))])
    best = None
    pieces = [at for at, count in enumerate(chosen) for _ in range(count)]
    for places in product(range(cuts + 1), repeat=len(pieces)):
        windows = [
            tuple(
                sum(part == at and place == window for part, place in zip(pieces, places, strict=True))
                for at in range(len(chosen))
            )
            for window in range(cuts + 1)
        ]
        if _can_be_marked(job, stick, cuts, [steel(window) for window in windows]):
            best = Fraction(0)
    return best


def _can_be_marked(job: Job, stick: Stick, cuts: int, steel: list[Fraction]) -> bool:
    """Whether marks can be placed: an interval for each mark, from the first on."""
    reach = _reach(job, stick)
    terms = _yard(job, stick).cuts
    assert reach is not None
    assert terms is not None
    clear = (stick.length if stick.usable is None else stick.usable) - sum(stick.trims)
    low, high = stick.trims[0] + steel[0] + terms.allowance / 2, reach
    for window in range(1, cuts):
        if low > high or steel[window] + terms.allowance > reach:
            return False
        low, high = low + steel[window] + terms.allowance, high + reach
    end = stick.trims[0] + clear - steel[-1] - terms.allowance / 2
    return max(low, stick.length - reach) <= min(high, end)


def _credit(job: Job, stick: Stick, drops: list[Fraction]) -> Fraction:
    keep = job.keep_value
    if keep is None:
        return Fraction(0)
    rate = _rate(job, stick)
    cost = Fraction(0)
    if stick.source is Source.OWN and stick.length >= keep.shortest:
        cost = rate * stick.length
    return sum((rate * drop for drop in drops if drop >= keep.shortest), Fraction(0)) - cost


def _rate(job: Job, stick: Stick) -> Fraction:
    """Worth of a mm of a drop: never more than the stick costs at its lowest price."""
    assert job.keep_value is not None
    rate = Fraction(job.keep_value.amount) / job.keep_value.per
    if stick.source is Source.OWN:
        return rate
    prices = [stick.price, *(entry.price for entry in stick.breaks)]
    lowest = min(Fraction(price.amount) for price in prices if isinstance(price, PerStick))
    metre = floor(lowest * 1000 / stick.length / CENT) * CENT
    return min(rate, metre / 1000)


class _Buying:
    """What sticks cost, whatever else is bought beside them only to reach a yard's terms."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.sticks = {stick.id: stick for stick in job.sticks}
        self._orders: dict[Counts, dict[frozenset[tuple[str, str]], Fraction]] = {}
        self._worths = {stick.id: self._worth(stick) for stick in job.sticks}

    def cost(self, counts: Counts) -> Fraction | None:
        """What these sticks cost at all yards; None where one of them takes no such order."""
        names = sorted({self.sticks[line].yard for line, _, _ in counts if self._is_bought(line)})
        orders = []
        for name in names:
            here = tuple(e for e in counts if self._is_bought(e[0]) and self.sticks[e[0]].yard == name)
            if here not in self._orders:
                self._orders[here] = self._order(name, here)
            orders.append(list(self._orders[here].items()))
        totals = [
            sum((cost for _, cost in some), Fraction(0))
            + Fraction(self.job.kind_cost) * max(0, len(set().union(*(kinds for kinds, _ in some))) - 1)
            for some in product(*orders)
        ]
        return min(totals, default=None)

    def _is_bought(self, line: str) -> bool:
        return self.sticks[line].source is not Source.OWN

    def _order(self, name: str, here: Counts) -> dict[frozenset[tuple[str, str]], Fraction]:
        """What one yard's order costs least, less the worth of what stays whole, by the sections bought."""
        found: dict[frozenset[tuple[str, str]], Fraction] = {}
        for idle in self._idle(name, here):
            whole = [(self.sticks[line], 0, n) for line, n in idle if n]
            lines = [(self.sticks[line], cuts, n) for line, cuts, n in here] + whole
            bill = _bill(self.job, _yard(self.job, lines[0][0]), lines)
            if bill is None:
                continue
            bill -= sum((n * self._worths[stick.id] for stick, _, n in whole), Fraction(0))
            kinds = frozenset(stick.section.key for stick, _, _ in lines)
            found[kinds] = min(found.get(kinds, bill), bill)
        return found

    def _worth(self, stick: Stick) -> Fraction:
        keep = self.job.keep_value
        if keep is None or stick.length < keep.shortest:
            return Fraction(0)
        return _rate(self.job, stick) * stick.length

    def _idle(self, name: str, here: Counts) -> Iterator[tuple[tuple[str, int], ...]]:
        """Numbers of full bars that stay whole: beyond a yard's amounts and breaks no more of one do any good."""
        yield ()
        if not self.job.idle:
            return
        sticks = [s for s in self.job.sticks if s.source is Source.STICKS and s.yard == name]
        yard = _yard(self.job, sticks[0]) if sticks else Yard(name=name)
        used = Counter(line for line, _, n in here for _ in range(n))
        yield from _whole(sticks, used, max(Fraction(yard.minimum), Fraction(yard.delivery_free_from or 0)))


def _whole(sticks: list[Stick], used: Counter[str], amount: Fraction) -> Iterator[tuple[tuple[str, int], ...]]:
    """Numbers of these lines' bars beside those used, to reach what is left of an amount, and breaks."""
    if not sticks:
        yield ()
        return
    stick, *others = sticks
    reached = max([0, *(entry.least for entry in stick.breaks)])
    for n in numbers():
        if stick.available is not None and n and used[stick.id] + n > stick.available:
            return
        bought = used[stick.id] + n
        left = amount - bought * _price(stick, bought)
        for rest in _whole(others, used, max(left, Fraction(0))):
            yield ((stick.id, n), *rest)
        if left <= 0 and bought >= reached:
            return


def _bill(job: Job, yard: Yard, lines: list[tuple[Stick, int, int]]) -> Fraction | None:
    quantities: dict[str, int] = {}
    for stick, _, n in lines:
        quantities[stick.id] = quantities.get(stick.id, 0) + n
    material = sum((n * _price(stick, quantities[stick.id]) for stick, _, n in lines), Fraction(0))
    if material < yard.minimum:
        return None
    bills = []
    if yard.delivery is not None and not any(cuts for _, cuts, _ in lines):
        free = yard.delivery_free_from is not None and material >= yard.delivery_free_from
        bills.append(_taxed(yard, material, Fraction(0), Fraction(0) if free else Fraction(yard.delivery)))
    reaches = [(stick, cuts, _reach(job, stick)) for stick, cuts, _ in lines]
    if yard.collecting is not None and all(cuts or reach is None or s.length <= reach for s, cuts, reach in reaches):
        cutting = Fraction(0)
        if yard.cuts is not None:
            made = sum(cuts * n for _, cuts, n in lines)
            cutting = max(0, made - yard.cuts.free) * Fraction(yard.cuts.charge)
        trips = 1
        if job.carry.load is not None:
            mass = sum((n * stick.length * (stick.section.mass or 0) / 1000 for stick, _, n in lines), Fraction(0))
            trips = max(1, ceil(mass / job.carry.load))
        bills.append(_taxed(yard, material, cutting, Fraction(0)) + trips * Fraction(yard.collecting))
    return min(bills, default=None)


def _price(stick: Stick, quantity: int) -> Fraction:
    price = stick.price
    for entry in sorted(stick.breaks, key=lambda each: each.least):
        if quantity >= entry.least:
            price = entry.price
    if price is None:
        return Fraction(0)
    assert isinstance(price, PerStick)
    return Fraction(price.amount)


def _taxed(yard: Yard, material: Fraction, cutting: Fraction, delivery: Fraction) -> Fraction:
    total = material + cutting + delivery
    if yard.tax is not None:
        base = Fraction(0)
        base += material if Charge.MATERIAL in yard.tax.on else 0
        base += cutting if Charge.CUTS in yard.tax.on else 0
        base += delivery if Charge.DELIVERY in yard.tax.on else 0
        total += floor(base * Fraction(yard.tax.rate) / CENT + Fraction(1, 2)) * CENT
    return total
