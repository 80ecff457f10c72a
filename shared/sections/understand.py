"""From a section's name, however it is written, to the section that the engine and the weights know."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from typing import Final

from cutting.question.errors import SectionError
from cutting.question.job import Section
from shared.sections.materials import PLAIN, STEEL, finish_words, material_of
from shared.sections.scan import Number, Spec, System, scan
from shared.sections.shapes import Family, Shape, area, perimeter, plausible, sides, walls
from shared.sections.sizes import GAUGE, PIPE, PIPE_DN, UPN_FLANGES
from shared.sections.table import tabulated
from shared.sections.words import Tag, tags_of

__all__ = ["System", "understand"]

_LONGEST_NAME: Final = 200
_MICRO: Final = 10**6


class _Question(Exception):  # noqa: N818
    """A reading needs an answer; `choices` are the shapes it may be."""

    def __init__(self, message: str, choices: list[Shape]) -> None:
        self.message = message
        self.choices = choices
        super().__init__(message)


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
    shape, finish = _shape(text, system)
    if shape is None:
        return Section(name=text, material=material)
    words = [word for word in finish if word not in {*material.lower().split(), *PLAIN}]
    return _section(shape, " ".join([*([material] if material else []), *words]))


def _shape(text: str, system: System | None) -> tuple[Shape | None, list[str]]:
    """Return the shape of a name (None where it is none we know) and the words for its finish."""
    if len(text) > _LONGEST_NAME:
        return None, []
    try:
        spec = scan(text)
    except ZeroDivisionError:
        return None, []
    finish = finish_words(list(spec.loose))
    if len(finish) < len(spec.loose):
        return None, []
    try:
        return _read(spec, system), finish
    except _Question as question:
        names = [shape.name for shape in question.choices]
        message = question.message + (f"; write {' or '.join(names)}" if names else "")
        raise SectionError(text, message.replace("?;", "?"), names) from None


def _read(spec: Spec, system: System | None) -> Shape | None:
    """Find the family that the words name, and its shape."""
    tags = {tag for word in spec.words for tag in tags_of(word)}
    for wanted, reader in _READERS:
        if tags & wanted:
            return reader(spec, tags, system)
    return None


def _walled(spec: Spec) -> tuple[list[Fraction], Fraction] | None:
    """Return the outer dimensions, larger first, and the wall; None where there aren't two numbers."""
    values = sorted((number.value for number in spec.numbers), reverse=True)
    if spec.gauge is not None:
        wall = GAUGE.get(spec.gauge)
        # "11ga .120" says the wall twice
        outer = [value for value in values if value != wall]
    else:
        wall, outer = (values[-1] if values else None), values[:-1]
    return (outer, wall) if wall and outer else None


def _stated(spec: Spec) -> System | None:
    """Return the unit that the writing settles."""
    stated = {number.system for number in spec.numbers if number.system is not None}
    if spec.gauge is not None:
        stated.add(System.INCH)
    if len(stated) > 1:
        raise _Question("inches and millimetres in one name; write all its dimensions in one unit", [])
    return next(iter(stated), None)


def _settle(family: Family, numbers: tuple[Fraction, ...], spec: Spec, system: System | None) -> Shape | None:
    """Settle the unit of a shape: as written, as only possible, as hinted, or ask."""
    possible = plausible(family, numbers)
    stated = _stated(spec)
    if stated:
        return Shape(family=family, system=stated, numbers=numbers) if stated in possible else None
    if len(possible) > 1 and system in possible:
        possible = [system]
    if len(possible) > 1:
        choices = [Shape(family=family, system=each, numbers=numbers) for each in possible]
        raise _Question("inches or millimetres?", choices)
    return Shape(family=family, system=possible[0], numbers=numbers) if possible else None


def _hollow(spec: Spec, tags: set[Tag], system: System | None) -> Shape | None:
    """Read a hollow section: three dimensions, or two where square or round is said."""
    walled = _walled(spec)
    if walled is None or tags & {Tag.ANGLE, Tag.CHANNEL, Tag.FLAT, Tag.UPN, Tag.SOLID, Tag.BAR}:
        return None
    outer, wall = walled
    if wall * 2 >= outer[-1] or len(outer) > 2:  # noqa: PLR2004
        return None
    if len(outer) == 1:
        return _one_side(spec, tags, outer[0], wall, system)
    if Tag.ROUND in tags:
        return None
    if Tag.SQUARE in tags and outer[0] != outer[1]:
        raise _Question("called square, but its sides differ; call it rectangular or correct a side", [])
    family = Family.SHS if outer[0] == outer[1] else Family.RHS
    return _settle(family, (*outer, wall), spec, system)


def _one_side(spec: Spec, tags: set[Tag], side: Fraction, wall: Fraction, system: System | None) -> Shape | None:
    """Read a hollow section of which only one outer dimension is given."""
    if Tag.SQUARE in tags:
        return _settle(Family.SHS, (side, side, wall), spec, system)
    if Tag.RECTANGULAR in tags:
        return None
    if Tag.ROUND in tags or {"hss", "rohr", "rohre", "stahlrohr", "stahlrohre"} & set(spec.words):
        return _settle(Family.CHS, (side, wall), spec, system)
    readings = (
        _settle(Family.CHS, (side, wall), spec, system),
        _settle(Family.SHS, (side, side, wall), spec, system),
    )
    choices = [shape for shape in readings if shape]
    if not choices:
        return None
    raise _Question("round or square tube?", choices)


def _pipe(spec: Spec, tags: set[Tag], system: System | None) -> Shape | None:
    """Read a pipe: nominal size and schedule, or outside diameter and wall."""
    if tags - {Tag.PIPE, Tag.ROUND, Tag.HOLLOW}:
        return None
    values = [number.value for number in spec.numbers]
    if len(values) == 2 and not spec.schedule:  # noqa: PLR2004
        return _pipe_by_wall(spec, max(values), min(values), system)
    if len(values) != 1:
        return None
    size = values[0]
    if spec.dn:
        size = PIPE_DN.get(int(size), Fraction(0))
    if spec.schedule:
        return _nominal(size, spec.schedule) if (spec.schedule, size) in PIPE else None
    choices = [_nominal(size, schedule) for schedule in ("40", "80") if (schedule, size) in PIPE]
    if choices:
        raise _Question("which schedule?", choices)
    return None


def _nominal(size: Fraction, schedule: str) -> Shape:
    return Shape(family=Family.PIPE, system=System.INCH, numbers=(size,), schedule=schedule)


def _pipe_by_wall(spec: Spec, size: Fraction, wall: Fraction, system: System | None) -> Shape | None:
    """Read a pipe by its wall: nominal or outside, whichever such a pipe exists in; asked where neither does."""
    for (schedule, nominal), (outside, thickness) in PIPE.items():
        if wall == thickness and size in {nominal, outside} and _stated(spec) is not System.MM:
            return _nominal(nominal, schedule)
    shape = _settle(Family.CHS, (size, wall), spec, system) if wall * 2 < size else None
    nominal_outside = PIPE.get(("40", size))
    if shape is None or shape.system is System.MM or nominal_outside is None:
        return shape
    other = Shape(family=Family.CHS, system=System.INCH, numbers=(nominal_outside[0], wall))
    raise _Question("is that the outside diameter, or a pipe's nominal size?", [shape, other])


def _angle(spec: Spec, tags: set[Tag], system: System | None) -> Shape | None:
    """Read an angle: two legs and a thickness, or one leg where both are equal."""
    values = sorted((number.value for number in spec.numbers), reverse=True)
    if tags - {Tag.ANGLE, Tag.BAR, Tag.SOLID} or spec.gauge is not None:
        return None
    if len(values) == 2 and values[1] * 2 < values[0]:  # noqa: PLR2004
        values.insert(0, values[0])
    if len(values) != 3 or values[2] >= values[1]:  # noqa: PLR2004
        return None
    return _settle(Family.ANGLE, (values[0], values[1], values[2]), spec, system)


def _tee(spec: Spec, tags: set[Tag], system: System | None) -> Shape | None:
    """Read a tee as high as it is wide, its web as thick as its flange (EN 10055): two or three dimensions."""
    values = sorted((number.value for number in spec.numbers), reverse=True)
    if tags - {Tag.TEE, Tag.BAR, Tag.SOLID} or spec.gauge is not None:
        return None
    if len(values) == 2:  # noqa: PLR2004
        values.insert(0, values[0])
    if len(values) != 3 or values[0] != values[1] or values[2] * 2 >= values[1]:  # noqa: PLR2004
        return None
    return _settle(Family.TEE, (values[0], values[1], values[2]), spec, system)


def _channel(spec: Spec, tags: set[Tag], system: System | None) -> Shape | None:
    """Read a channel: depth and lb/ft (US), depth alone (UPN), or depth, flange and thickness as written."""
    values = tuple(number.value for number in spec.numbers)
    if tags - {Tag.CHANNEL, Tag.UPN} or spec.gauge is not None:
        return None
    if Tag.UPN in tags:
        known = len(values) == 1 and values[0] in UPN_FLANGES
        return Shape(family=Family.CHANNEL, system=System.MM, numbers=values) if known else None
    if len(values) == 2 and _us_channel(spec.numbers) and "mc" not in spec.words:  # noqa: PLR2004
        return Shape(family=Family.CHANNEL, system=System.INCH, numbers=values)
    if len(values) == 3 and values[0] >= values[1] > values[2]:  # noqa: PLR2004
        return _settle(Family.CHANNEL, values, spec, system)
    return None


def _us_channel(numbers: tuple[Number, ...]) -> bool:
    """Whether two numbers can be a depth in inches and lb/ft: C3x3.5 to C15x50 (AISC)."""
    depth, weight = numbers
    return (
        3 <= depth.value <= 15  # noqa: PLR2004
        and depth.value.denominator == 1
        and depth.value <= weight.value <= 50  # noqa: PLR2004
        and depth.system is not System.MM
        and weight.system is None
    )


def _bar(spec: Spec, tags: set[Tag], system: System | None) -> Shape | None:
    """Read a flat, round or square bar."""
    values = sorted((number.value for number in spec.numbers), reverse=True)
    if spec.gauge is not None or spec.schedule or not values:
        return None
    if Tag.ROUND in tags:
        if tags & {Tag.SQUARE, Tag.FLAT, Tag.RECTANGULAR} or len(values) != 1:
            return None
        return _settle(Family.ROUND, (values[0],), spec, system)
    if Tag.SQUARE in tags:
        if Tag.FLAT in tags or len(set(values)) != 1 or len(values) > 2:  # noqa: PLR2004
            return None
        return _settle(Family.SQUARE, (values[0],), spec, system)
    if len(values) == 2 and tags & {Tag.FLAT, Tag.BAR, Tag.RECTANGULAR}:  # noqa: PLR2004
        return _settle(Family.FLAT, (values[0], values[1]), spec, system)
    if len(values) == 1 and Tag.BAR in tags and Tag.FLAT not in tags:
        readings = [_settle(family, (values[0],), spec, system) for family in (Family.ROUND, Family.SQUARE)]
        raise _Question("round or square bar?", [shape for shape in readings if shape])
    return None


def _square_or_round(spec: Spec, tags: set[Tag], system: System | None) -> Shape | None:
    """Read what is only called square, rectangular or round: hollow where there is a wall, solid otherwise."""
    count = len(spec.numbers) + (spec.gauge is not None)
    hollow = count == 3 or (count == 2 and (Tag.ROUND in tags or spec.gauge is not None))  # noqa: PLR2004
    if hollow and not tags & {Tag.BAR, Tag.SOLID, Tag.FLAT}:
        return _hollow(spec, tags | {Tag.HOLLOW}, system)
    return _bar(spec, tags, system)


_READERS: Final[tuple[tuple[set[Tag], Callable[[Spec, set[Tag], System | None], Shape | None]], ...]] = (
    ({Tag.PIPE}, _pipe),
    ({Tag.HOLLOW}, _hollow),
    ({Tag.ANGLE}, _angle),
    ({Tag.TEE}, _tee),
    ({Tag.CHANNEL, Tag.UPN}, _channel),
    ({Tag.SQUARE, Tag.RECTANGULAR, Tag.ROUND}, _square_or_round),
    ({Tag.FLAT, Tag.BAR, Tag.SOLID}, _bar),
)


def _section(shape: Shape, material: str) -> Section:
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
        family=shape.family.value,
        sides=sides(shape),
        walls=walls(shape),
        source=source,
    )


def _rounded(value: Fraction) -> Fraction:
    """Round to the sixth decimal: finer than any table, and free of the digits of pi."""
    return Fraction(round(value * _MICRO), _MICRO)


def _weigh(shape: Shape) -> tuple[Fraction | None, Fraction | None, str]:
    """Return kg/m of plain steel, outside m2/m, and where the mass comes from."""
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
