"""Lists as people write them, each line with a practitioner's reading.

They are written without looking at the reader they judge; the first 341 before it was touched.

One list is one file, ``<kind folder>/<id>.txt``. A head of ``key: value`` lines, a line ``---``, then the list:

``> TEXT``
    a line as it was written, tabs and spaces kept; ``>`` alone is an empty line, which has no reading and isn't counted
``= READING``
    what the line above says. Several such lines: the line says several things. A line without any is a fault
``or READING``
    another reading of the whole line that is fine too, mostly ``or ask ...``

Readings:

``QUANTITY | SECTION | LENGTH``
    so many pieces, or in an offer so many on hand (``any``: no limit). Further fields follow as ``| name: value``,
    see FIELDS.
    LENGTH is exact, with its unit as written: ``1200 mm``, ``1.2 m``, ``34 3/4 in``, ``4 ft 6 1/2 in``
``ask WHAT``
    a careful person would ask: one of QUESTIONS
``aside``
    no part and no offer: greeting, address, telephone, page number, sum
``head``
    titles of columns, a section, material or unit for lines below: ``head | section: SHS 40x40x3``, ``head | sets: 3``
``also TEXT``
    hardware, rod, paint, glass: put on the "also needed" list

Sections are named by family and size: SHS, RHS, CHS, pipe, L, flat, IPE, HEA, UPN; materials and notes are as the
list writes them. ``source`` (rack, own, stick) is what the writer means; a reader that can't know it from the text
leaves it unsaid. ``price`` and ``discount`` are what was written, so that no arithmetic hides a misreading;
``currency`` is the sign's. ``sets`` multiply: their lines show the product, with the multiplication as a note.

Head: ``id``, ``kind`` (parts or offers), ``unit`` (the sheet's unit, or ``unsaid``; set beside the list, where bare
numbers need it), ``language``, ``tags`` (of TAGS), ``made`` (``hand``, or ``numbers``: the style is authored, its
plain numbers were drawn).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

HERE = Path(__file__).parent
MM = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "in": Fraction(254, 10), "ft": Fraction(3048, 10)}
HEAD = ("id", "kind", "unit", "language", "tags", "made")
LANGUAGES = {"en-US", "en-GB", "de", "fr", "es", "it", "nl"}
TAGS = {
    "money", "multipliers", "glued", "ends", "materials", "yard", "table", "csv", "tabs", "spaced", "mail", "several",
    "ditto", "phone", "drawing", "rack", "own", "plain", "plausibility", "pdf",
}  # fmt: skip
QUESTIONS = {
    "money", "quantity", "sets", "unit", "length", "section", "ends", "material", "letters", "columns", "ditto",
    "price", "part",
}  # fmt: skip
FIELDS = {
    "material", "ends", "mark", "assembly", "note", "price", "source", "section", "sets", "unit", "currency",
    "discount",
}  # fmt: skip


class MalformedError(ValueError):
    """A list of the corpus that doesn't keep the format, with its file and line."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Length:
    """A length as written, and the same in mm, exactly."""

    text: str
    mm: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """One thing a line says; ``what`` is part, ask, aside, head or also."""

    what: str
    text: str = ""
    quantity: int | None = None
    section: str = ""
    length: Length | None = None
    fields: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """A line of a list with its reading, and other readings of the whole line that are fine."""

    number: int
    text: str
    readings: tuple[Reading, ...]
    alternatives: tuple[Reading, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class PastedList:
    """One list: ``text`` is what is pasted."""

    id: str
    kind: str
    unit: str
    language: str
    tags: tuple[str, ...]
    made: str
    text: str
    lines: tuple[Line, ...]


def load(folder: Path = HERE) -> tuple[PastedList, ...]:
    """Every list of the corpus, by path."""
    return tuple(parse(path.read_text(encoding="utf-8"), path.stem) for path in sorted(folder.rglob("*.txt")))


def parse(text: str, name: str) -> PastedList:
    """One list of its file's text; refuses what isn't the format."""
    head_text, mark, body = text.partition("\n---\n")
    require(mark, name, 1, "a head, then ---")
    head = dict(pair.split(": ", 1) for pair in head_text.splitlines() if ": " in pair)
    require(
        tuple(head) == HEAD and len(head_text.splitlines()) == len(HEAD), name, 1, f"a head of {HEAD}, in this order"
    )
    tags = tuple(head["tags"].split())
    require(head["id"] == name, name, 1, "an id that is the file's name")
    require(head["kind"] in {"parts", "offers"}, name, 2, "kind parts or offers")
    require(head["unit"] in {*MM, "unsaid"}, name, 3, f"a unit of {sorted(MM)} or unsaid")
    require(head["language"] in LANGUAGES, name, 4, f"a language of {sorted(LANGUAGES)}")
    require(tags and set(tags) <= TAGS, name, 5, f"tags of {sorted(TAGS)}")
    require(head["made"] in {"hand", "numbers"}, name, 6, "made hand or numbers")
    rows = body.removesuffix("\n").split("\n")
    pasted = "\n".join(row[2:] for row in rows if row.startswith(">"))
    head["text"] = pasted
    return PastedList(**{**head, "tags": tags, "lines": tuple(lines_of(rows, name))})


def lines_of(rows: list[str], name: str) -> Iterator[Line]:
    """Lines with their readings; empty ones are passed over."""
    first = len(HEAD) + 2
    starts = [index for index, row in enumerate(rows) if row.startswith(">")]
    require(starts and starts[0] == 0, name, first, "a line with > first")
    for number, (start, end) in enumerate(zip(starts, [*starts[1:], len(rows)], strict=True), 1):
        text, below, at = rows[start][2:], rows[start + 1 : end], first + start
        require(rows[start] == ">" or rows[start].startswith("> "), name, at, "a space after >")
        require(all(row.startswith(("= ", "or ")) for row in below), name, at, "= or `or` below a line")
        readings = tuple(reading(row[2:], name, at) for row in below if row.startswith("= "))
        others = tuple(reading(row[3:], name, at) for row in below if row.startswith("or "))
        require(
            bool(text.strip()) == bool(readings), name, at, "a reading for each line that isn't empty, none for others"
        )
        require(readings or not others, name, at, "= before `or`")
        if readings:
            yield Line(number=number, text=text, readings=readings, alternatives=others)


def reading(text: str, name: str, at: int) -> Reading:
    """One reading."""
    first, *rest = (cell.strip() for cell in text.split(" | "))
    word, _, tail = first.partition(" ")
    if first in {"aside", "head"} or word in {"ask", "also"}:
        require(word != "ask" or tail in QUESTIONS, name, at, f"a question of {sorted(QUESTIONS)}")
        require(word != "also" or tail, name, at, "what is also needed")
        return Reading(what=word, text=tail, fields=fields(rest, name, at))
    require(
        first == "any" or (first.isdecimal() and int(first) > 0), name, at, f"a quantity or a known word, not {first!r}"
    )
    require(len(rest) >= 2 and rest[0], name, at, "QUANTITY | SECTION | LENGTH")
    quantity = None if first == "any" else int(first)
    made = length(rest[1], name, at)
    return Reading(what="part", quantity=quantity, section=rest[0], length=made, fields=fields(rest[2:], name, at))


def fields(cells: list[str], name: str, at: int) -> tuple[tuple[str, str], ...]:
    """The named fields of a reading, each at most once."""
    pairs = [cell.partition(": ") for cell in cells]
    known = all(key in FIELDS and mark and value for key, mark, value in pairs)
    require(
        known and len({key for key, _, _ in pairs}) == len(pairs), name, at, f"fields of {sorted(FIELDS)}, each once"
    )
    return tuple((key, value) for key, _, value in pairs)


def length(text: str, name: str, at: int) -> Length:
    """An exact length: numbers and fractions, then their unit; feet may be followed by inches."""
    total, part, units = Fraction(0), None, []
    for word in text.split():
        if word in MM:
            require(part is not None, name, at, f"a number before {word}")
            total, part, units = total + (part or 0) * MM[word], None, [*units, word]
        else:
            try:
                part = (part or 0) + Fraction(word)
            except (ValueError, ZeroDivisionError):
                require(None, name, at, f"a length, not {text!r}")
    require(
        part is None and units and (len(units) == 1 or units == ["ft", "in"]),
        name,
        at,
        f"a length with its unit, not {text!r}",
    )
    require(total > 0, name, at, "a length above nothing")
    return Length(text=text, mm=total)


def require(holds: object, name: str, at: int, wanted: str) -> None:
    """Refuse a list, naming its line and what belongs there."""
    if not holds:
        raise MalformedError(f"{name}, line {at}: write {wanted}")
