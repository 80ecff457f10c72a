"""Tables within tables: which one a validation error is about, and its field path."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, get_args

from pydantic import BaseModel

__all__ = ["model_at", "path_of"]


def path_of(where: str, loc: Sequence[int | str]) -> str:
    """Return the field path of a place within a table.

    Examples
    --------
    >>> path_of("parts[3]", ("substitutes", 0, "section")), path_of("", ("unit",))
    ('parts[3].substitutes[0].section', 'unit')
    """
    steps = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in loc)
    return f"{where}{steps}" if where else steps.removeprefix(".")


def model_at(model: type[BaseModel], loc: Sequence[int | str]) -> type[BaseModel]:
    """Return the table that a place within a table is about: the innermost one that the place leads into."""
    for step in loc:
        if isinstance(step, str) and step in model.model_fields:
            model = next(_models(model.model_fields[step].annotation), model)
    return model


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    """Tables named in an annotation such as ``TaxFields | None`` or ``tuple[BreakFields, ...]``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models(inner)
