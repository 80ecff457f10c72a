"""From a job and its plan to the finished view of the cut sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import groupby

from cutting.job import Job, Part, Source, Stick
from cutting.plan import Cut, Plan
from shared.assemblies import Assembly, by_assembly
from shared.cautions import at_the_saw, on_the_summary
from shared.drawing import bar_of, draw, drop_text, stick_ranges, whole_drop
from shared.issue import Issue, plan_id
from shared.paper.stops import Setting, stop_order
from shared.paper.view import (
    AssemblyLine,
    CutSheet,
    FetchLine,
    LayoutSheet,
    PieceLine,
    SectionSheet,
    StopLine,
    TitleBlock,
)
from shared.tape import ROUNDED, Tape, tape_of
from shared.view.values import amount
from shared.view.words import listed
from shared.weights import lift_text, surface_text, weight_text

__all__ = ["DRAWING_WIDTH", "SOURCES", "cut_sheet", "title_block"]

DRAWING_WIDTH = 180.0
"""mm; fits between the margins of both sizes of paper."""

SOURCES = {Source.STICKS: "yard", Source.RACK: "yard's rack", Source.OWN: "own drops"}

_WHOLE = 16
_BLANK = "______"


def title_block(job: Job, plan: Plan, issue: Issue, document: str) -> TitleBlock:
    """Return the title block of one document."""
    return TitleBlock(
        document=document,
        job=job.title or "Untitled job",
        plan=plan_id(job, plan),
        revision=issue.revision or "-",
        date=issue.date.isoformat(),
    )


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
    return _Maker(job=job, plan=plan, issue=issue).sheet()


@dataclass(frozen=True, kw_only=True)
class _Numbered:
    """One layout with its stick line, its name and its sticks' numbers."""

    cut: Cut
    stick: Stick
    named: str
    numbers: tuple[int, ...]

    @cached_property
    def span(self) -> str:
        first, last = self.numbers[0], self.numbers[-1]
        return str(first) if first == last else f"{first}–{last}"


@dataclass(frozen=True, kw_only=True)
class _Maker:
    """Makes one sheet; holds what all of its parts need."""

    job: Job
    plan: Plan
    issue: Issue

    @cached_property
    def tape(self) -> Tape:
        return tape_of(self.job)

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        return {part.mark: part for part in self.job.parts}

    @cached_property
    def layouts(self) -> tuple[_Numbered, ...]:
        sticks = {stick.id: stick for stick in self.job.sticks}
        return tuple(
            _Numbered(cut=cut, stick=sticks[cut.stick], named=named, numbers=numbers)
            for cut, (named, numbers) in zip(self.plan.cuts, stick_ranges(self.plan), strict=True)
        )

    def sheet(self) -> CutSheet:
        pieces = sum(len(cut.pieces) * cut.quantity for cut in self.plan.cuts)
        sticks = sum(cut.quantity for cut in self.plan.cuts)
        groups = [list(group) for _, group in groupby(self.layouts, key=lambda entry: entry.cut.section.key)]
        return CutSheet(
            block=title_block(self.job, self.plan, self.issue, "Cut sheet"),
            paper=self.issue.paper.value,
            lead=f"{_counted(pieces, 'part')} from {_counted(sticks, 'stick')}, in {_counted(len(self.plan.cuts), 'layout')}.",
            unit=self.tape.heading,
            notes=tuple(self._notes()),
            cautions=at_the_saw(self.job),
            fetch=tuple(self._fetch()),
            sections=tuple(self._section(group) for group in groups),
            assemblies=tuple(self._assemblies()),
            assemblies_note=self._assemblies_note(),
            limits=on_the_summary(self.job),
        )

    def _notes(self) -> Iterator[str]:
        yield (
            "Lay the tape once, at the trimmed end: every running dimension counts from there to the end of a finished "
            "part. Cut on the far side of the mark; what the saw takes is counted in."
        )
        if self.tape.other is not None:
            yield f"Lengths are in {self.tape.unit}, with {self.tape.other} in brackets."
        if any(ROUNDED in text for layout in self.layouts for text in self._running(layout)):
            yield f"{ROUNDED} is rounded to the nearest 1/64 in or 0.1 mm, each from the exact length: the error doesn't add up."
        if any(cut.quantity > 1 for cut in self.plan.cuts):
            yield "A bundle needs a saw that takes it and a clamp that holds every stick of it; else cut one at a time."
        yield "The drawings are to scale along the stick, not across it; what lies beyond a break line is not to scale."

    def _running(self, layout: _Numbered) -> Iterator[str]:
        for piece in layout.cut.pieces:
            yield self.tape.bare(piece.start)
            yield self.tape.bare(piece.end)

    def _fetch(self) -> Iterator[FetchLine]:
        by_line: dict[str, list[_Numbered]] = {}
        for layout in self.layouts:
            by_line.setdefault(layout.cut.stick, []).append(layout)
        for found in by_line.values():
            cut = found[0].cut
            yield FetchLine(
                section=cut.section.label,
                length=self.tape.stick(cut.length),
                source=f"{SOURCES[cut.source]}, {cut.stick}",
                quantity=str(sum(layout.cut.quantity for layout in found)),
                weight=lift_text(_mass(cut), self.tape),
                sticks=_spans([number for layout in found for number in layout.numbers]),
            )

    def _section(self, layouts: Sequence[_Numbered]) -> SectionSheet:
        settings = stop_order([[piece.length for piece in layout.cut.pieces] for layout in layouts])
        return SectionSheet(
            title=layouts[0].cut.section.label,
            set_up=tuple(self._set_up(layouts)),
            check=self._check(),
            stops=tuple(self._stop(number, setting, layouts) for number, setting in enumerate(settings, start=1)),
            stops_note=_stops_note(settings),
            ends=False,
            layouts=tuple(self._layout(layout) for layout in layouts),
        )

    def _set_up(self, layouts: Sequence[_Numbered]) -> Iterator[tuple[str, str]]:
        saw = self.job.saw
        yield "One cut takes", f"{self.tape.text(saw.kerf)} (measure yours)"
        alone = len({layout.stick.trims for layout in layouts}) == 1
        usual = self._trims(self._usual_trims(layouts[0].cut.section.key))
        yield "Trim first", usual if alone else f"{usual}, unless a stick says otherwise"
        if saw.hold is not None:
            yield "Shortest piece held", self.tape.text(saw.hold)

    def _usual_trims(self, section: tuple[str, str]) -> tuple[Fraction, Fraction]:
        """Return what most sticks of a section are trimmed by, the earlier ones where as many say otherwise."""
        count: dict[tuple[Fraction, Fraction], int] = {}
        for layout in self.layouts:
            if layout.cut.section.key == section:
                count[layout.stick.trims] = count.get(layout.stick.trims, 0) + layout.cut.quantity
        return max(count, key=lambda trims: count[trims])

    def _trims(self, trims: tuple[Fraction, Fraction]) -> str:
        if not trims[0]:
            return "nothing"
        return f"{self.tape.text(trims[0])} off one end, the cut included"

    def _check(self) -> str:
        if self.job.tolerance is None:
            return f"First piece at each stop: let it cool and measure it. No tolerance was stated; agreed: ± {_BLANK}"
        return "First piece at each stop: let it cool, measure it, and cut on only if it lies in the band."

    def _stop(self, number: int, setting: Setting, layouts: Sequence[_Numbered]) -> StopLine:
        marks: dict[str, int] = {}
        for index, begin, count in setting.runs:
            for piece in layouts[index].cut.pieces[begin : begin + count]:
                marks[piece.mark] = marks.get(piece.mark, 0) + layouts[index].cut.quantity
        return StopLine(
            number=str(number),
            length=self.tape.bare(setting.length),
            band=self._band(setting.length),
            pieces=str(sum(marks.values())),
            marks=", ".join(f"{count} × {mark}" for mark, count in marks.items()),
            sticks=_spans([stick for index, _, _ in setting.runs for stick in layouts[index].numbers]),
        )

    def _band(self, length: Fraction) -> str:
        if self.job.tolerance is None:
            return ""
        under, over = self.job.tolerance
        return f"{self.tape.bare(max(length - under, Fraction(0)))} to {self.tape.bare(length + over)}"

    def _layout(self, layout: _Numbered) -> LayoutSheet:
        cut = layout.cut
        drawing = draw(bar_of(cut, layout.stick, self.tape, layout.named, self.job.keep_from), DRAWING_WIDTH)
        strips = drawing.pages()
        return LayoutSheet(
            title=layout.named,
            alike=_alike(cut),
            sticks=tuple(str(number) for number in layout.numbers),
            facts=f"{cut.section.label}, {self.tape.stick(cut.length)}, {SOURCES[cut.source]} ({cut.stick}); "
            f"{lift_text(_mass(cut), self.tape)}",
            strips=strips,
            told=drawing.text,
            rows=tuple(self._row(number, layout) for number in range(len(cut.pieces))),
            rest=self._rest(layout),
            warnings=tuple(self._warnings(layout)),
            whole=len(cut.pieces) <= _WHOLE and len(strips) == 1,
        )

    def _row(self, index: int, layout: _Numbered) -> PieceLine:
        piece = layout.cut.pieces[index]
        part = self.parts[piece.mark]
        note = ": ".join(text for text in (part.assembly, part.note) if text)
        held = index + 1 in layout.cut.unheld
        return PieceLine(
            number=str(index + 1),
            mark=piece.mark,
            length=self.tape.bare(piece.length),
            start=self.tape.bare(piece.start),
            end=self.tape.bare(piece.end),
            ends="",
            note="; ".join(text for text in ("too short to hold: packer" if held else "", note) if text),
        )

    def _rest(self, layout: _Numbered) -> str:
        whole = whole_drop(layout.cut, layout.stick)
        if not whole:
            return (
                "Nothing worth measuring is left." if layout.stick.trims[1] or layout.cut.skim else "Nothing is left."
            )
        each = "each " if layout.cut.quantity > 1 else ""
        text = f"Left {each}over: {drop_text(layout.cut, layout.stick, self.tape, self.job.keep_from)}"
        raw = ", the raw end included" if layout.stick.trims[1] else ""
        if self.job.keep_from is None:
            return f"{text}{raw}. Measure and label what you keep."
        return f"{text}." if whole < self.job.keep_from else f"{text}{raw}. Label it and keep it."

    def _warnings(self, layout: _Numbered) -> Iterator[str]:
        cut, stick = layout.cut, layout.stick
        if stick.trims != self._usual_trims(cut.section.key):
            yield f"Trim {self._trims(stick.trims)}."
        if stick.usable is not None:
            yield f"Measure the stick: it must be at least {self.tape.text(stick.usable)} long."
        if cut.skim:
            yield "The last cut is a skim cut: it meets less than a full cut of steel, and a blade wanders there. Feed slowly."
        elif not cut.drop and not stick.trims[1]:
            yield "The last part ends where the stick ends: measure it before you cut the one before."
        if cut.unheld and self.job.saw.hold is not None:
            numbers = listed([str(number) for number in cut.unheld])
            yield (
                f"At part {numbers} both sides of the cut are shorter than {self.tape.text(self.job.saw.hold)}: "
                "clamp with a packer of the same size."
            )

    def _assemblies(self) -> Iterator[AssemblyLine]:
        found = by_assembly(self.job, self.plan)
        if any(assembly.name for assembly in found):
            for assembly in found:
                yield self._assembly(assembly)

    def _assembly(self, assembly: Assembly) -> AssemblyLine:
        thousandths = round(assembly.share * 1000)
        money = self.job.currency
        return AssemblyLine(
            name=assembly.name or "no assembly",
            parts=", ".join(f"{share.pieces} × {share.mark}" for share in assembly.parts),
            pieces=str(assembly.pieces),
            weight=weight_text(assembly.weight, self.tape),
            surface=surface_text(assembly.surface, self.tape),
            cost=amount(assembly.cost, money).full if assembly.cost is not None and money else "",
            share=f"{thousandths // 10}.{thousandths % 10} %",
        )

    def _assemblies_note(self) -> str:
        what = "cost" if self.job.priced else "steel bought"
        return (
            f"The {what} of each section is shared by the length its parts take of it, so that cuts, trims and drops are "
            "carried by all alike. Weight and surface are those of the finished parts."
        )


def _alike(cut: Cut) -> str:
    if cut.quantity == 1:
        return ""
    risky = cut.skim or cut.unheld
    return f"{cut.quantity} alike: {'one at a time' if risky else 'may be cut as a bundle'}"


def _stops_note(settings: Sequence[Setting]) -> str:
    once = len({setting.length for setting in settings}) == len(settings)
    often = "the stop is set once for each length" if once else "it moves the stop least"
    return f"Cutting to a stop instead of a tape: work through all sticks at one setting before you move on; in this order {often}."


def _mass(cut: Cut) -> Fraction | None:
    return None if cut.section.mass is None else cut.section.mass * cut.length / 1000


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _spans(numbers: Sequence[int]) -> str:
    """Write stick numbers briefly: ``1–6, 9``."""
    runs: list[list[int]] = []
    for number in sorted(dict.fromkeys(numbers)):
        if runs and runs[-1][1] == number - 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(first) if first == last else f"{first}–{last}" for first, last in runs)
