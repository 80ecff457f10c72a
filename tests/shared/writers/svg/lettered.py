"""Where the lettering of a drawing stands, worked out from the SVG alone."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass

from shared.writers.svg.lettering import width

SVG = "{http://www.w3.org/2000/svg}"
SIZE = 3.0


@dataclass(frozen=True)
class Word:
    text: str
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Word) -> bool:
        return (
            min(self.right, other.right) - max(self.left, other.left) > 0.01
            and min(self.bottom, other.bottom) - max(self.top, other.top) > 0.01
        )


def words(svg: str) -> list[Word]:
    """Every text of a drawing with the box of its letters: 0.75 of the size above the base line, nothing below."""
    return list(_walk(ET.fromstring(svg), 0.0))


def size(svg: str) -> tuple[float, float]:
    _, _, wide, high = map(float, ET.fromstring(svg).attrib["viewBox"].split())
    return wide, high


def _walk(element: ET.Element, down: float) -> Iterator[Word]:
    moved = re.fullmatch(r"translate\(0 ([\d.]+)\)", element.attrib.get("transform", ""))
    if element.tag == f"{SVG}g" and moved:
        down += float(moved[1])
    if element.tag == f"{SVG}text":
        yield _word(element, down)
    for child in element:
        yield from _walk(child, down)


def _word(element: ET.Element, down: float) -> Word:
    text = element.text or ""
    long = width(text, SIZE)
    before = {"start": 0.0, "middle": long / 2, "end": long}[element.attrib["text-anchor"]]
    upright = re.fullmatch(r"translate\(([\d.-]+) ([\d.-]+)\) rotate\(-90\)", element.attrib.get("transform", ""))
    if upright:
        x, y = float(upright[1]), float(upright[2]) + down
        return Word(text, x - 0.75 * SIZE, y + before - long, x, y + before)
    x, y = float(element.attrib["x"]), float(element.attrib["y"]) + down
    return Word(text, x - before, y - 0.75 * SIZE, x - before + long, y)
