"""The bar drawing: one stick layout in drafting convention, as SVG with a text alternative."""

from shared.writers.svg.svg import Drawing, Strip, draw, svg_sheet

__all__ = ["Drawing", "Strip", "draw", "svg_sheet"]
