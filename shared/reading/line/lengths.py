"""Which of a line's numbers is its length, and what it is where it has two readings."""

from __future__ import annotations

from typing import Final

from shared.reading.line.chain import is_family
from shared.reading.line.measured import LENGTH_UNITS, measured
from shared.reading.line.named import GRADES, is_numbered_grade
from shared.reading.text.tokens import Token
from shared.reading.text.vocabulary import LENGTH_WORDS, NOTE_WORDS
from shared.reading.values.account import TakenFor
from shared.reading.values.draft import Around, Ask, Draft, Rewrite
from shared.reading.values.line_state import LineState, whole

__all__ = ["candidates", "claim", "is_announced", "is_range", "take_length"]

_BEHIND: Final = frozenset("long lg lang largo lgth length lange longueur".split())  # noqa: SIM905
_STANDARDS: Final = frozenset("iso din astm bs uni nf une nen asme".split())  # noqa: SIM905
"""Words before the number of a standard."""
_EUROPEAN: Final = 10_000
"""Standards for steel bars have five digits; ``en 6000`` is French for a length."""


def candidates(work: LineState) -> list[int]:
    """Return the indexes of numbers that may be the length: free, no angle or weight, before any remark."""
    found: list[int] = []
    for at in work.free():
        if work.word(at) in NOTE_WORDS and found and not _is_length_word(work, at):
            break
        token = work.tokens[at]
        before_family = token.text in GRADES and (
            (at + 1 < len(work.tokens) and is_family(work.tokens[at + 1])) or work.word(at - 1) == "in"
        )
        if before_family or is_numbered_grade(work.tokens, at) or _is_standard(work, at):
            continue
        if token.kind == "number" and token.unit not in {"deg", "%", "lb", "kg"} and token.form != "odd":
            found.append(at)
    return found


def _is_standard(work: LineState, at: int) -> bool:
    """Whether a number is that of a standard: ``ISO 4017``, ``EN 10058``."""
    number = whole(work.tokens[at])
    if number is None:
        return False
    return work.word(at - 1) in _STANDARDS or (work.word(at - 1) == "en" and number >= _EUROPEAN)


def _is_length_word(work: LineState, at: int) -> bool:
    return work.word(at) in LENGTH_WORDS


def is_announced(work: LineState, at: int) -> bool:
    """Whether a number is announced as a length: ``@ 48``, ``L=300``, ``Länge: 1250``, ``1250 long``."""
    spot = at - 1
    signs = ""
    while work.sign(spot) in {":", "=", "@", "."}:
        signs += work.sign(spot)
        spot -= 1
    if "@" in signs or (signs and work.word(spot) in LENGTH_WORDS):
        return True
    return (work.word(spot) in LENGTH_WORDS - {"a", "at", "cut", "de"} and spot == at - 1) or work.word(
        at + 1
    ) in _BEHIND


def take_length(work: LineState, draft: Draft, around: Around) -> bool:
    """Take the length that is beyond doubt: announced, or the only number with a unit of length."""
    numbers = candidates(work)
    announced = [at for at in numbers if is_announced(work, at)]
    with_unit = [at for at in numbers if work.tokens[at].unit in LENGTH_UNITS]
    if len(announced) > 1:
        announced = [at for at in announced if work.tokens[at].unit in LENGTH_UNITS] or announced[:1]
    for group in (announced, with_unit):
        if len(group) == 1:
            claim(work, draft, around, group[0])
            return True
    if len(with_unit) > 1:
        _ask_which(work, draft, with_unit)
        return True
    return False


def _ask_which(work: LineState, draft: Draft, spots: list[int]) -> None:
    """Ask which of several lengths is the part's."""
    texts = [work.tokens[at].text.strip() for at in spots]
    draft.asks.append(
        Ask(
            message=(
                f"several lengths here ({', '.join(texts)}); put the part's length behind @ and the rest into a note"
            ),
            position=work.tokens[spots[1]].start,
        )
    )
    work.take(spots)


def claim(work: LineState, draft: Draft, around: Around, at: int) -> None:
    """Take the number at an index as the length, with the words that announce it."""
    token = work.tokens[at]
    if is_range(work, at):
        _ask_range(work, draft, at)
        return
    before, work.stage = work.stage, TakenFor.QUANTITY
    if draft.quantity is None:
        _take_crossed_count(work, draft, at)
    work.stage = TakenFor.LENGTH
    if token.form == "spaced" and _after_word(work, at):
        token = token._replace(form="grouped", value=token.readings[2])
    draft.length = measured(token, draft, around)
    work.take((at,))
    spot = at - 1
    while work.sign(spot) in {":", "=", "@", "."}:
        work.take((spot,))
        spot -= 1
    if work.word(spot) in LENGTH_WORDS and spot not in work.used:
        work.take((spot,))
    if work.kind(at - 1) == "cross":
        work.take((at - 1,))
    if work.word(at + 1) in _BEHIND or _glued_l(work, at):
        work.take((at + 1,))
    work.stage = before


def _after_word(work: LineState, at: int) -> bool:
    """Whether a word for length stands right before a number: then ``2 450`` is one number behind it."""
    spot = at - 1
    while work.sign(spot) in {":", "=", "."}:
        spot -= 1
    return work.word(spot) in LENGTH_WORDS - {"a", "at", "cut", "de", "l"}


def _glued_l(work: LineState, at: int) -> bool:
    """Whether an ``L`` for length stands against the number: ``210L``."""
    return work.word(at + 1) == "l" and work.tokens[at + 1].start == work.tokens[at].end


def _take_crossed_count(work: LineState, draft: Draft, at: int) -> None:
    """Take the count that a cross ties to the length: ``2 x 880 mm``, ``880 mm x 2``."""
    for count, cross, beyond in ((at - 2, at - 1, at - 3), (at + 2, at + 1, at + 3)):
        if count < 0 or count >= len(work.tokens) or {count, cross} & (work.used | work.noted):
            continue
        number = whole(work.tokens[count])
        if number is not None and work.kind(cross) == "cross" and (beyond < 0 or work.kind(beyond) != "cross"):
            draft.quantity = number
            work.take((count, cross))
            work.counted.update((count, cross))
            return


def is_range(work: LineState, at: int) -> bool:
    """Whether a number is one side of a tight ``6-8``: feet and inches, or from six to eight."""
    return _range_start(work, at) is not None


def _range_start(work: LineState, at: int) -> int | None:
    """Return the index of the first number of a tight ``6-8`` that the number at `at` belongs to."""
    for first in (at - 2, at):
        if first < 0 or first + 2 >= len(work.tokens) or {first, first + 2} & work.used:
            continue
        one, dash, two = work.tokens[first : first + 3]
        tight = dash.text == "-" and one.end == dash.start and dash.end == two.start
        if tight and one.form == "int" and not one.unit and two.kind == "number" and (two.value or 0) < 12:  # noqa: PLR2004
            return first
    return None


def _ask_range(work: LineState, draft: Draft, at: int) -> None:
    """Ask what a tight ``6-8`` means."""
    first = _range_start(work, at)
    assert first is not None
    one, two = work.tokens[first], work.tokens[first + 2]
    body = two.body.strip()
    draft.asks.append(
        Ask(
            message=(
                f"{work.text[one.start : two.end].strip()} has two readings: "
                "feet and inches, or from … to …; write one length"
            ),
            position=one.start,
            rewrites=(
                Rewrite(reading=f"{one.body}' {body}\"", start=one.start, end=two.end, text=f"{one.body}' {body}\""),
                Rewrite(reading=f"{one.body} only", start=one.start, end=two.end, text=f"{one.body}{_mark(two)}"),
                Rewrite(reading=f"{body} only", start=one.start, end=two.end, text=f"{body}{_mark(two)}"),
            ),
        )
    )
    work.take((first, first + 1, first + 2))


def _mark(token: Token) -> str:
    return '"' if token.unit == "in" else ""
