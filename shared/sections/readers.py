"""Read a section that is named by its family and its dimensions: one reader per family."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Final

from shared.sections.scan import Number, Spec, System
from shared.sections.shapes import Family, Shape, plausible
from shared.sections.sizes import EN_10255, GAUGE, PIPE, PIPE_DN
from shared.sections.words import Tag, tags_of

__all__ = ["Question", "read"]


_WIDEST_IN_INCHES: Final = 24
_ROUND_UNSAID: Final = frozenset(
    {"hss", "rohr", "rohre", "stahlrohr", "stahlrohre", "dom", "ror", "rør", "stalror", "stålrør"}
)
"""Words for a tube that is round where one outer size is given and nothing else is said."""


class Question(Exception):  # noqa: N818
    """A reading needs an answer; `choices` are the shapes it may be, `unfinished` says that a dimension lacks."""

    def __init__(self, message: str, choices: list[Shape], *, unfinished: bool = False) -> None:
        self.message = message
        self.choices = choices
        self.unfinished = unfinished
        super().__init__(message)


def read(spec: Spec, system: System | None) -> Shape | None:
    """Find the family that the words name, and its shape."""
    tags = {tag for word in spec.words for tag in tags_of(word)}
    for wanted, reader in _READERS:
        if tags & wanted:
            return reader(spec, tags, system)
    if spec.gauge is not None and len(spec.numbers) == 2 and not tags:  # noqa: PLR2004
        return _hollow(spec, {Tag.HOLLOW}, system)  # 2x2x16ga: nothing else is named by two sides and a gauge
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
        raise Question("inches and millimetres in one name; write all its dimensions in one unit", [])
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
        raise Question("inches or millimetres?", choices)
    return Shape(family=family, system=possible[0], numbers=numbers) if possible else None


def _hollow(spec: Spec, tags: set[Tag], system: System | None) -> Shape | None:
    """Read a hollow section: three dimensions, or two where square or round is said."""
    if tags & {Tag.ANGLE, Tag.CHANNEL, Tag.FLAT, Tag.UPN, Tag.SOLID, Tag.BAR}:
        return None
    walled = _walled(spec)
    if walled is None:
        if len(spec.numbers) == 1:
            raise Question("how thick is its wall? Write that too, behind the outer size", [], unfinished=True)
        return None
    outer, wall = walled
    if spec.gauge is not None and min(outer) > _WIDEST_IN_INCHES:
        raise Question("a gauge beside millimetres, and British gauges are not the American ones: write the wall", [])
    if wall * 2 >= outer[-1] or len(outer) > 2:  # noqa: PLR2004
        return None
    if len(outer) == 1:
        return _one_side(spec, tags, outer[0], wall, system)
    if Tag.ROUND in tags:
        return None
    if Tag.SQUARE in tags and outer[0] != outer[1]:
        raise Question("called square, but its sides differ; call it rectangular or correct a side", [])
    family = Family.SHS if outer[0] == outer[1] else Family.RHS
    return _settle(family, (*outer, wall), spec, system)


def _one_side(spec: Spec, tags: set[Tag], side: Fraction, wall: Fraction, system: System | None) -> Shape | None:
    """Read a hollow section of which only one outer dimension is given."""
    if Tag.SQUARE in tags:
        return _settle(Family.SHS, (side, side, wall), spec, system)
    if Tag.RECTANGULAR in tags:
        return None
    if Tag.ROUND in tags or _ROUND_UNSAID & set(spec.words):
        return _settle(Family.CHS, (side, wall), spec, system)
    readings = (
        _settle(Family.CHS, (side, wall), spec, system),
        _settle(Family.SHS, (side, side, wall), spec, system),
    )
    choices = [shape for shape in readings if shape]
    if not choices:
        return None
    raise Question("round or square tube?", choices)


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
    series = _en_10255(spec, size) if spec.dn else []
    if spec.dn:
        size = PIPE_DN.get(int(size), Fraction(0))
    if spec.schedule:
        return _nominal(size, spec.schedule) if (spec.schedule, size) in PIPE else None
    if len(series) == 1:
        return series[0]
    choices = [_nominal(size, schedule) for schedule in ("40", "80") if (schedule, size) in PIPE]
    if series or choices:
        raise Question("how thick is its wall?" if spec.dn else "which schedule?", [*choices, *series])
    return None


def _en_10255(spec: Spec, size: Fraction) -> list[Shape]:
    """Return the pipes of EN 10255 that a nominal size in mm can be, by the series where one is said."""
    if size not in EN_10255:
        return []
    outside, medium, heavy = EN_10255[int(size)]
    walls = [wall for series, wall in (("medium", medium), ("heavy", heavy)) if spec.series in {"", series}]
    return [Shape(family=Family.CHS, system=System.MM, numbers=(outside, wall)) for wall in walls]


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
    raise Question("is that the outside diameter, or a pipe's nominal size?", [shape, other])


def _angle(spec: Spec, tags: set[Tag], system: System | None) -> Shape | None:
    """Read an angle: two legs and a thickness, or one leg where both are equal."""
    values = sorted((number.value for number in spec.numbers), reverse=True)
    if tags - {Tag.ANGLE, Tag.BAR, Tag.SOLID} or spec.gauge is not None:
        return None
    if len(values) == 2 and values[1] * 2 < values[0]:  # noqa: PLR2004
        values.insert(0, values[0])
    if len(values) == 2 and values[0] == values[1]:  # noqa: PLR2004
        raise Question("how thick is it? Write that too, behind its two legs", [], unfinished=True)
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
    """Read a channel: depth and lb/ft (US), or depth, flange and thickness."""
    values = tuple(number.value for number in spec.numbers)
    if tags - {Tag.CHANNEL, Tag.BAR} or spec.gauge is not None:
        return None
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
        raise Question("round or square bar?", [shape for shape in readings if shape])
    return None


def _hex(spec: Spec, tags: set[Tag], system: System | None) -> Shape | None:
    """Read a hexagon bar: one size, across its flats."""
    if tags - {Tag.HEX, Tag.BAR, Tag.SOLID} or spec.gauge is not None or len(spec.numbers) != 1:
        return None
    return _settle(Family.HEX, (spec.numbers[0].value,), spec, system)


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
    ({Tag.HEX}, _hex),
    ({Tag.SQUARE, Tag.RECTANGULAR, Tag.ROUND}, _square_or_round),
    ({Tag.FLAT, Tag.BAR, Tag.SOLID}, _bar),
)
