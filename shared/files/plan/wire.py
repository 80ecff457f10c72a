"""The wire form of a plan."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Final, Literal, Self

from pydantic import Field

from cutting.answer.plan import Buy, Cut, Lie, Piece, Sharing, Stroke
from cutting.answer.totals import Totals
from cutting.question.job import Source
from cutting.question.lengths import Unit, format_length
from shared.files.plan.orders import CarriedFields, ChangeFields, IdleFields, MoneyFields, OrderFields
from shared.files.plan.table import (
    AmountText,
    Back,
    DegreesText,
    ExactText,
    LengthText,
    MoneyText,
    Table,
    WeightText,
    as_value,
)
from shared.wording.amounts import GRAMS, decimal_text

__all__ = [
    "BuyFields",
    "CutFields",
    "LieFields",
    "PieceFields",
    "PlanFile",
    "SharingFields",
    "StrokeFields",
    "TotalFields",
    "plan_schema",
]

_Name = Annotated[str, Field(min_length=1, max_length=100)]
_Count = Annotated[int, Field(ge=1, le=10**6)]
_LENGTHS: Final = ("long", "centre", "short")
_From = Annotated[Literal["sticks", "rack", "own"], as_value(Source)]


def _absent(value: object) -> bool:
    """Whether a field has nothing to say, in a plan without yards."""
    return not value


class _OfSection(Table):
    """What is said of one section."""

    if TYPE_CHECKING:
        section: str
        material: str

    def told(self, back: Back, where: str, **more: Any) -> dict[str, Any]:
        """Return the section, and the rest."""
        return super().told(back, where, section=back.section(self.section, self.material), **more)

    @classmethod
    def of(cls, value: Any, unit: Unit, **more: Any) -> Self:
        """Return the table that states something of a section."""
        return super().of(value, unit, section=value.section.name, material=value.section.material, **more)


class _Sticks(_OfSection):
    """What is said of some sticks of one line."""

    named: ClassVar = {"id": "stick", "parts": "pieces"}

    id: _Name = Field(description="The line of the job that they come from.")
    section: _Name
    material: str = ""
    length: LengthText
    source: _From = Field(alias="from")
    quantity: _Count = Field(description="How many are alike.")


class BuyFields(_Sticks):
    """One line of the buy list."""

    makes = Buy

    price: MoneyText | None = Field(description="For one; null in a job without prices.")
    cost: MoneyText | None = Field(description="For all of the line.")
    yard: str = Field(default="", description="Which yard has it, where the job says.", exclude_if=_absent)


class LieFields(Table):
    """How a part with angled ends lies in the stick, seen from the trimmed end, the section's first side upright."""

    makes = Lie

    turned: bool = Field(description="End for end: its second end comes first.")
    roll: int = Field(ge=0, le=3, description="Quarter turns clockwise that it lies rolled.")
    planes: tuple[int, int] = Field(
        description="For each end, from the trimmed end: the side (0 first, 1 second) in the plane of the cut.",
        strict=False,
    )
    leans: tuple[DegreesText, DegreesText] = Field(
        description="Signed degrees from square; positive: further along the stick at the top or right.", strict=False
    )
    long: LengthText = Field(description="Between long points.")
    centre: LengthText = Field(description="Along the centre line.")
    short: LengthText = Field(description="Between short points.")

    def told(self, back: Back, where: str, **more: Any) -> dict[str, Any]:
        """Return the three lengths together, and the rest."""
        lengths = tuple(back.length(getattr(self, name), f"{where}.{name}") for name in _LENGTHS)
        return super().told(back, where, lengths=lengths, **more)

    @classmethod
    def of(cls, value: Lie, unit: Unit, **more: Any) -> Self:
        """Return the table that states how a part lies."""
        lengths = (format_length(length, unit) for length in value.lengths)
        return super().of(value, unit, **dict(zip(_LENGTHS, lengths, strict=True)), **more)


class StrokeFields(Table):
    """One stroke of the saw through a stick that holds angled ends."""

    makes = Stroke

    at: LengthText = Field(description="Running dimension along the named edge, to 1/1024 in or 0.01 mm.")
    angle: DegreesText = Field(description="From square.")
    swing: Literal[-1, 0, 1] = Field(
        description="1: the cut reaches further along the stick at the back, -1: at the front."
    )
    back: int | None = Field(
        ge=0, le=3, description="At the back: 0 the top of the first side, 1 the right of the second, 2 bottom, 3 left."
    )
    roll: int = Field(ge=0, le=3, description="Quarter turns clockwise to roll the stick before it.")
    ends: int | None = Field(description="Number of the part whose further end it makes.")
    begins: int | None = Field(description="Number of the part whose nearer end it makes.")
    shared: bool = Field(description="It makes two angled ends at once.")

    @classmethod
    def of(cls, value: Stroke, unit: Unit, **more: Any) -> Self:
        """Return the table that states a stroke."""
        return super().of(value, unit, shared=value.shared, **more)


class SharingFields(_OfSection):
    """What shared cuts save in one section."""

    makes = Sharing

    section: _Name
    material: str = ""
    shared: int = Field(ge=0, description="Strokes that make two angled ends at once, over all sticks.")
    sticks: int | None = Field(description="Sticks saved against cutting each part out singly; null where unknown.")
    cost: str | None = Field(description="Cost saved, in terms of the objective; null where unknown.")
    certain: bool = Field(description="Exactly so much; otherwise at least so much.")
    possible: bool = Field(description="Whether the sticks suffice without shared cuts.")


class PieceFields(Table):
    """One part on a stick."""

    makes = Piece

    mark: _Name
    length: LengthText
    start: LengthText = Field(description="Running dimension of its first end, from the trimmed end of the stick.")
    end: LengthText = Field(description="Running dimension of its second end.")
    lie: LieFields | None = Field(default=None, description="How it lies, where it has an angled end.")


class CutFields(_Sticks):
    """One layout, and how many sticks are cut alike."""

    makes = Cut

    parts: tuple[PieceFields, ...] = Field(description="In cutting order, from the trimmed end.", strict=False)
    drop: LengthText = Field(description="What is left behind the last cut; 0 where that cut ate it.")
    skim: bool = Field(default=False, description="The last cut meets less than a full kerf of steel.")
    unheld: tuple[int, ...] = Field(
        default=(),
        description="Numbers of the cuts, from 1, with less on both sides than the saw can hold.",
        strict=False,
    )
    marks: tuple[LengthText, ...] = Field(
        default=(),
        description="Where the yard cuts: from the stick's raw first end to the middle of what each of its cuts takes.",
        strict=False,
        exclude_if=_absent,
    )
    carried: tuple[CarriedFields, ...] = Field(
        default=(),
        description="The pieces in which a collected stick comes home, from its raw first end.",
        strict=False,
        exclude_if=_absent,
    )
    credit: ExactText | None = Field(
        default=None, description="What the drops of one such stick are worth to the shop.", exclude_if=_absent
    )
    edge: str = Field(
        default="",
        max_length=20,
        description="Edge along which strokes are measured: corner (lower left), heel, back (lower), flange (left) or "
        "line (bottom).",
    )
    strokes: tuple[StrokeFields, ...] = Field(
        default=(), description="Every stroke of the saw, where the stick holds angled ends.", strict=False
    )

    def told(self, back: Back, where: str, **more: Any) -> dict[str, Any]:
        """Return the pieces carried home with their weights, and the rest."""
        section = back.section(self.section, self.material)
        carried = (each.of_section(back, f"{where}.carried[{n}]", section) for n, each in enumerate(self.carried))
        return super().told(back, where, carried=tuple(carried), **more)


class TotalFields(Table):
    """Sums over the plan."""

    makes = Totals

    parts: int
    sticks: int
    length: LengthText = Field(description="Of all sticks, rack and own pieces taken.")
    weight: WeightText | None = Field(description="kg of these; null where a section's weight is unknown.")
    used_share: AmountText = Field(description="Length of the parts over length taken, 0 to 1.")

    @classmethod
    def of(cls, value: Totals, unit: Unit, **more: Any) -> Self:
        """Return the table that states sums."""
        weight = None if value.weight is None else decimal_text(value.weight, GRAMS)
        return super().of(value, unit, used_share=decimal_text(value.share, 4), weight=weight, **more)


class PlanFile(Table):
    """A plan: what to buy, how to cut it, and how good that is."""

    title: str = ""
    name: str = Field(
        default="",
        max_length=20,
        description="Short name of exactly this plan of exactly this job, as its papers show it; empty without a plan.",
    )
    unit: Literal["in", "ft", "mm", "cm", "m"] = Field(description="Unit of every length.")
    currency: str | None = Field(description="Of every amount of money; null in a job without prices.")
    status: Literal["optimal", "feasible", "infeasible", "unknown"]
    objective: Literal["money", "length", "weight"] = Field(
        description="What was minimised: money in the currency, bought length in the unit, or bought weight in kg."
    )
    cost: str | None = Field(description="What the plan costs, in terms of the objective; null without a plan.")
    lower_bound: str | None = Field(description="Nothing costs less than this.")
    gap: str | None = Field(description="What could at most still be saved: cost less lower bound.")
    rests: Literal["exact", "floating"] = Field(
        default="exact",
        description="What the lower bound rests on: exact arithmetic, or a floating-point solver's word somewhere.",
    )
    why: tuple[str, ...] = Field(default=(), description="Why no plan can exist.", strict=False)
    buy: tuple[BuyFields, ...] = Field(default=(), strict=False)
    cuts: tuple[CutFields, ...] = Field(default=(), strict=False)
    sharing: tuple[SharingFields, ...] = Field(
        default=(), description="What shared cuts save, by section with angled ends.", strict=False
    )
    totals: TotalFields | None = Field(default=None, description="Null without a plan.")
    orders: tuple[OrderFields, ...] = Field(
        default=(), description="What is taken from each yard.", strict=False, exclude_if=_absent
    )
    changes: tuple[ChangeFields, ...] = Field(
        default=(), description="Parts cut from a substitute.", strict=False, exclude_if=_absent
    )
    idle: tuple[IdleFields, ...] = Field(
        default=(), description="Sticks that stay whole, by yard.", strict=False, exclude_if=_absent
    )
    money: MoneyFields | None = Field(
        default=None,
        description="Money paid apart from leftovers, where yards or leftovers have terms.",
        exclude_if=_absent,
    )


def plan_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of the plan file."""
    schema = PlanFile.model_json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "Tallystick plan"}
