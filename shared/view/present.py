"""Present a plan: from job and result to the finished view, once, for every writer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from cutting.answer.plan import Buy, Cut, Piece, Plan, Result
from cutting.answer.totals import add_up
from cutting.fit.angled import lengths_of
from cutting.question.job import Job, Part, Source, Stick
from shared.files.plan.name import plan_id
from shared.view.angled import sharing_words, stroke_views
from shared.view.model import (
    DropRow,
    LayoutView,
    PartRow,
    PieceView,
    SawView,
    StopRow,
    TotalsView,
    View,
)
from shared.view.rows import BuyRow
from shared.view.terms import changes_view, money_view, orders_view, rough_words, yard_cuts_view
from shared.wording.angled import edge_words, ends_words, part_ends_words
from shared.wording.plurals import listed, many, plural
from shared.wording.sentences import (
    CAUTIONS,
    answer,
    gap_text,
    proof,
    proven_text,
    remarks,
    saw_sentence,
    sum_text,
    trim_words,
    usual_trims,
)
from shared.wording.tape import Tape, tape_of
from shared.wording.values import Amount, Quantity, amount, and_more, length, surface, weight
from shared.work.carried import as_carried, rough_ends

__all__ = ["layout_view", "present"]


def present(job: Job, result: Result) -> View:
    """Make the view of what `solve` gave for a job.

    Parameters
    ----------
    job : Job
        The question.
    result : Result
        The answer with its proof.

    Returns
    -------
    View
        With every string ready.
    """
    plan = result.plan
    tape = tape_of(job)
    layouts = () if plan is None else _layouts(job, plan, tape)
    buy = () if plan is None else _buy_list(job, plan, tape)
    return View(
        title=job.title,
        name="" if plan is None else plan_id(job, plan),
        unit=tape.heading,
        currency=job.currency or "",
        status=result.status,
        sum=sum_text(job, result),
        proven=proven_text(job, result),
        answer=answer(job, result),
        proof=proof(job, result),
        remarks=remarks(job, result),
        why=result.proof.infeasible,
        gap=gap_text(job, result),
        saw=SawView(
            sentence=saw_sentence(job),
            kerf=length(job.saw.kerf, tape),
            hold=None if job.saw.hold is None else length(job.saw.hold, tape),
        ),
        buy=buy,
        layouts=layouts,
        parts=() if plan is None else _parts(job, plan, tape),
        drops=_drops(layouts),
        totals=None if plan is None else _totals(job, plan, len(layouts), tape),
        cautions=CAUTIONS,
        sharing=() if plan is None else tuple(sharing_words(job, plan)),
        orders=() if plan is None else orders_view(job, plan, buy),
        yard_cuts=() if plan is None else yard_cuts_view(job, plan),
        changes=() if plan is None else changes_view(job, plan),
        money=None if plan is None else money_view(job, plan),
    )


def _amount(job: Job, value: Decimal | None) -> Amount | None:
    return None if value is None or job.currency is None else amount(value, job.currency)


def _mass(job: Job, rate: Fraction | None, mm: Fraction) -> Quantity | None:
    return weight(None if rate is None else rate * mm / 1000, job.unit)


def _paint(job: Job, rate: Fraction | None, mm: Fraction) -> Quantity | None:
    return surface(None if rate is None else rate * mm / 1000, job.unit)


def _name(source: Source, quantity: int) -> str:
    one = {Source.STICKS: "stick", Source.RACK: "rack piece", Source.OWN: "own piece"}[source]
    return plural(quantity, one)


def _buy_list(job: Job, plan: Plan, tape: Tape) -> tuple[BuyRow, ...]:
    yards = {stick.id: stick.yard for stick in job.sticks}
    return tuple(_buy(job, plan, line, yards.get(line.stick, ""), tape) for line in plan.buy)


def _buy(job: Job, plan: Plan, line: Buy, yard: str, tape: Tape) -> BuyRow:
    cut_from_it = sum(
        (cut.quantity * piece.centre for cut in plan.cuts if cut.stick == line.stick for piece in cut.pieces),
        Fraction(0),
    )
    shown = length(line.length, tape)
    return BuyRow(
        id=line.stick,
        section=line.section.label,
        length=shown,
        source=line.source.value,
        what=f"{line.quantity} {_name(line.source, line.quantity)} of {line.section.label}, {shown.full}",
        quantity=line.quantity,
        price=_amount(job, line.price),
        cost=_amount(job, line.cost),
        weight=_mass(job, line.section.mass, line.quantity * line.length),
        surface=_paint(job, line.section.surface, cut_from_it),
        yard=yard,
    )


def _layouts(job: Job, plan: Plan, tape: Tape) -> tuple[LayoutView, ...]:
    at_the_saw, carried = as_carried(job, plan, empty=True)
    sticks = {stick.id: stick for stick in at_the_saw.sticks}
    parts = {part.mark: part for part in job.parts}
    rough = rough_ends(plan)
    return tuple(
        layout_view(job, number, cut, sticks[cut.stick], parts, rough=rough.get(cut.stick), tape=tape)
        for number, cut in enumerate(carried.cuts, start=1)
    )


def layout_view(
    job: Job,
    number: int,
    cut: Cut,
    stick: Stick,
    parts: Mapping[str, Part],
    *,
    rough: tuple[bool, bool] | None = None,
    tape: Tape | None = None,
) -> LayoutView:
    """Make the view of one layout.

    Parameters
    ----------
    job : Job
        Its unit, its saw, what its other sticks are trimmed by.
    number : int
        Of the layout, as it is printed.
    cut : Cut
        The layout.
    stick : Stick
        Its kind of stick.
    parts : mapping of str to Part
        The parts of the layout, by mark.
    rough : tuple of bool, optional
        Of a piece that a yard cut, whether it cut the first and the second end.
    tape : Tape, optional
        What lengths are written on, the job's own where it isn't given.
    """
    tape = tape or tape_of(job)
    whole = cut.drop + stick.trims[1] if cut.drop else cut.drop
    keep = bool(cut.drop) and job.keep_from is not None and whole >= job.keep_from
    shown = length(cut.length, tape)
    alike = ", cut alike" if cut.quantity > 1 else ""
    name = "carried piece" + "s" * (cut.quantity > 1) if rough else _name(cut.source, cut.quantity)
    return LayoutView(
        number=number,
        heading=f"{cut.quantity} {name} of {cut.section.label}, {shown.full} ({cut.stick}){alike}",
        id=cut.stick,
        section=cut.section.label,
        length=shown,
        source=cut.source.value,
        quantity=cut.quantity,
        trims=(length(stick.trims[0], tape), length(stick.trims[1], tape)),
        clear=length(stick.clear, tape),
        pieces=tuple(
            _piece(number, piece, parts[piece.mark], tape) for number, piece in enumerate(cut.pieces, start=1)
        ),
        stops=tuple(_stop(tape, mm, list(run)) for mm, run in groupby(cut.pieces, key=lambda piece: piece.length)),
        drop=length(cut.drop, tape),
        drop_whole=length(whole, tape),
        drop_words=_left(tape, whole, keep=keep),
        keep=keep,
        notes=_notes(job, cut, stick, rough, tape),
        weight=_mass(job, cut.section.mass, cut.length),
        edge=edge_words(cut),
        strokes=tuple(stroke_views(cut, tape)),
    )


def _piece(number: int, piece: Piece, part: Part, tape: Tape) -> PieceView:
    return PieceView(
        number=number,
        mark=piece.mark,
        note=part.note,
        assembly=part.assembly,
        length=length(piece.length, tape),
        start=length(piece.start, tape),
        end=length(piece.end, tape),
        ends=ends_words(piece, part.section, tape),
    )


def _stop(tape: Tape, mm: Fraction, run: list[Piece]) -> StopRow:
    marks = dict.fromkeys(piece.mark for piece in run)
    return StopRow(length=length(mm, tape), count=len(run), marks=", ".join(marks))


def _left(tape: Tape, whole: Fraction, *, keep: bool) -> str:
    if not whole:
        return "nothing is left"
    return f"drop {tape.text(whole)}{', label and keep' if keep else ''}"


def _notes(job: Job, cut: Cut, stick: Stick, rough: tuple[bool, bool] | None, tape: Tape) -> tuple[str, ...]:
    notes = []
    if rough:
        notes.append(rough_words(job, stick.trims, rough))
    elif stick.trims != usual_trims(job):
        words = trim_words(job, stick.trims)
        notes.append(f"{words[0].upper()}{words[1:]}.")
    if stick.usable is not None:
        notes.append(f"Planned for {tape.text(stick.usable)}: it may come that short.")
    if cut.skim:
        notes.append("The last cut only skims the end of the stick, where a blade wanders: feed slowly.")
    if cut.unheld and job.saw.hold is not None:
        numbers = listed([str(number) for number in cut.unheld])
        held = tape.text(job.saw.hold)
        notes.append(f"At part {numbers} both sides of the cut are shorter than {held}: clamp with a packer.")
    return tuple(notes)


def _parts(job: Job, plan: Plan, tape: Tape) -> tuple[PartRow, ...]:
    taken, carried = as_carried(job, plan, empty=True)
    return tuple(_part(job, carried, part, tape) for part in taken.parts)


def _part(job: Job, plan: Plan, part: Part, tape: Tape) -> PartRow:
    where: Counter[int] = Counter()
    for number, cut in enumerate(plan.cuts, start=1):
        where[number] += cut.quantity * sum(piece.mark == part.mark for piece in cut.pieces)
    planned = sum(where.values())
    steel = lengths_of(part).shown(job.unit)[1]
    return PartRow(
        mark=part.mark,
        section=part.section.label,
        note=part.note,
        assembly=part.assembly,
        length=length(part.length, tape),
        asked=part.quantity,
        planned=planned,
        layouts=", ".join(f"{count} on layout {number}" for number, count in where.items() if count),
        weight=_mass(job, part.section.mass, steel * planned),
        surface=_paint(job, part.section.surface, steel * planned),
        ends=part_ends_words(part, tape),
    )


def _drops(layouts: tuple[LayoutView, ...]) -> tuple[DropRow, ...]:
    rows = [
        DropRow(
            section=layout.section,
            length=layout.drop_whole,
            quantity=layout.quantity,
            layout=layout.number,
            keep=layout.keep,
        )
        for layout in layouts
        if layout.drop.mm
    ]
    return tuple(sorted(rows, key=lambda row: (-row.length.mm, row.layout)))


def _totals(job: Job, plan: Plan, layouts: int, tape: Tape) -> TotalsView:
    sums = add_up(plan)
    costs = [line.cost for line in plan.buy if line.cost is not None]
    thousandths = int(sums.share * 1000 + Fraction(1, 2))
    used = f"{thousandths // 10}.{thousandths % 10} %"
    whole = length(sums.length, tape)
    idle = sum(count for each in plan.idle for _, count in each.sticks)
    beside = f", {many(idle, 'stick')} {plural(idle, 'stays', 'stay')} whole" if idle else ""
    return TotalsView(
        parts=sums.parts,
        sticks=sums.sticks,
        layouts=layouts,
        length=whole,
        used=used,
        weight=and_more(weight(sums.weights.known, job.unit), sums.weights.without),
        surface=and_more(surface(sums.surfaces.known, job.unit), sums.surfaces.without),
        cost=_amount(job, sum(costs, Decimal(0))) if costs else None,
        sentence=f"{many(sums.parts, 'part')} on {many(sums.sticks - idle, 'stick')} in "
        f"{many(layouts, 'layout')}{beside}; {used} of {whole.full} becomes parts.",
    )
