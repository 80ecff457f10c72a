"""The one place that calls typst: a template of ours and plain data in, bytes out."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from fractions import Fraction
from importlib.resources import files
from typing import Any, Final

import typst

from shared.writers.pdf.fonts import FACES

__all__ = ["compile_pages", "compile_pdf"]

_compile: Final[Any] = typst.compile  # its stubs don't know yet that several files may be given by name
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)


def compile_pdf(template: str, data: dict[str, Any], day: date) -> bytes:
    """Set a document as PDF.

    Parameters
    ----------
    template : str
        Name of a template in this package.
    data : dict
        Plain data; texts in it are texts, never markup.
    day : date
        The date of the document, also in its metadata: the same data give the same bytes.
    """
    stamp = int((datetime(day.year, day.month, day.day, tzinfo=UTC) - _EPOCH).total_seconds())
    made = _compile(
        _sources(template), format="pdf", ignore_system_fonts=True, sys_inputs=_inputs(data), timestamp=stamp
    )
    assert isinstance(made, bytes)
    return made


def compile_pages(template: str, data: dict[str, Any], dots: float = 100.0) -> list[bytes]:
    """Set a document as one PNG picture a page, at so many dots an inch."""
    made = _compile(_sources(template), format="png", ppi=dots, ignore_system_fonts=True, sys_inputs=_inputs(data))
    return [made] if isinstance(made, bytes) else list(made)


def _sources(template: str) -> dict[str, bytes]:
    """Return the template as the main file, and the file that all templates share: nothing else can be read."""
    folder = files("shared.writers.pdf")
    return {"main.typ": folder.joinpath(template).read_bytes(), "parts.typ": folder.joinpath("parts.typ").read_bytes()}


def _plain(value: object) -> str:
    """Write an exact length: a template sets texts and never looks at it."""
    if isinstance(value, Fraction):
        return str(value)
    raise TypeError(f"no plain data: {value!r}")


def _inputs(data: dict[str, Any]) -> dict[str, str]:
    return {"data": json.dumps({**data, "faces": FACES}, ensure_ascii=False, default=_plain)}
