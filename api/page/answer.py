"""The answer as the page shows it: made once for each plan, kept for a while, shared by page and phone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from markupsafe import Markup

from api.service.runner.answers import result_of_plan
from api.service.runner.ways import has_ways
from shared.files.job import read_job
from shared.files.plan.name import plan_id
from shared.store import JobRecord, Store
from shared.view import LayoutView, View, present
from shared.view.drawing import plan_bars
from shared.view.drawing.overview import Overview, overviews
from shared.writers.svg import draw
from shared.writers.svg.thin import longest_of, patterns, thin_bar

__all__ = ["Answer", "Bar", "ThinBar", "answer_of"]

_WIDE = 180.0
_NARROW = 96.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Bar:
    """One layout with its drawing.

    Attributes
    ----------
    layout : LayoutView
        Every text of it.
    wide, narrow : Markup
        The drawing for a sheet and for a phone.
    """

    layout: LayoutView
    wide: Markup
    narrow: Markup


@dataclass(frozen=True, kw_only=True, slots=True)
class ThinBar:
    """One layout at a glance.

    Attributes
    ----------
    number, quantity : int
        The layout's, and sticks cut alike.
    length : str
        Of the whole stick.
    source : str
        ``sticks``, ``rack`` or ``own``.
    drawing : Markup
        On the scale of all.
    """

    number: int
    quantity: int
    length: str
    source: str
    drawing: Markup


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """A plan, or why there is none, ready for the page.

    Attributes
    ----------
    view : View
        Every text.
    bars : tuple of Bar
        Layouts with their drawings.
    thin : tuple of (str, tuple of ThinBar)
        By section all layouts on one scale.
    shades : Markup
        What their parts are shaded with.
    name : str
        The plan's short name on paper, empty without a plan.
    final : bool
        No better plan will come.
    comparable : bool
        Whether there is another way to buy.
    """

    view: View
    bars: tuple[Bar, ...]
    thin: tuple[tuple[str, tuple[ThinBar, ...]], ...]
    shades: Markup
    name: str
    final: bool
    comparable: bool


def answer_of(store: Store, record: JobRecord) -> Answer | None:
    """Return what a job has for an answer so far; None where there is nothing yet."""
    plan = store.plan(record.id)
    document = store.document(record.id)
    if plan is None or document is None:
        return None
    return _made(document, plan.document, record.seconds or 0.0, final=plan.final)


@lru_cache(maxsize=32)
def _made(document: bytes, plan: bytes, seconds: float, *, final: bool) -> Answer:
    job, problems = read_job(document, name="job.json")
    if job is None:
        raise ValueError(f"the store's job can't be read: {problems[0].where}: {problems[0].message}")
    result = result_of_plan(job, plan, seconds)
    view = present(job, result)
    bars = () if result.plan is None else plan_bars(job, result.plan)
    cut = [layout for layout in view.layouts if layout.pieces]  # a carried piece that no part is cut from isn't drawn
    seen = overviews(cut, bars)
    return Answer(
        view=view,
        bars=tuple(
            Bar(layout=layout, wide=_svg(draw(bar, _WIDE).svg()), narrow=_svg(draw(bar, _NARROW).svg()))
            for layout, bar in zip(cut, bars, strict=True)
        ),
        thin=tuple((each.section, tuple(_thin_bars(each, cut, longest_of(seen)))) for each in seen),
        shades=_svg(patterns()),
        name="" if result.plan is None else plan_id(job, result.plan),
        final=final,
        comparable=result.plan is not None and has_ways(job),
    )


def _thin_bars(section: Overview, layouts: Sequence[LayoutView], longest: Fraction) -> Iterator[ThinBar]:
    lengths = {layout.number: layout.length.full for layout in layouts}
    for bar in section.bars:
        yield ThinBar(
            number=bar.number,
            quantity=bar.quantity,
            length=lengths[bar.number],
            source=bar.source,
            drawing=_svg(thin_bar(bar, longest)),
        )


def _svg(text: str) -> Markup:
    return Markup(text)  # noqa: S704  every text in a drawing is escaped where it is drawn: shared.writers.svg.lettering.safe
