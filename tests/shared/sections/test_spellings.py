"""How practitioners, yards and drawings write sections in eight countries: understood, or asked about."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import pytest

from cutting.question.errors import SectionError
from shared.reading import read_parts
from shared.sections import understand


@dataclass(frozen=True, kw_only=True, slots=True)
class Spelling:
    """One line of the list: who writes it, as written, what it means (or that it must be asked), and on what basis."""

    country: str
    written: str
    meant: str
    basis: str


def _spelling(line: str) -> Spelling:
    country, written, meant, basis = (cell.strip() for cell in line.split(" | "))
    return Spelling(country=country, written=written, meant=meant, basis=basis)


LINES = (Path(__file__).parent / "spellings.txt").read_text(encoding="utf-8").splitlines()
SPELLINGS = [_spelling(line) for line in LINES if not line.startswith("#")]


def test_the_list_is_long_enough_and_says_its_basis() -> None:
    assert len({spelling.written for spelling in SPELLINGS}) == len(SPELLINGS) >= 120
    assert all(spelling.basis for spelling in SPELLINGS)
    assert len({spelling.country for spelling in SPELLINGS}) >= 8


@pytest.mark.parametrize("spelling", SPELLINGS, ids=lambda spelling: spelling.written)
def test_a_spelling_is_understood_or_asked_about(spelling: Spelling) -> None:
    if spelling.meant.startswith("asked"):
        with pytest.raises(SectionError):
            understand(spelling.written)
        return
    section = understand(spelling.written)
    assert section.name == spelling.meant
    assert section.family
    by_dimensions = section.family == "channel" and section.name.startswith("C ")
    assert by_dimensions or section.mass is not None  # the flanges of a bar channel are thicker than its name says
    assert understand(section.name) == understand(spelling.meant)


@pytest.mark.parametrize("spelling", SPELLINGS, ids=lambda spelling: spelling.written)
def test_a_spelling_in_a_pasted_line_is_that_section_or_asked(spelling: Spelling) -> None:
    found, questions = read_parts(f"2 off {spelling.written} @ 1200 mm")
    if not found.parts:
        assert questions
        return
    said = [(part.section.name, part.quantity, part.length) for part in found.parts]
    assert (said, questions) == ([(spelling.meant, 2, 1200)], ())
    assert found.parts[0].section.mass == understand(spelling.written).mass


@pytest.mark.parametrize(
    ("line", "length"),
    [("2 off IPE 100 1200", "1200"), ("2 off UB 203x133x25 1500", "1500"), ("2 pcs W6x9 96", "2438.4")],
)
def test_a_bare_length_beside_a_rolled_shape_is_in_its_tables_unit(line: str, length: str) -> None:
    found, questions = read_parts(line)
    assert questions == ()
    assert [part.length for part in found.parts] == [Fraction(length)]
