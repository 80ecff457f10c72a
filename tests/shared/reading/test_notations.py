"""Any part written in any of the ways that lists have, in six languages, gives that part; neighbours don't matter."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting.question.lengths import Unit
from shared.reading import PartRead, read_parts

METRIC = {
    "SHS 40x40x3": [
        "SHS 40x40x3",
        "40x40x3 SHS",
        "QR 40x40x3",
        "tube carré 40x40x3",
        "tubo cuadrado 40x40x3",
        "koker 40x40x3",
    ],
    "RHS 60x40x3": ["RHS 60x40x3", "Rechteckrohr 60x40x3", "RR 60x40x3", "tubo rectangular 60x40x3", "koker 60x40x3"],
    "L 50x50x5": [
        "L 50x50x5",
        "EA 50x50x5",
        "Winkel 50x50x5",
        "cornière 50x50x5",
        "angolare 50x50x5",
        "hoekstaal 50x50x5",
    ],
    "FLAT 50x6": ["FB 50x6", "flat 50x6", "Flachstahl 50x6", "plat 50x6", "pletina 50x6", "piatto 50x6", "strip 50x6"],
    "CHS 42.4x3.2": ["CHS 42.4x3.2", "Rundrohr 42.4x3.2", "buis 42.4x3.2"],
}
INCH = {
    "SHS 2x2x1/8": ["HSS 2x2x1/8", "2x2x1/8 sq tube", "sq tube 2x2x1/8"],
    "L 2x2x3/16": ["L2x2x3/16", "2x2x3/16 angle", "angle 2x2x3/16"],
    "FLAT 2x1/4": ["flat 2x1/4", "FB 2x1/4", "2x1/4 flat"],
}
COUNTED = [
    "{q} x {s} {l}",
    "{q} off {s} {l}",
    "{q} pcs {s} @ {l}",
    "{q}no {s} {l}",
    "{q} Stk {s} {l}",
    "{s} {l} ({q})",
    "{q} uds {s} {l}",
    "{q} st {s} L={l}",
    "{q} pz {s} {l}",
    "{s} {q}/{l}",
    "{s}: {q} @ {l}",
    "{q} ea {s} {l} long",
    "{s} - {l} - {q} off",
]


def millimetres(length: int) -> list[str]:
    return [f"{length}", f"{length} mm", f"{length}mm", f"{Fraction(length, 1000) * 1000} mm"]


def inches(sixteenths: int) -> list[str]:
    whole, over = divmod(sixteenths, 16)
    part = Fraction(over, 16)
    tail = f" {part.numerator}/{part.denominator}" if part else ""
    feet, rest = divmod(whole, 12)
    return [f'{whole}{tail}"', f"{whole}{tail} in", f"{feet}'-{rest}{tail}\"", f"{feet}' {rest}{tail}\""]


@st.composite
def written(draw: st.DrawFn) -> tuple[str, str, Fraction, int]:
    """A line, and the section, length in mm and quantity that it says."""
    quantity = draw(st.integers(2, 60))
    pattern = draw(st.sampled_from(COUNTED))
    if draw(st.booleans()):
        name = draw(st.sampled_from(sorted(METRIC)))
        length = draw(st.integers(130, 11_900))
        said = millimetres(length)[0] if "/{l}" in pattern else draw(st.sampled_from(millimetres(length)))
        return (
            pattern.format(q=quantity, s=draw(st.sampled_from(METRIC[name])), l=said),
            name,
            Fraction(length),
            quantity,
        )
    name = draw(st.sampled_from(sorted(INCH)))
    sixteenths = draw(st.integers(200, 4600))
    pattern = pattern.replace("{q}/{l}", "{q} @ {l}")
    line = pattern.format(q=quantity, s=draw(st.sampled_from(INCH[name])), l=draw(st.sampled_from(inches(sixteenths))))
    return line, name, Fraction(sixteenths, 16) * Unit.IN.mm, quantity


def read(text: str) -> list[tuple[str, Fraction, int]]:
    found, questions = read_parts(text)
    assert questions == (), (text, [question.message for question in questions])
    return [_said(part) for part in found.parts]


def _said(part: PartRead) -> tuple[str, Fraction, int]:
    return part.section.name, part.length, part.quantity


@settings(max_examples=300, deadline=None)
@given(written())
def test_a_part_written_in_any_way_is_that_part(line: tuple[str, str, Fraction, int]) -> None:
    text, name, length, quantity = line
    assert read(text) == [(name, length, quantity)], text


@settings(max_examples=60, deadline=None)
@given(st.lists(written(), min_size=2, max_size=9), st.randoms(use_true_random=False))
def test_the_order_of_lines_changes_nothing(lines: list[tuple[str, str, Fraction, int]], chance: random.Random) -> None:
    metric = [line for line in lines if line[1] in METRIC]
    same = metric if len(metric) * 2 >= len(lines) else [line for line in lines if line[1] in INCH]
    texts = [line[0] for line in same]
    once = sorted(read("\n".join(texts)))
    chance.shuffle(texts)
    assert sorted(read("\n".join(texts))) == once == sorted(line[1:] for line in same)


@pytest.mark.parametrize("unit", ["mm", "cm", "m"])
def test_a_length_reads_the_same_in_every_unit(unit: str) -> None:
    each = {"mm": "1250", "cm": "125", "m": "1.25"}[unit]
    assert read(f"4 off SHS 40x40x3 {each} {unit}") == [("SHS 40x40x3", Fraction(1250), 4)]
