"""A result as a notebook shows it: how good it is, what to buy, and a bar for each layout on one scale."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from html import escape
from typing import Final

from cutting.answer.plan import Cut, Objective, Plan, Result, Status
from cutting.question.job import Source
from cutting.question.lengths import Unit
from cutting.question.money import from_minor, minor_digits
from cutting.question.tape import told_length

__all__ = ["result_html"]

_WIDTH: Final = 760
_HEIGHT: Final = 26
_LETTER: Final = 7
_MOST_DRAWN: Final = 40
_SHADES: Final = ("#dfe7ee", "#c7d5e1", "#eef1e3", "#d9e2c5", "#f1e6d6", "#e4d1b4")
_SAID: Final = {
    Status.OPTIMAL: "Nothing cheaper exists.",
    Status.INFEASIBLE: "No plan can exist.",
    Status.UNKNOWN: "No plan was found in this time, and none was ruled out.",
}
_FROM: Final = {Source.STICKS: "yard", Source.RACK: "yard's rack", Source.OWN: "own"}


def result_html(result: Result) -> str:
    """Return a result as HTML with drawings in SVG; everything that a job may name is escaped.

    Parameters
    ----------
    result : Result
        Of `solve`; lengths are shown in its job's unit, as a tape shows them.
    """
    plan = result.plan
    if plan is None:
        reasons = "".join(f"<li>{escape(reason)}</li>" for reason in result.proof.infeasible)
        return f"<div><p><b>{_SAID[result.status]}</b></p><ul>{reasons}</ul></div>"
    writer = _Writer(result, plan)
    return f"<div>{writer.lead()}{writer.buy()}{writer.drawings()}</div>"


class _Writer:
    def __init__(self, result: Result, plan: Plan) -> None:
        job = result.job
        self._result, self._plan = result, plan
        self._unit = Unit.MM if job is None else job.unit
        self._tape = None if job is None else job.tape
        self._currency = "" if job is None else job.currency or ""
        self._scale = max((cut.length for cut in plan.cuts), default=Fraction(1))
        marks = dict.fromkeys(piece.mark for cut in plan.cuts for piece in cut.pieces)
        self._shades = {mark: _SHADES[number % len(_SHADES)] for number, mark in enumerate(marks)}

    def lead(self) -> str:
        sticks = sum(line.quantity for line in self._plan.buy)
        gap = self._result.gap or Fraction(0)
        proven = _SAID.get(self._result.status, f"At most {self._worth(gap, math.ceil)} could still be saved.")
        return f"<p><b>{sticks} pieces of steel, {self._worth(self._plan.cost)}.</b> {proven}</p>"

    def buy(self) -> str:
        heads = ("", "section", "length", "from", "id", f"each {self._currency}", f"cost {self._currency}")
        rows = [
            (
                str(line.quantity),
                line.section.label,
                self._length(line.length),
                _FROM[line.source],
                line.stick,
                "" if line.price is None else f"{line.price:,}",
                "" if line.cost is None else f"{line.cost:,}",
            )
            for line in self._plan.buy
        ]
        return _table(heads, rows)

    def drawings(self) -> str:
        cuts = self._plan.cuts
        drawn = "".join(self._drawing(number, cut) for number, cut in enumerate(cuts[:_MOST_DRAWN], start=1))
        more = len(cuts) - _MOST_DRAWN
        return drawn + (f"<p>{more} further layouts are not drawn; cut_table lists them all.</p>" if more > 0 else "")

    def _drawing(self, number: int, cut: Cut) -> str:
        words = f"{number}. {cut.quantity} of {cut.section.label}, {self._length(cut.length)} ({cut.stick})"
        body = "".join(self._shapes(cut))
        return (
            f'<p style="margin:.6em 0 0">{escape(words)}</p><svg xmlns="http://www.w3.org/2000/svg" role="img" '
            f'width="{_WIDTH}" height="{_HEIGHT}" viewBox="0 0 {_WIDTH} {_HEIGHT}" '
            f'font-family="sans-serif" font-size="11"><title>{escape(words)}</title>{body}</svg>'
        )

    def _shapes(self, cut: Cut) -> Iterator[str]:
        yield _box(0, self._at(cut.length), "#ffffff", f"drop {self._length(cut.drop)}")
        spans = [(piece, self._at(piece.start), self._at(piece.end)) for piece in cut.pieces]
        for piece, start, end in spans:
            yield _box(start, end - start, self._shades[piece.mark], f"{piece.mark} {self._length(piece.length)}")
        for piece, start, end in spans:  # above all boxes: angled ends reach into each other
            words = (f"{piece.mark} {self._length(piece.length)}", piece.mark)
            fitting = next((text for text in words if len(text) * _LETTER < end - start), "")
            middle = (start + end) / 2
            yield f'<text x="{middle:.1f}" y="17" text-anchor="middle" fill="#1a1a1a">{escape(fitting)}</text>'

    def _at(self, mm: Fraction) -> float:
        return float(mm / self._scale) * (_WIDTH - 2) + 1

    def _length(self, mm: Fraction) -> str:
        return told_length(mm, self._unit, self._tape)

    def _worth(self, value: Fraction, rounding: Callable[[Fraction], int] = round) -> str:
        """Write a value of the objective: money in the currency's smallest coin, weight in tenths of a kg."""
        if self._plan.objective is Objective.MONEY:
            coins = rounding(value * 10 ** minor_digits(self._currency))
            return f"{self._currency} {from_minor(coins, self._currency):,}"
        if self._plan.objective is Objective.WEIGHT:
            return f"{Decimal(rounding(value * 10)) / 10:,} kg"
        return self._length(value)


def _box(start: float, width: float, fill: str, words: str) -> str:
    return (
        f'<rect x="{start:.1f}" y="1" width="{max(width, 0.5):.1f}" height="{_HEIGHT - 2}" fill="{fill}" '
        f'stroke="#5a5a5a" stroke-width="0.6"><title>{escape(words)}</title></rect>'
    )


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    head = "".join(f"<th>{escape(text)}</th>" for text in heads)
    body = "".join("<tr>" + "".join(f"<td>{escape(text)}</td>" for text in row) + "</tr>" for row in rows)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
