"""Tables of yards and their terms, of carrying, prices and the worth of leftovers."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, ClassVar, Final, Self

from pydantic import Field

from cutting.question.job import Break, Discount, PerLength, PerStick, PerWeight, Price
from cutting.question.yards import Carry, Charge, KeepValue, Tax, Yard, YardCuts
from shared.files.job.fields import CountField, FlagField, FreeField, LengthField, NameField
from shared.files.job.money import (
    AmountField,
    ChargesField,
    FeeField,
    PerLengthField,
    PerWeightField,
    PriceField,
    RateField,
    WeightField,
)
from shared.files.job.table import Table

__all__ = ["BASES", "BreakFields", "CarryFields", "CutsFields", "KeepFields", "Prices", "TaxFields", "YardLine"]

BASES: Final = {
    PerStick: "price",
    PerLength: "price_per_length",
    PerWeight: "price_per_weight",
    Discount: "discount",
}
"""Which field states a price, by its basis."""


class TaxFields(Table):
    """A tax a yard adds."""

    makes = Tax

    rate: RateField = Field(description="Share of the sum it applies to.", examples=["8.25 %"])
    on: ChargesField = Field(
        default=tuple(Charge), description="What it applies to: material, cuts, delivery.", examples=[["material"]]
    )


class CutsFields(Table):
    """A yard that cuts sticks so that they can be carried."""

    makes = YardCuts

    charge: AmountField = Field(description="For one cut.", examples=["2.50"])
    free: FreeField = Field(default=0, description="Cuts of one order that cost nothing.", examples=[2])
    allowance: LengthField = Field(
        description="Steel to allow at each of its cuts: how roughly it cuts, and our own finishing cut.",
        examples=["1/4"],
    )


class YardLine(Table):
    """One yard and its terms."""

    makes = Yard

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
    reserves: FlagField = Field(default=False, description="Whether its rack pieces may be reserved.", examples=[True])


class CarryFields(Table):
    """What can be carried home on one trip."""

    makes = Carry

    longest: LengthField | None = Field(
        default=None, description="The longest piece that fits: van, roof rack, doorway.", examples=["10 ft"]
    )
    load: WeightField | None = Field(
        default=None, description="The heaviest load; more than that means another trip.", examples=["900 lb"]
    )


class KeepFields(Table):
    """What leftovers are worth to the shop."""

    makes = KeepValue

    per_length: PerLengthField = Field(description="An amount for a length of a drop.", examples=["1.20/ft"])
    shortest: LengthField = Field(description="The shortest drop that is worth anything.", examples=["24"])

    def told(self, **more: Any) -> dict[str, Any]:
        """Return amount and length of what `per_length` says, and the rest."""
        return super().told(amount=self.per_length.amount, per=self.per_length.per, **more)

    @classmethod
    def of(cls, value: KeepValue, **more: Any) -> Self:
        """Return the table that states a worth of leftovers."""
        return super().of(value, per_length=PerLength(amount=value.amount, per=value.per), **more)


class Prices(Table):
    """What is bought: exactly one of the prices, or none in a job without prices."""

    price: PriceField | None = Field(default=None, description="For one piece.", examples=["61.40"])
    price_per_length: PerLengthField | None = Field(
        default=None, description="An amount for a length.", examples=["3.07/ft"]
    )
    price_per_weight: PerWeightField | None = Field(
        default=None, description="An amount for a weight: lb, kg, cwt (US, 100 lb) or t.", examples=["0.82/lb"]
    )

    def told(self, **more: Any) -> dict[str, Any]:
        """Return the one price that is stated, and the rest."""
        return super().told(price=self.stated, **more)

    @property
    def stated(self) -> Price | None:
        """The price that is stated; None where there is none."""
        return next((price for field in BASES.values() if (price := getattr(self, field, None)) is not None), None)

    @classmethod
    def of(cls, value: Any, **more: Any) -> Self:
        """Return the table that states something with a price, by its basis."""
        told = dict.fromkeys(BASES.values())
        if value.price is not None:
            told[BASES[type(value.price)]] = value.price
        return super().of(value, **told, **more)


class _FromQuantity(Table):
    """From how many on something holds."""

    from_quantity: CountField = Field(description="Sticks of the line from which on it holds.", examples=[10])


class BreakFields(Prices, _FromQuantity):
    """A price for every stick of a line once so many of them are bought; exactly one of the three."""

    makes = Break
    named: ClassVar = {"from_quantity": "least"}
