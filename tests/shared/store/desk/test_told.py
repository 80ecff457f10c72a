from __future__ import annotations

from dataclasses import dataclass, field, make_dataclass
from enum import StrEnum
from fractions import Fraction

import pytest

from cutting.question.job import Section
from shared.store.desk.run import Asked
from shared.store.values import told_text


class Colour(StrEnum):
    RED = "red"


@dataclass(frozen=True)
class Line:
    length: Fraction
    colour: Colour = Colour.RED
    shape: Section | None = None


def asked(*what: object, kind: str = "received", work: str | None = "a") -> str:
    return Asked(kind=kind, who="somebody", what=what, work=work).digest


def test_a_field_that_a_release_adds_leaves_what_was_told_the_same() -> None:
    added = [("length", Fraction), ("colour", Colour, Colour.RED), ("shape", object, None), ("note", str, "")]
    newer = make_dataclass("Renamed", [*added, ("tags", tuple, field(default_factory=tuple))], frozen=True)
    assert asked((Line(Fraction(5, 3)),)) == asked((newer(length=Fraction(5, 3)),))
    assert asked((Line(Fraction(5, 3)),)) != asked((newer(length=Fraction(5, 3), note="bent"),))


def test_fields_in_another_order_say_the_same() -> None:
    other = make_dataclass("Line", [("colour", Colour), ("length", Fraction)], frozen=True)
    told = told_text(other(colour="blue", length=Fraction(1)))
    assert told == told_text(make_dataclass("Line", [("length", Fraction), ("colour", str)])(Fraction(1), "blue"))


@pytest.mark.parametrize(
    "other",
    [
        asked((Line(Fraction(5, 4)),)),
        asked((Line(Fraction(5, 3)), Line(Fraction(5, 3)))),
        asked((Line(Fraction(5, 3), shape=Section(name="tube")),)),
        asked((Line(Fraction(5, 3)),), kind="counted"),
        asked((Line(Fraction(5, 3)),), work="b"),
        asked(b"5/3"),
    ],
)
def test_another_thing_told_is_another_digest(other: str) -> None:
    assert asked((Line(Fraction(5, 3)),)) != other


def test_bytes_and_truths_are_told_apart() -> None:
    assert len({asked(b"a"), asked("a"), asked(True), asked(1), asked(None), asked("1"), asked(())}) == 7


def test_what_has_no_text_is_refused() -> None:
    with pytest.raises(TypeError, match="no way to write set"):
        told_text({1, 2})
