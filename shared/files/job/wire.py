"""The one wire form of a job: what a job file holds, in TOML, in JSON and over the network."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, ClassVar, Final, Self, get_origin

from pydantic import Field

from cutting.question.job import Job, Part, Saw, Substitute
from cutting.question.lengths import Unit
from shared.files.job.ends import (
    AnglesField,
    DepthField,
    EdgesField,
    LeanField,
    MeasuredField,
    PlanesField,
    SwingField,
    stated_ends,
)
from shared.files.job.fields import (
    CountField,
    CurrencyField,
    FlagField,
    KerfField,
    LengthField,
    MarkField,
    NameField,
    TextField,
    ToleranceField,
    TrimsField,
    UnitField,
)
from shared.files.job.money import AmountField
from shared.files.job.pieces import OwnLine, RackLine, StickLine, section_fields, section_of
from shared.files.job.table import Table, table_in
from shared.files.job.terms import CarryFields, KeepFields, YardLine

__all__ = [
    "LISTS",
    "TABLES",
    "JobFile",
    "PartLine",
    "SawFields",
    "TopFields",
    "job_schema",
]


class SawFields(Table):
    """The saw."""

    makes = Saw
    named: ClassVar = {"largest_angle": "largest"}

    kerf: KerfField = Field(description="Steel that one cut takes, 0 or more.", examples=["3/32"])
    end_trim: TrimsField | None = Field(
        default=None,
        description="Taken off one end of every stick, the cut included; a list of two trims both ends.",
        examples=["1/4"],
    )
    hold: LengthField | None = Field(
        default=None, description="The shortest piece that the saw can hold.", examples=["4"]
    )
    largest_angle: SwingField | None = Field(
        default=None, description="Degrees from square that the saw swings at most.", examples=["45"]
    )
    one_way: FlagField = Field(
        default=False,
        description="The saw swings to one side only; a mitre the other way is cut with the stick rolled half round.",
        examples=[True],
    )


class SubstituteFields(Table):
    """Another section that the designer accepts for a part."""

    makes = Substitute

    section: NameField = Field(description="Which.", examples=["SHS 1-1/2x1-1/2x3/16"])
    material: TextField | None = Field(
        default=None, description="Grade and finish; the part's own when left out.", examples=["galvanised"]
    )
    remark: TextField = Field(
        default="", description="What the designer says about it.", examples=["heavier, holes as drawn"]
    )


class PartLine(Table):
    """One line of the parts list."""

    makes = Part

    mark: NameField | None = Field(
        default=None, description="The part's label; numbered when missing.", examples=["P1"]
    )
    section: NameField = Field(description="What it is cut from.", examples=["SHS 1-1/2x1-1/2x1/8"])
    material: TextField = Field(
        default="", description="Grade and finish; another material is another section.", examples=["galvanised"]
    )
    length: LengthField = Field(description="Length of the finished part.", examples=["80 1/2"])
    quantity: CountField = Field(description="Pieces wanted.", examples=[24])
    ends: AnglesField | None = Field(
        default=None,
        description="Angles of its first and second end, degrees from square, 0 to 60; left out where both are square.",
        examples=[["45", "0"]],
    )
    lean: LeanField | None = Field(
        default=None,
        description="How two angled ends lean: opposed (a trapezoid, the usual frame corner) or parallel.",
        examples=["opposed"],
    )
    measured: MeasuredField | None = Field(
        default=None,
        description="Between which points its length was measured; needed as soon as an end isn't square.",
        examples=["long point"],
    )
    depth: DepthField | None = Field(
        default=None, description="Size in the plane of the cut of a section we don't know.", examples=["2"]
    )
    plane: PlanesField | None = Field(
        default=None,
        description="Which side of the section lies in the plane of the cut; a list where the ends differ.",
        examples=["3"],
    )
    long_points: EdgesField | None = Field(
        default=None,
        description="To which edge the long points lie, seen from the first end along the part, the section's first "
        "side upright (an angle as an L, a channel as a C, a tee as a T); asked where left and right hand are two "
        "different parts.",
        examples=["top"],
    )
    note: TextField = Field(default="", description="Stays with the part to the cut sheet.", examples=["posts"])
    assembly: TextField = Field(default="", description="The assembly it belongs to.", examples=["stall"])
    substitutes: tuple[SubstituteFields, ...] = Field(
        default=(),
        description="Other sections that the designer accepts for all pieces of this line, the preferred one first.",
        examples=[[{"section": "SHS 1-1/2x1-1/2x3/16", "remark": "heavier"}]],
    )

    def part(self, mark: str) -> Part:
        """Return the part, as yet with square ends."""
        substitutes = tuple(
            each.value(section=section_of(each.section, self.material if each.material is None else each.material))
            for each in self.substitutes
        )
        section = section_of(self.section, self.material)
        part: Part = self.value(mark=mark, section=section, ends=None, substitutes=substitutes)
        return part

    @classmethod
    def of_part(cls, part: Part, unit: Unit) -> Self:
        """Return the line that states a part."""
        substitutes = tuple(
            SubstituteFields.of(each, **section_fields(each.section, besides=part.section)) for each in part.substitutes
        )
        return cls.of(part, **section_fields(part.section), **stated_ends(part, unit), substitutes=substitutes)


class TopFields(Table):
    """What a job states once, single tables aside."""

    makes = Job

    title: TextField = Field(default="", description="Shown on all paper.", examples=["Market stalls, set of six"])
    unit: UnitField = Field(description="What a bare number means: in, ft, mm, cm or m.", examples=["in"])
    currency: CurrencyField | None = Field(
        default=None, description="ISO 4217 code; needed as soon as anything has a price.", examples=["USD"]
    )
    tolerance: ToleranceField | None = Field(
        default=None,
        description="By how much a finished part may be under and over its length; one value for both.",
        examples=["1/16"],
    )
    keep_from: LengthField | None = Field(default=None, description="The shortest drop worth a label.", examples=["12"])
    tape: MarkField | None = Field(
        default=None,
        description="The finest mark of the tape at the saw: lengths for people are written on it, what is finer is "
        "rounded to it and marked so. In inches 1/16 and the like, in metric units 1 mm, 0.5 mm and the like.",
        examples=["1/16"],
    )
    kind_cost: AmountField = Field(
        default=Decimal(0), description="What each kind of section bought beyond the first costs.", examples=["15"]
    )
    layout_cost: AmountField = Field(
        default=Decimal(0),
        description="What each layout beyond the first, a set-up at the saw, costs you. Nobody is paid it, but it "
        "counts in what is minimised and proven.",
        examples=["4"],
    )
    idle: FlagField = Field(
        default=True,
        description="Whether sticks that no part is cut from may be bought, where that saves money or reaches a "
        "minimum order.",
        examples=[False],
    )


class JobFile(TopFields):
    """A job: what is to be cut, from what, with which saw."""

    saw: SawFields = Field(
        description="What a cut takes, what is trimmed, what the saw can hold and how far it swings."
    )
    carry: CarryFields | None = Field(default=None, description="What can be carried home on one trip.")
    keep_value: KeepFields | None = Field(default=None, description="What leftovers are worth to the shop.")
    yards: tuple[YardLine, ...] = Field(default=(), description="The yards, where their terms matter.")
    parts: tuple[PartLine, ...] = Field(description="The parts list, at least one line.", min_length=1)
    sticks: tuple[StickLine, ...] = Field(default=(), description="Full bars that a yard sells.")
    rack: tuple[RackLine, ...] = Field(default=(), description="Single pieces on a yard's rack.")
    own: tuple[OwnLine, ...] = Field(default=(), description="One's own drops.")


_WITHIN: Final = {
    field: table for field, info in JobFile.model_fields.items() if (table := table_in(info.annotation)) is not None
}
LISTS: Final = {
    field: table for field, table in _WITHIN.items() if get_origin(JobFile.model_fields[field].annotation) is tuple
}
"""The lists of a job file and what their lines hold."""
TABLES: Final = {field: table for field, table in _WITHIN.items() if field not in LISTS}
"""The single tables of a job file and what they hold."""


def job_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of the job file."""
    schema = JobFile.model_json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "Tallystick job"}
