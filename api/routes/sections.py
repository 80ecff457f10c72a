"""Sections: what a name means, what is in the table."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

from fastapi import APIRouter, Query
from pydantic import BaseModel, ConfigDict, Field
from starlette.concurrency import run_in_threadpool

from api.routes.common import problems
from api.service.problems import ApiError, Fault, Kind
from cutting.question.errors import SectionError
from cutting.question.job import Section
from shared.sections import understand
from shared.sections.table import rows
from shared.wording.amounts import decimal_text

__all__ = ["router"]

router = APIRouter(prefix="/v1/sections", tags=["sections"])

_PLACES = 4


class SectionBody(BaseModel):
    """A section."""

    model_config = ConfigDict(frozen=True)

    name: str = Field(examples=["SHS 2x2x1/8"])
    material: str = Field(examples=["galvanised"])
    family: str = Field(description="Empty where the name is not one we know.", examples=["shs"])
    mass: str | None = Field(description="kg per metre; null where unknown.", examples=["4.5389"])
    surface: str | None = Field(description="m2 per metre; null where unknown.", examples=["0.1954"])
    source: str = Field(description="Where the mass comes from.")


class SectionList(BaseModel):
    """Sections of the table."""

    model_config = ConfigDict(frozen=True)

    sections: tuple[SectionBody, ...]


@router.get("/read", summary="Read a section's name", responses=problems(Kind.INVALID_PARAMETERS))
async def read_section(
    name: Annotated[str, Query(min_length=1, max_length=100, examples=["2x2x1/8 sq tube"])],
    material: Annotated[str, Query(max_length=100)] = "",
) -> SectionBody:
    """Say what a section's name is understood as; a name with two readings is refused with both."""
    try:
        return _body(await run_in_threadpool(understand, name, material))
    except SectionError as error:
        choices = f" ({' | '.join(error.choices)})" if error.choices else ""
        fault = Fault(detail=error.message + choices, parameter="name", text=name)
        raise ApiError(kind=Kind.INVALID_PARAMETERS, detail=error.message, faults=(fault,)) from None


@router.get("", summary="Look sections up", responses=problems(Kind.INVALID_PARAMETERS))
async def list_sections(
    search: Annotated[
        str, Query(max_length=100, description="Words that the name must have.", examples=["SHS 2x2"])
    ] = "",
) -> SectionList:
    """List the sections of the table whose names have all the words."""
    words = search.lower().split()
    found = [row for row in rows() if all(word in row.name.lower() for word in words)]
    return SectionList(
        sections=tuple(
            SectionBody(
                name=row.name,
                material="",
                family=understand(row.name).family,
                mass=decimal_text(row.mass, _PLACES),
                surface=_text(row.surface),
                source=row.source,
            )
            for row in found
        )
    )


def _body(section: Section) -> SectionBody:
    return SectionBody(
        name=section.name,
        material=section.material,
        family=section.family,
        mass=_text(section.mass),
        surface=_text(section.surface),
        source=section.source,
    )


def _text(value: Fraction | None) -> str | None:
    return None if value is None else decimal_text(value, _PLACES)
