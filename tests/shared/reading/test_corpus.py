"""Lists of our own, as people paste them, with what each line must give: nothing is read wrongly.

Beside each list in tests/shared/corpus lies a ``.gives`` file with one entry for each line that isn't blank: its number
and kind, then every part (quantity, section, length, mark, assembly, note, ends), or the question and the readings
offered.
"""

from pathlib import Path

import pytest

from cutting.question.job import Discount, PerLength, PerWeight, Source
from cutting.question.lengths import show_length
from shared.reading import Kind, echo, read_offers, read_parts

CORPUS = Path(__file__).parents[1] / "corpus"
LISTS = sorted(path for path in CORPUS.iterdir() if path.suffix in {".txt", ".csv", ".tsv"})
OFFERS = sorted(path for path in (CORPUS / "offers").iterdir() if path.suffix in {".txt", ".csv", ".tsv"})


def say_ends(ends):
    angles = "/".join(f"{float(angle):g}" for angle in ends.angles)
    return f"{angles} {ends.lean} {ends.measure} planes {ends.planes} toward {ends.toward}"


def say_part(part):
    text = f"{part.quantity} | {part.section.label} | {show_length(part.length, part.unit)} | {part.mark}"
    text += f" | {part.assembly} | {part.note}"
    text += f" | {say_ends(part.ends)}" if part.ends else ""
    return text + (f" <- {part.derived}" if part.derived else "")


def say_price(price):
    if price is None:
        return "no price"
    if isinstance(price, Discount):
        return f"{price.share} off"
    per = f" per {price.per} mm" if isinstance(price, PerLength) else ""
    per = f" per {price.per} kg" if isinstance(price, PerWeight) else per
    return f"{price.amount}{per}"


def say_offer(offer):
    length = show_length(offer.length, offer.unit)
    return f"{offer.available} | {offer.section.label} | {length} | {say_price(offer.price)} | {offer.note}"


def summary(lines, parts, also, questions):
    """Everything that a list gives, line by line."""
    yield from (f"0 ? {question.message}" for question in questions if question.line == 0)
    for line in lines:
        if line.kind is Kind.BLANK:
            continue
        yield f"{line.line} {line.kind}"
        yield from (f"    {say}" for number, say in parts if number == line.line)
        yield from (f"    also {entry.quantity} | {entry.text}" for entry in also if entry.line == line.line)
        for question in line.questions:
            yield f"    ? {question.message}"
            yield from (f"        {choice.reading} => {choice.line!r}" for choice in question.choices)


def parts_summary(path):
    found, questions = read_parts(path.read_bytes())
    parts = [(part.line, say_part(part)) for part in found.parts]
    return "\n".join(summary(found.lines, parts, found.also, questions)) + "\n"


def offers_summary(path):
    kind = Source.RACK if "rack" in path.name else Source.STICKS
    found, questions = read_offers(path.read_bytes(), kind=kind)
    offers = [(offer.line, say_offer(offer)) for offer in found.offers]
    return f"{found.currency}\n" + "\n".join(summary(found.lines, offers, (), questions)) + "\n"


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.name)
def test_a_parts_list_gives_what_it_must(path):
    assert parts_summary(path) == path.with_suffix(path.suffix + ".gives").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", OFFERS, ids=lambda path: path.name)
def test_a_list_of_sticks_gives_what_it_must(path):
    assert offers_summary(path) == path.with_suffix(path.suffix + ".gives").read_text(encoding="utf-8")


def test_the_corpus_is_large_and_nine_in_ten_lines_are_read_without_a_question():
    deliberate = {"05_frames.txt", "07_ambiguous.txt", "27_angles.txt", "35_two_tables.tsv", "41_nonsense_values.txt"}
    lines = 0
    asked = 0
    for path in LISTS:
        found, _ = read_parts(path.read_bytes())
        needed = [line for line in found.lines if line.kind in {Kind.PART, Kind.TAKE_OFF, Kind.ALSO, Kind.QUESTION}]
        lines += len(needed)
        asked += sum(line.kind is Kind.QUESTION for line in needed) * (path.name not in deliberate)
    assert len(LISTS) >= 25
    assert lines >= 120
    assert asked * 10 <= lines


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.name)
def test_every_choice_settles_its_question(path):
    text = path.read_bytes().decode()
    lines = text.split("\n")
    _, questions = read_parts(text)
    for question in questions:
        for choice in question.choices:
            changed = [*lines[: question.line - 1], choice.line, *lines[question.line :]]
            _, left = read_parts("\n".join(changed))
            same = [other for other in left if other.line == question.line and other.message == question.message]
            assert not same, (choice.line, same)


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.name)
def test_every_line_is_in_the_echo(path):
    found, questions = read_parts(path.read_bytes())
    shown = "\n".join(echo(found.lines, questions))
    for line in found.lines:
        assert line.text.replace("\t", " ") in shown
        assert line.kind is Kind.BLANK or line.understood or line.questions or f"({line.kind})" in shown
