"""Share the plain numbers of a line out between item, quantity and length."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from cutting.question.lengths import Unit
from shared.reading.line.chain import is_family
from shared.reading.line.lengths import candidates, claim, is_range
from shared.reading.line.measured import LENGTH_UNITS
from shared.reading.text.vocabulary import MARK_WORDS, NUMBERS, is_also, is_set
from shared.reading.values.account import TakenFor
from shared.reading.values.draft import Around, Ask, Draft, Rewrite
from shared.reading.values.line_state import LineState, whole
from shared.reading.values.system import system_in
from shared.sections import System

__all__ = ["share_plain_numbers"]

_LEAST_LENGTH: Final = {Unit.IN: Fraction(3, 4), Unit.MM: Fraction(20)}
_MOST_LENGTH: Final = {Unit.IN: Fraction(600), Unit.MM: Fraction(15000)}
_MOST_LIKELY_PIECES: Final = 999
_HUNDREDTHS: Final = 2
"""Digits behind ``2 m`` that are centimetres as they are spoken."""


def share_plain_numbers(work: LineState, draft: Draft, around: Around) -> None:
    """Share the plain numbers that are left out between item, quantity and length."""
    if draft.asks:
        return
    left = [at for at in candidates(work) if work.tokens[at].unit in LENGTH_UNITS or not work.tokens[at].unit]
    section_at = min((at for at in work.used if is_family(work.tokens[at]) or work.kind(at) == "number"), default=-1)
    if len(left) > 1 and draft.item is None and _is_item(work, draft, around, left, section_at):
        draft.item = whole(work.tokens[left[0]])
        work.take(left[:1])
        left = left[1:]
    if draft.length is None and (draft.section or draft.stated or around.section or around.previous):
        _length_among(work, draft, around, left)
        left = [at for at in left if at not in work.used]
    if draft.quantity is None and not draft.asks:
        _quantity_among(work, draft, around, left)


def _is_item(work: LineState, draft: Draft, around: Around, left: list[int], section_at: int) -> bool:
    """Whether the first plain number is a running item number."""
    first = whole(work.tokens[left[0]])
    if first is None or (section_at != -1 and left[0] > section_at):
        return False
    if around.numbered and first == around.item:
        return True
    before = [at for at in left if section_at == -1 or at < section_at]
    spare = draft.quantity is not None and draft.length is not None
    return spare and len(before) > 0 and before[0] == left[0] and work.free()[:1] == left[:1]


def _length_among(work: LineState, draft: Draft, around: Around, left: list[int]) -> None:
    """Find the length among plain numbers, together with the quantity."""
    if not left:
        return
    ranged = next((at for at in left if is_range(work, at)), None)
    if ranged is not None:
        claim(work, draft, around, ranged)
        return
    if (
        draft.section is None
        and not draft.stated
        and around.section is None
        and not around.offers
        and around.previous is None
    ):
        return
    if len(left) == 1:
        if draft.quantity is None and _is_leading_count(work, left[0]):
            return
        claim(work, draft, around, left[0])
        return
    if len(left) == 2 and draft.quantity is None:  # noqa: PLR2004
        _pair(work, draft, around, left)
        return
    written = [at for at in left if whole(work.tokens[at]) is None]
    behind = [at for at in left if at > _section_end(work)] if draft.section is not None else []
    for sure in (written, behind):
        if len(sure) == 1:
            claim(work, draft, around, sure[0])
            return
    texts = [work.tokens[at].text.strip() for at in left]
    draft.asks.append(
        Ask(
            message=f"which of {', '.join(texts)} is the length? write it behind @, and the quantity as 4 pcs",
            position=work.tokens[left[0]].start,
        )
    )


def _section_end(work: LineState) -> int:
    """Return where the section's last token stands."""
    return max(
        (at for at in work.used if is_family(work.tokens[at]) or work.kind(at) in {"cross", "gauge"}), default=-1
    )


def _is_leading_count(work: LineState, at: int) -> bool:
    """Whether the only number stands before the section, as a quantity does."""
    behind = [other for other in work.used if other > at and work.kind(other) in {"number", "word"}]
    first = min((other for other in range(len(work.tokens)) if other not in work.noted), default=at)
    return (
        whole(work.tokens[at]) is not None
        and bool(behind)
        and at <= first + 1
        and not any(o < at and is_family(work.tokens[o]) for o in work.used)
    )


def _pair(work: LineState, draft: Draft, around: Around, left: list[int]) -> None:
    """Share two plain numbers out: quantity and length, in whichever order only one reading is possible."""
    one, two = left
    system = _dimensioned_in(draft, around)
    first, second = whole(work.tokens[one]), whole(work.tokens[two])
    crossed = work.kind(one + 1) == "cross" and two == one + 2
    if second is None and first is not None:
        order = (one, two)
    elif first is None and second is not None:
        order = (two, one)
    elif first is None or second is None:
        claim(work, draft, around, one)
        return
    elif (
        (crossed and first < second)
        or _split_by_section(work, one, two)
        or (one == work.free()[0] and work.sign(one + 1) == "-")
    ):
        order = (one, two) if not crossed or _likely(first, second, system) else (two, one)
    else:
        order = _by_size(work, draft, one, two, around) or (-1, -1)
    count, length = order
    if count < 0:
        return
    draft.quantity = whole(work.tokens[count])
    work.take((count,))
    claim(work, draft, around, length)


def _split_by_section(work: LineState, one: int, two: int) -> bool:
    """Whether the section stands between the two numbers."""
    return any(one < at < two and work.kind(at) in {"word", "number"} for at in work.used)


def _dimensioned_in(draft: Draft, around: Around) -> System | None:
    """Return the unit that the section, or else the list, is dimensioned in."""
    section = draft.section or around.section
    return (system_in(section) if section is not None else None) or around.system


def _likely(count: int, length: int, system: System | None) -> bool:
    """Whether a count and a bare length are likely ones, in mm or in inches as the list has it."""
    units = {System.INCH: [Unit.IN], System.MM: [Unit.MM], None: [Unit.IN, Unit.MM]}[system]
    return 0 < count <= _MOST_LIKELY_PIECES and any(_LEAST_LENGTH[u] <= length <= _MOST_LENGTH[u] for u in units)


def _by_size(work: LineState, draft: Draft, one: int, two: int, around: Around) -> tuple[int, int] | None:
    """Tell quantity and length apart by size; asks where both orders are possible."""
    first, second = whole(work.tokens[one]) or 0, whole(work.tokens[two]) or 0
    system = _dimensioned_in(draft, around)
    forward, backward = _likely(first, second, system), _likely(second, first, system)
    if forward != backward:
        return (one, two) if forward else (two, one)
    start, end = work.tokens[one].start, work.tokens[two].end
    draft.asks.append(
        Ask(
            message=f"which of {first} and {second} is the quantity?",
            position=start,
            rewrites=(
                Rewrite(reading=f"{second} pieces of {first}", start=start, end=end, text=f"{second} pcs @ {first}"),
                Rewrite(reading=f"{first} pieces of {second}", start=start, end=end, text=f"{first} pcs @ {second}"),
            ),
        )
    )
    work.take((one, two))
    return None


def _counts_section(work: LineState, at: int) -> bool:
    """Whether a number behind a name counts the section that it stands before: ``rails 2 tube 40x40x3``."""
    name = work.word(at - 1)
    numbers = is_set(name) or name in MARK_WORDS or not name
    return not numbers and work.taken.get(at + 1) is TakenFor.SECTION and work.kind(at + 1) == "word"


def _is_bound(work: LineState, at: int) -> bool:
    """Whether a number is one side of a tight ``15-20``, which counts nothing."""
    for first in (at - 2, at):
        if first >= 0 and first + 2 < len(work.tokens) and work.sign(first + 1) == "-":
            one, dash, two = work.tokens[first : first + 3]
            if one.kind == two.kind == "number" and one.end == dash.start and dash.end == two.start:
                return True
    return False


def _ask_spoken(work: LineState, draft: Draft, around: Around, at: int) -> bool:
    """Ask whether ``2 m 20`` is 2.20 m, or twenty pieces of two metres."""
    metres, count = work.tokens[at - 1], work.tokens[at]
    if around.offers or at == 0 or metres.unit != "m" or metres.form != "int" or len(count.body) != _HUNDREDTHS:
        return False
    said = f"{metres.body}.{count.body} m"
    start, end = metres.start, count.end
    draft.asks.append(
        Ask(
            message=f"{work.text[start:end].strip()} is {said}, or a length and a quantity?",
            position=start,
            rewrites=(
                Rewrite(reading=said, start=start, end=end, text=f"{said}, 1 pc"),
                Rewrite(
                    reading=f"{count.body} pieces of {metres.body} m",
                    start=start,
                    end=end,
                    text=f"{metres.body} m, {count.body} pcs",
                ),
            ),
        )
    )
    return True


def _take_count(work: LineState, draft: Draft, around: Around, at: int) -> None:
    """Take the only count that is left as the quantity."""
    if _ask_spoken(work, draft, around, at):
        return
    draft.quantity = whole(work.tokens[at])
    counts = [at, at + 1] if work.word(at + 1) in {"of", "de", "von"} else [at]
    work.take(counts)
    work.counted.update(counts)


def _quantity_among(work: LineState, draft: Draft, around: Around, left: list[int]) -> None:
    """Take a plain count that is left as the quantity."""
    counts = [
        at
        for at in left
        if whole(work.tokens[at]) is not None
        and "cross" not in {work.kind(at - 1), work.kind(at + 1)}
        and not _is_bound(work, at)
    ]
    unnamed = [
        at
        for at in counts
        if work.kind(at - 1) not in {"word", "code"} or at - 1 in work.used or _counts_section(work, at)
    ]
    if (
        draft.section is None
        and not draft.stated
        and draft.length is None
        and not any(is_also(t.word) for t in work.tokens)
    ):
        return
    leading = [at for at in unnamed if at < _section_end(work)] if len(unnamed) > 1 else unnamed
    counts = leading or unnamed or ([] if draft.complete else counts)
    if not counts:
        first = next(iter(work.free()), None)
        if first is not None and work.word(first) in NUMBERS and draft.complete:
            draft.quantity = NUMBERS[work.word(first)]
            work.take((first,))
        return
    if len(counts) == 1:
        _take_count(work, draft, around, counts[0])
        return
    if draft.complete:
        texts = [work.tokens[at].text for at in counts]
        draft.asks.append(
            Ask(
                message=f"which of {', '.join(texts)} is the quantity? write it as {texts[-1]} pcs",
                position=work.tokens[counts[0]].start,
                rewrites=tuple(
                    Rewrite(
                        reading=f"{work.tokens[at].text} pieces",
                        start=work.tokens[at].start,
                        end=work.tokens[at].end,
                        text=f"{work.tokens[at].text} pcs",
                    )
                    for at in counts
                ),
            )
        )
