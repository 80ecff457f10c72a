"""Read a sheet: its lists, its saw, and the job they make. Runs in a child: everything here is as somebody sent it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from api.service.runner.child import Line
from api.service.settings import LONGEST_SOLVE
from api.sheet.answering import Answer, with_answers
from api.sheet.draft import Draft
from api.sheet.form import LISTS, SheetForm, Upload
from api.sheet.mill import usual_lengths
from api.sheet.saws import kerf_of, measured_kerf
from api.sheet.stated import Stated, field_at, stated_on
from api.sheet.understood import Missing, SheetRead
from cutting.question.errors import LengthError
from cutting.question.feasible import Places, input_problems
from cutting.question.job import Job, Section, Source
from cutting.question.money import is_currency
from cutting.question.tape import told_length
from shared.files.job import Format, write_job
from shared.files.job.fields import Reading
from shared.reading import (
    Choice,
    LineRead,
    OfferList,
    PartsList,
    Question,
    lines_of,
    list_job,
    read_offers,
    read_parts,
    yards_named,
)
from shared.wording.plurals import many
from shared.wording.values import weight
from shared.work.rack.bars import Bar
from shared.work.rack.own_lines import own_sticks

__all__ = ["read_sheet_task"]

_SOURCES: Final = {"sticks": Source.STICKS, "rack": Source.RACK, "own": Source.OWN}
_MOST_DIGITS: Final = 6
_MENDED: Final = {
    "price": "other lines have a price and this one has none; write one behind it, such as 61.40, 3.07/ft or 0.86/lb"
}


def read_sheet_task(
    _line: Line,
    form: SheetForm,
    uploads: Sequence[Upload],
    shop_rack: Sequence[Bar] = (),
    answers: Sequence[Answer] = (),
) -> SheetRead:
    """Read a sheet, the files that were dropped on it, and what was answered of its questions.

    The shop's free pieces are offered where it says so.
    """
    read = _read_sheet(form, uploads, shop_rack)
    answered = with_answers(read, answers)
    return read if answered == read.form else _read_sheet(answered, (), shop_rack)


def _read_sheet(form: SheetForm, uploads: Sequence[Upload], shop_rack: Sequence[Bar]) -> SheetRead:
    draft = Draft(form=form)
    sources = {name: form.text(name) for name in LISTS} | {upload.field: upload.data for upload in uploads}
    parts = _parts(draft, sources["parts"])
    known = tuple(dict.fromkeys(part.section for part in parts.parts))
    yards = [yard.title for yard in form.yards if yard.title]
    offers = {}
    for name in _SOURCES:
        offers[name] = _offers(draft, name, sources[name], known, yards)
        yards += [yard for yard in yards_named(offers[name].offers) if yard not in yards]
    stated = _stated(draft, _currency(draft, offers), yards)
    job, places = _job(draft, parts, offers, stated, yards)
    if job.parts:
        _check(draft, job, places)
        job = replace(job, sticks=(*job.sticks, *own_sticks(shop_rack, job, stated.trims)))
    missing = _missing(job)
    ready = draft.settled and bool(job.parts) and not missing
    return SheetRead(
        form=draft.form,
        lines=draft.lines,
        questions=draft.questions,
        faults=tuple(draft.faults),
        missing=missing,
        also=tuple(_also(parts)),
        sum=_sum(job),
        document=write_job(job, Format.JSON) if ready else b"",
        title=job.title,
        limit=_limit(draft),
        unit=draft.unit,
        named=tuple(yard for yard in yards if all(yard != each.title for each in form.yards)),
    )


def _parts(draft: Draft, source: str | bytes) -> PartsList:
    read, questions = read_parts(source, unit=draft.form.stated_unit)
    _take(draft, "parts", source, read.lines, questions)
    draft.unit = draft.form.stated_unit or read.unit
    return read


def _offers(draft: Draft, name: str, source: str | bytes, known: Sequence[Section], yards: Sequence[str]) -> OfferList:
    read, questions = read_offers(source, kind=_SOURCES[name], unit=draft.unit, known=known, yards=yards)
    _take(draft, name, source, read.lines, questions)
    return read


def _take(
    draft: Draft, name: str, source: str | bytes, lines: tuple[LineRead, ...], questions: tuple[Question, ...]
) -> None:
    draft.lines[name] = lines
    draft.questions[name] = tuple(question for question in questions if not question.line)
    if isinstance(source, bytes):
        draft.form = draft.form.with_text(name, "\n".join(lines_of(source)))


def _stated(draft: Draft, currency: str | None, yards: Sequence[str]) -> Stated:
    form = draft.form
    if form.measured_before.strip() and form.measured_after.strip():
        try:
            kerf = measured_kerf(form.measured_before, form.measured_after, form.measured_cuts, draft.unit)
            form = draft.form = replace(form, kerf=kerf, measured_before="", measured_after="", measured_cuts="")
        except LengthError as error:
            draft.blame("measured_before", f"measured cut: {error.wanted}")
    settled = replace(form, kerf=form.kerf if form.kerf.strip() else kerf_of(form.saw, draft.unit))
    return stated_on(settled, Reading(unit=draft.unit, currency=currency), draft.blame, yards)


def _currency(draft: Draft, offers: Mapping[str, OfferList]) -> str | None:
    """Return the currency of the lists' own signs, else the field's; None where nothing has a price."""
    own = bool(offers["own"].offers) and not any(offers[name].offers for name in ("sticks", "rack"))
    if not any(offer.price for read in offers.values() for offer in read.offers) and not (own and draft.form.buying):
        return None
    said = sorted({read.currency for read in offers.values() if read.currency is not None})
    if len(said) > 1:
        draft.blame("currency", f"the lists are in {' and '.join(said)}; one job has one currency")
        return said[0]
    if said:
        draft.form = replace(draft.form, currency=said[0])
        return said[0]
    code = draft.form.currency.strip().upper()
    if not is_currency(code):
        draft.blame("currency", "currency: write the three-letter code of ISO 4217, such as USD or EUR")
        return "USD"
    return code


def _limit(draft: Draft) -> float:
    text = draft.form.limit.strip()
    if text.isdecimal() and len(text) < _MOST_DIGITS and 1 <= int(text) <= LONGEST_SOLVE:
        return float(text)
    draft.blame("limit", f"seconds of search: write a whole number from 1 to {LONGEST_SOLVE:.0f}")
    return 1.0


def _job(
    draft: Draft, parts: PartsList, offers: Mapping[str, OfferList], stated: Stated, yards: Sequence[str]
) -> tuple[Job, Places]:
    listed = [offer for read in offers.values() for offer in read.offers]
    made = list_job(parts.parts, listed, stated.job, trims=stated.trims, yards=yards)
    for at, count in made.unplaced:
        draft.ask_yard(made.offers[at].source, made.offers[at].line, count, yards)
    for before, after in zip(listed, made.offers, strict=True):
        if after.yard != before.yard:
            draft.note(after.source, before.line, f"from {after.yard}, the only yard")
    return made.job, Places(
        parts=tuple(f"parts:{part.line}" for part in parts.parts),
        sticks=tuple(f"{offer.source}:{offer.line}" for offer in made.offers),
        yards=tuple(f"yard-{number}" for number in stated.numbers),
    )


def _check(draft: Draft, job: Job, places: Places) -> None:
    """Say what is wrong with lines that read well each by itself."""
    for problem in input_problems(job, places):
        place, _, what = problem.where.partition(".")
        name, _, number = place.partition(":")
        field_named = field_at(problem.where)
        if field_named is not None:
            draft.blame(field_named, _in_blanks(problem.message))
        elif what == "yard":
            continue  # asked already, once for all lines that stand together
        elif what == "end_trim":
            draft.blame("trim", problem.message.replace(" (saw.kerf)", ""))
        elif number.isdecimal():
            draft.ask(name, int(number), problem, _MENDED.get(what, problem.message))
        else:
            draft.blame("parts", problem.message)


def _in_blanks(message: str) -> str:
    """Say what is wrong with a job's field as somebody needs it who fills in blanks."""
    if message.startswith("costs money"):
        return "this costs money, and the sticks have no prices yet; write one behind every line of sticks and rack"
    return re.sub(r"\byard-(?=\d)", "yard ", message.replace(" (saw.kerf)", ""))


def _missing(job: Job) -> tuple[Missing, ...]:
    offered = {stick.section.key for stick in job.sticks}
    return tuple(
        Missing(
            section=section.label,
            lines=tuple(
                Choice(reading=length, line=f"{section.label}  {length}") for length in usual_lengths(section, job.unit)
            ),
        )
        for section in job.sections
        if section.key not in offered
    )


def _also(parts: PartsList) -> Iterator[str]:
    for one in parts.also:
        yield one.text if one.quantity is None else f"{one.quantity} x {one.text}"


def _sum(job: Job) -> str:
    if not job.parts:
        return ""
    pieces = sum(part.quantity for part in job.parts)
    total = sum((part.quantity * part.length for part in job.parts), Fraction(0))
    named = many(len(job.sections), "section")
    said = [many(pieces, "piece"), named, told_length(total, job.unit, feet=True)]
    masses = [part.quantity * part.length * part.section.mass / 1000 for part in job.parts if part.section.mass]
    shown = weight(sum(masses, Fraction(0)), job.unit) if masses else None
    if shown is not None:
        known = len(masses) == len(job.parts)
        said.append(shown.full if known else f"{shown.full} without the sections of unknown weight")
    return ", ".join(said) + "."
