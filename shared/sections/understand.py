"""From a section's name, however it is written, to the section that the engine and the weights know."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

from cutting.question.errors import SectionError
from cutting.question.job import Section
from shared.sections.designations import Designation, find_designation
from shared.sections.materials import PLAIN, STEEL, finish_words, material_of
from shared.sections.readers import Question, read
from shared.sections.rolled import Rolled, rolled
from shared.sections.scan import System, plain, scan
from shared.sections.shapes import Family, Shape, area, perimeter, sides, walls
from shared.sections.spelling import put_straight
from shared.sections.table import tabulated
from shared.sections.words import Tag, tags_of

__all__ = ["System", "UnfinishedSectionError", "understand"]

_LONGEST_NAME: Final = 200
_MICRO: Final = 10**6
_BEAM_WORDS: Final = frozenset(
    {"beam", "beams", "i-beam", "h-beam", "joist", "column", "viga", "vigas", "trave", "travi", "poutrelle"}
    | {"poutrelles", "träger", "balk", "bjelke", "bjælke"}
)
_PLATE: Final = re.compile(r"^(?:pl|plt|plate)\b\.?\s?(?=[\d¼½¾⅛⅜⅝⅞.])", re.IGNORECASE)
_BESIDE: Final = frozenset({Tag.CHANNEL, Tag.UPN, Tag.TEE, Tag.BAR, Tag.SOLID})
"""What may be said of a rolled shape beside its designation."""


class UnfinishedSectionError(SectionError):
    """A section name lacks a dimension (``tube 2``): more of it may stand elsewhere in a line."""


@lru_cache(maxsize=4096)
def understand(name: str, material: str = "", *, system: System | None = None) -> Section:
    """Return the section that a name stands for.

    Parameters
    ----------
    name : str
        As people write it: ``SHS 40x40x3``, ``3x2x1/8 rect tube``, ``L2x2x3/16``, ``C3x4.1``, ``Pipe 1-1/4 sch 40``,
        ``FB 50x5``. Whether dimensions are inches or mm is settled by what is written (marks, fractions, gauge) or by
        what can exist.
    material : str
        Grade and finish. Where it is empty, such words in the name are taken.
    system : System or None
        The unit that the surroundings suggest; used only where the name alone has two readings.

    Returns
    -------
    Section
        With its canonical name, mass and surface where the family is known; otherwise the plain name, spaces
        collapsed, without mass.

    Raises
    ------
    SectionError
        The name has two readings, or contradicts itself ("square" but 3x2).

    Examples
    --------
    >>> understand("3x2 x .125 rect tube").name, understand("UPN-100").mass
    ('RHS 3x2x1/8', Fraction(53, 5))
    >>> understand("our old rail").mass is None
    True
    >>> understand("pipe 1-1/4")
    Traceback (most recent call last):
    cutting.question.errors.SectionError: which schedule? write PIPE 1-1/4 sch 40 or PIPE 1-1/4 sch 80: 'pipe 1-1/4'
    """
    text = " ".join(name.split())
    material = " ".join(material.split())
    if len(text) > _LONGEST_NAME:
        return Section(name=text, material=material)
    designated = _designated(text)
    shape, finish = designated or _shape(text, system)
    if shape is None:
        return Section(name=text, material=material)
    said = material.lower()
    words = [word for word in finish if word not in {*said.split(), *PLAIN} and not (" " in word and word in said)]
    return _section(shape, " ".join([*([material] if material else []), *words]))


def _designated(text: str) -> tuple[Rolled, list[str]] | None:
    """Return the rolled shape whose designation a name is, with the words for its finish; None where it is none."""
    found = find_designation(plain(text))
    if found is None:
        return None
    finish = _beside(found)
    if finish is None:
        return None
    row = rolled(found.name)
    if row is None:
        raise _asked(text, found.question, list(found.choices))
    return row, finish


def _beside(found: Designation) -> list[str] | None:
    """Return the words for the finish that stand beside a designation; None where more than those stands there."""
    spec = scan(found.rest)
    tags = {tag for word in spec.words for tag in tags_of(word)}
    loose = [word for word in spec.loose if word not in _BEAM_WORDS]
    finish = finish_words(loose)
    foreign = spec.numbers or spec.gauge is not None or spec.schedule or tags - _BESIDE or len(finish) < len(loose)
    return None if foreign else finish


def _asked(text: str, question: str, names: list[str]) -> SectionError:
    """Return the error that asks which of these sections a name stands for."""
    message = question + (f"; write {' or '.join(names)}" if names else "")
    return SectionError(text, message.replace("?;", "?"), names)


def _shape(text: str, system: System | None) -> tuple[Shape | Rolled | None, list[str]]:
    """Return the shape of a name (None where it is none we know) and the words for its finish."""
    try:
        spec = scan(_PLATE.sub("flat ", put_straight(plain(text))))
    except ZeroDivisionError:
        return None, []
    finish = finish_words(list(spec.loose))
    if len(finish) < len(spec.loose):
        return None, []
    try:
        shape = read(spec, system)
        if shape is not None and _PLATE.match(text):
            raise Question("a flat bar, or a piece of plate, which no stick gives?", [shape])  # noqa: TRY301
        return (shape and rolled(shape.name)) or shape, finish
    except Question as question:
        if question.unfinished:
            raise UnfinishedSectionError(text, question.message) from None
        raise _asked(text, question.message, [shape.name for shape in question.choices]) from None


def _section(shape: Shape | Rolled, material: str) -> Section:
    """Return the section with what is known of its mass and surface."""
    substance = material_of(material)
    mass, surface, source = _weigh(shape)
    if substance is None or mass is None:
        mass, source = None, ""
    elif substance.density != STEEL.density:
        mass *= substance.density / STEEL.density
        source += f"; {substance.name} at {substance.density} kg/m3, {substance.source}"
    return Section(
        name=shape.name,
        material=material,
        mass=None if mass is None else _rounded(mass),
        surface=None if surface is None else _rounded(surface),
        family=shape.family if isinstance(shape, Rolled) else shape.family.value,
        sides=shape.sides if isinstance(shape, Rolled) else sides(shape),
        walls=shape.walls if isinstance(shape, Rolled) else walls(shape),
        source=source,
    )


def _rounded(value: Fraction) -> Fraction:
    """Round to the sixth decimal: finer than any table, and free of the digits of pi."""
    return Fraction(round(value * _MICRO), _MICRO)


def _weigh(shape: Shape | Rolled) -> tuple[Fraction | None, Fraction | None, str]:
    """Return kg/m of plain steel, outside m2/m, and where the mass comes from."""
    if isinstance(shape, Rolled):
        return shape.mass, shape.surface, shape.source
    row = tabulated(shape.name)
    outline, cross = perimeter(shape), area(shape)
    surface = None if outline is None else outline / 1000
    if row is not None:
        return row.mass, row.surface if surface is None else surface, row.source
    if shape.by_weight:
        pounds = shape.numbers[1] * Fraction("0.45359237") / Fraction("0.3048")
        return pounds, surface, "lb/ft stated in the section's name (AISC naming)"
    if cross is None:
        return None, surface, ""
    corners = ", rounded corners" if shape.family in {Family.SHS, Family.RHS} else ""
    fillets = ", without fillets" if shape.family in {Family.ANGLE, Family.TEE} else ""
    return cross * STEEL.density / _MICRO, surface, f"nominal geometry{corners}{fillets}, 7850 kg/m3"
