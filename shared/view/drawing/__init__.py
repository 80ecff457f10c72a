"""What a drawing shows: each layout as a bar, its ends, its dimensions."""

from shared.view.drawing.bar import Bar, BarPiece, Dimension, End, square
from shared.view.drawing.layouts import bar_of, drop_text, plan_bars, stick_ranges, whole_drop

__all__ = [
    "Bar",
    "BarPiece",
    "Dimension",
    "End",
    "bar_of",
    "drop_text",
    "plan_bars",
    "square",
    "stick_ranges",
    "whole_drop",
]
