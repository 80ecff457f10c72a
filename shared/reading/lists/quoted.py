"""Lines quoted from an earlier mail below a list of one's own: asked, as they may have been ordered already."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from shared.reading.lists.entry import Entry
from shared.reading.values.draft import Ask, Rewrite
from shared.reading.values.result import COUNTING

__all__ = ["ask_quoted"]

_QUOTED: Final = re.compile(r"\s*>[>\s]*")


def ask_quoted(entries: Sequence[Entry]) -> None:
    """Ask whether quoted lines count, where others aren't quoted; a list that is quoted as a whole is a list."""
    counting = [entry for entry in entries if entry.kind in COUNTING]
    quoted = [entry for entry in counting if entry.row.text.lstrip().startswith(">")]
    if len(quoted) == len(counting):
        return
    for entry in quoted:
        if entry.sure:
            continue
        found = _QUOTED.match(entry.row.text)
        assert found is not None
        rewrite = Rewrite(reading="it counts", start=0, end=found.end(), text="")
        entry.ask(Ask(message="quoted from an earlier mail: does it count?", position=0, rewrites=(rewrite,)))
