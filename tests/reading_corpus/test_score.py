"""The score tells a right line from each way of being wrong, and the reader gets no worse than it was."""

from collections import Counter
from fractions import Fraction

import pytest

from shared.reading import Kind
from tests.reading_corpus import load, parse
from tests.reading_corpus.score import verdict, verdicts

HEAD = "id: one\nkind: parts\nunit: mm\nlanguage: en-GB\ntags: plain\nmade: hand\n---\n> 2 off 40x40x3 SHS 1200\n"
PART = "= 2 | SHS 40x40x3 | 1200 mm\n"
RIGHT = (2, "SHS 40x40x3", Fraction(1200))
MOST = {"asked": 741, "wrong": 682, "invented": 96, "lost": 102}
"""Where the reader stood when the score was first taken, of 4,848 lines. The aim is none wrong, invented or lost, and
3 % asked: lower a number whenever the reader gets better, and never raise one."""


@pytest.mark.parametrize(
    ("reading", "pieces", "kind", "word"),
    [
        (PART, [RIGHT], Kind.PART, "exact"),
        (PART, [(3, *RIGHT[1:])], Kind.PART, "wrong"),
        (PART, [(2, "SHS 50x50x3", RIGHT[2])], Kind.PART, "wrong"),
        (PART, [(*RIGHT[:2], Fraction(1201))], Kind.PART, "wrong"),
        (PART, [RIGHT, RIGHT], Kind.PART, "wrong"),
        (PART, [], Kind.REMARK, "lost"),
        (PART, [], Kind.QUESTION, "asked"),
        ("= aside\n", [], Kind.REMARK, "exact"),
        ("= aside\n", [RIGHT], Kind.PART, "invented"),
        ("= aside\n", [], Kind.QUESTION, "asked"),
        ("= ask unit\n", [], Kind.QUESTION, "exact"),
        ("= ask unit\n", [RIGHT], Kind.PART, "invented"),
        ("= ask unit\n", [], Kind.REMARK, "lost"),
        (PART + "or ask unit\n", [], Kind.QUESTION, "exact"),
        ("= ask unit\nor 2 | SHS 40x40x3 | 1200 mm\n", [RIGHT], Kind.PART, "exact"),
    ],
)
def test_each_verdict(reading, pieces, kind, word):
    (line,) = parse(HEAD + reading, "one").lines
    assert verdict(line, pieces, kind) == word


def test_the_reader_gets_no_worse():
    count = Counter(word for one in load() for _, word, _ in verdicts(one))
    assert count.total() >= 4290
    assert {word: count[word] for word, most in MOST.items() if count[word] > most} == {}
