"""What a plan file says of yards: orders, carried pieces, changed sections, sticks that stay whole, money apart."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import Field

from cutting.answer.plan import Buy, Carried, Change, Idle, IdleReason, Order, Plan, Transport
from cutting.question.job import Job, Section, Source
from cutting.question.lengths import Unit
from shared.files.plan.table import Back, ExactText, LengthText, MoneyText, Table, WeightText, as_value
from shared.wording.amounts import GRAMS, decimal_text
from shared.wording.cautions import CONFIRM

__all__ = ["CarriedFields", "ChangeFields", "IdleFields", "MoneyFields", "OrderFields"]

_Name = Annotated[str, Field(min_length=1, max_length=100)]
_Count = Annotated[int, Field(ge=0, le=10**6)]
_YardName = Annotated[str, Field(description="Its name; empty where the job names none.", max_length=100)]
_Transport = Annotated[Literal["delivered", "collected"], as_value(Transport)]
_Reason = Annotated[Literal["minimum", "delivery", "price"], as_value(IdleReason)]


class CarriedFields(Table):
    """One piece of a collected stick as it is carried home."""

    makes = Carried

    length: LengthText
    weight: WeightText | None = Field(description="kg; null where the section's weight is unknown.")
    begin: LengthText = Field(description="Where its parts begin, as the running dimensions of parts are counted.")
    parts: _Count = Field(description="How many of the stick's parts lie in it.")
    drop: LengthText = Field(description="What is left behind its last cut; 0 where that cut ate it.")
    skim: bool = Field(default=False, description="Its last cut meets less than a full kerf of steel.")

    def of_section(self, back: Back, where: str, section: Section) -> Carried:
        """Return the piece, its weight exact where the section's agrees."""
        told = self.told(back, where)
        carried: Carried = self.makes(**told | {"weight": _exact(self.weight, _mass(section, told["length"]))})
        return carried


class OrderFields(Table):
    """What is taken from one yard, and what that costs."""

    makes = Order

    yard: _YardName
    transport: _Transport = Field(description="How it comes home.")
    trips: _Count = Field(description="Trips to fetch it; 0 where delivered.")
    weight: WeightText | None = Field(description="kg of all its sticks; null where one's weight is unknown.")
    cuts: _Count = Field(description="Cuts the yard makes.")
    material: MoneyText | None = Field(description="Its sticks and rack pieces.")
    cutting: MoneyText | None = Field(description="Its charge for cuts.")
    delivery: MoneyText | None = Field(description="Its fee for delivery.")
    collecting: MoneyText | None = Field(description="The trips to fetch it.")
    tax: MoneyText | None = Field(description="What it adds.")
    total: MoneyText | None = Field(description="The sum of the five; all null in a job without prices.")

    def of_lines(self, back: Back, where: str, job: Job, buy: Sequence[Buy]) -> Order:
        """Return the order, its weight exact where that of its lines agrees."""
        yards = {stick.id: stick.yard for stick in job.sticks if stick.source is not Source.OWN}
        taken = [_mass(line.section, line.quantity * line.length) for line in buy if yards.get(line.stick) == self.yard]
        order: Order = self.value(back, where, weight=_exact(self.weight, _sum(taken)))
        return order


class ChangeFields(Table):
    """A part cut from one of its substitutes."""

    makes = Change

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

    def told(self, back: Back, where: str, **more: Any) -> dict[str, Any]:
        """Return the two sections, and the rest."""
        wanted = back.section(self.wanted, self.wanted_material)
        return super().told(back, where, wanted=wanted, taken=back.section(self.taken, self.taken_material), **more)

    @classmethod
    def of_change(cls, change: Change, unit: Unit, saved: str | None) -> ChangeFields:
        """Return the table that states a changed section, with what it saves."""
        return cls.of(
            change,
            unit,
            saved=saved,
            wanted=change.wanted.name,
            wanted_material=change.wanted.material,
            taken=change.taken.name,
            taken_material=change.taken.material,
        )


class IdleStickFields(Table):
    """Sticks of one line that stay whole."""

    id: _Name = Field(description="The line of the job.")
    quantity: int = Field(ge=1, le=10**6, description="Sticks that no part is cut from.")


class IdleFields(Table):
    """Sticks of one yard's order that stay whole: no part is cut from them."""

    makes = Idle

    yard: _YardName
    sticks: tuple[IdleStickFields, ...] = Field(description="In the order of the job.", strict=False)
    reasons: tuple[_Reason, ...] = Field(
        description="They reach its minimum order, make delivery free, bring a price by quantity.", strict=False
    )
    saved: ExactText | None = Field(
        description="What the same layouts cost more without them; null where the yard takes no such order."
    )

    def told(self, back: Back, where: str, **more: Any) -> dict[str, Any]:
        """Return lines with their counts, and the rest."""
        return super().told(back, where, sticks=tuple((each.id, each.quantity) for each in self.sticks), **more)

    @classmethod
    def of_idle(cls, idle: Idle, unit: Unit) -> IdleFields:
        """Return the table that states sticks that stay whole."""
        return cls.of(idle, unit, sticks=tuple(IdleStickFields(id=line, quantity=many) for line, many in idle.sticks))


class MoneyFields(Table):
    """Money paid, apart from what one's own pieces and the leftovers are worth."""

    makes = Plan

    paid: MoneyText = Field(description="All orders: what is to be paid.")
    kinds: MoneyText = Field(description="What buying more than one section costs you; nobody is paid it.")
    own_value: ExactText = Field(description="Value of one's own pieces that are used.")
    credit: ExactText = Field(
        description="Worth of the drops kept, exactly: cost is paid, kinds, own_value and layouts less credit."
    )
    layouts: MoneyText | None = Field(
        default=None,
        description="What layouts beyond the first cost you, where the job says so; nobody is paid it.",
        exclude_if=lambda value: value is None,
    )

    @property
    def cost(self) -> Fraction:
        """What all of it comes to, exactly."""
        counted = (Fraction(text or 0) for text in (self.paid, self.kinds, self.own_value, self.layouts))
        return sum(counted, Fraction(0)) - Fraction(self.credit)


def _exact(text: str | None, exact: Fraction | None) -> Fraction | None:
    """Return a weight, written to the gram, exactly where it agrees."""
    if text is None:
        return None
    return exact if exact is not None and decimal_text(exact, GRAMS) == text else Fraction(text)


def _mass(section: Section, mm: Fraction) -> Fraction | None:
    return None if section.mass is None else section.mass * mm / 1000


def _sum(weights: Iterable[Fraction | None]) -> Fraction | None:
    listed = list(weights)
    known = [weight for weight in listed if weight is not None]
    return sum(known, Fraction(0)) if len(known) == len(listed) else None
