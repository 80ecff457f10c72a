"""Layouts whose parts stay together on their stick, laid out anew and joined to a plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Buy, Cut, Plan, Sharing
from cutting.buying.objective import objective_of
from cutting.buying.rules import uses_rules
from cutting.buying.rules.leftovers import keep_rate, own_worth
from cutting.question.feasible import input_problems
from cutting.question.job import Job, Part, Stick
from cutting.solve import solve
from shared.work.replan.at_hand import sticks_of
from shared.work.replan.remains import Remains, settled
from shared.work.replan.standing import Judged

__all__ = ["Relaid", "joined", "relaid_of"]

_SECONDS = 5.0  # far more than one stick with its parts given ever takes


@dataclass(frozen=True, kw_only=True, slots=True)
class Relaid:
    """One layout that is printed anew.

    Attributes
    ----------
    pin : Judged
        The layout as it was.
    stick : Stick
        Its steel as it is now, an own piece.
    cut : Cut
        The same parts on it, laid out for the blade as it is now.
    """

    pin: Judged
    stick: Stick
    cut: Cut


def relaid_of(pins: Iterable[Judged], remains: Remains, seed: int) -> dict[int, Relaid]:
    """Lay the parts of layouts out anew, each on its own stick.

    Parameters
    ----------
    pins : iterable of Judged
        The layouts.
    remains : Remains
        The work they belong to.
    seed : int
        For every random choice.

    Returns
    -------
    dict of int to Relaid
        By slot; without those whose parts don't fit on what is left of their stick.
    """
    known: dict[Job, Cut | None] = {}
    found: dict[int, Relaid] = {}
    for pin in pins:
        parts = _parts(pin, remains)
        job = Job(parts=parts, sticks=(), saw=remains.job.saw, unit=remains.job.unit)
        stick = next(iter(sticks_of((remains.bar(pin.slot.bar),), job, remains.trims)), None)
        if stick is None or any(part.section.key != stick.section.key for part in parts):
            continue
        alike = replace(job, sticks=(replace(stick, id="own"),))
        if alike not in known:
            known[alike] = _laid(alike, seed)
        cut = known[alike]
        if cut is not None:
            found[pin.slot.id] = Relaid(pin=pin, stick=stick, cut=replace(cut, stick=stick.id))
    return found


def _parts(pin: Judged, remains: Remains) -> tuple[Part, ...]:
    asked = {part.mark: part for part in remains.wanted}
    key = pin.slot.cut.section.key
    return tuple(replace(settled(asked[mark], key), quantity=count) for mark, count in pin.marks.items())


def _laid(job: Job, seed: int) -> Cut | None:
    plan = None if input_problems(job) else solve(job, limit=_SECONDS, seed=seed, cores=1).plan
    return None if plan is None else plan.cuts[0]


def joined(remains: Remains, job: Job, plan: Plan | None, relaid: Sequence[Relaid]) -> tuple[Job, Plan | None]:
    """Join layouts that stay together to what was planned anew.

    Parameters
    ----------
    remains : Remains
        What is left to do.
    job, plan : Job and Plan or None
        What was planned anew beside these layouts; without parts and None where that is nothing.
    relaid : sequence of Relaid
        The layouts, each on a stick of its own.

    Returns
    -------
    tuple of (Job, Plan or None)
        One job that asks for all of it, and its plan, every layout in the order of the job's sections.
    """
    if not relaid:
        return job, plan
    whole = _whole_job(remains, job, relaid)
    base = _empty(whole) if plan is None else plan
    keys = [section.key for section in whole.sections]
    cuts = [*base.cuts, *(_valued(whole, each) for each in relaid)]
    own = sum((own_worth(whole, each.stick) for each in relaid), Fraction(0))
    credit = sum((_credit(whole, each) for each in relaid), Fraction(0))
    lines = {line.stick: line for line in (*base.buy, *(_own_line(whole, each) for each in relaid))}
    return whole, replace(
        base,
        cost=base.cost + own - credit,
        buy=tuple(lines[stick.id] for stick in whole.sticks if stick.id in lines),
        cuts=tuple(sorted(cuts, key=lambda cut: keys.index(cut.section.key) if cut.section.key in keys else len(keys))),
        own_value=None if base.own_value is None else base.own_value + own,
        credit=None if base.credit is None else base.credit + credit,
        sharing=_sharing(base, relaid),
    )


def _whole_job(remains: Remains, job: Job, relaid: Sequence[Relaid]) -> Job:
    """Return a job with the parts and sticks of both, in the order of the work's parts and of the bars."""
    parts: dict[str, Part] = {part.mark: part for part in job.parts}
    together = sum((each.pin.marks for each in relaid), Counter[str]())
    for part in remains.as_pinned([each.pin for each in relaid]):
        if together[part.mark]:
            planned = parts[part.mark].quantity if part.mark in parts else 0
            parts[part.mark] = replace(part, quantity=planned + together[part.mark])
    ordered = [parts[part.mark] for part in remains.job.parts if part.mark in parts]
    offered = [stick for stick in job.sticks if stick.id not in {bar.name for bar in remains.bars}]
    held = {each.stick.id: each.stick for each in relaid} | {stick.id: stick for stick in job.sticks}
    own = [held[bar.name] for bar in remains.bars if bar.name in held]
    return replace(job, parts=tuple(ordered), sticks=(*offered, *own))


def _empty(job: Job) -> Plan:
    """Return a plan that takes nothing yet, with the sums that such a job's plan states."""
    plan = Plan(objective=objective_of(job), cost=Fraction(0), buy=(), cuts=())
    if job.currency is None or not uses_rules(job):
        return plan
    return replace(plan, kinds=Decimal(0), paid=Decimal(0), own_value=Fraction(0), credit=Fraction(0))


def _valued(job: Job, each: Relaid) -> Cut:
    has_worth = job.keep_value is not None and job.currency is not None
    return replace(each.cut, credit=_credit(job, each) if has_worth else None)


def _credit(job: Job, each: Relaid) -> Fraction:
    keep = job.keep_value
    if keep is None or each.cut.drop < keep.shortest:
        return Fraction(0)
    return keep_rate(job, each.stick) * each.cut.drop


def _own_line(job: Job, each: Relaid) -> Buy:
    nothing = None if job.currency is None else Decimal(0)
    return Buy(
        stick=each.stick.id,
        section=each.stick.section,
        length=each.stick.length,
        source=each.stick.source,
        quantity=1,
        price=nothing,
        cost=nothing,
    )


def _sharing(base: Plan, relaid: Sequence[Relaid]) -> tuple[Sharing, ...]:
    """Count shared cuts anew; what they save isn't known where layouts were added. Nothing where nothing was said."""
    if not base.sharing:
        return ()
    found = {each.section.key: each for each in base.sharing}
    for section in {each.cut.section.key: each.cut.section for each in relaid}.values():
        more = _shared(relaid, section.key)
        shared = more + (found[section.key].shared if section.key in found else 0)
        if more:
            found[section.key] = Sharing(section=section, shared=shared, sticks=None, cost=None, certain=False)
    return tuple(found.values())


def _shared(relaid: Sequence[Relaid], key: tuple[str, str]) -> int:
    return sum(stroke.shared for each in relaid if each.cut.section.key == key for stroke in each.cut.strokes)
