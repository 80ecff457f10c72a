"""The corpus parses, is as large and as varied as promised, and a malformed list is refused."""

from fractions import Fraction

import pytest

from tests.reading_corpus import LANGUAGES, TAGS, MalformedError, load, parse

GOOD = """id: one
kind: parts
unit: mm
language: en-GB
tags: plain
made: hand
---
> 2 off 40x40x3 SHS 1200 lg
= 2 | SHS 40x40x3 | 1200 mm | mark: A1
or ask unit
>
> Kind regards
= aside
"""


def test_the_corpus_is_large_and_varied():
    lists = load()
    assert len(lists) >= 300
    assert sum(len(one.lines) for one in lists) >= 3000
    assert sum(one.made == "hand" for one in lists) >= 200
    assert {tag for one in lists for tag in one.tags} == TAGS
    assert {one.language for one in lists} == LANGUAGES
    assert {one.kind for one in lists} == {"parts", "offers"}
    assert len({one.id for one in lists}) == len(lists)
    assert len({one.text for one in lists}) == len(lists)


def test_a_list_is_read():
    one = parse(GOOD, "one")
    assert one.text == "2 off 40x40x3 SHS 1200 lg\n\nKind regards"
    part = one.lines[0].readings[0]
    assert (part.quantity, part.section, part.fields) == (2, "SHS 40x40x3", (("mark", "A1"),))
    assert one.lines[0].alternatives[0].text == "unit"
    assert (one.lines[1].number, one.lines[1].readings[0].what) == (3, "aside")


@pytest.mark.parametrize(
    ("text", "mm"),
    [("1.2 m", 1200), ("34 3/4 in", Fraction(34.75) * Fraction("25.4")), ("1 ft 6 in", Fraction("457.2"))],
)
def test_lengths_are_exact(text, mm):
    length = parse(GOOD.replace("1200 mm", text), "one").lines[0].readings[0].length
    assert length.mm == mm


@pytest.mark.parametrize(
    ("good", "bad"),
    [
        ("= 2 |", "= two |"),
        ("= 2 |", "= 0 |"),
        ("1200 mm", "1200"),
        ("1200 mm", "0 mm"),
        ("1200 mm", "12oo mm"),
        ("1200 mm", "6 in 2 ft"),
        ("mark: A1", "colour: red"),
        ("mark: A1", "mark: A1 | mark: A2"),
        ("ask unit", "ask weather"),
        ("= aside", ""),
        ("= aside", "aside"),
        ("> Kind", ">Kind"),
        ("kind: parts", "kind: wishes"),
        ("unit: mm", "unit: cubit"),
        ("tags: plain", "tags: fancy"),
        ("made: hand", "made: up"),
        ("made: hand\n", ""),
        ("id: one", "id: two"),
        ("---", "--"),
    ],
)
def test_a_malformed_list_is_refused(good, bad):
    assert good in GOOD
    with pytest.raises(MalformedError, match="one, line "):
        parse(GOOD.replace(good, bad), "one")
