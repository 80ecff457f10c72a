"""What is kept of a sheet beside its job."""

from __future__ import annotations

import json
from dataclasses import dataclass

from api.sheet.form import SheetForm

__all__ = ["Kept"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Kept:
    """A sheet as written, and what it needs beside bar stock.

    Attributes
    ----------
    form : SheetForm
        As written.
    also : tuple of str
        Lines that are no bar stock.
    """

    form: SheetForm
    also: tuple[str, ...]

    def to_json(self) -> bytes:
        """Return it as it is kept."""
        return json.dumps({"form": json.loads(self.form.to_json()), "also": self.also}, ensure_ascii=False).encode()

    @classmethod
    def from_json(cls, document: bytes) -> Kept:
        """Return what was kept."""
        table = json.loads(document)
        return cls(form=SheetForm.of(table["form"]), also=tuple(table["also"]))
