"""Lists of pieces for the rack as people write them: sections, lengths, places, heat numbers, whatever their order."""

from __future__ import annotations

from fractions import Fraction

import pytest

from shared.reading import Kind
from shared.sections import understand
from shared.work.rack.pieces import MOST_PIECES, is_rack_list, read_pieces

KNOWN = (understand("SHS 2x2x1/8"),)


def told(source: str | bytes, **options):
    pieces, questions = read_pieces(source, **options)
    assert questions == ()
    return [(new.section.name, float(new.length), new.place, new.remark, new.heat) for new in pieces.new]


def test_a_note_from_the_yard() -> None:
    text = """Bay 4:
3 x L 2x2x1/4 6' 3"  drilled, heat A99
bay 5
L 2x2x1/4 40" bent (cast no. 12-77), heat treated
Rail behind the saw:
RHS 100x50x3 1.2 m Schmelze: 4711x
"""
    assert told(text, known=KNOWN) == [
        *[("L 2x2x1/4", 1905.0, "Bay 4", "drilled", "A99")] * 3,
        ("L 2x2x1/4", 1016.0, "bay 5", "bent, heat treated", "12-77"),
        ("RHS 100x50x3", 1200.0, "Rail behind the saw", "", "4711x"),
    ]


def test_the_echo_shows_each_line_as_given_and_places_as_headings() -> None:
    pieces, _ = read_pieces("bay 5\nL 2x2x1/4 40 in heat A99\n", known=KNOWN)
    assert [(line.text, line.kind) for line in pieces.lines[:2]] == [
        ("bay 5", Kind.HEADING),
        ("L 2x2x1/4 40 in heat A99", Kind.OFFER),
    ]


@pytest.mark.parametrize(
    "text",
    [
        'Section,Length,Qty,Place,Remark,Heat no\nSHS 2x2x1/8,80 1/2",2,bay 3,"bent, bay 3",H4711\n',
        "Heat no\tPlace\tQty\tSection\tLength\tRemark\nH4711\tbay 3\t2\tSHS 2x2x1/8\t80 1/2 in\tbent, bay 3\n",
        "Charge;Lagerplatz;Anzahl;Profil;Länge;Bemerkung\nH4711;bay 3;2;SHS 2x2x1/8;80 1/2 in;bent, bay 3\n",
    ],
)
def test_columns_of_places_and_heat_numbers(text: str) -> None:
    assert told(text) == [("SHS 2x2x1/8", 2044.7, "bay 3", "bent, bay 3", "H4711")] * 2
    assert told(text.encode("cp1252")) == told(text)


def test_floor_plate_is_no_place() -> None:
    assert told("Floor plate 4 ft L 2x2x1/4\nL 2x2x1/4 40 in\n")[1][2] == ""


def test_a_length_nobody_has_on_a_rack_is_asked() -> None:
    _, questions = read_pieces("2 SHS 40x40x3 1200 mm\n1.2 mm SHS 40x40x3\nSHS 40x40x3 90 m\n")
    assert [(question.line, question.message.partition("?")[0]) for question in questions] == [
        (2, "1.2 mm is less than SHS 40x40x3 is deep; is it meant"),
        (3, "90 m is longer than any mill rolls; is it meant"),
    ]


def test_open_lines_are_asked_all_at_once() -> None:
    _, questions = read_pieces("SHS 40x40x3 1200 drilled\npipe 1-1/4 3 ft\n")
    assert [question.line for question in questions] == [1, 2]


def test_too_many_at_once_are_refused() -> None:
    pieces, questions = read_pieces(f"{MOST_PIECES + 1} pcs SHS 40x40x3 1200 mm\n")
    assert len(pieces.new) == MOST_PIECES + 1
    assert questions[0].message.startswith(f"at most {MOST_PIECES} pieces at once")


def test_a_text_no_one_can_print_is_refused() -> None:
    _, questions = read_pieces(f"Section,Length,Place\nSHS 40x40x3,1200 mm,{'far away ' * 60}\nSHS 40x40x3,1 m,b\n")
    assert [(question.line, question.message) for question in questions] == [
        (2, "at most 500 characters, this has 539")
    ]


def test_a_list_with_labels_is_told_from_one_without() -> None:
    assert is_rack_list(b"label,section,length\nD1,SHS 2x2x1/8,80 in\n")
    assert not is_rack_list(b"mark,section,length\nD1,SHS 2x2x1/8,80 in\n")
    assert not is_rack_list(b"2 SHS 2x2x1/8 80 in\n")


def test_lengths_are_exact() -> None:
    pieces, _ = read_pieces("SHS 2x2x1/8 41 3/8 in\n")
    assert pieces.new[0].length == Fraction(331, 8) * Fraction(127, 5)
