"""Sheets that make no job yet: how a page carries the draft it goes on with."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from starlette.concurrency import run_in_threadpool

from api.service.running import Service
from api.sheet.kept import Kept
from api.sheet.understood import SheetRead
from shared.store import DraftRecord

__all__ = ["Shown", "carried", "kept_draft"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown:
    """What a page shows so far.

    Attributes
    ----------
    plan : str
        The job of its answer; may be empty.
    draft : str
        The draft that it goes on with, and behind a dot the digest of what it saw of that; may be empty.
    """

    plan: str
    draft: str

    @property
    def draft_id(self) -> str:
        """The draft's name."""
        return self.draft.rpartition(".")[0]

    @property
    def seen(self) -> str:
        """The digest of what this page saw of it."""
        return self.draft.rpartition(".")[2]


async def kept_draft(service: Service, shown: Shown, read: SheetRead) -> str:
    """Keep a sheet that makes no job yet; return how the page carries it. An empty one isn't kept."""
    if read.form.empty:
        return ""
    document = Kept(form=read.form, also=read.also).to_json()
    keep = partial(service.drafts.keep, document, read.form.title, of=shown.draft_id, seen=shown.seen)
    return carried(await run_in_threadpool(keep))


def carried(draft: DraftRecord) -> str:
    """Return how a page carries a draft; see `Shown`."""
    return f"{draft.id}.{draft.digest}"
