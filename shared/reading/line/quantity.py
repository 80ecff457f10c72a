"""How many: quantities before and after, in words, handed, and item numbers that are no quantities."""

from __future__ import annotations

import re
from typing import Final

from shared.reading.line.counts import (
    count_at,
    length_elsewhere,
    number_after,
    number_before,
    take_announcement,
    take_counter,
    take_parentheses,
)
from shared.reading.line.named import names_section
from shared.reading.text.vocabulary import COUNTERS, HANDS, MULTIPLIERS, NUMBERS, QUANTITY_WORDS, SET_WORDS, fold
from shared.reading.values.draft import Ask, Draft
from shared.reading.values.line_state import LineState, whole

__all__ = ["explicit_quantity"]

_HAND: Final = "|".join(sorted(HANDS, key=len, reverse=True))
_HAND_WORDS: Final = frozenset(HANDS)
_HANDED: Final = re.compile(
    rf"(?<![\w./'\"-])(?P<first>\d{{1,4}})\s*[x*]?\s*(?P<one>{_HAND})\b\.?(?:[\s-]*hand(?:ed)?)?\s*(?:[+,&/]|and|und|et"
    rf"|y)?\s*(?P<second>\d{{1,4}})\s*[x*]?\s*(?P<two>{_HAND})(?![\w.]\w|\w)(?:[\s-]*hand(?:ed)?)?",
    re.IGNORECASE,
)
_SURE: Final = frozenset("qty quantity qte quantite menge anzahl cant cantidad".split())  # noqa: SIM905
_HALF: Final = frozenset({"half", "halbes", "demi", "media", "mezza"})
_ARTICLES: Final = frozenset({"one", "un", "une", "uno", "una", "ein", "eine", "einen", "een"})
"""Number words that are articles as well: ``one end mitred`` counts nothing."""
_PER: Final = frozenset("per pro par por je each".split())  # noqa: SIM905


def explicit_quantity(work: LineState, draft: Draft) -> None:
    """Take the quantity that a line states in so many words; nothing where it states none."""
    for reader in _READERS:
        if reader(work, draft):
            return


def _handed(work: LineState, draft: Draft) -> bool:
    """Read ``4L + 4R``: eight pieces, and the note says which."""
    found = _HANDED.search(work.text) if work.says(_HAND_WORDS) else None
    if not found or HANDS[fold(found["one"])] == HANDS[fold(found["two"])]:
        return False
    first, second = int(found["first"]), int(found["second"])
    draft.quantity = first + second
    draft.note = f"{first} {HANDS[fold(found['one'])]} + {second} {HANDS[fold(found['two'])]}"
    inside = [at for at, token in enumerate(work.tokens) if token.start < found.end() and token.end > found.start()]
    work.take(inside)
    work.noted.difference_update(inside)
    take_parentheses(work, inside[0], inside[-1])
    take_announcement(work, inside[0])
    _same_total(work, draft)
    return True


_OVER: Final = re.compile(r"(?<![\w./'\"-])(?P<count>\d{1,3})\s?/\s?(?P<length>\d{3,5})(?![\w/\"'.])")


def _over(work: LineState, draft: Draft) -> bool:
    """Read ``2/1180``: two pieces of 1180, as no fraction has so large a foot."""
    found = _OVER.findall(work.text)
    if len(found) != 1:
        return False
    at = next(
        (
            at
            for at in work.free()
            if whole(work.tokens[at]) is not None and work.sign(at + 1) == "/" and work.kind(at + 2) == "number"
        ),
        None,
    )
    if at is None:
        return False
    draft.quantity = whole(work.tokens[at])
    work.take((at, at + 1))
    return True


def _of(work: LineState, draft: Draft) -> bool:
    """Read ``24 de 280``: a line of nothing but how many and how long."""
    numbers = [at for at in work.free() if work.kind(at) == "number"]
    if len(numbers) != 2 or work.word(numbers[0] + 1) not in {"de", "da", "a", "à", "van", "von", "at"}:  # noqa: PLR2004
        return False
    first, second = numbers
    if (
        first != work.free()[0]
        or second != first + 2
        or whole(work.tokens[first]) is None
        or len(work.tokens) > second + 1
    ):
        return False
    draft.quantity = whole(work.tokens[first])
    work.take((first, first + 1))
    return True


def _same_total(work: LineState, draft: Draft) -> None:
    """Take a total beside handed pieces; asked where it is another."""
    probe = Draft()
    if not _counted(work, probe) or probe.quantity == draft.quantity:
        return
    message = f"{probe.quantity} pieces, or {draft.note}: {draft.quantity}? write one of them"
    draft.asks.append(Ask(message=message, position=0))


def _per_assembly(work: LineState, draft: Draft) -> bool:
    """Read ``4 per stall``; with ``6 stalls`` in the same line the two are multiplied."""
    if not work.says(_PER):
        return False
    for at in work.free():
        count = whole(work.tokens[at])
        if count is None or work.word(at + 1) not in _PER or work.word(at + 2) not in SET_WORDS:
            continue
        draft.quantity = count
        work.take((at, at + 1, at + 2))
        for other in work.free():
            sets = whole(work.tokens[other])
            if sets is not None and work.word(other + 1) in SET_WORDS:
                draft.quantity = count * sets
                draft.notes.append(f"{count} each for {sets}: {count * sets}")
                work.take((other, other + 1))
                break
        return True
    return False


def _announced(work: LineState, draft: Draft) -> bool:
    """Read ``qty: two``, ``Menge 4``, ``pcs = 3``."""
    if not work.says(QUANTITY_WORDS):
        return False
    for at in range(len(work.tokens)):
        if work.word(at) not in QUANTITY_WORDS or at in work.used:
            continue
        spot = at + 1
        while work.sign(spot) in {":", "=", ".", "#"}:
            spot += 1
        if work.kind(spot) == "cross":
            spot += 1
        count = count_at(work, spot)
        announced = (
            spot > at + 1
            or work.word(at) in _SURE
            or (spot == at + 1 and work.word(at - 1) == "" and not number_before(work, at))
        )
        if count is None or not announced or work.kind(spot + 1) == "cross":
            continue
        draft.quantity = count
        inside = range(at, spot + 1)
        work.take(inside)
        work.noted.difference_update(inside)
        if work.word(spot + 1) in COUNTERS:
            work.take((spot + 1,))
        take_parentheses(work, at, spot)
        return True
    return False


def _counted(work: LineState, draft: Draft) -> bool:
    """Read ``12 off``, ``3 ea``, ``2 No.``, ``8 Stk.``, ``two pairs``."""
    if not work.says(COUNTERS):
        return False
    if _dozen(work, draft):
        return True
    for at in range(len(work.tokens)):
        count = count_at(work, at)
        spot = at + 1
        if work.sign(spot) == "-" and work.word(spot + 1) in COUNTERS:
            spot += 1
        word = work.word(spot)
        if count is None or word not in COUNTERS or (word in {"no", "nr"} and number_after(work, spot)):
            continue
        if word == "no" and work.word(spot + 1) in {"charge", "cost", "price"}:
            continue
        draft.quantity = count * MULTIPLIERS.get(word, 1)
        if word in MULTIPLIERS and count > 0 and MULTIPLIERS[word] > 1:
            draft.notes.append(f"{count} {work.tokens[spot].text}: {draft.quantity} pieces")
        inside = range(at, spot + 1)
        work.take(inside)
        work.noted.difference_update(inside)
        before = count_at(work, at - 2) if work.sign(at - 1) == "+" else None
        if before is not None:
            draft.notes.append(f"{before} + {draft.quantity} pieces")
            draft.quantity += before
            work.take((at - 2, at - 1))
        if work.sign(spot + 1) == "." or work.word(spot + 1) in {"of", "de", "von"}:
            work.take((spot + 1,))
        take_parentheses(work, at, spot)
        take_announcement(work, at)
        return True
    return False


def _dozen(work: LineState, draft: Draft) -> bool:
    """Read ``a dozen``, ``a pair`` and ``half a dozen``."""
    for at in range(len(work.tokens) - 1):
        times = MULTIPLIERS.get(work.word(at + 1), 1)
        halved = work.word(at) in _HALF or work.word(at - 1) in _HALF
        if times == 1 or work.word(at) not in {"a", "ein", "une", "una", *_HALF}:
            continue
        draft.quantity = times // 2 if halved else times
        work.take((at - 1, at, at + 1) if work.word(at - 1) in _HALF else (at, at + 1))
        if work.word(at + 2) in {"of", "de", "von"}:
            work.take((at + 2,))
        return True
    return False


def _before_at(work: LineState, draft: Draft) -> bool:
    """Read ``4 @ 48``: the number before the sign counts the length behind it."""
    for at in range(1, len(work.tokens)):
        count = count_at(work, at - 1)
        if work.sign(at) != "@" or count is None or at in work.noted or work.kind(at - 2) == "cross":
            continue
        if at < 2 or not names_section(work.tokens[at - 2]):  # noqa: PLR2004
            draft.quantity = count
            work.take((at - 1,))
            return True
    return False


def _crossed(work: LineState, draft: Draft) -> bool:
    """Read ``x8`` and ``4 x`` where no dimension is on the cross's other side."""
    for at in range(len(work.tokens)):
        if work.kind(at) != "cross" or at in work.used or at in work.noted:
            continue
        before, after = count_at(work, at - 1), count_at(work, at + 1)
        number_before = work.kind(at - 1) in {"number", "gauge"}
        number_after = work.kind(at + 1) in {"number", "gauge"}
        if (
            after is not None
            and not number_before
            and number_after
            and work.kind(at + 2) != "cross"
            and length_elsewhere(work, at + 1, after)
        ):
            draft.quantity = after
            work.take((at, at + 1))
            take_parentheses(work, at, at + 1)
            take_counter(work, at + 2)
            return True
        if before is not None and not number_after and work.kind(at - 2) != "cross":
            draft.quantity = before
            work.take((at - 1, at))
            return True
    return False


def _in_parentheses(work: LineState, draft: Draft) -> bool:
    """Read ``(6)``."""
    if "(" not in work.text and "[" not in work.text:
        return False
    for at in range(1, len(work.tokens) - 1):
        count = count_at(work, at)
        if count is None or work.sign(at - 1) not in {"(", "["} or work.sign(at + 1) not in {")", "]"}:
            continue
        draft.quantity = count
        work.take((at - 1, at, at + 1))
        take_counter(work, at + 2)
        return True
    return False


def _worded(work: LineState, draft: Draft) -> bool:
    """Read ``two sq tube 2x2x1/8`` and ``half dozen flat``: a number word where a line begins, or before ``at``."""
    free = work.free()
    if not free:
        return False
    at = free[0]
    if work.word(at) in _HALF and work.word(at + 1) in MULTIPLIERS:
        draft.quantity = MULTIPLIERS[work.word(at + 1)] // 2
        work.take((at, at + 1))
        return True
    for spot in free:
        begins = spot == at and work.word(spot) not in _ARTICLES and work.kind(spot + 1) in {"word", "number"}
        if work.word(spot) in NUMBERS and (begins or work.word(spot + 1) == "at" or work.sign(spot + 1) == "@"):
            draft.quantity = NUMBERS[work.word(spot)]
            work.take((spot,))
            return True
    return False


_READERS: Final = (
    _handed,
    _over,
    _of,
    _per_assembly,
    _announced,
    _counted,
    _before_at,
    _crossed,
    _in_parentheses,
    _worded,
)
"""In the order in which a line's own words are believed."""
