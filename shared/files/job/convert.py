"""From validated lines to the engine's job: names are numbered, prices take their basis, trims their default."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Final

from cutting.question.feasible import Places
from cutting.question.job import Job, Part, Saw, Section, Source, Stick
from cutting.question.prices import settle_currency
from cutting.question.problems import Problem
from shared.files.job.ends import make_ends
from shared.files.job.fields import Reading
from shared.files.job.lines import Lines
from shared.files.job.terms.convert import breaks_of, carry_of, keep_of, price_of, substitutes_of, yard_of
from shared.files.job.terms.wire import CarryFields, KeepFields, YardLine
from shared.files.job.wire import OwnLine, PartLine, RackLine, SawFields, StickLine, TopFields
from shared.sections import understand

__all__ = ["convert"]

_LETTERS: Final = {Source.STICKS: "S", Source.RACK: "R", Source.OWN: "O"}
_NO_TRIM: Final = (Fraction(0), Fraction(0))


def convert(
    top: TopFields | None,
    saw: SawFields,
    reading: Reading,
    lines: Mapping[str, Lines],
    *,
    carry: CarryFields | None = None,
    keep: KeepFields | None = None,
) -> tuple[Job, Places, tuple[Problem, ...]]:
    """Make a job from the lines that are right.

    Parameters
    ----------
    top : TopFields or None
        What the job states once; None where that is at fault.
    saw : SawFields
        The saw.
    reading : Reading
        Unit and currency.
    lines : mapping of str to Lines
        By list of the job file.
    carry, keep : CarryFields, KeepFields or None
        What can be carried, what leftovers are worth; None where that isn't stated or is at fault.

    Returns
    -------
    tuple of (Job, Places, tuple of Problem)
        The job, where each of its lines came from, and what is open about angled ends.
    """
    parts, part_places, problems = _parts(lines["parts"], reading)
    sticks, stick_places = _sticks(lines, saw.end_trim or _NO_TRIM)
    yards = [(index, yard_of(line)) for index, line in lines["yards"] if isinstance(line, YardLine)]
    job = Job(
        parts=parts,
        sticks=sticks,
        saw=Saw(kerf=saw.kerf, hold=saw.hold, largest=saw.largest_angle, one_way=saw.one_way),
        unit=reading.unit,
        title=top.title if top else "",
        currency=reading.currency,
        tolerance=top.tolerance if top else None,
        keep_from=top.keep_from if top else None,
        tape=top.tape if top else None,
        yards=tuple(yard for _, yard in yards),
        carry=carry_of(carry),
        kind_cost=top.kind_cost if top else Decimal(0),
        layout_cost=top.layout_cost if top else Decimal(0),
        keep_value=keep_of(keep),
        idle=top.idle if top else True,
    )
    yard_places = tuple(f"yards[{index}]" for index, _ in yards)
    return settle_currency(job), Places(parts=part_places, sticks=stick_places, yards=yard_places), problems


def _parts(lines: Lines, reading: Reading) -> tuple[tuple[Part, ...], tuple[str, ...], tuple[Problem, ...]]:
    known = [(index, line) for index, line in lines if isinstance(line, PartLine)]
    names = _numbered(((index, line.mark) for index, line in known), "P")
    parts: list[Part] = []
    problems: list[Problem] = []
    for mark, (index, line) in zip(names, known, strict=True):
        part = Part(
            mark=mark,
            section=_section(line.section, line.material),
            length=line.length,
            quantity=line.quantity,
            note=line.note,
            assembly=line.assembly,
            substitutes=substitutes_of(line, _section),
        )
        ends, found = make_ends(part, line, f"parts[{index}]", reading.unit)
        parts.append(part if ends is None else replace(part, ends=ends))
        problems.extend(found)
    return tuple(parts), tuple(f"parts[{index}]" for index, _ in known), tuple(problems)


def _sticks(lines: Mapping[str, Lines], trims: tuple[Fraction, Fraction]) -> tuple[tuple[Stick, ...], tuple[str, ...]]:
    sticks: list[Stick] = []
    places: list[str] = []
    for source, letter in _LETTERS.items():
        known = [
            (index, line) for index, line in lines[source.value] if isinstance(line, StickLine | RackLine | OwnLine)
        ]
        names = _numbered(((index, line.id) for index, line in known), letter, [stick.id for stick in sticks])
        sticks.extend(_stick(name, source, line, trims) for name, (_, line) in zip(names, known, strict=True))
        places.extend(f"{source.value}[{index}]" for index, _ in known)
    return tuple(sticks), tuple(places)


def _stick(name: str, source: Source, line: StickLine | RackLine | OwnLine, trims: tuple[Fraction, Fraction]) -> Stick:
    return Stick(
        id=name,
        section=_section(line.section, line.material),
        length=line.length,
        source=source,
        price=None if isinstance(line, OwnLine) else price_of(line),
        available=line.available if isinstance(line, StickLine) else line.quantity,
        trims=trims if line.end_trim is None else line.end_trim,
        usable=line.usable,
        yard="" if isinstance(line, OwnLine) else line.yard or "",
        breaks=breaks_of(line) if isinstance(line, StickLine) else (),
    )


def _numbered(names: Iterable[tuple[int, str | None]], letter: str, taken: Iterable[str] = ()) -> list[str]:
    """Give the nameless the number of their line, or the next one free."""
    listed = list(names)
    used = {*taken, *(name for _, name in listed if name is not None)}
    numbered = []
    for index, name in listed:
        number = index + 1
        while name is None and f"{letter}{number}" in used:
            number += 1
        numbered.append(name or f"{letter}{number}")
        used.add(numbered[-1])
    return numbered


@lru_cache(maxsize=1024)
def _section(name: str, material: str) -> Section:
    return understand(name, material)
