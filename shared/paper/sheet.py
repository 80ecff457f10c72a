"""From a job and its plan to the finished view of the cut sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cutting.job import Job
from cutting.plan import Plan
from shared.assemblies import Assembly, by_assembly
from shared.carried import as_carried
from shared.cautions import at_the_saw, on_the_summary
from shared.issue import Issue, plan_id
from shared.paper.angled import has_angles, sharing_texts
from shared.paper.fonts import LOST_NOTE, missing, printable, texts_of
from shared.paper.frame import SOURCES, Frame, Numbered, counted, spans
from shared.paper.layout_sheets import layout_sheet
from shared.paper.set_up import check_text, set_up, stop_lines, stop_settings, stops_note
from shared.paper.view import AssemblyLine, CutSheet, FetchLine, SectionSheet, TitleBlock
from shared.tape import ROUNDED
from shared.view.values import amount
from shared.weights import lift_text, surface_text, weight_text

__all__ = ["cut_sheet"]


def cut_sheet(job: Job, plan: Plan, issue: Issue) -> CutSheet:
    """Make the view of a cut sheet.

    Parameters
    ----------
    job : Job
        The question.
    plan : Plan
        The answer, checked.
    issue : Issue
        Revision, date and paper.
    """
    name = plan_id(job, plan)
    job, plan = as_carried(job, plan)
    lost = frozenset(missing([*texts_of(job), *texts_of(plan), issue.revision]))
    frame = Frame(
        job=printable(job, lost),
        plan=printable(plan, lost),
        issue=printable(issue, lost),
        name=name,
        lost=bool(lost),
    )
    job, plan, issue = frame.job, frame.plan, frame.issue
    pieces = sum(len(cut.pieces) * cut.quantity for cut in plan.cuts)
    sticks = sum(cut.quantity for cut in plan.cuts)
    layouts = counted(len(plan.cuts), "layout")
    return CutSheet(
        block=_block(frame),
        paper=issue.paper.value,
        lead=f"{counted(pieces, 'part')} from {counted(sticks, 'stick')}, in {layouts}.",
        unit=frame.tape.heading,
        notes=tuple(_notes(frame)),
        cautions=at_the_saw(job),
        fetch=tuple(_fetch(frame)),
        sections=tuple(_section(frame, group) for group in frame.sections()),
        assemblies=tuple(_assemblies(frame)),
        assemblies_note=_assemblies_note(job),
        limits=on_the_summary(job),
    )


def _block(frame: Frame) -> TitleBlock:
    return TitleBlock(
        document="Cut sheet",
        job=frame.job.title or "Untitled job",
        plan=frame.name,
        revision=frame.issue.revision or "-",
        date=frame.issue.date.isoformat(),
    )


def _notes(frame: Frame) -> Iterator[str]:
    tape = frame.tape
    yield (
        "Lay the tape once, at the trimmed end: every running dimension counts from there to the end of a finished "
        "part. Cut on the far side of the mark; what the saw takes is counted in."
    )
    if tape.other is not None:
        yield f"Lengths are in {tape.unit}, with {tape.other} in brackets."
    if any(ROUNDED in text for layout in frame.layouts for text in _running(frame, layout)):
        yield (
            f"{ROUNDED} is rounded to the nearest 1/64 in or 0.1 mm, each from the exact length: the error doesn't "
            "add up."
        )
    if any(layout.cut.quantity > 1 for layout in frame.layouts):
        yield "A bundle needs a saw that takes it and a clamp that holds every stick of it; else cut one at a time."
    if any(has_angles(layout.cut) for layout in frame.layouts):
        yield (
            "Angled ends: each stroke of the saw is listed. A cut to the back reaches further along the stick at the "
            "fence, a cut to the front at you; angles count from square. A shared stroke makes two ends at once."
        )
    yield from sharing_texts(frame)
    if frame.lost:
        yield LOST_NOTE
    yield "The drawings are to scale along the stick, not across it; what lies beyond a break line is not to scale."


def _running(frame: Frame, layout: Numbered) -> Iterator[str]:
    for piece in layout.cut.pieces:
        yield frame.tape.bare(piece.start)
        yield frame.tape.bare(piece.end)


def _fetch(frame: Frame) -> Iterator[FetchLine]:
    by_line: dict[str, list[Numbered]] = {}
    for layout in frame.layouts:
        by_line.setdefault(layout.cut.stick, []).append(layout)
    for found in by_line.values():
        cut = found[0].cut
        yield FetchLine(
            section=cut.section.label,
            length=frame.tape.stick(cut.length),
            source=f"{SOURCES[cut.source]}, {cut.stick}",
            quantity=str(sum(layout.cut.quantity for layout in found)),
            weight=lift_text(found[0].mass, frame.tape),
            sticks=spans(number for layout in found for number in layout.numbers),
        )


def _section(frame: Frame, layouts: Sequence[Numbered]) -> SectionSheet:
    settings = stop_settings(frame, layouts)
    return SectionSheet(
        title=layouts[0].cut.section.label,
        set_up=tuple(set_up(frame, layouts)),
        check=check_text(frame),
        stops=tuple(stop_lines(frame, layouts, settings)),
        stops_note=stops_note(settings),
        ends=any(has_angles(layout.cut) for layout in layouts),
        layouts=tuple(layout_sheet(frame, layout) for layout in layouts),
    )


def _assemblies(frame: Frame) -> Iterator[AssemblyLine]:
    found = by_assembly(frame.job, frame.plan)
    if any(assembly.name for assembly in found):
        for assembly in found:
            yield _assembly(frame, assembly)


def _assembly(frame: Frame, assembly: Assembly) -> AssemblyLine:
    thousandths = round(assembly.share * 1000)
    money = frame.job.currency
    return AssemblyLine(
        name=assembly.name or "no assembly",
        parts=", ".join(f"{share.pieces} × {share.mark}" for share in assembly.parts),
        pieces=str(assembly.pieces),
        weight=weight_text(assembly.weight, frame.tape),
        surface=surface_text(assembly.surface, frame.tape),
        cost=amount(assembly.cost, money).full if assembly.cost is not None and money else "",
        share=f"{thousandths // 10}.{thousandths % 10} %",
    )


def _assemblies_note(job: Job) -> str:
    what = "cost" if job.priced else "steel bought"
    return (
        f"The {what} of each section is shared by the length its parts take of it, so that cuts, trims and drops "
        "are carried by all alike. Weight and surface are those of the finished parts."
    )
