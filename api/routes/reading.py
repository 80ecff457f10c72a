"""Read lists as people paste them: the echo as JSON, and the job they make."""

from __future__ import annotations

import json
from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Body, Query, Request
from pydantic import BaseModel, ConfigDict, Field, WithJsonSchema

from api.routes.common import Served, problems
from api.routes.examples import LISTS_JSON, PASTED
from api.service.problems import Kind
from api.sheet.answering import Answer
from api.sheet.form import LISTS, SheetForm, Upload
from api.sheet.reading import read_sheet_task
from api.sheet.understood import SheetRead
from api.sheet.yards import MOST_YARDS
from shared.reading import LineRead, Question

__all__ = ["router"]

router = APIRouter(prefix="/v1/read", tags=["reading"])

_LONGEST: Final = 4_000_000
_SHORT: Final = 200
_MOST_ANSWERS: Final = 200
_JOB: Final = {"anyOf": [{"$ref": "#/components/schemas/JobFile"}, {"type": "null"}]}
_Text = Annotated[str, Field(max_length=_LONGEST)]
_Short = Annotated[str, Field(max_length=_SHORT)]


class YardBody(BaseModel):
    """What is said about one yard; amounts are of the lists' currency."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: _Short = Field(description="As a line above its lines in the lists names it.", examples=["Harbour Steel"])
    delivery: _Short = Field(default="", description="What delivering an order costs; empty where it doesn't.")
    free_from: _Short = Field(default="", description="Amount of material from which delivery costs nothing.")
    collecting: _Short = Field(default="", description="What a trip to fetch an order costs.")
    no_collecting: bool = Field(default=False, description="Nothing can be fetched there.")
    minimum: _Short = Field(default="", description="Amount of material below which it takes no order.")
    tax: _Short = Field(default="", description="A rate in percent.", examples=["8.25"])
    tax_on: tuple[Literal["material", "cuts", "delivery"], ...] = Field(
        default=("material", "cuts", "delivery"), description="What the tax applies to."
    )
    cut_charge: _Short = Field(default="", description="What one cut costs; empty where it doesn't cut.")
    free_cuts: _Short = Field(default="", description="Cuts of one order that cost nothing.")
    allowance: _Short = Field(default="", description="Steel to allow at each of its cuts.", examples=["1/4"])
    reserves: bool = Field(default=False, description="Its rack pieces may be reserved.")

    def as_kept(self) -> dict[str, str]:
        """Return it as a sheet keeps it."""
        table = {name: value for name, value in self.model_dump(exclude={"tax_on"}).items() if isinstance(value, str)}
        ticks = {"no_collecting": self.no_collecting, "reserves": self.reserves}
        ticks |= {f"on_{each}": each in self.tax_on for each in ("material", "cuts", "delivery")}
        return table | {name: "on" if tick else "" for name, tick in ticks.items()}


class AnswerBody(BaseModel):
    """The answer to the first question about one line, or about all lines that ask the same."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    list: Literal["parts", "sticks", "rack", "own"]
    line: int = Field(ge=1, description="The line that asks.")
    reading: _Short = Field(description="One of its readings, or `not a part`.", examples=["1500 mm"])
    alike: bool = Field(default=False, description="Whether it holds for all lines of the list that ask the same.")

    def as_answer(self) -> Answer:
        """Return it as the sheet takes it."""
        return Answer(field=self.list, line=self.line, was=None, reading=self.reading, alike=self.alike)


class ListsBody(BaseModel):
    """Lists as pasted, and what is said about saw and money; lengths may carry their unit."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    title: _Short = ""
    parts: _Text = Field(default="", description="What is needed, a line for each part.")
    sticks: _Text = Field(default="", description="Full sticks with prices.")
    rack: _Text = Field(default="", description="Pieces on a yard's rack.")
    own: _Text = Field(default="", description="One's own drops.")
    unit: Literal["", "in", "ft", "mm", "cm", "m"] = Field(
        default="", description="What a bare number means; empty to let the lists tell."
    )
    currency: _Short = Field(default="USD", description="ISO 4217 code, where the lists don't say it.")
    kerf: _Short = Field(default="", description="What one cut takes; empty for what the kind of saw usually takes.")
    saw: Literal["abrasive", "dry", "cold", "band", "portable", "laser"] = "dry"
    end_trim: _Short = Field(default="", description="Taken off one end of each stick, the cut included.")
    both_ends: bool = Field(default=False, description="The trim comes off the other end too.")
    hold: _Short = Field(default="", description="The shortest piece the saw can hold.")
    keep_from: _Short = Field(default="", description="The shortest drop worth a label.")
    longest: _Short = Field(default="", description="The longest piece that can be carried.", examples=["13 ft"])
    load: _Short = Field(default="", description="The heaviest load of one trip.", examples=["900 lb"])
    kind_cost: _Short = Field(default="", description="What each kind of section bought beyond the first costs.")
    layout_cost: _Short = Field(default="", description="What each layout beyond the first costs: a set-up of the saw.")
    idle: bool = Field(
        default=True, description="Whether sticks that no part is cut from may be bought where that saves money."
    )
    leftover: _Short = Field(default="", description="What a length of a leftover is worth.", examples=["0.60/ft"])
    leftover_from: _Short = Field(default="", description="The shortest leftover that is worth that.")
    yards: tuple[YardBody, ...] = Field(
        default=(), max_length=MOST_YARDS, description="The yards' terms; a yard that lines only name has none."
    )
    answers: tuple[AnswerBody, ...] = Field(
        default=(), max_length=_MOST_ANSWERS, description="Answers to what an earlier reading of these lists asked."
    )


class ChoiceBody(BaseModel):
    """One reading of a line that has several."""

    reading: str
    line: str = Field(description="The whole line rewritten so that it has this reading only.")


class QuestionBody(BaseModel):
    """Something that is open about a line."""

    message: str = Field(description="What is open and what to write instead.")
    position: int | None = Field(description="Index into the line where a caret helps.")
    choices: tuple[ChoiceBody, ...]
    alike: str = Field(description="What is asked, without its numbers: the same for lines that ask the same.")


class TakenBody(BaseModel):
    """A piece of a line."""

    start: int = Field(description="Where it begins, in characters from 0.")
    end: int
    taken_for: str = Field(description="Quantity, section, length, note, set aside and so on.")


class LineBody(BaseModel):
    """One line as understood."""

    line: int = Field(description="From 1.")
    text: str
    kind: str = Field(description="What it is: part, offer, also needed, remark, question and so on.")
    understood: tuple[str, ...]
    notes: tuple[str, ...]
    problems: tuple[QuestionBody, ...]
    as_part: str = Field(description="The line rewritten so that it counts, where it was set aside; else empty.")
    not_a_part: str = Field(description="The line rewritten so that it is set aside.")
    account: tuple[TakenBody, ...] = Field(description="What each piece of the line was taken for.")


class FaultBody(BaseModel):
    """Something wrong with a value that is no list."""

    field: str
    message: str


class EchoBody(BaseModel):
    """Lists as understood."""

    parts: tuple[LineBody, ...]
    sticks: tuple[LineBody, ...]
    rack: tuple[LineBody, ...]
    own: tuple[LineBody, ...]
    problems: dict[str, tuple[QuestionBody, ...]] = Field(description="What concerns a list as a whole, by list.")
    faults: tuple[FaultBody, ...] = Field(description="What is wrong with saw and money.")
    yards_without_terms: tuple[str, ...] = Field(description="Yards that lines name and nothing else is said about.")
    without_stick: tuple[str, ...] = Field(description="Sections of parts that no line offers.")
    also: tuple[str, ...] = Field(description="What is needed beside bar stock.")
    sum: str = Field(description="So many pieces, sections, length and weight.")
    unit: str = Field(description="What a bare number was taken to mean.")
    job: Annotated[dict[str, Any] | None, WithJsonSchema(_JOB)] = Field(
        description="The job file these lists make; null while something is open."
    )


_RESPONSES: Final = problems(
    Kind.BAD_REQUEST, Kind.INVALID_PARAMETERS, Kind.TOO_LARGE, Kind.TOO_HARD_TO_READ, Kind.BUSY
)
_LIST_BODY: Final = {
    "required": True,
    "description": "The list: text, CSV, xlsx or ods, in any common encoding.",
    "content": {
        "text/plain": {"schema": {"type": "string"}, "examples": {"pasted": PASTED}},
        "application/octet-stream": {"schema": {"type": "string", "format": "binary"}},
    },
}


@router.post("", summary="Read pasted lists", response_model=EchoBody, responses=_RESPONSES)
async def read_lists(
    service: Served, lists: Annotated[ListsBody, Body(openapi_examples={"stand": LISTS_JSON})]
) -> dict[str, Any]:
    """Say how each line was understood, and what job file they make together.

    Post the `job` of the answer to `/v1/jobs` to have it solved.
    """
    values = lists.model_dump(exclude={"end_trim", "both_ends", "idle", "yards", "answers"})
    yards = [yard.as_kept() for yard in lists.yards]
    ticks = {"both_ends": "on" if lists.both_ends else "", "no_idle": "" if lists.idle else "on"}
    form = SheetForm.of({**values, **ticks, "trim": lists.end_trim, "yards": yards})
    answers = tuple(answer.as_answer() for answer in lists.answers)
    return _echo(await service.side(read_sheet_task, form, (), (), answers))


@router.post(
    "/{name}",
    summary="Read one list from a file",
    response_model=EchoBody,
    responses=_RESPONSES,
    openapi_extra={"requestBody": _LIST_BODY},
)
async def read_list(
    request: Request,
    service: Served,
    name: Literal["parts", "sticks", "rack", "own"],
    unit: Annotated[Literal["", "in", "ft", "mm", "cm", "m"], Query(description="What a bare number means.")] = "",
) -> dict[str, Any]:
    """Say how each line or row of a file was understood."""
    upload = Upload(field=name, name="", data=await request.body())
    return _echo(await service.side(read_sheet_task, SheetForm(unit=unit), (upload,)))


def _echo(read: SheetRead) -> dict[str, Any]:
    return {
        **{name: [_line(line) for line in read.lines[name]] for name in LISTS},
        "problems": {name: [_question(question) for question in read.questions[name]] for name in LISTS},
        "faults": [{"field": fault.field, "message": fault.message} for fault in read.faults],
        "yards_without_terms": read.named,
        "without_stick": [one.section for one in read.missing],
        "also": read.also,
        "sum": read.sum,
        "unit": read.unit.value,
        "job": json.loads(read.document) if read.document else None,
    }


def _line(line: LineRead) -> dict[str, Any]:
    return {
        "line": line.line,
        "text": line.text,
        "kind": line.kind.value,
        "understood": line.understood,
        "notes": line.notes,
        "problems": [_question(question) for question in line.questions],
        "as_part": line.brought_back,
        "not_a_part": line.put_aside,
        "account": [{"start": each.start, "end": each.end, "taken_for": each.what.value} for each in line.account],
    }


def _question(question: Question) -> dict[str, Any]:
    return {
        "message": question.message,
        "position": question.position,
        "choices": [
            {"reading": choice.reading, "line": choice.line, "makes": choice.makes} for choice in question.choices
        ],
        "alike": question.alike,
    }
