"""A proposal for the rest of a work as the page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from api.page.answer import Bar
from shared.view import present
from shared.view.drawing import plan_bars
from shared.work.replan.anew import Replanned
from shared.writers.svg import draw

__all__ = ["ProposalView", "proposal_view"]

_WIDE: Final = 180.0
_NARROW: Final = 96.0


@dataclass(frozen=True, kw_only=True, slots=True)
class ProposalView:
    """A proposal.

    Attributes
    ----------
    headline : str
        What it costs, or that there is none.
    words : tuple of str
        The rest of it, a sentence each.
    bars : tuple of Bar
        The new layouts, drawn.
    possible : bool
        It can be accepted, and would change something.
    """

    headline: str
    words: tuple[str, ...]
    bars: tuple[Bar, ...]
    possible: bool


def proposal_view(proposal: Replanned) -> ProposalView:
    """Show a proposal."""
    return ProposalView(
        headline=proposal.words[0],
        words=proposal.words[1:],
        bars=_bars(proposal),
        possible=proposal.possible and proposal.changes,
    )


def _bars(proposal: Replanned) -> tuple[Bar, ...]:
    if proposal.job is None or proposal.result is None or proposal.plan is None:
        return ()
    view = present(proposal.job, proposal.result)
    cut = [layout for layout in view.layouts if layout.pieces]
    drawn = plan_bars(proposal.job, proposal.plan)
    return tuple(
        Bar(layout=layout, wide=_svg(draw(bar, _WIDE).svg()), narrow=_svg(draw(bar, _NARROW).svg()))
        for layout, bar in zip(cut, drawn, strict=True)
    )


def _svg(text: str) -> Markup:
    return Markup(text)  # noqa: S704  every text in a drawing is escaped where it is drawn: shared.writers.svg.lettering.safe
