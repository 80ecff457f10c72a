"""The one wire form of a job: what a job file holds, in TOML, in JSON and over the network."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from pydantic import Field

from shared.files.job.ends import (
    AnglesField,
    DepthField,
    EdgesField,
    LeanField,
    MeasuredField,
    PlanesField,
    SwingField,
)
from shared.files.job.fields import (
    AmountField,
    CountField,
    CurrencyField,
    FlagField,
    KerfField,
    LengthField,
    NameField,
    PerLengthField,
    PerWeightField,
    ShareField,
    TextField,
    ToleranceField,
    TrimsField,
    UnitField,
)
from shared.files.job.table import Table
from shared.files.job.terms.wire import BreakFields, CarryFields, KeepFields, SubstituteFields, YardLine

__all__ = ["JobFile", "OwnLine", "PartLine", "RackLine", "SawFields", "StickLine", "TopFields", "job_schema"]


class SawFields(Table):
    """The saw."""

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


class PartLine(Table):
    """One line of the parts list."""

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
    depth: DepthField | None = Field(
        default=None, description="Size in the plane of the cut of a section we don't know.", examples=["2"]
    )
    note: TextField = Field(default="", description="Stays with the part to the cut sheet.", examples=["posts"])
    assembly: TextField = Field(default="", description="The assembly it belongs to.", examples=["stall"])
    substitutes: tuple[SubstituteFields, ...] = Field(
        default=(),
        description="Other sections that the designer accepts for all pieces of this line, the preferred one first.",
        examples=[[{"section": "SHS 1-1/2x1-1/2x3/16", "remark": "heavier"}]],
    )


class _Piece(Table):
    """What lines of sticks, rack and own pieces share."""

    id: NameField | None = Field(
        default=None, description="What the plan calls it; numbered when missing.", examples=["S1"]
    )
    section: NameField = Field(description="What it is.", examples=["SHS 1-1/2x1-1/2x1/8"])
    material: TextField = Field(default="", description="Grade and finish.", examples=["galvanised"])
    length: LengthField = Field(description="What a tape says.", examples=["20 ft"])
    usable: LengthField | None = Field(
        default=None,
        description="What may be counted on where it may come short, before trimming.",
        examples=["239 3/4"],
    )
    end_trim: TrimsField | None = Field(
        default=None, description="Its own trim instead of the saw's; 0 where an end is sawn already.", examples=["0"]
    )


class _Priced(_Piece):
    """What is bought: exactly one of the prices, or none in a job without prices."""

    yard: NameField | None = Field(
        default=None, description="Which yard has it; left out in a job without yards.", examples=["Harbour Steel"]
    )
    price: AmountField | None = Field(default=None, description="For one piece.", examples=["61.40"])
    price_per_length: PerLengthField | None = Field(
        default=None, description="An amount for a length.", examples=["3.07/ft"]
    )
    price_per_weight: PerWeightField | None = Field(
        default=None, description="An amount for a weight: lb, kg, cwt (US, 100 lb) or t.", examples=["0.82/lb"]
    )


class StickLine(_Priced):
    """Full bars that a yard sells."""

    available: CountField | None = Field(
        default=None, description="How many there are; left out for as many as you like.", examples=[40]
    )
    breaks: tuple[BreakFields, ...] = Field(
        default=(),
        description="Prices for all sticks of this line from a quantity on, in rising order of quantity.",
        examples=[[{"from_quantity": 10, "price": "57.90"}]],
    )


class RackLine(_Priced):
    """Single pieces on a yard's rack of offcuts."""

    discount: ShareField | None = Field(
        default=None,
        description="Off the lowest price per length of that section's sticks, instead of a price.",
        examples=["40 %"],
    )
    quantity: CountField = Field(default=1, description="How many there are alike.", examples=[2])


class OwnLine(_Piece):
    """One's own drops: they cost nothing."""

    quantity: CountField = Field(default=1, description="How many there are alike.", examples=[2])


class TopFields(Table):
    """What a job states once, the saw aside."""

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
    tape: LengthField | None = Field(
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

    saw: SawFields = Field(description="The saw.")
    parts: tuple[PartLine, ...] = Field(description="The parts list, at least one line.", min_length=1)
    sticks: tuple[StickLine, ...] = Field(default=(), description="Full bars that a yard sells.")
    rack: tuple[RackLine, ...] = Field(default=(), description="Single pieces on a yard's rack.")
    own: tuple[OwnLine, ...] = Field(default=(), description="One's own drops.")
    yards: tuple[YardLine, ...] = Field(default=(), description="The yards, where their terms matter.")
    carry: CarryFields | None = Field(default=None, description="What can be carried home on one trip.")
    keep_value: KeepFields | None = Field(default=None, description="What leftovers are worth to the shop.")


def job_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of the job file."""
    schema = JobFile.model_json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "Tallystick job"}
