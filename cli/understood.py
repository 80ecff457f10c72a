"""What `tallystick plan` understood of pasted lists: counts by section, what was settled, what was set aside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from cli.exits import printable

if TYPE_CHECKING:
    from cli.lists import Understood
    from shared.reading import LineRead, PartRead

__all__ = ["understood_text"]

_MOST_SHOWN: Final = 12
_INDENT: Final = "        "


def understood_text(read: Understood) -> str:
    """Return what was understood, to stand below a plan.

    Parameters
    ----------
    read : Understood
        The lists.
    """
    lines = ["", "Understood", *_counts(read.parts.parts)]
    for name, each in read.lines:
        block = [*_settled(each), *_aside(each)]
        if block:
            lines += ["", f"  {printable(name)}", *block]
    return "\n".join([*lines, ""])


def _counts(parts: Sequence[PartRead]) -> Iterator[str]:
    """Yield so many pieces and so much length of each section."""
    from cutting.question.lengths import Unit, show_length  # noqa: PLC0415
    from shared.wording.plurals import many  # noqa: PLC0415

    by_section: dict[str, list[PartRead]] = {}
    for part in parts:
        by_section.setdefault(part.section.label, []).append(part)
    for section, those in by_section.items():
        pieces = sum(part.quantity for part in those)
        total = sum((part.quantity * part.length for part in those), Fraction(0))
        unit = Unit.IN if those[0].unit in {Unit.IN, Unit.FT} else Unit.MM
        yield f"  {section}: {many(pieces, 'piece')} in {many(len(those), 'line')}, {show_length(total, unit)} in all"


def _settled(lines: Sequence[LineRead]) -> Iterator[str]:
    """Yield the lines whose reading took more than what they say."""
    for line in lines:
        if line.notes and not line.set_aside:
            yield f"{line.line:>6}  {printable(line.text.strip())}"
            yield from (f"{_INDENT}= {printable(said)}" for said in line.understood)
            yield from (f"{_INDENT}. {printable(note)}" for note in line.notes)


def _aside(lines: Sequence[LineRead]) -> Iterator[str]:
    """Yield what was set aside: all lines with a digit, and the first of the others."""
    aside = [line for line in lines if line.set_aside]
    plain = [line for line in aside if not any(map(str.isdigit, line.text))]
    hidden = {line.line for line in plain[_MOST_SHOWN:]}
    shown = [line for line in aside if line.line not in hidden]
    if shown:
        yield "    Set aside, not planned; (a part) written behind a line brings it back:"
    for line in shown:
        said = "; ".join(line.understood) or line.kind.value
        yield f"{line.line:>6}  {printable(line.text.strip())}  ({printable(said)})"
    if hidden:
        yield f"{_INDENT}and {len(hidden)} more without a number"
