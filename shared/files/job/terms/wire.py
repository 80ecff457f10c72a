"""The wire form of yards and their terms, of carrying, breaks, substitutes and the worth of leftovers."""

from __future__ import annotations

from decimal import Decimal

from pydantic import Field

from cutting.question.yards import Charge
from shared.files.job.fields import (
    AmountField,
    CountField,
    LengthField,
    NameField,
    PerLengthField,
    PerWeightField,
    TextField,
)
from shared.files.job.table import Table
from shared.files.job.terms.fields import ChargesField, FeeField, FreeField, RateField, WeightField, YesField

__all__ = ["BreakFields", "CarryFields", "CutsFields", "KeepFields", "SubstituteFields", "TaxFields", "YardLine"]


class TaxFields(Table):
    """A tax a yard adds."""

    rate: RateField = Field(description="Share of the sum it applies to.", examples=["8.25 %"])
    on: ChargesField = Field(
        default=tuple(Charge), description="What it applies to: material, cuts, delivery.", examples=[["material"]]
    )


class CutsFields(Table):
    """A yard that cuts sticks so that they can be carried."""

    charge: AmountField = Field(description="For one cut.", examples=["2.50"])
    free: FreeField = Field(default=0, description="Cuts of one order that cost nothing.", examples=[2])
    allowance: LengthField = Field(
        description="Steel to allow at each of its cuts: how roughly it cuts, and our own finishing cut.",
        examples=["1/4"],
    )


class YardLine(Table):
    """One yard and its terms."""

    name: NameField = Field(description="As sticks and rack pieces name it.", examples=["Harbour Steel"])
    delivery: FeeField = Field(
        default=None, description="What it takes for delivering an order; left out where it doesn't.", examples=["45"]
    )
    delivery_free_from: AmountField | None = Field(
        default=None, description="Amount of material from which delivery costs nothing.", examples=["900"]
    )
    collecting: FeeField = Field(
        default=Decimal(0),
        description="What one trip to fetch an order costs; false where nothing can be fetched.",
        examples=["18"],
    )
    minimum: AmountField = Field(
        default=Decimal(0), description="Amount of material below which it takes no order.", examples=["50"]
    )
    tax: TaxFields | None = Field(default=None, description="What it adds.", examples=[{"rate": "8.25 %"}])
    cuts: CutsFields | None = Field(
        default=None,
        description="Left out where it doesn't cut.",
        examples=[{"charge": "2.50", "free": 2, "allowance": "1/4"}],
    )
    reserves: YesField = Field(default=False, description="Whether its rack pieces may be reserved.", examples=[True])


class CarryFields(Table):
    """What can be carried home on one trip."""

    longest: LengthField | None = Field(
        default=None, description="The longest piece that fits: van, roof rack, doorway.", examples=["10 ft"]
    )
    load: WeightField | None = Field(
        default=None, description="The heaviest load; more than that means another trip.", examples=["900 lb"]
    )


class KeepFields(Table):
    """What leftovers are worth to the shop."""

    per_length: PerLengthField = Field(description="An amount for a length of a drop.", examples=["1.20/ft"])
    shortest: LengthField = Field(description="The shortest drop that is worth anything.", examples=["24"])


class BreakFields(Table):
    """A price for every stick of a line once so many of them are bought; exactly one of the three."""

    from_quantity: CountField = Field(description="Sticks of the line from which on it holds.", examples=[10])
    price: AmountField | None = Field(default=None, description="For one piece.", examples=["57.90"])
    price_per_length: PerLengthField | None = Field(
        default=None, description="An amount for a length.", examples=["2.90/ft"]
    )
    price_per_weight: PerWeightField | None = Field(
        default=None, description="An amount for a weight: lb, kg, cwt (US, 100 lb) or t.", examples=["0.79/lb"]
    )


class SubstituteFields(Table):
    """Another section that the designer accepts for a part."""

    section: NameField = Field(description="Which.", examples=["SHS 1-1/2x1-1/2x3/16"])
    material: TextField | None = Field(
        default=None, description="Grade and finish; the part's own when left out.", examples=["galvanised"]
    )
    remark: TextField = Field(
        default="", description="What the designer says about it.", examples=["heavier, holes as drawn"]
    )
