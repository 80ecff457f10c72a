"""The sheets about sawing: every cut, every part and where it is, every drop."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cutting.answer.plan import Cut
from shared.view.angled import stroke_views
from shared.view.drawing import whole_drop
from shared.wording.angled import ends_words
from shared.writers.xlsx.cells import Cell, Column, Formula, Leaf, Text
from shared.writers.xlsx.frame import CUT_SHEET, PARTS, Frame, total_of

__all__ = ["cut_sheet", "drops", "parts", "strokes"]


def cut_sheet(frame: Frame) -> Leaf:
    """Return one row for each part on each layout."""
    pieces = [piece for cut in frame.plan.cuts for piece in cut.pieces]
    form = frame.length_form(mm for piece in pieces for mm in (piece.length, piece.start, piece.end))
    unit, shop = frame.job.unit, frame.shop_unit
    return Leaf(
        name=CUT_SHEET,
        columns=(
            Column(head="layout", wide=8, form="0"),
            Column(head="sticks", wide=10),
            Column(head="alike", wide=7, form="0"),
            Column(head="line", wide=9),
            Column(head="section", wide=26),
            Column(head=f"stick {shop}", wide=15),
            Column(head="piece", wide=7, form="0"),
            Column(head="mark", wide=16),
            Column(head=f"length {unit}", wide=12, form=form),
            Column(head=f"length {shop}", wide=16),
            Column(head=f"from {unit}", wide=12, form=form),
            Column(head=f"to {unit}", wide=12, form=form),
            Column(head=f"to {shop}", wide=16),
            Column(head="note", wide=34),
        ),
        rows=tuple(row for number, cut in enumerate(frame.plan.cuts, start=1) for row in _cut_rows(frame, number, cut)),
    )


def _cut_rows(frame: Frame, number: int, cut: Cut) -> Iterator[tuple[Cell, ...]]:
    for place, piece in enumerate(cut.pieces, start=1):
        yield (
            number,
            Text(frame.spans[number - 1]),
            cut.quantity,
            Text(cut.stick),
            Text(cut.section.label),
            Text(frame.tape.bare(cut.length)),
            place,
            Text(piece.mark),
            frame.number(piece.length),
            Text(frame.tape.bare(piece.length)),
            frame.number(piece.start),
            frame.number(piece.end),
            Text(frame.tape.bare(piece.end)),
            Text(_note(frame, cut, place)),
        )


def _note(frame: Frame, cut: Cut, place: int) -> str:
    part = frame.parts[cut.pieces[place - 1].mark]
    held = "too short to hold: packer" if place in cut.unheld else ""
    skim = "skim cut" if cut.skim and place == len(cut.pieces) else ""
    ends = ends_words(cut.pieces[place - 1], part.section, frame.tape)
    return "; ".join(text for text in (held, skim, ends, part.assembly, part.note) if text)


def strokes(frame: Frame) -> Leaf:
    """Return every stroke of the saw through sticks with angled ends."""
    listed = [
        (number, cut, stroke, line)
        for number, cut in enumerate(frame.plan.cuts, start=1)
        for stroke, line in zip(cut.strokes, stroke_views(cut, frame.tape), strict=True)
    ]
    return Leaf(
        name="Strokes",
        columns=(
            Column(head="layout", wide=8, form="0"),
            Column(head="sticks", wide=10),
            Column(head="stroke", wide=8, form="0"),
            Column(
                head=f"at {frame.job.unit}", wide=12, form=frame.length_form(stroke.at for _, _, stroke, _ in listed)
            ),
            Column(head=f"at {frame.shop_unit}", wide=16),
            Column(head="along", wide=10),
            Column(head="saw", wide=16),
            Column(head="stick", wide=34),
            Column(head="makes", wide=40),
        ),
        rows=tuple(
            (
                number,
                Text(frame.spans[number - 1]),
                line.number,
                frame.number(stroke.at),
                Text(line.at),
                Text(cut.edge),
                Text(line.angle),
                Text(line.stick),
                Text(line.makes),
            )
            for number, cut, stroke, line in listed
        ),
    )


def parts(frame: Frame) -> Leaf:
    """Return the parts list: how many are asked for, and counted live on the cut sheet, how many are planned."""
    wanted = frame.job.parts
    rows = tuple(_part_row(frame, index) for index in range(len(wanted)))
    total: list[Cell] = [Text("together"), *[None] * 12]
    total[5], total[6], total[7] = (total_of(column, rows) for column in "FGH")
    total[9] = total_of("J", rows) if all(part.section.mass is not None for part in wanted) else None
    return Leaf(
        name=PARTS,
        columns=(
            Column(head="mark", wide=16),
            Column(head="section", wide=28),
            Column(head="assembly", wide=18),
            Column(head=f"length {frame.job.unit}", wide=12, form=frame.length_form(part.length for part in wanted)),
            Column(head=f"length {frame.shop_unit}", wide=18),
            Column(head="asked", wide=9, form="0"),
            Column(head="planned", wide=9, form="0"),
            Column(head="missing", wide=9, form="0"),
            Column(head=f"weight each {frame.weight_unit}", wide=13, form="#,##0.00"),
            Column(head=f"weight {frame.weight_unit}", wide=13, form="#,##0.0"),
            Column(head="where", wide=34),
            Column(head="note", wide=34),
            Column(
                head=f"centre line {frame.job.unit}",
                wide=12,
                form=frame.length_form(frame.steel[p.mark] for p in wanted),
            ),
        ),
        rows=rows,
        total=tuple(total),
    )


def _part_row(frame: Frame, index: int) -> tuple[Cell, ...]:
    part = frame.job.parts[index]
    at = index + 2
    last = sum(len(cut.pieces) for cut in frame.plan.cuts) + 1
    mass = part.section.mass
    # EXACT tells a1 from A1 and takes marks such as * or >5 for what they are, which COUNTIF and SUMIF do not.
    made = sum(cut.quantity for cut in frame.plan.cuts for piece in cut.pieces if piece.mark == part.mark)
    each = frame.weight(None if mass is None else mass * frame.steel[part.mark] / 1000)
    planned = f"=SUMPRODUCT(EXACT('{CUT_SHEET}'!$H$2:$H${last},A{at})*'{CUT_SHEET}'!$C$2:$C${last})"
    return (
        Text(part.mark),
        Text(part.section.label),
        Text(part.assembly),
        frame.number(part.length),
        Text(frame.tape.bare(part.length)),
        part.quantity,
        Formula(text=planned, value=made),
        Formula(text=f"=F{at}-G{at}", value=part.quantity - made),
        each,
        None if each is None else Formula(text=f"=G{at}*I{at}", value=made * each),
        Text(_where(frame, part.mark)),
        Text(part.note),
        frame.number(frame.steel[part.mark]),
    )


def _where(frame: Frame, mark: str) -> str:
    return ", ".join(
        f"{found} on {'stick' if cut.quantity == 1 else 'each of sticks'} {span}"
        for span, cut in zip(frame.spans, frame.plan.cuts, strict=True)
        if (found := sum(piece.mark == mark for piece in cut.pieces))
    )


def drops(frame: Frame) -> Leaf:
    """Return what is left of the sticks, longest first."""
    left = [
        (whole, cut.section.label, cut.quantity, span)
        for span, cut in zip(frame.spans, frame.plan.cuts, strict=True)
        if (whole := whole_drop(cut, frame.sticks[cut.stick]))
    ]
    left.sort(key=lambda entry: -entry[0])
    return Leaf(
        name="Drops",
        columns=(
            Column(head="section", wide=28),
            Column(head=f"length {frame.job.unit}", wide=12, form=frame.length_form(entry[0] for entry in left)),
            Column(head=f"length {frame.shop_unit}", wide=18),
            Column(head="quantity", wide=10, form="0"),
            Column(head="from sticks", wide=14),
            Column(head="what to do", wide=18),
        ),
        rows=tuple(
            (
                Text(section),
                frame.number(whole),
                Text(frame.tape.bare(whole)),
                quantity,
                Text(span),
                Text(_fate(frame, whole)),
            )
            for whole, section, quantity, span in left
        ),
    )


def _fate(frame: Frame, whole: Fraction) -> str:
    if frame.job.keep_from is None:
        return "as you like"
    return "label and keep" if whole >= frame.job.keep_from else "scrap"
