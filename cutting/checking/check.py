"""The checker: does this plan answer this job? In exact arithmetic, by its own rules.

It shares no code with the solver, only the types of the question and the answer: every stick is added up anew from its
parts, kerfs and trims, every part is counted against its demand, every kind of stick against its availability, and
every amount of money is worked out again. No plan is shown to anyone before it passes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Buy, Cut, Objective, Plan
from cutting.checking.angled import angled_faults
from cutting.checking.idle import counts_of
from cutting.checking.prices import price_at
from cutting.checking.savings import savings_faults
from cutting.checking.substitutes import accepted, substitution_faults
from cutting.checking.yards import order_faults, states_terms, window_faults
from cutting.question.job import Job, Part, Source, Stick
from cutting.question.lengths import show_length

__all__ = ["check", "objective_due"]


def check(job: Job, plan: Plan) -> tuple[str, ...]:
    """Check a plan against its job.

    Parameters
    ----------
    job : Job
        The question.
    plan : Plan
        The answer.

    Returns
    -------
    tuple of str
        Every fault found, a sentence each; empty for a plan that can be cut, wants nothing and costs what it says.

    Notes
    -----
    Whether a cheaper plan exists is not checked here: that is what the lower bound is for.
    """
    sticks = {stick.id: stick for stick in job.sticks}
    parts = {part.mark: part for part in job.parts}
    faults: list[str] = []
    for number, cut in enumerate(plan.cuts, start=1):
        stick = sticks.get(cut.stick)
        if stick is None:
            faults.append(f"Layout {number} is cut from {cut.stick}, which the job doesn't have.")
        else:
            faults.extend(_Layout(job=job, cut=cut, stick=stick, parts=parts, name=f"Layout {number}").faults())
    faults.extend(_demand(job, plan))
    faults.extend(_stock(job, plan))
    faults.extend(substitution_faults(job, plan))
    faults.extend(savings_faults(job, plan))
    faults.extend(_money(job, plan, sticks))
    named = {*(cut.stick for cut in plan.cuts), *(line.stick for line in plan.buy), *counts_of(plan)}
    if named <= set(sticks):
        prices = {line.stick: price_at(job, sticks[line.stick], line.quantity) for line in plan.buy}
        faults.extend(order_faults(job, plan, sticks, prices))
    return tuple(faults)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Layout:
    """One layout of the plan with the stick that it is cut from."""

    job: Job
    cut: Cut
    stick: Stick
    parts: dict[str, Part]
    name: str

    def faults(self) -> Iterator[str]:
        yield from self._labels()
        if not self.cut.pieces:
            yield f"{self.name} takes {self.stick.id} and cuts no part from it."
            return
        known = [self.parts.get(piece.mark) for piece in self.cut.pieces]
        for piece, part in zip(self.cut.pieces, known, strict=True):
            yield from self._piece(piece.mark, piece.length, part)
        # A substitute has the symmetry of its own section, not of the one drawn.
        asked = [replace(part, section=self.stick.section) for part in known if part is not None]
        angled = any(part.ends is not None and any(part.ends.angles) for part in asked)
        if self.cut.marks:
            if len(asked) == len(known):
                yield from window_faults(self.job, self.cut, self.stick, self.name, asked)
            return
        if angled:
            if len(asked) == len(known):
                yield from angled_faults(self.job, self.cut, self.stick, asked, self.name)
            return
        if self.cut.strokes or any(piece.lie is not None for piece in self.cut.pieces):
            yield f"{self.name} has angled cuts, though all its parts are square."
        yield from self._fit()
        yield from self._running()
        yield from self._leftover()

    def _show(self, mm: Fraction) -> str:
        return show_length(mm, self.job.unit)

    def _labels(self) -> Iterator[str]:
        cut, stick = self.cut, self.stick
        if cut.quantity < 1:
            yield f"{self.name} is cut {cut.quantity} times."
        if (cut.section.key, cut.length, cut.source) != (stick.section.key, stick.length, stick.source):
            said = f"{cut.section.label}, {self._show(cut.length)}, {cut.source}"
            yield f"{self.name} says something else of {stick.id} than the job does: {said}."
        if cut.edge and not cut.strokes:
            yield f"{self.name} names an edge, the {cut.edge}, and no stroke that is measured along it."

    def _piece(self, mark: str, length: Fraction, part: Part | None) -> Iterator[str]:
        if part is None:
            yield f"{self.name} cuts {mark}, which the job doesn't ask for."
            return
        if self.stick.section.key not in accepted(part):
            yield f"{self.name} cuts {mark} ({part.section.label}) from {self.stick.section.label}."
        if length != part.length:
            yield f"{self.name} cuts {mark} {self._show(length)} long instead of {self._show(part.length)}."

    def _clear(self) -> Fraction:
        counted = self.stick.length if self.stick.usable is None else self.stick.usable
        return counted - sum(self.stick.trims)

    def _lengths(self) -> list[Fraction]:
        asked = (self.parts.get(piece.mark) for piece in self.cut.pieces)
        return [
            piece.length if part is None else part.length for piece, part in zip(self.cut.pieces, asked, strict=True)
        ]

    def _fit(self) -> Iterator[str]:
        over = sum(self._lengths()) + (len(self.cut.pieces) - 1) * self.job.saw.kerf - self._clear()
        if over > 0:
            clear = self._show(self._clear())
            yield f"{self.name} is {self._show(over)} too full: {self.stick.id} has {clear} to fill."

    def _running(self) -> Iterator[str]:
        at = Fraction(0)
        for piece, length in zip(self.cut.pieces, self._lengths(), strict=True):
            if (piece.start, piece.end) != (at, at + length):
                yield (
                    f"{self.name} has {piece.mark} from {self._show(piece.start)} to {self._show(piece.end)}; "
                    f"with the kerfs before it, it lies from {self._show(at)} to {self._show(at + length)}."
                )
                return
            at += length + self.job.saw.kerf

    def _leftover(self) -> Iterator[str]:
        kerf, hold = self.job.saw.kerf, self.job.saw.hold
        lengths = self._lengths()
        rest = self._clear() - sum(lengths) - (len(lengths) - 1) * kerf
        drop = max(rest - kerf, Fraction(0))
        if self.cut.drop != drop:
            yield f"{self.name} leaves a drop of {self._show(drop)}, not {self._show(self.cut.drop)}."
        tail = self.stick.trims[1]
        skim = 0 < rest + tail < kerf
        if self.cut.skim != skim:
            yield f"{self.name} {'ends' if skim else 'does not end'} in a skim cut, and the plan says otherwise."
        unheld = tuple(_unheld(lengths, rest + tail, kerf, hold)) if hold is not None else ()
        if self.cut.unheld != unheld:
            yield f"{self.name} has {_cuts(unheld)} the saw cannot hold; the plan says {_cuts(self.cut.unheld)}."


def _cuts(numbers: tuple[int, ...]) -> str:
    return f"cuts {', '.join(map(str, numbers))} that" if numbers else "no cuts that"


def _unheld(lengths: list[Fraction], behind: Fraction, kerf: Fraction, hold: Fraction) -> Iterator[int]:
    """Numbers of the cuts with less than `hold` on both sides: the part cut off, and all that is still behind it."""
    for number, length in enumerate(lengths, start=1):
        later = lengths[number:]
        rest = behind if not later else sum(later) + (len(later) - 1) * kerf + behind
        is_cut = bool(later) or behind > 0
        side = rest if later else behind - kerf
        if is_cut and length < hold and side < hold:
            yield number


def _demand(job: Job, plan: Plan) -> Iterator[str]:
    planned: Counter[str] = Counter()
    for cut in plan.cuts:
        for piece in cut.pieces:
            planned[piece.mark] += cut.quantity
    for part in job.parts:
        if planned[part.mark] != part.quantity:
            off = planned[part.mark] - part.quantity
            word = f"{off} too many" if off > 0 else f"{-off} missing"
            yield f"{part.mark}: {planned[part.mark]} planned, {part.quantity} asked for, {word}."


def _stock(job: Job, plan: Plan) -> Iterator[str]:
    used: Counter[str] = Counter()
    for cut in plan.cuts:
        used[cut.stick] += cut.quantity
    whole = counts_of(plan)
    bought: Counter[str] = Counter()
    for line in plan.buy:
        bought[line.stick] += line.quantity
        if line.quantity < 1:
            yield f"The buy list has {line.quantity} of {line.stick}."
    for stick in job.sticks:
        taken = used[stick.id] + whole[stick.id]
        said = f"{stick.id}: {used[stick.id]} cut" + (f", {whole[stick.id]} whole" if whole[stick.id] else "")
        if stick.available is not None and taken > stick.available:
            yield f"{said}, and only {stick.available} available."
        if taken != bought[stick.id]:
            yield f"{said}, and {bought[stick.id]} on the buy list."
    for name in whole:
        if all(stick.id != name for stick in job.sticks):
            yield f"The plan leaves {name} whole, which the job doesn't have."


def _money(job: Job, plan: Plan, sticks: dict[str, Stick]) -> Iterator[str]:
    if plan.objective is not objective_due(job):
        yield f"The plan minimises {plan.objective}; for this job it is {objective_due(job)}."
    seen: set[str] = set()
    total = Fraction(0)
    lines = [name for name in dict.fromkeys(line.stick for line in plan.buy) if name in sticks]
    if lines != [stick.id for stick in job.sticks if stick.id in lines]:
        yield f"The buy list isn't in the order of the job's sticks: {lines}."
    for line in plan.buy:
        stick = sticks.get(line.stick)
        if stick is None:
            yield f"The buy list has {line.stick}, which the job doesn't."
            continue
        if line.stick in seen:
            yield f"The buy list has {line.stick} twice."
        seen.add(line.stick)
        if (line.section.key, line.length, line.source) != (stick.section.key, stick.length, stick.source):
            yield f"The buy list says something else of {stick.id} than the job does."
        price = price_at(job, stick, line.quantity)
        yield from _line_money(line, price)
        total += line.quantity * _worth(job, stick, price)
    # Orders cost more than their lines, and are added up by themselves.
    if plan.cost != total and not (job.currency is not None and states_terms(job)):
        yield f"The plan says it costs {_number(plan.cost)}; its lines add up to {_number(total)}."


def _line_money(line: Buy, price: Decimal | None) -> Iterator[str]:
    if line.price != price:
        yield f"{line.stick} has a price of {line.price}; worked out again it is {price}."
    cost = None if price is None else line.quantity * price
    if line.cost != cost:
        yield f"{line.quantity} of {line.stick} cost {cost}, not {line.cost}."


def _number(value: Fraction) -> str:
    return f"{float(value):.2f}" if value * 100 == int(value * 100) else f"{float(value):.6g}"


def objective_due(job: Job) -> Objective:
    """Work out what a plan of this job minimises."""
    if job.currency is not None:
        return Objective.MONEY
    sections = {key: section for part in job.parts for key, section in accepted(part).items()}
    by_weight = len(sections) > 1 and all(section.mass is not None for section in sections.values())
    return Objective.WEIGHT if by_weight else Objective.LENGTH


def _worth(job: Job, stick: Stick, price: Decimal | None) -> Fraction:
    """Return what one stick counts in the objective."""
    if price is not None:
        return Fraction(price)
    if stick.source is Source.OWN:
        return Fraction(0)
    if objective_due(job) is Objective.LENGTH:
        return stick.length
    return stick.length * (stick.section.mass or Fraction(0)) / 1000
