"""Several parts or sticks on one line (``SHS 40x40x3: 4/1200, 2/950``), as one line for each."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from shared.reading.line.amounts import AMOUNT, CURRENCY, PER
from shared.reading.line.finder import find_section
from shared.reading.text.tokens import plain, tokenize
from shared.reading.text.vocabulary import COUNTER, NUMBERS
from shared.reading.values.draft import Around
from shared.sections.words import fold

__all__ = ["split_several"]

_UNIT: Final = r"(?:\s?(?:mm|cm|mtrs?|m|in|inch(?:es)?|ft|feet|\"|'))"
_NUMBER: Final = rf"\d+(?:[ -]\d+/\d+|/(?:2|4|8|16|32|64)(?!\d)|[.,]\d+)?{_UNIT}?(?:\s?-?\s?\d+(?:[ -]\d+/\d+)?\")?"
_WORD: Final = "|".join(sorted(NUMBERS, key=len, reverse=True))
_COUNT: Final = rf"(?:\d{{1,4}}|{_WORD})"
_JOIN: Final = re.compile(
    r"\s*(?:;|\+|&|\||,(?=\s)|\s/\s|\s-\s|\b(?:and|und|et|y|e|en|or|oder|ou|o|of)\b)\s*", re.IGNORECASE
)
_FIRST: Final = re.compile(
    rf"(?P<count>{_COUNT})\s*(?:{COUNTER}\s*)?(?:[x×*@/]|at\b|à|a\b|de\b|da\b|von\b|van\b|of\b|long\b)?\s*(?P<length>{_NUMBER})",
    re.IGNORECASE,
)
_LAST: Final = re.compile(
    rf"(?P<length>{_NUMBER})\s*(?:[x×*]\s*(?P<count>\d{{1,3}})|[(\[]\s*(?P<inside>\d{{1,3}})\s*x?\s*(?:{COUNTER})?\s*[)\]])",
    re.IGNORECASE,
)
_CROSSED: Final = re.compile(r"(?P<one>\d+)\s*[x×*]\s*(?P<two>\d+)")
_BARE: Final = re.compile(_NUMBER, re.IGNORECASE)
_ANGLES: Final = re.compile(r"\d+\s*/\s*\d{1,2}(?!\d).*")
"""``45/45`` and ``90/90`` are ends; pieces over a length have a length of three digits."""
_PRICE: Final = re.compile(
    rf"(?:@\s*)?(?:{CURRENCY}\s*{AMOUNT}|{AMOUNT}\s*{CURRENCY}){re.sub('[?]P<(?:per|each)>', '?:', PER)}", re.IGNORECASE
)
_EACH: Final = re.compile(rf"^(?:je|each|chaque|cada)\s+(?P<count>{_COUNT})\s*(?:{COUNTER})?\s*:?\s*", re.IGNORECASE)
_PER_LENGTH: Final = re.compile(r"(?:/|per\b|pro\b|le\b|al\b)\s*(?:m|ft|lfm|ml|in)\b", re.IGNORECASE)
_WHAT: Final = re.compile(rf"(?!(?:{_WORD})\b)(?:[^\W\d_]{{2,}}[ ,:-]+){{1,3}}(?=\d)", re.IGNORECASE)
"""What the parts are: ``rails 6/1180, 4/760``."""
_SIZED: Final = re.compile(r"\d\s*x\s*\d.*\s\d{2,}", re.IGNORECASE)
_COUNTED: Final = re.compile(rf"\d{{1,4}}\s*{COUNTER}\s", re.IGNORECASE)
_LEAST: Final = 2


@dataclass(frozen=True, slots=True)
class _Item:
    """One of several: how many (0 where it doesn't say), how long, and at what price (empty where it doesn't say)."""

    count: int
    length: str
    price: str = ""


def split_several(text: str, around: Around) -> list[str] | None:
    """Return a line of several parts or sticks as one line for each, None where it isn't one.

    Parameters
    ----------
    text : str
        The line.
    around : Around
        Says which section holds where the line names none, and whether it is a list of sticks.

    Examples
    --------
    >>> split_several("40x40x3 SHS 4/1200, 2/950", Around())
    ['40x40x3 SHS 4 pcs @ 1200', '40x40x3 SHS 2 pcs @ 950']
    >>> split_several("SHS 40x40x3 1200", Around()) is None
    True
    """
    line = plain(text)
    whole = _wholes(line)
    if whole is not None:
        return whole
    head, tail = _head(line, around)
    if head is None:
        return None
    said = None if _EACH.match(tail) else _WHAT.match(tail)
    what = said.group().strip(" ,:-") if said else ""
    tail = tail[said.end() :] if said else tail
    each = _EACH.match(tail)
    count = _count(each["count"]) if each else 0
    body = tail[each.end() :] if each else tail
    found = _sticks(body) if around.offers else None
    items = found or _items(body, offers=around.offers)
    if items is None or len(items) < _LEAST:
        return None
    if around.offers and not found and _differ(items):
        return None
    if not around.offers and not each and not all(item.count for item in items):
        return None
    return [f"{_line(head, item, count, '' if around.offers else '@ ')} {what}".strip() for item in items]


def _wholes(line: str) -> list[str] | None:
    """Return parts that each name their own section: ``2 off SHS 40x40x3 1300 and 2 off SHS 30x30x3 1300``."""
    parts = [part for part in _JOIN.split(line) if part.strip()]
    if len(parts) < _LEAST or not all(_SIZED.search(part) and _COUNTED.match(part.strip()) for part in parts):
        return None
    return [part.strip() for part in parts]


def _differ(items: list[_Item]) -> bool:
    """Whether numbers are written in different ways, or one as money is: then they aren't all lengths."""
    bare = [item.length for item in items if not item.count]
    united = {re.search(_UNIT, length, re.IGNORECASE) is not None for length in bare}
    return len(united) > 1 or any(re.fullmatch(r"\d+[.,]\d\d", length) for length in bare)


def _line(head: str, item: _Item, count: int, at: str) -> str:
    number = item.count or count
    pieces = f"{number} pcs {at}" if number and not item.price else ""
    return " ".join(part for part in (head, f"{pieces}{item.length}", item.price) if part)


def _head(line: str, around: Around) -> tuple[str | None, str]:
    """Return the section that a line begins with, empty for the heading's, and what is behind it; None for neither."""
    tokens = tokenize(line)
    found = find_section(tokens, around.system, sure_quantity=True, sure_length=lambda: True)
    if found is None or found.error is not None:
        return ("", line.strip()) if around.section is not None and found is None else (None, line)
    first, last = min(found.used), max(found.used)
    words = [token for token in tokens[:first] if token.kind != "word"]
    if words or any(at not in found.used for at in range(first, last + 1)):
        return None, line
    end = tokens[last].end
    rest = line[end:]
    if not re.match(r"\s*[:,-]|\s", rest):
        return None, line
    return re.sub(r"\s+(?:in|en)$", "", line[:end].strip()), rest.lstrip(" :,-")


def _items(body: str, *, offers: bool) -> list[_Item] | None:
    """Read counts and lengths, all of them; where a cross leaves open which is which, the smaller counts."""
    parts = [part.strip() for part in _JOIN.split(body.strip(" .")) if part.strip()]
    if len(parts) < _LEAST:
        return None
    crossed = [found for part in parts if (found := _CROSSED.fullmatch(part))]
    counts_last = bool(crossed) and all(int(found["one"]) > int(found["two"]) for found in crossed)
    if crossed and not counts_last and any(int(found["one"]) >= int(found["two"]) for found in crossed):
        return None
    items = []
    for part in parts:
        item = _item(part, counts_last=counts_last)
        if item is None or (not item.count and not offers and not _BARE.fullmatch(part)):
            return None
        items.append(item)
    return items


def _item(part: str, *, counts_last: bool) -> _Item | None:
    order = (_LAST, _FIRST) if counts_last else (_FIRST, _LAST)
    if _BARE.fullmatch(part):
        return _Item(0, part)
    if _ANGLES.fullmatch(part):
        return None
    for pattern in order:
        found = pattern.fullmatch(part)
        if found is not None:
            groups = found.groupdict()
            count = _count(groups.get("count") or groups.get("inside") or "")
            return _Item(count, found["length"].strip()) if count else None
    return None


def _sticks(body: str) -> list[_Item] | None:
    """Read lengths in a unit with a price each, or one price by length for all of them."""
    prices = list(_PRICE.finditer(body))
    lengths = re.sub(_PRICE, " ", body) if prices else ""
    parts = [part.strip(" ,") for part in _JOIN.split(re.sub(r"^in\s+", "", lengths.strip())) if part.strip(" ,")]
    united = [part for part in parts if re.fullmatch(rf"\d+(?:[.,]\d+)?{_UNIT}", part, re.IGNORECASE)]
    if len(united) != len(parts) or len(parts) < _LEAST:
        return None
    if len(prices) == len(parts):
        return [_Item(0, part, price.group().strip()) for part, price in zip(parts, prices, strict=True)]
    if len(prices) == 1 and _PER_LENGTH.search(prices[0].group()):
        return [_Item(0, part, prices[0].group().strip()) for part in parts]
    return None


def _count(text: str) -> int:
    return int(text) if text.isdigit() else NUMBERS.get(fold(text), 0)
