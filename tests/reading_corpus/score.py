"""How the reader does on the corpus: `python -m tests.reading_corpus.score [--show OUTCOME] [--made hand] [TAG ...]`.

Each line has one outcome. *Right*: read as the corpus says, or asked where it would ask. *Needless*: asked where there
is one reading. *Wrong*: another part or offer than the line says, or one where a careful person would ask, without a
word. *Invented*: a part where there is none. *Lost*: a part that isn't there, without a word. A reading counts by its
quantity, section, length, material where the line states one, and price.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from fractions import Fraction

from cutting.question.errors import SectionError
from cutting.question.job import PerLength, PerStick, PerWeight, Price, Source
from cutting.question.lengths import Unit
from shared.reading import Kind, LineRead, OfferRead, PartRead, Question, read_offers, read_parts
from shared.sections import understand
from shared.sections.materials import PLAIN
from tests.reading_corpus import MM, Line, PastedList, Reading, load

__all__ = ["Outcome", "Scored", "main", "scored"]

SOURCES = {"rack": Source.RACK, "own": Source.OWN, "stick": Source.STICKS}
KILOGRAMS = {"kg": Fraction(1), "lb": Fraction("0.45359237"), "t": Fraction(1000)}


class Outcome(StrEnum):
    """What became of a line."""

    RIGHT = "right"
    NEEDLESS = "needless"
    WRONG = "wrong"
    INVENTED = "invented"
    LOST = "lost"


@dataclass(frozen=True, kw_only=True, slots=True)
class Scored:
    """A line with its outcome, and what was made of it in words."""

    of: PastedList
    line: Line
    outcome: Outcome
    made: str


def scored(pasted: PastedList) -> tuple[Scored, ...]:
    """Read a list and judge each of its lines."""
    unit = None if pasted.unit == "unsaid" else Unit(pasted.unit)
    if pasted.kind == "parts":
        parts, questions = read_parts(pasted.text, unit=unit)
        found: dict[int, list[PartRead | OfferRead]] = {}
        for part in parts.parts:
            found.setdefault(part.line, []).append(part)
        lines = parts.lines
    else:
        offers, questions = read_offers(pasted.text, kind=_source(pasted), unit=unit)
        found = {}
        for offer in offers.offers:
            found.setdefault(offer.line, []).append(offer)
        lines = offers.lines
    return tuple(_judged(pasted, line, found, lines, questions) for line in pasted.lines)


def _source(pasted: PastedList) -> Source:
    """What the person said the list is: what most of its lines are, a yard's sticks where none says."""
    said = Counter(
        value for line in pasted.lines for reading in line.readings for key, value in reading.fields if key == "source"
    )
    if not said:
        return Source.RACK if "rack" in pasted.tags else Source.OWN if "own" in pasted.tags else Source.STICKS
    return SOURCES[said.most_common(1)[0][0]]


def _judged(
    pasted: PastedList,
    line: Line,
    found: dict[int, list[PartRead | OfferRead]],
    lines: tuple[LineRead, ...],
    questions: tuple[Question, ...],
) -> Scored:
    read = next((each for each in lines if each.line == line.number), None)
    mine = found.get(line.number, [])
    asked = [each for each in questions if each.line == line.number]
    whole = [each for each in questions if each.line == 0]
    waits = read is not None and read.kind is Kind.QUESTION and not mine  # for an answer that another line asks for
    outcome = _outcome(line, mine, asked=bool(asked or waits or (whole and not mine)), read=read)
    words = [_told(each) for each in mine] or [each.message for each in asked or whole]
    kind = "not seen" if read is None else read.kind.value
    return Scored(of=pasted, line=line, outcome=outcome, made=f"{kind}: {'; '.join(words)}")


def _outcome(line: Line, mine: list[PartRead | OfferRead], *, asked: bool, read: LineRead | None) -> Outcome:
    wanted = [line.readings, *((other,) for other in line.alternatives)]
    kinds = {reading.what for readings in wanted for reading in readings}
    if asked:
        return Outcome.RIGHT if "ask" in kinds else Outcome.NEEDLESS
    if mine:
        if any(_agree(readings, mine) for readings in wanted):
            return Outcome.RIGHT
        return Outcome.WRONG if kinds & {"part", "ask"} else Outcome.INVENTED
    if kinds & {"aside", "head"} or (kinds == {"also"} and read is not None and read.kind is Kind.ALSO):
        return Outcome.RIGHT
    return Outcome.LOST


def _agree(readings: tuple[Reading, ...], mine: list[PartRead | OfferRead]) -> bool:
    parts = [reading for reading in readings if reading.what == "part"]
    if len(parts) != len(readings) or len(parts) != len(mine):
        return False
    return all(_same(reading, each) for reading, each in zip(parts, mine, strict=True))


def _same(reading: Reading, mine: PartRead | OfferRead) -> bool:
    assert reading.length is not None
    if reading.length.mm != mine.length or _name(reading.section) != mine.section.name:
        return False
    fields = dict(reading.fields)
    material = fields.get("material", "").lower()
    plain = set(material.split()) <= PLAIN  # which a section without a material is of
    if not plain and not mine.section.material and material not in mine.note.lower():
        return False
    if isinstance(mine, PartRead):
        return reading.quantity == mine.quantity
    quantity = reading.quantity == mine.available or {reading.quantity, mine.available} == {None, 1}
    return quantity and ("price" not in fields or _priced(fields["price"], mine.price))


def _name(section: str) -> str:
    try:
        return understand(section).name
    except SectionError:
        return section


def _priced(said: str, price: Price | None) -> bool:
    amount, _, basis = said.partition(" ")
    try:
        wanted = Decimal(amount)
    except InvalidOperation:
        return False
    if wanted == 0 and price is None:
        return True
    per = basis.removeprefix("per ").strip()
    if isinstance(price, PerStick):
        return basis == "each" and price.amount == wanted
    if isinstance(price, PerLength):
        return per in MM and Fraction(price.amount) / price.per == Fraction(wanted) / MM[per]
    if isinstance(price, PerWeight):
        return per in KILOGRAMS and Fraction(price.amount) / price.per == Fraction(wanted) / KILOGRAMS[per]
    return False


def _told(mine: PartRead | OfferRead) -> str:
    quantity = mine.quantity if isinstance(mine, PartRead) else mine.available
    price = "" if isinstance(mine, PartRead) else f" at {mine.price}"
    return (
        f"{quantity} x {mine.section.label}, {float(mine.length):g} mm{price}{f' ({mine.note})' if mine.note else ''}"
    )


def _wanted(line: Line) -> str:
    return " / ".join(
        f"{each.what} {each.text} {each.quantity} {each.section} {each.length and each.length.text}"
        for each in line.readings
    )


def _table(rows: list[Scored]) -> Iterator[str]:
    groups = {"all": rows, "by hand": [row for row in rows if row.of.made == "hand"]}
    groups |= {
        tag: [row for row in rows if tag in row.of.tags] for tag in sorted({t for row in rows for t in row.of.tags})
    }
    yield f"{'':14}{'lines':>7}" + "".join(f"{outcome:>10}" for outcome in Outcome)
    for name, members in groups.items():
        counts = Counter(row.outcome for row in members)
        yield f"{name:14}{len(members):7}" + "".join(f"{counts[outcome]:10}" for outcome in Outcome)


def main(words: list[str] | None = None) -> None:
    """Print the score, and the lines of an outcome where asked for."""
    parser = argparse.ArgumentParser(prog="score")
    parser.add_argument("--show", type=Outcome, choices=list(Outcome))
    parser.add_argument("--made", choices=["hand", "numbers"])
    parser.add_argument("tags", nargs="*")
    asked = parser.parse_args(words)
    lists = [each for each in load() if asked.made in {None, each.made} and set(asked.tags) <= set(each.tags)]
    rows = [row for each in lists for row in scored(each)]
    shown = [row for row in rows if row.outcome is asked.show]
    told = [
        f"{row.of.id}:{row.line.number}  {row.line.text!r}\n    {_wanted(row.line)}\n    {row.made}" for row in shown
    ]
    sys.stdout.write("\n".join([*_table(rows), *told, ""]))


if __name__ == "__main__":
    main()
