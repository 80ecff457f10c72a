"""The wire form of what a plan says of yards: orders, carried pieces, changed sections, money apart."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from shared.wording.cautions import CONFIRM

__all__ = [
    "AmountText",
    "CarriedFields",
    "ChangeFields",
    "ExactText",
    "IdleFields",
    "IdleStickFields",
    "LengthText",
    "MoneyFields",
    "OrderFields",
    "Table",
]

LengthText = Annotated[str, Field(description="In the plan's unit, exactly.", examples=["80 1/2"], max_length=300)]
ExactText = Annotated[str, Field(pattern=r"^\d+(\.\d+|/[1-9]\d*)?$", examples=["10.05", "1270/127"], max_length=600)]
"""What nobody pays isn't rounded: a decimal, or a fraction where a decimal has no end."""
AmountText = Annotated[str, Field(pattern=r"^\d+(\.\d+)?$", examples=["61.40"], max_length=60)]
_Name = Annotated[str, Field(min_length=1, max_length=100)]
_Count = Annotated[int, Field(ge=0, le=10**6)]


class Table(BaseModel):
    """A table of the plan file: unknown fields are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class CarriedFields(Table):
    """One piece of a collected stick as it is carried home."""

    length: LengthText
    weight: AmountText | None = Field(description="kg; null where the section's weight is unknown.")
    begin: LengthText = Field(description="Where its parts begin, as the running dimensions of parts are counted.")
    parts: _Count = Field(description="How many of the stick's parts lie in it.")
    drop: LengthText = Field(description="What is left behind its last cut; 0 where that cut ate it.")
    skim: bool = Field(default=False, description="Its last cut meets less than a full kerf of steel.")


class OrderFields(Table):
    """What is taken from one yard, and what that costs."""

    yard: str = Field(description="Its name; empty where the job names none.", max_length=100)
    transport: Literal["delivered", "collected"] = Field(description="How it comes home.")
    trips: _Count = Field(description="Trips to fetch it; 0 where delivered.")
    weight: AmountText | None = Field(description="kg of all its sticks; null where one's weight is unknown.")
    cuts: _Count = Field(description="Cuts the yard makes.")
    material: AmountText | None = Field(description="Its sticks and rack pieces.")
    cutting: AmountText | None = Field(description="Its charge for cuts.")
    delivery: AmountText | None = Field(description="Its fee for delivery.")
    collecting: AmountText | None = Field(description="The trips to fetch it.")
    tax: AmountText | None = Field(description="What it adds.")
    total: AmountText | None = Field(description="The sum of the five; all null in a job without prices.")


class ChangeFields(Table):
    """A part cut from one of its substitutes."""

    mark: _Name = Field(description="All pieces of this part.")
    wanted: _Name = Field(description="The section drawn.")
    wanted_material: str = ""
    taken: _Name = Field(description="The section it is cut from.")
    taken_material: str = ""
    remark: str = Field(default="", description="The designer's.")
    saved: LengthText | None = Field(
        description="What the cheapest plan that leaves this part as drawn costs more, in terms of the objective; null "
        "where unknown or where no such plan exists.",
    )
    certain: bool = Field(description="Whether that is proven exactly; else it saves at least this much.")
    possible: bool = Field(default=True, description="Whether a plan exists that leaves it as drawn.")
    confirm: Literal["The designer must confirm: it affects strength and fit-up."] = CONFIRM


class IdleStickFields(Table):
    """Sticks of one line that stay whole."""

    id: _Name = Field(description="The line of the job.")
    quantity: int = Field(ge=1, le=10**6, description="Sticks that no part is cut from.")


class IdleFields(Table):
    """Sticks of one yard's order that stay whole: no part is cut from them."""

    yard: str = Field(description="Its name; empty where the job names none.", max_length=100)
    sticks: tuple[IdleStickFields, ...] = Field(description="In the order of the job.", strict=False)
    reasons: tuple[Literal["minimum", "delivery", "price"], ...] = Field(
        description="They reach its minimum order, make delivery free, bring a price by quantity.", strict=False
    )
    saved: ExactText | None = Field(
        description="What the same layouts cost more without them; null where the yard takes no such order."
    )


class MoneyFields(Table):
    """Money paid, apart from what one's own pieces and the leftovers are worth."""

    paid: AmountText = Field(description="All orders: what is to be paid.")
    kinds: AmountText = Field(description="What buying more than one section costs you; nobody is paid it.")
    own_value: ExactText = Field(description="Value of one's own pieces that are used.")
    credit: ExactText = Field(
        description="Worth of the drops kept, exactly: cost is paid, kinds, own_value and layouts less credit."
    )
    layouts: AmountText | None = Field(
        default=None,
        description="What layouts beyond the first cost you, where the job says so; nobody is paid it.",
        exclude_if=lambda value: value is None,
    )
