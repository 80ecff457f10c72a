"""The cut sheet of a plan in hand: the layouts of the revision in force, or only what is new in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from cutting.answer.plan import Plan
from cutting.answer.totals import KnownSum, sum_known
from cutting.question.job import Job, Part
from shared.files.job import read_job
from shared.files.plan import read_plan
from shared.files.plan.name import plan_id
from shared.view.issue import Issue
from shared.view.sheet.contents import notes, section_sheet
from shared.view.sheet.cut_sheet import assemblies_note
from shared.view.sheet.frame import SOURCES, Frame, spans, substituted
from shared.view.sheet.model import AssemblyLine, CutSheet, FetchLine, TitleBlock
from shared.view.work.bars import stick_name
from shared.view.work.layouts import by_layout, changed, held_back, work_layouts
from shared.view.work.revision import replaces, revision_note
from shared.wording.cautions import at_the_saw, on_the_summary
from shared.wording.plurals import many, plural
from shared.wording.tape import Tape, tape_of
from shared.wording.weights import lift_text, surface_sum, weight_sum
from shared.work.rack.bars import BarState, parse_bar_name
from shared.work.saw.work import Slot, SlotState, WorkBook
from shared.work.words import bar_spans

__all__ = ["job_on_paper", "work_block", "work_cut_sheet", "work_name", "work_tape"]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Group:
    """What is asked for now of one assembly."""

    parts: tuple[Part, ...]
    weight: KnownSum
    surface: KnownSum


def work_cut_sheet(book: WorkBook, issue: Issue, *, changed_only: bool = False) -> CutSheet:
    """Make the view of a work's cut sheet, to be written by `shared.writers.pdf.cut_sheet_pdf`.

    Parameters
    ----------
    book : WorkBook
        The work with its sticks, bars and revisions.
    issue : Issue
        Paper, and the day of printing; its revision is not looked at, since the work knows its own.
    changed_only : bool
        Print only layouts that are new in the revision in force, below a list of what to throw away.

    Raises
    ------
    ValueError
        The work's own records contradict themselves: a layout number stands for two layouts, or the plan it was begun
        with can't be read.
    """
    name = work_name(book)
    tape = work_tape(book)
    frame = Frame(
        job=job_on_paper(book),
        issue=issue,
        layouts=work_layouts(book, tape, changed_only=changed_only),
        name=name,
    )
    groups = [] if changed_only else _groups(book)
    slots = [slot for group in by_layout(book).values() for slot in group if not changed_only or changed(book, slot)]
    return CutSheet(
        block=work_block(book, issue, name, "Cut sheet"),
        paper=issue.paper.value,
        lead=_lead(book, slots, changed_only=changed_only),
        changes=tuple(substituted(frame.layouts)),
        unit=frame.tape.heading,
        notes=tuple(notes(frame, tuple(_how_to_tick(book, slots)))),
        cautions=at_the_saw(frame.job),
        fetch=tuple(_fetch(book, slots, tape)),
        sections=tuple(section_sheet(frame, group) for group in frame.sections()),
        assemblies=tuple(_assembly(group, tape) for group in groups),
        assemblies_note=assemblies_note([each.weight for each in groups], [each.surface for each in groups]),
        limits=on_the_summary(frame.job),
        counted="layouts",
        revision=revision_note(book, changed_only=changed_only),
    )


def work_name(book: WorkBook) -> str:
    """Return the id of the plan that a work was begun with; it stays, and the revision's letter tells issues apart."""
    first = min(book.revisions, key=lambda revision: revision.number, default=None)
    if first is None:
        raise ValueError(f"work {book.work.id} has no revision to name its paper after")
    job, problems = read_job(first.document)
    if job is None:
        raise ValueError(f"the job of work {book.work.id} can't be read: {problems[0].where}: {problems[0].message}")
    return plan_id(job, _plan(book, first.plan, job))


def _plan(book: WorkBook, data: bytes, job: Job) -> Plan:
    stated, problems = read_plan(data, job)
    if stated is None:
        raise ValueError(f"the plan of work {book.work.id} can't be read: {problems[0].where}: {problems[0].message}")
    if stated.plan is None:
        raise ValueError(f"work {book.work.id} was begun without a plan")
    return stated.plan


def job_on_paper(book: WorkBook) -> Job:
    """Return the job in force with every stick and part that is on the work's paper, whenever it was asked for."""
    sticks = {slot.stick.id: slot.stick for slot in book.slots}
    parts = {part: None for slot in book.slots for part in slot.parts}
    asked = book.work.job
    return replace(
        asked,
        parts=(*asked.parts, *(part for part in parts if part not in asked.parts)),
        sticks=tuple(sticks.values()),
        keep_from=book.work.keep_from,
    )


def work_tape(book: WorkBook) -> Tape:
    """Return how lengths are written on a work's paper."""
    return tape_of(job_on_paper(book))


def work_block(book: WorkBook, issue: Issue, name: str, document: str) -> TitleBlock:
    """Return the title block of a work's paper, its revision large."""
    return TitleBlock(
        document=document,
        job=book.work.title or "Untitled job",
        plan=name,
        revision=book.work.mark,
        date=issue.date.isoformat(),
        replaces=replaces(book),
        large=True,
    )


def _lead(book: WorkBook, slots: Sequence[Slot], *, changed_only: bool) -> str:
    back = held_back(book)
    todo = [slot for slot in slots if slot.left and slot.id not in back]
    waiting = sum(slot.id in back for slot in slots)
    done = sum(slot.state is SlotState.SAWN for slot in slots)
    layouts = many(len({slot.number for slot in todo}), "layout")
    parts = sum(len(slot.left) for slot in todo)
    text = f"Still to saw: {many(parts, 'part')} from {many(len(todo), 'stick')}, in {layouts}."
    if not todo:
        text = "Nothing is left to saw."
    if waiting:
        text += f" {many(waiting, 'stick')} {plural(waiting, 'waits', 'wait')} to be planned anew."
    if done:
        text += f" {many(done, 'stick')} {plural(done, 'is', 'are')} sawn and printed ticked."
    return f"Only what is new in revision {book.work.mark}. {text}" if changed_only and replaces(book) else text


def _how_to_tick(book: WorkBook, slots: Sequence[Slot]) -> Iterator[str]:
    if slots:
        name = stick_name(slots[-1])
        yield (
            f"{name} is stick {slots[-1].copy} of layout {slots[-1].number}. D and a number is a bar's label: "
            "saw each layout from the bars that stand beside its boxes."
        )
    idle = [slot.bar for slot in book.slots if not slot.cut.pieces and slot.state is SlotState.OPEN]
    if idle:
        yield f"Nothing is cut from {bar_spans(idle)}: put it on the rack with its label."
    if any(slot.state is SlotState.SAWN for slot in slots):
        yield "A ticked box is sawn already."
    if any(slot.state is SlotState.STOPPED for slot in slots):
        yield "A crossed box was given up: saw no more from it here, whatever its layout says."


def _fetch(book: WorkBook, slots: Sequence[Slot], tape: Tape) -> Iterator[FetchLine]:
    """Yield the bars to fetch for sticks that nothing is sawn from yet, one line for each kind in each place."""
    back = held_back(book)
    kinds: dict[tuple[str, Fraction, bool, str], list[Slot]] = {}
    for slot in slots:
        bar = book.bar(slot.bar)
        if slot.left and not slot.sawn and slot.id not in back:
            kinds.setdefault((slot.cut.stick, bar.length, bar.state is BarState.EXPECTED, bar.place), []).append(slot)
    for (line, length, expected, place), found in kinds.items():
        section = found[0].cut.section
        where = "not come yet" if expected else place
        yield FetchLine(
            section=section.label,
            length=tape.stick(length),
            source=f"{bar_spans(slot.bar for slot in found)}: "
            + ", ".join(
                text for text in (SOURCES[found[0].cut.source], "" if parse_bar_name(line) else line, where) if text
            ),
            quantity=str(len(found)),
            weight=lift_text(None if section.mass is None else section.mass * length / 1000, tape),
            sticks=spans(slot.number for slot in found),
        )


def _groups(book: WorkBook) -> list[_Group]:
    """Return what is asked for now by assembly, for kitting; what it cost is in the workbook."""
    steel = {piece.mark: piece.centre for slot in book.slots for piece in slot.cut.pieces}
    groups: dict[str, list[Part]] = {}
    for part in book.work.job.parts:
        groups.setdefault(part.assembly, []).append(part)
    return [_group(group, steel) for group in groups.values()] if any(groups) else []


def _group(parts: Sequence[Part], steel: Mapping[str, Fraction]) -> _Group:
    lengths = [(part.section, steel.get(part.mark, part.length) * part.quantity) for part in parts]
    return _Group(
        parts=tuple(parts),
        weight=sum_known((section, section.mass, length) for section, length in lengths),
        surface=sum_known((section, section.surface, length) for section, length in lengths),
    )


def _assembly(group: _Group, tape: Tape) -> AssemblyLine:
    return AssemblyLine(
        name=group.parts[0].assembly or "no assembly",
        parts=", ".join(f"{part.quantity} × {part.mark}" for part in group.parts),
        pieces=str(sum(part.quantity for part in group.parts)),
        weight=weight_sum(group.weight, tape),
        surface=surface_sum(group.surface, tape),
    )
