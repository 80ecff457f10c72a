"""How the reader does on the corpus: `python -m tests.reading_corpus.score`, with `--lines` each wrong line too.

Each line is one of

exact
    what the reading says, or one of the readings that are fine too; a question where a careful person would ask
asked
    a question where the reading is a part or something beside it: needless
wrong
    parts where the reading has others: silently wrong
invented
    parts where the reading has none
lost
    no part and no question where the reading has parts or a question
"""

import sys
from collections import Counter
from collections.abc import Iterable
from fractions import Fraction

from cutting.question.job import Source
from cutting.question.lengths import Unit
from shared.reading import Kind, OfferRead, PartRead, read_offers, read_parts
from shared.sections import understand
from tests.reading_corpus import Line, PastedList, Reading, load

VERDICTS = ("exact", "asked", "wrong", "invented", "lost")
Piece = tuple[int | None, str, Fraction]


def verdicts(one: PastedList) -> list[tuple[Line, str, str]]:
    """Each line of a list with its verdict and what the reader made of it."""
    unit = None if one.unit == "unsaid" else Unit[one.unit.upper()]
    if one.kind == "parts":
        parts, _ = read_parts(one.text, unit=unit)
        lines, made = parts.lines, [(part.line, piece(part)) for part in parts.parts]
    else:
        offers, _ = read_offers(one.text, kind=Source.STICKS, unit=unit)
        lines, made = offers.lines, [(offer.line, piece(offer)) for offer in offers.offers]
    kinds = {line.line: line.kind for line in lines}
    result = []
    for line in one.lines:
        pieces = [each for at, each in made if at == line.number]
        kind = kinds.get(line.number, Kind.BLANK)
        result.append((line, verdict(line, pieces, kind), f"{kind} {said(pieces)}"))
    return result


def piece(read: PartRead | OfferRead) -> Piece:
    """The quantity, section and length of what was read."""
    quantity = read.quantity if isinstance(read, PartRead) else read.available
    return quantity, read.section.name, read.length


def wanted(readings: Iterable[Reading]) -> list[Piece]:
    """The parts of a line's reading, sections named as the project names them."""
    found = []
    for reading in readings:
        if reading.what == "part":
            assert reading.length is not None
            found.append((reading.quantity, understand(reading.section).name, reading.length.mm))
    return found


def verdict(line: Line, pieces: list[Piece], kind: Kind) -> str:
    """What the reader's work on a line amounts to; `pieces` are the parts or offers it made of it."""
    fine = [line.readings, *((other,) for other in line.alternatives)]
    if kind is Kind.QUESTION:
        return "exact" if any(reading.what == "ask" for way in fine for reading in way) else "asked"
    expected = [wanted(way) for way in fine if all(reading.what != "ask" for reading in way)]
    if any(Counter(pieces) == Counter(way) for way in expected):
        return "exact"
    if not pieces:
        return "lost"
    return "wrong" if any(expected) else "invented"


def said(pieces: Iterable[Piece]) -> str:
    """Pieces as one line of text."""
    return "; ".join(f"{quantity} | {section} | {float(length):g} mm" for quantity, section, length in pieces)


def main() -> None:
    """Print the table by kind of list and by how it was made, and the lines that aren't exact where asked for."""
    counts: dict[str, Counter[str]] = {}
    for one in load():
        for line, word, made in verdicts(one):
            for name in ("all", one.made, *one.tags):
                counts.setdefault(name, Counter())[word] += 1
            if "--lines" in sys.argv and word != "exact":
                sys.stdout.write(f"{word:9}{one.id}, line {line.number}: {line.text!r}\n{'':9}read as {made}\n")
    for name, count in sorted(counts.items()):
        row = "".join(f"{word:>10} {count[word]:5}" for word in VERDICTS)
        sys.stdout.write(f"{name:13}{count.total():6}{row}\n")


if __name__ == "__main__":
    main()
