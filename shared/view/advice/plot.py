"""The worth of offcuts drawn as SVG: black on white, a staircase for each section."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from html import escape

from cutting.asking.worth import Step, Worth
from cutting.question.job import Job
from shared.wording.sentences import worth_text
from shared.wording.tape import tape_of

__all__ = ["staircases"]

_Place = Callable[[Fraction], str]
_WIDE, _HIGH = 640, 240
_LEFT, _RIGHT, _TOP, _FOOT = 96, 24, 40, 44


def staircases(job: Job, found: Sequence[Worth]) -> str:
    """Draw each section's staircase below the other."""
    high = _HIGH * max(len(found), 1)
    drawn = "".join(
        f'<g transform="translate(0 {index * _HIGH})">{"".join(_staircase(job, each))}</g>'
        for index, each in enumerate(found)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {high}" width="{_WIDE}" height="{high}" '
        'font-family="sans-serif" font-size="13" fill="black">'
        f'<title>What one offcut is worth, by its length</title><rect width="{_WIDE}" height="{high}" fill="white"/>'
        f"{drawn}</svg>\n"
    )


def _staircase(job: Job, found: Worth) -> Iterator[str]:
    last = found.steps[-1]
    widest, highest = last.length * Fraction(21, 20), last.worth

    def x(mm: Fraction) -> str:
        return f"{float(_LEFT + mm / widest * (_WIDE - _LEFT - _RIGHT)):.1f}"

    def y(value: Fraction) -> str:
        return f"{float(_HIGH - _FOOT - value / highest * (_HIGH - _TOP - _FOOT)):.1f}"

    ground = y(Fraction(0))
    yield f'<text x="{_LEFT}" y="20" font-weight="bold">{escape(found.section.label)}</text>'
    yield f'<path d="M{_LEFT} {_TOP - 10}V{ground}H{_WIDE - _RIGHT}" fill="none" stroke="black"/>'
    path = "".join(f"H{x(step.length)}V{y(step.worth)}" for step in found.steps)
    yield f'<path d="M{x(Fraction(0))} {ground}{path}H{x(widest)}" fill="none" stroke="black" stroke-width="2"/>'
    yield from _labels(job, found.steps, x, y)


def _labels(job: Job, steps: Sequence[Step], x: _Place, y: _Place) -> Iterator[str]:
    """Label the first and the last step: lengths below the axis, amounts beside it."""
    tape = tape_of(job)
    ends = steps if len(steps) == 1 else (steps[0], steps[-1])
    for step in ends:
        at, up = x(step.length), y(step.worth)
        yield f'<text x="{at}" y="{_HIGH - _FOOT + 18}" text-anchor="middle">{escape(tape.text(step.length))}</text>'
        yield f'<text x="{_LEFT - 8}" y="{up}" text-anchor="end">{escape(worth_text(job, step.worth))}</text>'
        yield f'<path d="M{_LEFT - 4} {up}H{_LEFT}" stroke="black"/>'
