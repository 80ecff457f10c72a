"""Every sign of every line was taken for something that is shown; edited lines never fall over or change in silence."""

from __future__ import annotations

import argparse
import random
import re
import sys

import pytest

from cutting.question.job import Source
from shared.reading import Kind, OfferRead, PartRead, read_offers, read_parts
from shared.reading.values.account import TakenFor
from shared.reading.values.result import LineRead
from tests.reading_corpus import PastedList, load

LISTS = load()
SMALL = 250
LARGE = 100_000


def read(pasted: PastedList, text: str) -> tuple[tuple[LineRead, ...], tuple[PartRead | OfferRead, ...]]:
    if pasted.kind == "parts":
        parts, _ = read_parts(text)
        return parts.lines, parts.parts
    offers, _ = read_offers(text, kind=Source.STICKS)
    return offers.lines, offers.offers


def test_every_sign_of_every_line_was_taken_for_something() -> None:
    for pasted in LISTS:
        for line in read(pasted, pasted.text)[0]:
            at, left = 0, ""
            for start, end, _ in line.account:
                assert at <= start < end <= len(line.text), line
                left += line.text[at:start]
                at = end
            left += line.text[at:]
            assert re.search(r"\w", left) is None, (line.text, line.account)


def test_what_a_note_was_made_of_is_shown() -> None:
    for pasted in LISTS:
        lines, found = read(pasted, pasted.text)
        for line in lines:
            if line.kind not in {Kind.PART, Kind.OFFER}:
                continue
            mine = [each for each in found if each.line == line.line]
            texts = [*(f"{each.note} {each.section.label}" for each in mine), *line.understood, *line.notes]
            shown = " ".join(texts).casefold()
            for start, end, what in line.account:
                if what is TakenFor.NOTE:
                    words = re.findall(r"\w*\d\w*", line.text[start:end].casefold())
                    lost = [word for word in words if word not in shown]
                    assert lost == [], (line.text, shown)


def test_each_piece_is_what_a_reader_would_call_it() -> None:
    found, _ = read_parts(
        "B2 2/1180 EA 50/50/6 posts\n4 off SHS 40x40x3 @ 1200 45/45 LP or RHS 50x30x3\nTel. 0555 014277"
    )
    said = [[(line.text[start:end], what.value) for start, end, what in line.account] for line in found.lines]
    assert said == [
        [("B2", "mark"), ("2/", "quantity"), ("1180", "length"), ("EA 50/50/6", "section"), ("posts", "note")],
        [
            ("4 off", "quantity"),
            ("SHS 40x40x3", "section"),
            ("@ 1200", "length"),
            ("45/45 LP", "ends"),
            ("or RHS 50x30x3", "substitute"),
        ],
        [("Tel. 0555 014277", "set aside")],
    ]


SIGNS = "0123456789.,;:/x-+ '\"()@€$mabSl\t"


def edited(chance: random.Random, text: str) -> str:
    """Change one sign of a text: take it out, put another beside it, or in its place."""
    at = chance.randrange(len(text) + 1)
    keep = chance.random() < 0.5
    new = chance.choice(["", *SIGNS])
    return text[:at] + new + text[at + (0 if keep else 1) :]


def fuzz(edits: int, seed: int) -> None:
    """Edit lines at random: no error, and a length or a quantity never changes where the echo doesn't."""
    chance = random.Random(seed)
    for _ in range(edits):
        pasted = chance.choice(LISTS)
        line = chance.choice([each for each in pasted.text.splitlines() if each.strip()])
        before, after = (read(pasted, text) for text in (line, edited(chance, line)))
        values = [[(each.length, each.section.name, _count(each)) for each in found] for _, found in (before, after)]
        echoes = [[each.understood for each in lines] for lines, _ in (before, after)]
        assert values[0] == values[1] or echoes[0] != echoes[1], (line, echoes)


def _count(each: PartRead | OfferRead) -> int | None:
    return each.quantity if isinstance(each, PartRead) else each.available


@pytest.mark.parametrize("seed", [0, pytest.param(1, marks=pytest.mark.slow("a further batch of edits"))])
def test_edited_lines_never_fall_over_and_never_change_in_silence(seed: int) -> None:
    fuzz(SMALL if seed == 0 else 10 * SMALL, seed)


if __name__ == "__main__":
    arguments = argparse.ArgumentParser(description="Edit lines of the corpus at random.")
    arguments.add_argument("--edits", type=int, default=LARGE)
    arguments.add_argument("--seed", type=int, default=0)
    asked = arguments.parse_args()
    fuzz(asked.edits, asked.seed)
    sys.stdout.write(f"{asked.edits} edits, nothing fell over, nothing changed in silence\n")
