"""The bar drawing: one stick layout in drafting convention, as SVG with a text alternative."""

from shared.writers.svg.bar import Bar, BarPiece, Dimension, End, square
from shared.writers.svg.layouts import angle_text, bar_of, drop_text, plan_bars, stick_ranges, whole_drop
from shared.writers.svg.svg import Drawing, Strip, draw, svg_sheet

__all__ = [
    "Bar",
    "BarPiece",
    "Dimension",
    "Drawing",
    "End",
    "Strip",
    "angle_text",
    "bar_of",
    "draw",
    "drop_text",
    "plan_bars",
    "square",
    "stick_ranges",
    "svg_sheet",
    "whole_drop",
]
