"""What the rack's routes take and answer."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from cutting.question.lengths import Unit, show_length
from shared.work.rack.bars import Bar, BarState, Origin, bar_name
from shared.work.rack.measures import unit_of_bar
from shared.work.saw.work import Entry, Flag, Outcome

__all__ = [
    "BarBody",
    "BarFields",
    "ChangesBody",
    "CountBody",
    "CountLine",
    "EntryBody",
    "FlagBody",
    "HistoryBody",
    "NewBarLine",
    "NewBars",
    "OutcomeBody",
    "RackBody",
    "SaidBody",
    "UndoBody",
    "UnitName",
    "Who",
    "Words",
    "bar_body",
    "entry_body",
    "flag_body",
    "outcome_body",
    "unit_named",
]

MOST_BARS = 1000
_LENGTH = "With its unit, exact."


def _plain(text: str) -> str:
    if not text.isprintable():
        raise ValueError("write it in one line, without control characters")
    return text.strip()


Words = Annotated[str, Field(max_length=200), AfterValidator(_plain)]
Who = Annotated[
    str, Field(max_length=60, description="Who, or which device; written beside it."), AfterValidator(_plain)
]
UnitName = Literal["in", "ft", "mm", "cm", "m"]
Stated = Annotated[UnitName | None, Field(description="What a bare number means; without it each length has its unit.")]
LengthText = Annotated[str, Field(min_length=1, max_length=60, examples=["41 3/8 in"])]


class _Body(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class BarBody(_Body):
    """One piece of steel."""

    number: int = Field(description="Its label number, never used again.", examples=[17])
    name: str = Field(description="The number as it stands on the label.", examples=["D17"])
    section: str = Field(examples=["SHS 1-1/2x1-1/2x1/8"])
    material: str = Field(description="Grade and finish; empty for plain.")
    length: str = Field(description=_LENGTH, examples=["41 3/8 in"])
    usable: str | None = Field(description="What can be counted on of a stick that nobody has measured.")
    trims: tuple[str, str] | None = Field(description="To take off its ends before use; null for what the saw takes.")
    place: str
    remark: str
    heat: str = Field(description="Heat number; empty where not known.")
    origin: Origin
    parent: int | None = Field(description="The bar it was cut from.")
    state: BarState
    work: str | None = Field(description="The work that it is reserved or was bought for.")
    made: datetime
    version: int


class RackBody(_Body):
    """Pieces of steel, by section, longest first."""

    bars: tuple[BarBody, ...]


class EntryBody(_Body):
    """One line of the shop's journal."""

    id: int
    at: datetime
    who: str
    kind: str
    words: str
    work: str | None
    bars: tuple[str, ...] = Field(description="Names of the bars it touched.")
    undoes: int | None
    undone_by: int | None


class HistoryBody(_Body):
    """The journal, newest first."""

    entries: tuple[EntryBody, ...]


class FlagBody(_Body):
    """A stick that no longer suffices, or that cuts what nobody needs: time to plan anew."""

    work: str
    slot: int
    layout: int
    stick: int = Field(description="Which of those sawn alike, from 1.")
    bar: str
    words: str


class OutcomeBody(_Body):
    """What a change did."""

    entry: int = Field(description="The journal's entry, to be undone by.")
    words: str
    flags: tuple[FlagBody, ...]
    bars: tuple[str, ...] = Field(description="Names of pieces that are new in the books and want a label.")
    repeated: bool = Field(description="The same key came before; this is what was answered then.")


class SaidBody(_Body):
    """Who says so, and why."""

    who: Who = ""
    words: Words = Field(default="", description="Why, where there is more to say.")


class UndoBody(_Body):
    """Which entry to take back."""

    entry: int = Field(ge=1, lt=2**31)
    who: Who = ""


class BarFields(_Body):
    """What is written of a piece; left out, it stays as it is."""

    section: Words | None = None
    material: Words | None = None
    length: LengthText | None = None
    trims: tuple[LengthText, LengthText] | None = Field(
        default=None, description='To take off its ends before use; ["0", "0"] where both are sawn.'
    )
    place: Words | None = None
    remark: Words | None = None
    heat: Words | None = None


class ChangesBody(BarFields):
    """What to put right about a piece."""

    who: Who = ""
    words: Words = ""
    unit: Stated = None
    version: int | None = Field(default=None, description="The version it rests on; refused where there is a newer.")


class NewBarLine(_Body):
    """Pieces to be put on the rack."""

    section: Annotated[str, Field(min_length=1, max_length=100)]
    material: Words = ""
    length: LengthText
    quantity: int = Field(default=1, ge=1, le=MOST_BARS)
    trims: tuple[LengthText, LengthText] | None = None
    place: Words = ""
    remark: Words = ""
    heat: Words = ""


class NewBars(_Body):
    """Pieces to be put on the rack, each kind in a line."""

    who: Who = ""
    unit: Stated = None
    bars: Annotated[list[NewBarLine], Field(min_length=1, max_length=MOST_BARS)]


class CountLine(BarFields):
    """One line of a stock-take: a piece of the books by its number, or one that isn't in them, without."""

    number: int | None = Field(default=None, ge=1)
    found: bool = True


class CountBody(_Body):
    """A stock-take."""

    who: Who = ""
    unit: Stated = None
    lines: Annotated[list[CountLine], Field(min_length=1, max_length=10 * MOST_BARS)]


def bar_body(bar: Bar) -> BarBody:
    """Return a bar as the routes show it."""
    unit = unit_of_bar(bar, Unit.MM)
    return BarBody(
        number=bar.number,
        name=bar.name,
        section=bar.section.name,
        material=bar.section.material,
        length=show_length(bar.length, unit),
        usable=None if bar.usable is None else show_length(bar.usable, unit),
        trims=None if bar.trims is None else (show_length(bar.trims[0], unit), show_length(bar.trims[1], unit)),
        place=bar.place,
        remark=bar.remark,
        heat=bar.heat,
        origin=bar.origin,
        parent=bar.parent,
        state=bar.state,
        work=bar.work,
        made=bar.made,
        version=bar.version,
    )


def entry_body(entry: Entry) -> EntryBody:
    """Return a line of the journal."""
    return EntryBody(
        id=entry.id,
        at=entry.at,
        who=entry.who,
        kind=entry.kind,
        words=entry.words,
        work=entry.work,
        bars=tuple(bar_name(number) for number in entry.bars),
        undoes=entry.undoes,
        undone_by=entry.undone_by,
    )


def outcome_body(outcome: Outcome) -> OutcomeBody:
    """Return what a change did."""
    return OutcomeBody(
        entry=outcome.entry,
        words=outcome.words,
        flags=tuple(map(flag_body, outcome.flags)),
        bars=tuple(bar_name(number) for number in outcome.bars),
        repeated=outcome.repeated,
    )


def flag_body(flag: Flag) -> FlagBody:
    """Return a stick that no longer fits."""
    return FlagBody(
        work=flag.work,
        slot=flag.slot,
        layout=flag.number,
        stick=flag.copy,
        bar=bar_name(flag.bar),
        words=flag.words,
    )


def unit_named(name: str | None) -> Unit | None:
    """Return the unit of a name."""
    return None if name is None else Unit(name)
