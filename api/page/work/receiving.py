"""What came, as it was ticked and written on the page."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from api.service.measured import read_length
from api.service.problems import Fault
from cutting.question.errors import LengthError
from cutting.question.lengths import Unit
from shared.work.rack.bars import Received, bar_name

__all__ = ["received_from"]

_LONGEST_HEAT = 60


def received_from(values: Mapping[str, str], unit: Unit) -> tuple[tuple[Received, ...], tuple[Fault, ...]]:
    """Read what came.

    Parameters
    ----------
    values : mapping of str to str
        The form's fields; the name of each starts with what it says, and ends with the piece's number.
    unit : Unit
        What a bare length means.

    Returns
    -------
    tuple of (tuple of Received, tuple of Fault)
        One line for each piece about which something is said, and everything that is wrong.
    """
    lines: list[Received] = []
    faults: list[Fault] = []
    for name, kind in values.items():
        number = name.removeprefix("kind-")
        if name.startswith("kind-") and number.isdecimal():
            try:
                line = _line(values, int(number), kind, unit)
            except LengthError as error:
                faults.append(Fault(detail=f"{bar_name(int(number))}: {error.wanted} (it says {error.text})."))
                continue
            lines += [] if line is None else [line]
    if not lines and not faults:
        faults.append(Fault(detail="Nothing was ticked: say which sticks came."))
    return tuple(lines), tuple(faults)


def _line(values: Mapping[str, str], number: int, kind: str, unit: Unit) -> Received | None:
    """Return what is said about one piece; one that was measured or has a heat number has come."""
    if f"never-{number}" in values:
        return Received(bar=number, came=False, cancel=True)
    length = _length(values.get(f"length-{number}", ""), unit)
    heat = _text(values, f"heat-{number}")
    if not (f"came-{number}" in values or f"all-{kind}" in values or length is not None or heat):
        return None
    return Received(bar=number, length=length, heat=heat or _text(values, f"heat-all-{kind}"))


def _length(text: str, unit: Unit) -> Fraction | None:
    return read_length(text, unit) if text.strip() else None


def _text(values: Mapping[str, str], name: str) -> str:
    return " ".join(values.get(name, "").split())[:_LONGEST_HEAT]
