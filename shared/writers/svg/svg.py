"""The bar drawing as SVG: one source for the cut sheet, for files and for the page.

Black on white, line widths and signs as in a workshop drawing (ISO 128, ISO 129-1), readable when photocopied. A text
alternative goes with every drawing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from shared.view.drawing.bar import Bar
from shared.writers.svg.lettering import FACE, broken, safe
from shared.writers.svg.strips import DEPTH, LETTER, Label, Shape, StripPlan, lay_strips

__all__ = ["Drawing", "Strip", "draw", "svg_sheet"]

_HEAVY: Final = 0.35
_FINE: Final = 0.18
_FOOT: Final = 7.0  # from the bar's lower edge to the dimension line
_BEND: Final = 4.0  # from the dimension line to the foot of the lettering
_LINE: Final = 4.6  # from one line of the legend to the next
_ARROW: Final = 2.2
_TOP: Final = 2.0
_BASE: Final = 0.35  # from the middle of a letter to its base line, in font sizes


@dataclass(frozen=True, kw_only=True, slots=True)
class Strip:
    """One strip of a drawing.

    Attributes
    ----------
    body : str
        SVG elements, in millimetres.
    height : float
        mm.
    """

    body: str
    height: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Drawing:
    """One bar, drawn.

    Attributes
    ----------
    strips : tuple of Strip
        From the trimmed end on; more than one where the dimensions don't fit side by side.
    width : float
        mm.
    title, text : str
        Its name and its text alternative.
    """

    strips: tuple[Strip, ...]
    width: float
    title: str
    text: str

    def svg(self) -> str:
        """Return the whole drawing as one SVG document."""
        return _document(_stacked(self.strips), self.width, sum(s.height for s in self.strips), self.title, self.text)

    def pages(self) -> tuple[str, ...]:
        """Return each strip as an SVG document of its own, so that a long bar may go on overleaf."""
        return tuple(_document(strip.body, self.width, strip.height, self.title, self.text) for strip in self.strips)


def draw(bar: Bar, wide: float = 180.0) -> Drawing:
    """Draw one bar.

    Parameters
    ----------
    bar : Bar
        What to draw; every text in it is ready.
    wide : float
        mm of paper.
    """
    return Drawing(
        strips=tuple(_strip(plan, wide) for plan in lay_strips(bar, wide)),
        width=wide,
        title=bar.title,
        text=_told(bar),
    )


def svg_sheet(drawings: Sequence[Drawing], title: str) -> str:
    """Put drawings under each other in one SVG document, each below its title.

    Parameters
    ----------
    drawings : sequence of Drawing
        In order; at least one.
    title : str
        Names the sheet.
    """
    wide = max(drawing.width for drawing in drawings)
    parts: list[str] = []
    at = _TOP
    for drawing in drawings:
        for line in broken(drawing.title, LETTER, wide - 3):
            parts.append(_text(1.5, at + LETTER, line, anchor="start"))
            at += 1.5 * LETTER
        at += LETTER / 2
        parts.append(f'<g transform="translate(0 {_n(at)})">{_stacked(drawing.strips)}</g>')
        at += sum(strip.height for strip in drawing.strips) + LETTER
    told = "\n".join(f"{drawing.title}: {drawing.text}" for drawing in drawings)
    return _document("".join(parts), wide, at, title, told)


def _told(bar: Bar) -> str:
    parts = [piece.told for piece in bar.pieces]
    if bar.trim:
        parts.insert(0, bar.trim)
    if bar.rest:
        parts.append(bar.rest)
    return "; ".join(parts) + "."


def _stacked(strips: Sequence[Strip]) -> str:
    at = 0.0
    groups = []
    for strip in strips:
        groups.append(f'<g transform="translate(0 {_n(at)})">{strip.body}</g>')
        at += strip.height
    return "".join(groups)


def _document(body: str, wide: float, high: float, title: str, told: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(wide)}mm" height="{_n(high)}mm" '
        f'viewBox="0 0 {_n(wide)} {_n(high)}" role="img">'
        f"<title>{safe(title)}</title><desc>{safe(told)}</desc>"
        f'<g font-family="{FACE}" font-size="{_n(LETTER)}" fill="none" stroke="#000" stroke-width="{_FINE}">'
        f"{body}</g></svg>"
    )


def _strip(plan: StripPlan, wide: float) -> Strip:
    top = _TOP + plan.above
    line = top + DEPTH + _FOOT
    foot = line + _BEND
    legend = foot + plan.below + 1.5
    parts = [
        _rule(plan.left, top, plan.right, top),
        _rule(plan.left, top + DEPTH, plan.right, top + DEPTH),
        *(_piece(shape, top) for shape in plan.shapes),
        *_stubs(plan, top, wide),
        *(_leader(label, top) for label in plan.marks),
        *_dimensions(plan, top, line, foot),
        *(_text(1.5, legend + _LINE * number, text, anchor="start") for number, text in enumerate(plan.legend, 1)),
    ]
    return Strip(body="".join(parts), height=legend + _LINE * len(plan.legend) + (LETTER / 2 if plan.legend else 0))


def _piece(shape: Shape, top: float) -> str:
    low = top + DEPTH
    corners = ((shape.start[0], top), (shape.end[0], top), (shape.end[1], low), (shape.start[1], low))
    points = " ".join(f"{_n(x)},{_n(y)}" for x, y in corners)
    parts = [f'<polygon points="{points}" fill="#fff" stroke-width="{_HEAVY}"/>']
    parts += [_rule(x, top, x, low, "1.2 0.8" if dashed else "") for x, dashed in shape.inner]
    if shape.mark:
        parts.append(_text(shape.mark_at, top + DEPTH / 2 + _BASE * LETTER, shape.mark))
    return "".join(parts)


def _stubs(plan: StripPlan, top: float, wide: float) -> Iterator[str]:
    """Draw what lies left and right of the part that is to scale."""
    if plan.goes_on[0]:
        yield _break(plan.left - 3, top)
    if plan.goes_on[1]:
        yield _break(plan.right + 3, top)
    if plan.trim:
        yield _raw_end(plan.left, top)
    if not plan.goes_on[0]:
        yield _rule(plan.left, top, plan.left, top + DEPTH)
    if plan.rest:
        end = wide - 2.5
        low = top + DEPTH
        yield _rule(plan.right, top, end, top)
        yield _rule(plan.right, low, end, low)
        yield _text((plan.right + end - 1) / 2, top + DEPTH / 2 + _BASE * LETTER, plan.rest)
        yield _break(end, top)


def _raw_end(left: float, top: float) -> str:
    """Draw the end that is trimmed off, hatched and not to scale."""
    wide = 4.0
    low = top + DEPTH
    hatch = "".join(
        _rule(left - min(wide, at), top + max(0.0, at - wide), left - max(0.0, at - DEPTH), top + min(DEPTH, at))
        for at in (2.0, 4.0, 6.0, 8.0, 10.0)
    )
    return (
        _rule(left - wide, top, left, top)
        + _rule(left - wide, low, left, low)
        + _rule(left - wide, top, left - wide, low)
        + hatch
    )


def _break(x: float, top: float) -> str:
    """Draw a long break line: thin, with a zigzag in its middle (ISO 128)."""
    middle = top + DEPTH / 2
    points = ((x, top - 1.5), (x, middle - 1.2), (x - 1.1, middle - 0.4), (x + 1.1, middle + 0.4), (x, middle + 1.2))
    path = " L".join(f"{_n(a)} {_n(b)}" for a, b in (*points, (x, top + DEPTH + 1.5)))
    return f'<path class="break" d="M{path}"/>'


def _leader(label: Label, top: float) -> str:
    """Write a mark upright above the bar, with a line to the middle of its piece."""
    foot = top - 3.2
    line = (
        f'<path d="M{_n(label.place)} {_n(foot)} V{_n(foot + 0.8)} L{_n(label.at)} {_n(top - 0.6)} V{_n(top + 1.2)}"/>'
    )
    return line + _upright(label.place, foot - 0.6, label.text, anchor="start")


def _dimensions(plan: StripPlan, top: float, line: float, foot: float) -> Iterator[str]:
    begin = plan.left if plan.origin is None else plan.origin
    end = max((label.at for label in plan.dimensions), default=begin)
    yield _rule(begin, line, end, line)
    if plan.origin is not None:
        yield _rule(begin, top + DEPTH + 1, begin, line + 1.5)
        yield f'<circle class="origin" cx="{_n(begin)}" cy="{_n(line)}" r="1" fill="#fff"/>'
        yield _text(begin - 2.6, line + _BASE * LETTER, "0")
    before = begin
    for label in plan.dimensions:
        yield (
            f'<path d="M{_n(label.at)} {_n(top + DEPTH + 1)} V{_n(line + 0.8)} '
            f'L{_n(label.place)} {_n(foot - 1)} V{_n(foot)}"/>'
        )
        yield _arrow(label.at, line) if label.at - before > 2 * _ARROW else _dot(label.at, line)
        yield _upright(label.place, foot + 0.6, label.text, anchor="end")
        before = label.at


def _arrow(x: float, y: float) -> str:
    points = f"{_n(x)},{_n(y)} {_n(x - _ARROW)},{_n(y - 0.4)} {_n(x - _ARROW)},{_n(y + 0.4)}"
    return f'<polygon points="{points}" fill="#000" stroke="none"/>'


def _dot(x: float, y: float) -> str:
    return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="0.4" fill="#000" stroke="none"/>'


def _rule(x1: float, y1: float, x2: float, y2: float, dashes: str = "") -> str:
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<path d="M{_n(x1)} {_n(y1)} L{_n(x2)} {_n(y2)}"{dashed}/>'


def _text(x: float, y: float, text: str, anchor: str = "middle") -> str:
    return f'<text x="{_n(x)}" y="{_n(y)}" text-anchor="{anchor}" fill="#000" stroke="none">{safe(text)}</text>'


def _upright(x: float, y: float, text: str, *, anchor: str) -> str:
    """Write a text that reads from the right-hand side of the sheet, its end or start at (x, y)."""
    return (
        f'<text transform="translate({_n(x + _BASE * LETTER)} {_n(y)}) rotate(-90)" text-anchor="{anchor}" '
        f'fill="#000" stroke="none">{safe(text)}</text>'
    )


def _n(value: float) -> str:
    """Write a number with at most two decimals, the same on every machine."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
