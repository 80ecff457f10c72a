"""From a job and its plan to the finished view of the cut sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from cutting.answer.plan import Plan
from cutting.answer.totals import KnownSum
from cutting.question.job import Job
from shared.files.plan.name import plan_id
from shared.view.angled import sharing_words
from shared.view.assemblies import Assembly, by_assembly
from shared.view.issue import Issue
from shared.view.sheet.contents import notes, section_sheet
from shared.view.sheet.frame import SOURCES, Frame, Numbered, plan_layouts, spans, substituted
from shared.view.sheet.model import AssemblyLine, CutSheet, FetchLine, TitleBlock
from shared.wording.cautions import at_the_saw, on_the_summary
from shared.wording.plurals import many, plural
from shared.wording.weights import lift_text, missing, surface_sum, weight_sum
from shared.work.carried import as_carried

__all__ = ["assemblies_note", "cut_sheet"]

_FINISHED: Final = "Weight and surface are those of the finished parts."


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
    frame = Frame(job=job, issue=issue, layouts=plan_layouts(job, plan), name=name)
    pieces = sum(len(cut.pieces) * cut.quantity for cut in plan.cuts)
    sticks = sum(cut.quantity for cut in plan.cuts)
    layouts = many(len(plan.cuts), "layout")
    grouped = by_assembly(job, plan)
    return CutSheet(
        block=_block(frame),
        paper=issue.paper.value,
        lead=f"{many(pieces, 'part')} from {many(sticks, 'stick')}, in {layouts}.{_whole(plan)}",
        changes=tuple(substituted(frame.layouts)),
        unit=frame.tape.heading,
        notes=tuple(notes(frame, tuple(sharing_words(job, plan, priced=False)))),
        cautions=at_the_saw(job),
        fetch=tuple(_fetch(frame)),
        sections=tuple(section_sheet(frame, group) for group in frame.sections()),
        assemblies=tuple(_assemblies(frame, grouped)),
        assemblies_note=assemblies_note([each.weight for each in grouped], [each.surface for each in grouped]),
        limits=on_the_summary(job),
    )


def _whole(plan: Plan) -> str:
    idle = sum(count for each in plan.idle for _, count in each.sticks)
    return f" {many(idle, 'stick')} {plural(idle, 'stays', 'stay')} whole." if idle else ""


def _block(frame: Frame) -> TitleBlock:
    return TitleBlock(
        document="Cut sheet",
        job=frame.job.title or "Untitled job",
        plan=frame.name,
        revision=frame.issue.revision or "-",
        date=frame.issue.date.isoformat(),
    )


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


def assemblies_note(weights: Iterable[KnownSum], surfaces: Iterable[KnownSum]) -> str:
    """Say what weights and surfaces by assembly are those of, and what is missing from them."""
    return " ".join([_FINISHED, *missing(weights, surfaces)])


def _assemblies(frame: Frame, found: Sequence[Assembly]) -> Iterator[AssemblyLine]:
    if any(assembly.name for assembly in found):
        for assembly in found:
            yield _assembly(frame, assembly)


def _assembly(frame: Frame, assembly: Assembly) -> AssemblyLine:
    return AssemblyLine(
        name=assembly.name or "no assembly",
        parts=", ".join(f"{share.pieces} × {share.mark}" for share in assembly.parts),
        pieces=str(assembly.pieces),
        weight=weight_sum(assembly.weight, frame.tape),
        surface=surface_sum(assembly.surface, frame.tape),
    )
