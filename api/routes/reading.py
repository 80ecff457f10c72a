"""Read lists as people paste them: the echo as JSON, and the job they make."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Collection
from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Body, Query, Request
from pydantic import BaseModel, ConfigDict, Field, WithJsonSchema, create_model

from api.routes.common import Served, problems
from api.routes.examples import LISTS_JSON, PASTED
from api.service.problems import Kind
from api.sheet.answering import Answer
from api.sheet.blanks import described
from api.sheet.form import SheetForm, Upload
from api.sheet.reading import read_sheet_task
from api.sheet.understood import SheetRead
from api.sheet.yards import MOST_YARDS, YardForm

__all__ = ["router"]

router = APIRouter(prefix="/v1/read", tags=["reading"])

_LONGEST: Final = 4_000_000
_SHORT: Final = 200
_MOST_ANSWERS: Final = 200
_JOB: Final = {"anyOf": [{"$ref": "#/components/schemas/JobFile"}, {"type": "null"}]}
_Text = Annotated[str, Field(max_length=_LONGEST)]
_Short = Annotated[str, Field(max_length=_SHORT)]


def _texts(form: type[YardForm | SheetForm], *root: str, but: Collection[str]) -> Any:
    """Return a model of the texts in the blanks of a form; each is described as the job file's field is."""
    usual = {each.name: each.default for each in dataclasses.fields(form)}
    texts = {
        name: (_Short, Field(default=usual[name], description=about, examples=examples or None))
        for name, (about, examples) in described(form, *root).items()
        if name not in but
    }
    return create_model("Texts", **texts)  # type: ignore[call-overload]  # names are known at run time only


_YardTexts = _texts(YardForm, "yards", but=("no_collecting", "reserves", "on_material", "on_cuts", "on_delivery"))
_SheetTexts = _texts(SheetForm, but=("trim", "no_idle"))


class YardBody(_YardTexts):  # type: ignore[misc, valid-type]  # its texts are known at run time only
    """What is said about one yard; amounts are of the lists' currency."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    no_collecting: bool = Field(default=False, description="Nothing can be fetched there.")
    tax_on: tuple[Literal["material", "cuts", "delivery"], ...] = Field(
        default=("material", "cuts", "delivery"), description="What the tax applies to."
    )
    reserves: bool = Field(default=False, description="Its rack pieces may be reserved.")

    def as_kept(self) -> dict[str, str]:
        """Return it as a sheet keeps it."""
        table = self.model_dump(exclude={"tax_on"})
        table |= {f"on_{each}": each in self.tax_on for each in ("material", "cuts", "delivery")}
        return {name: value if isinstance(value, str) else "on" if value else "" for name, value in table.items()}


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


class ListsBody(_SheetTexts):  # type: ignore[misc, valid-type]  # its texts are known at run time only
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
    saw: Literal["abrasive", "dry", "cold", "band", "portable", "laser"] = "dry"
    end_trim: _Short = Field(default="", description="Taken off one end of each stick, the cut included.")
    both_ends: bool = Field(default=False, description="The trim comes off the other end too.")
    idle: bool = Field(
        default=True, description="Whether sticks that no part is cut from may be bought where that saves money."
    )
    yards: tuple[YardBody, ...] = Field(
        default=(), max_length=MOST_YARDS, description="The yards' terms; a yard that lines only name has none."
    )
    answers: tuple[AnswerBody, ...] = Field(
        default=(), max_length=_MOST_ANSWERS, description="Answers to what an earlier reading of these lists asked."
    )


class _Read(BaseModel):
    """Something that was read: each field is the attribute of its name, or of the name it says."""

    model_config = ConfigDict(from_attributes=True)


class ChoiceBody(_Read):
    """One reading of a line that has several."""

    reading: str
    line: str = Field(description="The whole line rewritten so that it has this reading only.")
    makes: str = Field(description="The part or stick that the line then is; empty where something else stays open.")


class QuestionBody(_Read):
    """Something that is open about a line."""

    message: str = Field(description="What is open and what to write instead.")
    position: int | None = Field(description="Index into the line where a caret helps.")
    choices: tuple[ChoiceBody, ...]
    alike: str = Field(description="What is asked, without its numbers: the same for lines that ask the same.")


class TakenBody(_Read):
    """A piece of a line."""

    start: int = Field(description="Where it begins, in characters from 0.")
    end: int
    taken_for: str = Field(validation_alias="what", description="Quantity, section, length, note, set aside and so on.")


class LineBody(_Read):
    """One line as understood."""

    line: int = Field(description="From 1.")
    text: str
    kind: str = Field(description="What it is: part, offer, also needed, remark, question and so on.")
    understood: tuple[str, ...]
    notes: tuple[str, ...]
    problems: tuple[QuestionBody, ...] = Field(validation_alias="questions")
    as_part: str = Field(
        validation_alias="brought_back",
        description="The line rewritten so that it counts, where it was set aside; else empty.",
    )
    not_a_part: str = Field(validation_alias="put_aside", description="The line rewritten so that it is set aside.")
    account: tuple[TakenBody, ...] = Field(description="What each piece of the line was taken for.")


class FaultBody(_Read):
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
        **read.lines,
        "problems": read.questions,
        "faults": read.faults,
        "yards_without_terms": read.named,
        "without_stick": [one.section for one in read.missing],
        "also": read.also,
        "sum": read.sum,
        "unit": read.unit.value,
        "job": json.loads(read.document) if read.document else None,
    }
