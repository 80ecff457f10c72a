"""Reading job files: exact values, and every problem at once with its place, its text and what to write."""

import json
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from cutting.question.job import Discount, Job, PerLength, PerStick, PerWeight, Source
from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from shared.files.job import read_job

INCH = Fraction(127, 5)

EXAMPLE = """
title = "Market stalls, set of six"
unit = "in"
currency = "USD"
tolerance = "1/16"
keep_from = 24
[saw]
kerf = "3/32"
end_trim = "1/4"
hold = 3.5
[[parts]]
mark = "P1"
section = "SHS 1-1/2x1-1/2x1/8"
length = "80 1/2"
quantity = 24
note = "posts"
[[parts]]
section = "SHS 1-1/2x1-1/2x1/8"
material = "galvanised"
length = 80.1
quantity = 2
assembly = "stall"
[[sticks]]
section = "SHS 1-1/2x1-1/2x1/8"
length = "20 ft"
price = "61.40"
available = 40
[[sticks]]
id = "S24"
section = "SHS 1-1/2x1-1/2x1/8"
material = "galvanised"
length = "24 ft"
usable = "287 3/4"
price_per_length = "3.07/ft"
[[sticks]]
section = "SHS 1-1/2x1-1/2x1/8"
length = "21 ft"
price_per_weight = "82/cwt"
[[rack]]
section = "SHS 1-1/2x1-1/2x1/8"
length = "63 1/4"
price = 6.05
quantity = 2
[[rack]]
section = "SHS 1-1/2x1-1/2x1/8"
length = "63 1/4"
discount = "40 %"
end_trim = ["1/4", "1/8"]
[[own]]
section = "SHS 1-1/2x1-1/2x1/8"
length = "41 3/8"
end_trim = "0"
"""


def right(text: str, name: str = "job.toml") -> Job:
    job, problems = read_job(text.encode(), name=name)
    assert problems == ()
    assert job is not None
    return job


def wrong(text: str | bytes, name: str = "job.toml") -> tuple[Problem, ...]:
    job, problems = read_job(text.encode() if isinstance(text, str) else text, name=name)
    assert job is None
    assert problems
    return problems


def test_the_example_of_the_job_file() -> None:
    job = right(EXAMPLE)
    assert (job.title, job.unit, job.currency) == ("Market stalls, set of six", Unit.IN, "USD")
    assert (job.saw.kerf, job.saw.hold) == (Fraction(3, 32) * INCH, Fraction(7, 2) * INCH)
    assert job.tolerance == (INCH / 16, INCH / 16)
    assert job.keep_from == 24 * INCH
    first, second = job.parts
    assert (first.mark, first.length, first.quantity, first.note) == ("P1", Fraction(161, 2) * INCH, 24, "posts")
    assert (second.mark, second.length, second.assembly) == ("P2", Fraction(801, 10) * INCH, "stall")
    assert first.section.key != second.section.key
    assert [stick.id for stick in job.sticks] == ["S1", "S24", "S3", "R1", "R2", "O1"]
    prices = [stick.price for stick in job.sticks]
    pound = Fraction("0.45359237")
    assert prices == [
        PerStick(amount=Decimal("61.40")),
        PerLength(amount=Decimal("3.07"), per=12 * INCH),
        PerWeight(amount=Decimal(82), per=100 * pound),
        PerStick(amount=Decimal("6.05")),
        Discount(share=Decimal("0.4")),
        None,
    ]
    assert [stick.available for stick in job.sticks] == [40, None, None, 2, 1, 1]
    assert [stick.source for stick in job.sticks] == [Source.STICKS] * 3 + [Source.RACK] * 2 + [Source.OWN]
    assert job.sticks[0].trims == (INCH / 4, 0)
    assert job.sticks[4].trims == (INCH / 4, INCH / 8)
    assert job.sticks[5].trims == (0, 0)
    assert job.sticks[1].usable == Fraction(1151, 4) * INCH


def test_json_gives_the_same_job() -> None:
    import tomllib

    table = tomllib.loads(EXAMPLE, parse_float=str)
    table["parts"][1]["length"] = 80.1
    assert right(json.dumps(table), "job.json") == right(EXAMPLE)
    assert right(json.dumps(table), "-") == right(EXAMPLE)


def test_numbers_are_exact_decimals() -> None:
    text = '{"unit": "mm", "saw": {"kerf": 0.1}, "parts": [{"section": "a", "length": 80.1, "quantity": 1}]}'
    job = right(text, "job.json")
    assert job.saw.kerf == Fraction(1, 10)
    assert job.parts[0].length == Fraction(801, 10)


def test_without_prices_there_is_no_currency() -> None:
    job = right('unit = "mm"\ncurrency = "EUR"\n' + PART + '[[sticks]]\nsection = "a"\nlength = 6000\n')
    assert job.currency is None
    assert not job.priced


def test_byte_order_marks_are_no_matter() -> None:
    job = right(EXAMPLE)
    assert read_job(EXAMPLE.encode("utf-8-sig"), name="job.toml") == (job, ())
    assert read_job(EXAMPLE.encode("utf-16"), name="job.toml") == (job, ())


def test_names_given_are_not_given_again() -> None:
    parts = "".join(f'[[parts]]\nsection = "a"\nlength = 5\nquantity = 1\n{mark}' for mark in ("", 'mark = "P1"\n', ""))
    job = right(f'unit = "mm"\n[saw]\nkerf = 1\n{parts}')
    assert [part.mark for part in job.parts] == ["P2", "P1", "P3"]


PART = '[saw]\nkerf = 2\n[[parts]]\nsection = "a"\nlength = 500\nquantity = 3\n'


def line(where: str, text: str, *, base: str = PART, head: str = 'unit = "mm"\ncurrency = "EUR"\n') -> str:
    return f"{head}{base}\n[[{where}]]\n{text}\n" if where else f"{head}{text}\n{base}"


STICK = 'section = "a"\nlength = 6000\n'

CASES = [
    # lengths
    (line("parts", 'section = "a"\nlength = -5\nquantity = 1'), "parts[1].length", "-5", "can't be negative"),
    (line("parts", 'section = "a"\nlength = 0\nquantity = 1'), "parts[1].length", "0", "longer than 0"),
    (line("parts", 'section = "a"\nlength = nan\nquantity = 1'), "parts[1].length", "NaN", "no length"),
    (line("parts", 'section = "a"\nlength = inf\nquantity = 1'), "parts[1].length", "Infinity", "no length"),
    (line("parts", 'section = "a"\nlength = true\nquantity = 1'), "parts[1].length", "True", "number or a text"),
    (line("parts", 'section = "a"\nlength = [1]\nquantity = 1'), "parts[1].length", "[1]", "number or a text"),
    (line("parts", 'section = "a"\nlength = 2024-01-05\nquantity = 1'), "parts[1].length", "2024-01-05", "number or a"),
    (line("parts", 'section = "a"\nlength = "1,200"\nquantity = 1'), "parts[1].length", "1,200", "comma"),
    (line("parts", 'section = "a"\nlength = "80 1/2x"\nquantity = 1'), "parts[1].length", "80 1/2x", "length"),
    (line("parts", 'section = "a"\nlength = 1e999\nquantity = 1'), "parts[1].length", "1E+999", "digits"),
    (line("parts", 'section = "a"\nlength = 1.5\nquantity = 1'), "parts[1].length", "1.5 mm", "shorter than the saw's"),
    # quantities
    (line("parts", 'section = "a"\nlength = 5\nquantity = -2'), "parts[1].quantity", "-2", "1 or more"),
    (line("parts", 'section = "a"\nlength = 5\nquantity = 0'), "parts[1].quantity", "0", "1 or more"),
    (line("parts", 'section = "a"\nlength = 5\nquantity = 1000000000'), "parts[1].quantity", "1000000000", "at most"),
    (line("parts", 'section = "a"\nlength = 5\nquantity = 2.5'), "parts[1].quantity", "2.5", "whole number"),
    (line("parts", 'section = "a"\nlength = 5\nquantity = "two"'), "parts[1].quantity", "two", "whole number"),
    (line("parts", 'section = "a"\nlength = 5'), "parts[1].quantity", "", "missing; write quantity = 24"),
    (line("sticks", STICK + "available = 0"), "sticks[0].available", "0", "1 or more"),
    # names
    (line("parts", 'section = ""\nlength = 5\nquantity = 1'), "parts[1].section", "", "is empty"),
    (line("parts", "section = 5\nlength = 5\nquantity = 1"), "parts[1].section", "5", "text in quotes"),
    (line("parts", 'mark = "a\\u001bb"\nsection = "a"\nlength = 5\nquantity = 1'), "parts[1].mark", "a", "control"),
    (
        line("parts", f'mark = "{"m" * 101}"\nsection = "a"\nlength = 5\nquantity = 1'),
        "parts[1].mark",
        "m",
        "at most 100",
    ),
    (
        line(
            "parts",
            'mark = "P1"\nsection = "a"\nlength = 5\nquantity = 1\n[[parts]]\nmark = "P1"\nsection = "a"\n'
            "length = 5\nquantity = 1",
        ),
        "parts[2].mark",
        "P1",
        "parts[1] has this mark already",
    ),
    # prices
    (
        line("sticks", STICK + 'price = "5"\nprice_per_length = "1/m"'),
        "sticks[0]",
        "price = 5",
        "2 prices for one line",
    ),
    (line("rack", STICK + 'price = "5"\ndiscount = "40 %"'), "rack[0]", "discount = 40 %", "2 prices for one line"),
    (line("sticks", STICK + 'price = "5.005"'), "sticks[0].price", "5.005", "EUR has 2 decimals"),
    (line("sticks", STICK + 'price = "-5"'), "sticks[0].price", "-5", "negative"),
    (line("sticks", STICK + "price = nan"), "sticks[0].price", "NaN", "no amount"),
    (line("sticks", STICK + 'price = "$5"'), "sticks[0].price", "$5", "no amount"),
    (line("sticks", STICK + 'price = "5,50"'), "sticks[0].price", "5,50", "point for decimals"),
    (line("sticks", STICK + "price = false"), "sticks[0].price", "False", "an amount as a number or a text"),
    (line("sticks", STICK + 'price_per_length = "3.07"'), "sticks[0].price_per_length", "3.07", '"3.07/ft"'),
    (
        line("sticks", STICK + 'price_per_length = "3.07/yd"'),
        "sticks[0].price_per_length",
        "3.07/yd",
        "in, ft, mm, cm, m",
    ),
    (line("sticks", STICK + 'price_per_length = "x/m"'), "sticks[0].price_per_length", "x/m", "no amount"),
    (line("sticks", STICK + 'price_per_weight = "1/stone"'), "sticks[0].price_per_weight", "1/stone", "lb, kg, cwt, t"),
    (line("sticks", STICK + 'price_per_weight = "1/kg"'), "sticks[0].price_per_weight", "a", "weight of a isn't known"),
    (line("rack", STICK + 'discount = "40"'), "rack[0].discount", "40", '"40 %"'),
    (line("rack", STICK + "discount = 0.4"), "rack[0].discount", "0.4", '"40 %"'),
    (line("rack", STICK + 'discount = "140 %"'), "rack[0].discount", "140 %", "at most 100 %"),
    (line("rack", STICK + 'discount = "40 %"'), "rack[0].discount", "40 %", "no stick of a has a price"),
    (line("sticks", STICK + 'price = "5"\n[[sticks]]\n' + STICK), "sticks[1].price", "", "this one has none"),
    (line("own", STICK + 'price = "5"'), "own[0].price", "price", "own pieces cost nothing"),
    (line("sticks", STICK + 'price = "5"', head='unit = "mm"\n'), "currency", "", 'Write currency = "USD"'),
    (line("", 'currency = "usd"', head='unit = "mm"\n'), "currency", "usd", 'write it as "USD"'),
    (line("", 'currency = "dollars"', head='unit = "mm"\n'), "currency", "dollars", "three-letter code"),
    (line("", "currency = 5", head='unit = "mm"\n'), "currency", "5", "three-letter code"),
    # sticks
    (line("sticks", STICK + "usable = 6001"), "sticks[0].usable", "6001 mm", "no longer than the stick"),
    (line("sticks", STICK + "end_trim = 1"), "sticks[0].end_trim", "1 mm", "0 or at least 2 mm"),
    (line("sticks", STICK + "end_trim = [0, 1]"), "sticks[0].end_trim", "1 mm", "0 or at least 2 mm"),
    (line("sticks", STICK + "end_trim = [1, 2, 3]"), "sticks[0].end_trim", "[1, 2, 3]", "this list has 3"),
    (line("sticks", STICK + "end_trim = []"), "sticks[0].end_trim", "[]", "this list has 0"),
    # fields and tables
    (line("parts", 'section = "a"\nlenght = 5\nquantity = 1'), "parts[1].lenght", "lenght", "did you mean length?"),
    (line("parts", 'section = "a"\nlength = 5\nquantity = 1\nkerf = 2'), "parts[1].kerf", "kerf", "in [saw]"),
    (line("sticks", STICK + 'discount = "5 %"'), "sticks[0].discount", "discount", "written in [[rack]]"),
    (line("sticks", STICK + "zzz = 1"), "sticks[0].zzz", "zzz", "known here are id, section"),
    (line("", "kerf = 2"), "kerf", "kerf", "in [saw]"),
    (line("", "part = 2"), "part", "part", "did you mean parts?"),
    (line("", "keep_from = -1"), "keep_from", "-1", "can't be negative"),
    (line("", 'tolerance = ["x", 1]'), "tolerance", "['x', 1]", "length"),
    ('unit = "mm"\n[[parts]]\nsection = "a"\nlength = 5\nquantity = 1\n', "saw", "", "a [saw] table"),
    (
        'unit = "mm"\nsaw = 3\n[[parts]]\nsection = "a"\nlength = 5\nquantity = 1\n',
        "saw",
        "3",
        "table with the fields kerf",
    ),
    ('unit = "mm"\n[saw]\nkerf = -1\n', "saw.kerf", "-1", "can't be negative"),
    ('unit = "mm"\n[saw]\nkerf = 1\n', "parts", "", "nothing to cut"),
    ('unit = "inch"\n' + PART, "unit", "inch", "in, ft, mm, cm, m"),
    (PART, "unit", "", 'missing; write unit = "in"'),
    ('unit = "mm"\nparts = 5\n[saw]\nkerf = 1\n', "parts", "5", "[[parts]]"),
    ('unit = "mm"\nparts = [5]\n[saw]\nkerf = 1\n', "parts[0]", "5", "table with the fields mark"),
]


@pytest.mark.parametrize(("text", "where", "shown", "words"), CASES)
def test_a_problem_names_its_place_its_text_and_what_to_write(text: str, where: str, shown: str, words: str) -> None:
    found = [problem for problem in wrong(text) if problem.where == where]
    assert any(shown in problem.text and words in problem.message for problem in found), wrong(text)


def test_one_fault_gives_one_problem() -> None:
    for text, where, _, _ in CASES:
        assert {problem.where for problem in wrong(text)} == {where}


def test_all_problems_at_once_in_the_order_of_the_file() -> None:
    text = """
unit = "foot"
colour = "red"
[saw]
kerf = "3//32"
[[parts]]
section = "a"
length = "80 1/2"
quantity = -1
[[parts]]
section = "a"
length = "x"
quantity = 1
[[sticks]]
section = "a"
length = "20 ft"
usable = "21 ft"
price = "abc"
"""
    assert [problem.where for problem in wrong(text)] == [
        "unit",
        "colour",
        "saw.kerf",
        "parts[0].quantity",
        "parts[1].length",
        "sticks[0].price",
    ]
    mended = text.replace('"abc"', '"5"')
    assert "sticks[0].usable" in [problem.where for problem in wrong(mended)]


def test_the_caret_stands_under_what_is_wrong() -> None:
    (problem,) = wrong(line("parts", 'section = "a"\nlength = "80 1/0"\nquantity = 1'))
    assert problem.position is not None
    assert problem.text[problem.position] == "0"


@pytest.mark.parametrize(
    ("data", "name", "where", "words"),
    [
        (b"", "job.toml", "file", "empty"),
        (b"  \n ", "-", "file", "empty"),
        (b'{"unit": "mm",}', "job.json", "line 1, column 15", "not JSON"),
        (b'{"unit": "mm"\n "saw": 1}', "job.json", "line 2, column 2", "not JSON"),
        (b'unit = "mm"', "job.json", "line 1, column 1", "not JSON"),
        (b"[1, 2]", "job.json", "file", "one JSON object"),
        (b'{"unit": "mm", "unit": "in"}', "job.json", "unit", "stated twice"),
        (b'unit = "mm"\nlength = 80 1/2\n', "job.toml", "line 2, column 13", "a text goes in quotes"),
        (b'unit = "mm"\nunit = "in"\n', "job.toml", "line 2, column 12", "not TOML"),
        (b'unit = "mm', "job.toml", "end of file", "not TOML"),
        ('title = "Stände"\n'.encode("latin-1"), "job.toml", "line 1", "save the file as UTF-8"),
        (b"PK\x03\x04\x00\xff\xfe", "job.xlsx", "line 1", "save the file as UTF-8"),
        (b"[" * 100_000, "job.json", "file", "nested too deeply"),
        (b"a = " + b"[" * 100_000, "job.toml", "file", "nested too deeply"),
        (b'{"a": 1' + b"0" * 5000 + b"}", "job.json", "file", "digits"),
        (b"a = 1" + b"0" * 5000, "job.toml", "file", "digits"),
        (b'{"a": 1e99999999999999999999}', "job.json", "file", "no number"),
        (b"#" * 10_000_001, "job.toml", "file", "at most 10000000 bytes"),
    ],
)
def test_a_file_that_is_none(data: bytes, name: str, where: str, words: str) -> None:
    (problem,) = wrong(data, name)
    assert problem.where == where
    assert words in problem.message


def test_a_syntax_error_shows_its_line_with_a_caret() -> None:
    (problem,) = wrong(b'{"unit": "mm",\n  "saw": {"kerf": 3/32}}', "job.json")
    assert problem.position is not None
    assert problem.text[problem.position :].startswith("/32")


@pytest.mark.parametrize("value", [None, 1, "x", [], [[]], {"a": {}}, True, 1e300, -0.0])
@pytest.mark.parametrize("field", ["title", "unit", "currency", "saw", "parts", "sticks", "rack", "own", "tolerance"])
def test_no_value_anywhere_ends_in_a_traceback(field: str, value: Any) -> None:
    job = {"unit": "mm", "saw": {"kerf": 1}, "parts": [{"section": "a", "length": 5, "quantity": 1}]}
    found, problems = read_job(json.dumps({**job, field: value}).encode(), name="job.json")
    assert (found is None) == bool(problems)
