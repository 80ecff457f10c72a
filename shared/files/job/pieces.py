"""Lines of sticks, of a yard's rack and of one's own pieces."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Any, ClassVar, Self

from pydantic import Field

from cutting.question.job import Section, Source, Stick
from shared.files.job.fields import CountField, LengthField, NameField, TextField, TrimsField
from shared.files.job.money import DiscountField
from shared.files.job.table import Table
from shared.files.job.terms import BreakFields, Prices
from shared.sections import understand

__all__ = ["OwnLine", "PieceLine", "RackLine", "StickLine", "section_fields", "section_of"]


@lru_cache(maxsize=1024)
def section_of(name: str, material: str) -> Section:
    """Return the section of this name and material."""
    return understand(name, material)


def section_fields(section: Section, besides: Section | None = None) -> dict[str, str | None]:
    """Return the fields that state a section, the material left out where it is that of another one."""
    same = besides is not None and besides.material == section.material
    return {"section": section.name, "material": None if same else section.material}


class PieceLine(Table):
    """What lines of sticks, rack and own pieces share."""

    makes = Stick
    named: ClassVar = {"end_trim": "trims", "quantity": "available"}

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

    def stick(self, name: str, source: Source, trims: tuple[Fraction, Fraction]) -> Stick:
        """Return the stick; it is trimmed like all of the job where it says nothing."""
        section = section_of(self.section, self.material)
        own_trims = trims if self.end_trim is None else self.end_trim
        stick: Stick = self.value(id=name, source=source, section=section, trims=own_trims)
        return stick

    @classmethod
    def of_stick(cls, stick: Stick, trims: tuple[Fraction, Fraction]) -> Self:
        """Return the line that states a stick of a job whose sticks are usually trimmed so."""
        return cls.of(stick, **section_fields(stick.section), end_trim=None if stick.trims == trims else stick.trims)


class _YardsPiece(PieceLine):
    """A line of what a yard has."""

    yard: NameField | None = Field(
        default=None, description="Which yard has it; left out in a job without yards.", examples=["Harbour Steel"]
    )

    def told(self, **more: Any) -> dict[str, Any]:
        """Return no yard as an empty name, and the rest."""
        return super().told(yard=self.yard or "", **more)

    @classmethod
    def of(cls, value: Stick, **more: Any) -> Self:
        """Return the line that states a stick."""
        return super().of(value, yard=value.yard or None, **more)


class StickLine(Prices, _YardsPiece):
    """Full bars that a yard sells."""

    available: CountField | None = Field(
        default=None, description="How many there are; left out for as many as you like.", examples=[40]
    )
    breaks: tuple[BreakFields, ...] = Field(
        default=(),
        description="Prices for all sticks of this line from a quantity on, in rising order of quantity.",
        examples=[[{"from_quantity": 10, "price": "57.90"}]],
    )

    def told(self, **more: Any) -> dict[str, Any]:
        """Return breaks that have a price, and the rest; what is wrong with the others is said elsewhere."""
        return super().told(breaks=tuple(each.value() for each in self.breaks if each.stated is not None), **more)


class RackLine(Prices, _YardsPiece):
    """Single pieces on a yard's rack of offcuts."""

    discount: DiscountField | None = Field(
        default=None,
        description="Off the lowest price per length of that section's sticks, instead of a price.",
        examples=["40 %"],
    )
    quantity: CountField = Field(default=1, description="How many there are alike.", examples=[2])


class OwnLine(PieceLine):
    """One's own drops: they cost nothing."""

    quantity: CountField = Field(default=1, description="How many there are alike.", examples=[2])

    def told(self, **more: Any) -> dict[str, Any]:
        """Return no price, and the rest."""
        return super().told(price=None, **more)
