"""Tables of the job file: each field declared once, read into what the job has of it, and written from that again."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, ClassVar, Self, get_args

from pydantic import BaseModel, ConfigDict

__all__ = ["Declared", "Table", "path_of", "table_at", "table_in"]


class Declared(BaseModel):
    """A table of a file: a field that bears the name of an attribute of what the table makes states that attribute."""

    makes: ClassVar[type[Any]]
    """The class that it states."""
    named: ClassVar[Mapping[str, str]] = {}
    """Attributes by field where they have another name than the field."""

    @classmethod
    def attributes(cls) -> dict[str, str]:
        """Return the fields that state one attribute each, and which."""
        known = {field.name for field in dataclasses.fields(cls.makes) if field.init}
        meant = {field: cls.named.get(field, field) for field in cls.model_fields}
        return {field: attribute for field, attribute in meant.items() if attribute in known}


class Table(Declared):
    """A table of the job file: unknown fields are refused by name.

    Fields are read and written as their kinds say; a table within states its own attribute. What several fields say
    together is put together by whoever calls `value` and taken apart by whoever calls `of`.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    def told(self, **more: Any) -> dict[str, Any]:
        """Return attributes by name: those that a field states, and `more` that several state together."""
        alone = {attribute: field for field, attribute in self.attributes().items() if attribute not in more}
        return {attribute: _made(getattr(self, field)) for attribute, field in alone.items()} | more

    def value(self, **more: Any) -> Any:
        """Return what it states."""
        return self.makes(**self.told(**more))

    @classmethod
    def of(cls, value: Any, **more: Any) -> Self:
        """Return the table that states a value; `more` are fields of its own that no attribute alone is stated by."""
        told = {field: value for field, value in more.items() if field in cls.model_fields}
        for field, attribute in cls.attributes().items():
            if field not in more:
                told[field] = _stated(table_in(cls.model_fields[field].annotation), getattr(value, attribute))
        return cls.model_construct(**told)


def _made(field: Any) -> Any:
    if isinstance(field, tuple):
        return tuple(map(_made, field))
    return field.value() if isinstance(field, Table) else field


def _stated(table: type[Table] | None, value: Any) -> Any:
    if table is None or value is None:
        return value
    return tuple(map(table.of, value)) if isinstance(value, tuple) else table.of(value)


def table_in(annotation: Any) -> type[Table] | None:
    """Return the table named in an annotation such as ``TaxFields | None`` or ``tuple[BreakFields, ...]``."""
    return next(_tables(annotation), None)


def _tables(annotation: Any) -> Iterator[type[Table]]:
    if isinstance(annotation, type) and issubclass(annotation, Table):
        yield annotation
    for inner in get_args(annotation):
        yield from _tables(inner)


def table_at(table: type[Table], loc: Sequence[int | str]) -> type[Table]:
    """Return the table that a place within a table is about: the innermost one that the place leads into."""
    for step in loc:
        if isinstance(step, str) and step in table.model_fields:
            table = table_in(table.model_fields[step].annotation) or table
    return table


def path_of(where: str, loc: Sequence[int | str]) -> str:
    """Return the field path of a place within a table.

    Examples
    --------
    >>> path_of("parts[3]", ("substitutes", 0, "section")), path_of("", ("unit",))
    ('parts[3].substitutes[0].section', 'unit')
    """
    steps = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in loc)
    return f"{where}{steps}" if where else steps.removeprefix(".")
