"""The options of `tallystick plan` that take pasted lists in place of a job file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated

import typer

from cli.asking import answered, can_ask
from cli.exits import Code, leave, leave_with_problems
from cli.files import name_of, read_bytes, write_bytes
from cutting.question.job import Job, Section, Source
from cutting.question.lengths import Unit
from cutting.question.money import is_currency
from cutting.question.problems import Problem

if TYPE_CHECKING:
    from shared.reading import LineRead, OfferList, OfferRead, PartsList, Question
    from shared.work.rack.bars import Bar

__all__ = [
    "CurrencyOption",
    "EndTrimOption",
    "KerfOption",
    "LayoutCostOption",
    "Lists",
    "OwnOption",
    "PartsOption",
    "RackOption",
    "SaveOption",
    "SticksOption",
    "TapeOption",
    "Understood",
    "UnitOption",
    "also_needed",
    "check_lists",
    "read_lists",
    "save_job",
    "with_options",
]

_LIST = "Text, CSV, xlsx or ods file; - reads standard input."


def _currency(code: str | None) -> str | None:
    if code is not None and not is_currency(code.upper()):
        raise typer.BadParameter(f"{code} is no currency code of ISO 4217; write one such as USD or EUR")
    return code.upper() if code else None


PartsOption = Annotated[
    str | None, typer.Option("--parts", metavar="LIST", help=f"Parts list, in place of a job file. {_LIST}")
]
SticksOption = Annotated[
    str | None, typer.Option("--sticks", metavar="LIST", help="With --parts: what a yard sells, with prices.")
]
RackOption = Annotated[
    str | None, typer.Option("--rack", metavar="LIST", help="With --parts: pieces on a yard's rack, with prices.")
]
OwnOption = Annotated[str | None, typer.Option("--own", metavar="LIST", help="With --parts: your own drops.")]
UnitOption = Annotated[
    Unit | None,
    typer.Option("--unit", help="With --parts: what a bare length means; left out, the lists tell, or it is asked."),
]
KerfOption = Annotated[
    str | None,
    typer.Option("--kerf", metavar="LENGTH", help="With --parts: what one cut takes, such as 3/32 or 2.5 mm."),
]
EndTrimOption = Annotated[
    str, typer.Option("--end-trim", metavar="LENGTH", help="With --parts: taken off one end of every stick.")
]
CurrencyOption = Annotated[
    str | None,
    typer.Option(
        "--currency",
        metavar="CODE",
        callback=_currency,
        help="With --parts: what prices without a sign are in, such as USD.",
    ),
]
TapeOption = Annotated[
    str | None,
    typer.Option(
        "--tape",
        metavar="LENGTH",
        help="The finest mark of your tape, such as 1/16 or 0.5 mm, to write lengths on.",
    ),
]
LayoutCostOption = Annotated[
    str | None,
    typer.Option(
        "--layout-cost",
        metavar="AMOUNT",
        help="What each layout beyond the first, a set-up at the saw, costs you, such as 2.50.",
    ),
]
SaveOption = Annotated[
    str | None, typer.Option("--save", metavar="FILE", help="Write the job as a job file (TOML or JSON).")
]


def with_options(job: Job, **said: str | None) -> Job:
    """Return a job that states otherwise what options say, each named like the field of the job file that it is."""
    from shared.files.job.read import restated  # noqa: PLC0415 - keeps --help instant

    given = {field: text for field, text in said.items() if text is not None}
    if not given:
        return job
    changed, problems = restated(job, given)
    if problems:
        named = {f"--{problem.where.replace('_', '-')}": problem for problem in problems}
        wrong = (f"{given[problem.where]}: {problem.message}" for problem in named.values())
        raise typer.BadParameter("; ".join(wrong), param_hint=list(named))
    return changed


@dataclass(frozen=True, kw_only=True, slots=True)
class Lists:
    """The lists that a job is made from, and what the saw takes."""

    parts: str | None
    sticks: str | None
    rack: str | None
    own: str | None
    unit: Unit | None
    kerf: str | None
    end_trim: str
    currency: str | None


def check_lists(job: str | None, lists: Lists, *, own_rack: bool = False) -> None:
    """Refuse a mixture of job file and lists, and lists that aren't enough, before anything is read."""
    others = {
        "--sticks": lists.sticks,
        "--rack": lists.rack,
        "--own": lists.own,
        "--unit": lists.unit,
        "--kerf": lists.kerf,
        "--currency": lists.currency,
    }
    given = [option for option, value in {"--parts": lists.parts, **others}.items() if value is not None]
    if job is not None and given:
        raise typer.BadParameter(f"a job file states everything itself; leave out {', '.join(given)}, or the job file")
    if job is not None:
        return
    if lists.parts is None:
        raise typer.BadParameter("name a job file, or lists with --parts, --sticks and --kerf")
    if not (lists.sticks or lists.rack or lists.own or own_rack):
        raise typer.BadParameter("state what there is to cut from, with --sticks, --rack, --own or --own-rack")
    if lists.kerf is None:
        raise typer.BadParameter("state with --kerf what one cut of your saw takes, such as 3/32 or 2.5 mm")
    if [lists.parts, lists.sticks, lists.rack, lists.own].count("-") > 1:
        raise typer.BadParameter("only one list can be standard input")


@dataclass(frozen=True, kw_only=True, slots=True)
class Understood:
    """The lists of a job as read: the parts, and each list's lines by the list's name."""

    parts: PartsList
    lines: tuple[tuple[str, tuple[LineRead, ...]], ...]


def read_lists(lists: Lists, bars: Sequence[Bar] | None = None) -> tuple[Job, Understood]:
    """Make a job of lists and the rack's pieces.

    What is open is asked on a terminal; what stays open, and every problem, ends the command.
    """
    from shared.reading import job_of_lists  # noqa: PLC0415 - keeps --help instant

    assert lists.parts is not None
    parts, questions = _read_parts(lists)
    problems = [_placed(lists.parts, question.problem) for question in questions]
    sections = tuple(dict.fromkeys(part.section for part in parts.parts))
    read = [(name_of(lists.parts), parts.lines)]
    offers, currency, found = _offers(lists, sections, read)
    problems += found
    stated, trims, found = _stated(lists, lists.unit or parts.unit, currency)
    problems += found
    if problems:
        leave_with_problems(name_of(lists.parts), problems)
    job, refused = job_of_lists(parts.parts, offers, stated, trims=trims)
    if job is not None and bars is not None:
        from shared.work.rack.own_lines import with_rack  # noqa: PLC0415

        job, refused = with_rack(job, bars, trims)
    if job is None:
        leave_with_problems(name_of(lists.parts), refused)
    return job, Understood(parts=parts, lines=tuple(read))


def _asks(lists: Lists) -> bool:
    """Whether what is open can be asked: not where a list itself comes from standard input."""
    return "-" not in {lists.parts, lists.sticks, lists.rack, lists.own} and can_ask()


def _read_parts(lists: Lists) -> tuple[PartsList, tuple[Question, ...]]:
    """Read the parts, with the answers that somebody gives at the terminal."""
    from shared.reading import read_parts  # noqa: PLC0415

    assert lists.parts is not None

    def lines_and_questions(text: str | bytes) -> tuple[tuple[LineRead, ...], tuple[Question, ...]]:
        read, questions = read_parts(text, unit=lists.unit)
        return read.lines, questions

    data: str | bytes = read_bytes(lists.parts)
    if _asks(lists):
        data = answered(name_of(lists.parts), data, lines_and_questions)
    return read_parts(data, unit=lists.unit)


def _placed(name: str, problem: Problem) -> Problem:
    """Return a problem that names its list."""
    where = f"{name_of(name)}, {problem.where}"
    return Problem(where=where, text=problem.text, message=problem.message, position=problem.position)


def _offers(
    lists: Lists, sections: Sequence[Section], read: list[tuple[str, tuple[LineRead, ...]]]
) -> tuple[list[OfferRead], str | None, list[Problem]]:
    """Read the lists of sticks, their lines into `read`; all must be in one currency."""
    offers: list[OfferRead] = []
    problems: list[Problem] = []
    currencies: dict[str, str] = {}
    for source, name in ((Source.STICKS, lists.sticks), (Source.RACK, lists.rack), (Source.OWN, lists.own)):
        if name is None:
            continue
        found, questions = _read_offers(lists, name, source, (sections, offers))
        read.append((name_of(name), found.lines))
        offers += found.offers
        problems += [_placed(name, question.problem) for question in questions]
        if found.currency:
            currencies[found.currency] = name
    stated = [*currencies, *([lists.currency] if lists.currency and lists.currency not in currencies else [])]
    if len(stated) > 1:
        message = f"prices in {' and '.join(stated)}; give all of them in one currency"
        problems.append(Problem(where="prices", text="", message=message))
    return offers, next(iter(currencies), None), problems


def _read_offers(
    lists: Lists, name: str, source: Source, known: tuple[Sequence[Section], Sequence[OfferRead]]
) -> tuple[OfferList, tuple[Question, ...]]:
    """Read one list of sticks, with the answers that somebody gives at the terminal."""
    from shared.reading import read_offers, yards_named  # noqa: PLC0415

    sections, before = known

    def read(text: str | bytes) -> tuple[OfferList, tuple[Question, ...]]:
        return read_offers(text, kind=source, unit=lists.unit, known=sections, yards=yards_named(before))

    def lines_and_questions(text: str | bytes) -> tuple[tuple[LineRead, ...], tuple[Question, ...]]:
        found, questions = read(text)
        return found.lines, questions

    data: str | bytes = read_bytes(name)
    return read(answered(name_of(name), data, lines_and_questions) if _asks(lists) else data)


def _stated(lists: Lists, unit: Unit, currency: str | None) -> tuple[Job, tuple[Fraction, Fraction], list[Problem]]:
    """Read what the options say of the saw, by the rules of the job file: a job without lists, its trims, problems."""
    from shared.files.job.fields import Reading  # noqa: PLC0415 - keeps --help instant
    from shared.files.job.read import read_stated  # noqa: PLC0415

    table = {"unit": unit.value, "saw": {"kerf": lists.kerf, "end_trim": lists.end_trim}}
    stated, problems = read_stated(table, Reading(unit=unit, currency=lists.currency or currency))
    options = {"saw.kerf": "--kerf", "saw.end_trim": "--end-trim"}
    found = [replace(problem, where=options.get(problem.where, problem.where)) for problem in problems]
    return stated.job, stated.trims, found


def also_needed(read: Understood | None) -> list[str]:
    """Return what the lists need besides bar stock, as lines for the buy list; nothing where there are no lists."""
    also = () if read is None else read.parts.also
    return [f"  {f'{each.quantity} x ' if each.quantity is not None else ''}{each.text}" for each in also]


def save_job(path: str, job: Job) -> None:
    """Write the job as a job file, JSON where its name says so."""
    from shared.files.job import Format, write_job  # noqa: PLC0415

    form = Format.JSON if path.lower().endswith(".json") else Format.TOML
    try:
        data = write_job(job, form)
    except ValueError as error:
        leave(Code.INPUT, f"can't save the job: {error}")
    write_bytes(path, data)
