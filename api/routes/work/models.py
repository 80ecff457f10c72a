"""What the routes of a work in hand take and answer."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from api.routes.rack.models import BarBody, FlagBody, LengthText, OutcomeBody, Who, Words, bar_body, flag_body
from api.service.problems import ProblemBody
from cutting.question.lengths import show_length
from shared.work.rack.bars import bar_name
from shared.work.saw.tally import PartTally, tally_of
from shared.work.saw.work import Flag, Made, MadeState, Revision, Slot, SlotState, WorkBook, WorkState, revision_mark

__all__ = [
    "AnswersBody",
    "BeginBody",
    "DropBody",
    "EventAnswer",
    "ReceiveBody",
    "SurplusBody",
    "WorkBody",
    "WorkList",
    "WorkSummary",
    "summary_of",
    "work_body",
]


class _Body(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class WorkSummary(_Body):
    """A plan taken in hand, and how far it is."""

    id: str = Field(description="The job's.")
    title: str
    state: WorkState
    revision: str = Field(description="In force, as a letter.", examples=["A"])
    parts_made: int = Field(description="Good parts that are asked for.")
    parts_asked: int
    sticks_sawn: int
    sticks: int
    version: int = Field(description="Counts every change of anything that belongs to it.")
    made: datetime = Field(description="When it was taken in hand.")


class WorkList(_Body):
    """Works, those in hand first, newest first."""

    works: tuple[WorkSummary, ...]


class SlotPart(_Body):
    """One part on a stick."""

    position: int
    mark: str
    length: str
    end: str = Field(description="Running dimension of its far end, from the trimmed end.")
    sawn: bool


class SlotBody(_Body):
    """One stick to be sawn."""

    id: int
    layout: int = Field(description="Number of the layout as printed; one that is planned anew gets a new number.")
    stick: int = Field(description="Which of those sawn alike, from 1.")
    revision: str
    state: SlotState
    bar: str = Field(description="The steel it is sawn from.")
    sawn: int = Field(description="Parts sawn so far.")
    parts: tuple[SlotPart, ...]


class PartBody(_Body):
    """How far one part is, in pieces."""

    mark: str
    section: str
    material: str
    length: str
    asked: int
    good: int
    planned: int = Field(description="Still to be sawn from sticks that have a layout.")
    missing: int = Field(description="On no layout: to be planned anew.")
    spoilt: int
    surplus: int = Field(description="Made and no longer asked for.")


class MadeBody(_Body):
    """One part that was sawn."""

    id: int
    mark: str
    slot: int
    position: int
    bar: str
    heat: str
    length: str = Field(description="Along the centre line.")
    state: MadeState
    became: str | None = Field(description="The bar it went to the rack as.")


class RevisionBody(_Body):
    """One revision."""

    mark: str
    reason: str
    made: datetime


class WorkBody(WorkSummary):
    """Everything about a work."""

    kerf: str = Field(description="What the blade takes now.")
    keep_from: str = Field(description="The shortest drop that goes back to the rack.")
    parts: tuple[PartBody, ...]
    slots: tuple[SlotBody, ...]
    bars: tuple[BarBody, ...]
    made_parts: tuple[MadeBody, ...]
    revisions: tuple[RevisionBody, ...]
    flags: tuple[FlagBody, ...] = Field(description="Sticks that no longer fit; plan anew where there are any.")


class BeginBody(_Body):
    """Which plan to take in hand."""

    job: str = Field(min_length=1, max_length=32, description="Name of a job whose search is over.")
    who: Who = ""


class ReceivedLine(_Body):
    """What became of one expected stick."""

    bar: int = Field(ge=1, lt=2**31, description="Its number.")
    came: bool = True
    length: LengthText | None = Field(default=None, description="As measured; a bare number is in the job's unit.")
    heat: Annotated[Words, Field(max_length=60)] = ""
    cancel: bool = Field(default=False, description="It will never come.")


class ReceiveBody(_Body):
    """What came."""

    who: Who = ""
    lines: Annotated[list[ReceivedLine], Field(min_length=1, max_length=5_000)]


class SurplusBody(_Body):
    """Parts cut for nothing that go to the rack."""

    who: Who = ""
    made: Annotated[list[int], Field(min_length=1, max_length=5_000, description="Their ids in made_parts.")]


class DropBody(_Body):
    """How to give a work up."""

    who: Who = ""
    expected: Literal["cancel", "keep"] = Field(
        default="cancel", description="Sticks that haven't come: cancelled, or still to come, for the rack then."
    )


class EventAnswer(_Body):
    """What became of one event."""

    key: str
    done: bool
    entry: int | None
    words: str
    flags: tuple[FlagBody, ...]
    bars: tuple[str, ...] = Field(description="Names of drops that want a label.")
    repeated: bool = Field(description="It had been told before.")
    problem: ProblemBody | None = Field(description="Why it can't be; final for this event.")


class AnswersBody(_Body):
    """What became of each event, in order."""

    version: int = Field(description="Of the work now.")
    answers: tuple[EventAnswer, ...]


class RevisedBody(_Body):
    """What a new parts list changes."""

    changes: tuple[str, ...] = Field(description="In words.")
    outcome: OutcomeBody | None = Field(description="Null where it was only looked at.")


def summary_of(book: WorkBook) -> WorkSummary:
    """Return a work in a line."""
    return WorkSummary(**_summary(book))


def _summary(book: WorkBook) -> dict[str, Any]:
    tally = tally_of(book)
    work = book.work
    return {
        "id": work.id,
        "title": work.title,
        "state": work.state,
        "revision": work.mark,
        "parts_made": tally.good,
        "parts_asked": tally.asked,
        "sticks_sawn": tally.sawn,
        "sticks": tally.sticks,
        "version": work.version,
        "made": work.made,
    }


def work_body(book: WorkBook, flags: tuple[Flag, ...]) -> WorkBody:
    """Return everything about a work."""
    unit = book.work.job.unit
    return WorkBody(
        **_summary(book),
        kerf=show_length(book.work.kerf, unit),
        keep_from=show_length(book.work.keep_from, unit),
        parts=tuple(_part(book, each) for each in tally_of(book).parts),
        slots=tuple(_slot(book, slot) for slot in book.slots),
        bars=tuple(map(bar_body, book.bars)),
        made_parts=tuple(_made(book, each) for each in book.made),
        revisions=tuple(map(_revision, book.revisions)),
        flags=tuple(map(flag_body, flags)),
    )


def _part(book: WorkBook, tally: PartTally) -> PartBody:
    part = tally.part
    return PartBody(
        mark=part.mark,
        section=part.section.name,
        material=part.section.material,
        length=show_length(part.length, book.work.job.unit),
        asked=part.quantity,
        good=tally.good,
        planned=tally.planned,
        missing=tally.missing,
        spoilt=tally.spoilt,
        surplus=tally.surplus,
    )


def _slot(book: WorkBook, slot: Slot) -> SlotBody:
    unit = book.work.job.unit
    return SlotBody(
        id=slot.id,
        layout=slot.number,
        stick=slot.copy,
        revision=revision_mark(slot.revision),
        state=slot.state,
        bar=bar_name(slot.bar),
        sawn=slot.sawn,
        parts=tuple(
            SlotPart(
                position=position,
                mark=piece.mark,
                length=show_length(piece.length, unit),
                end=show_length(piece.end, unit),
                sawn=position <= slot.sawn,
            )
            for position, piece in enumerate(slot.cut.pieces, start=1)
        ),
    )


def _made(book: WorkBook, made: Made) -> MadeBody:
    return MadeBody(
        id=made.id,
        mark=made.mark,
        slot=made.slot,
        position=made.position,
        bar=bar_name(made.bar),
        heat=book.bar(made.bar).heat,
        length=show_length(made.length, book.work.job.unit),
        state=made.state,
        became=None if made.became is None else bar_name(made.became),
    )


def _revision(revision: Revision) -> RevisionBody:
    return RevisionBody(mark=revision.mark, reason=revision.reason, made=revision.made)
