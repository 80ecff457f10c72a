"""What the options of `tallystick rack` say of one piece, and what a list says of many."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import TYPE_CHECKING, Final

import typer

from cli.exits import Code, leave, leave_with_problems
from cli.files import name_of, read_bytes
from cli.shop import sure
from cutting.question.lengths import Unit
from cutting.question.problems import Problem

if TYPE_CHECKING:
    from shared.work.rack.bars import Bar, BarChanges, NewBar
    from shared.work.rack.fields import Fields

__all__ = ["Said", "changes_of", "listed", "new_of"]

_NAMES: Final = ("section", "material", "length", "first", "second", "place", "remark", "heat")


@dataclass(frozen=True, kw_only=True, slots=True)
class Said:
    """What the options say of one piece; None where they don't."""

    section: str | None = None
    material: str | None = None
    length: str | None = None
    first: str | None = None
    second: str | None = None
    place: str | None = None
    remark: str | None = None
    heat: str | None = None

    @property
    def anything(self) -> bool:
        """Whether they say anything at all."""
        return self != Said()


def new_of(said: Said, unit: Unit | None) -> NewBar:
    """Return the piece that the options state; ends the command with all that is wrong."""
    from shared.work.rack.bars import NewBar  # noqa: PLC0415 - keeps --help instant

    fields = _fields(said, unit, None)
    section, length, trims, texts = fields.section(), fields.length(), fields.trims(), fields.texts()
    _leave_where_wrong(fields)
    assert section is not None
    assert length is not None
    return NewBar(section=section, length=length, trims=trims, **texts)


def changes_of(said: Said, bar: Bar, unit: Unit | None) -> BarChanges:
    """Return what the options say differently of a piece; ends the command with all that is wrong."""
    if said.material is not None and said.section is None:
        said = replace(said, section=bar.section.name)
    fields = _fields(said, unit, bar)
    changes = fields.changes(bar)
    _leave_where_wrong(fields)
    return changes


def listed(source: str, unit: Unit | None, bars: Sequence[Bar], *, yes: bool) -> tuple[NewBar, ...]:
    """Read a list of pieces, show how it was understood, and ask; ends the command where anything is open."""
    from shared.reading import echo  # noqa: PLC0415
    from shared.work.rack.intake import say_new  # noqa: PLC0415
    from shared.work.rack.measures import usual_unit  # noqa: PLC0415
    from shared.work.rack.pieces import is_rack_list, read_pieces  # noqa: PLC0415

    data = read_bytes(source)
    if is_rack_list(data):
        leave(Code.INPUT, f"{name_of(source)} has labels of a rack: tallystick rack import reads it")
    known = tuple(dict.fromkeys(bar.section for bar in bars))
    pieces, questions = read_pieces(data, unit=unit, known=known)
    if questions:
        typer.echo("\n".join(echo(pieces.lines, questions)))
        leave_with_problems(name_of(source), [question.problem for question in questions])
    if not pieces.new:
        leave(Code.INPUT, f"{name_of(source)}: no pieces in it; write lines such as 2 x SHS 2x2x1/8 x 80 1/2 in")
    for new, alike in groupby(pieces.new):
        many = sum(1 for _ in alike)
        typer.echo(f"  {f'{many} x ' if many > 1 else ''}{say_new(new, usual_unit(bars))}")
    sure(f"Put {len(pieces.new)} on the rack?", yes=yes)
    return pieces.new


def _fields(said: Said, unit: Unit | None, bar: Bar | None) -> Fields:
    """Return the options as a row of the rack's list, which is read the same way."""
    from shared.work.rack.columns import Col  # noqa: PLC0415
    from shared.work.rack.fields import Fields  # noqa: PLC0415
    from shared.work.rack.rows import RackRow  # noqa: PLC0415

    columns = (Col.SECTION, Col.MATERIAL, Col.LENGTH, Col.FIRST, Col.SECOND, Col.PLACE, Col.REMARK, Col.HEAT)
    texts = {col: getattr(said, name) for col, name in zip(columns, _NAMES, strict=True)}
    cells = {col: " ".join(text.split()) for col, text in texts.items() if text is not None}
    return Fields(row=RackRow(line=0, cells=cells), units={}, unit=unit, bar=bar, shown="", problems=[])


def _leave_where_wrong(fields: Fields) -> None:
    """End the command with all that is wrong, each at its option."""
    if fields.problems:
        leave_with_problems("what was said", [_at_option(problem) for problem in fields.problems])


def _at_option(problem: Problem) -> Problem:
    column = problem.where.partition(", ")[2]
    return replace(problem, where=f"--{column.removesuffix(' number').replace(' ', '-')}")
