"""What a list as a whole shows about itself: its decimal sign, its units, its item numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final

from shared.reading.text.tokens import plain
from shared.sections import System

__all__ = ["decimal_sign", "is_numbered", "system_of"]

_POINT: Final = re.compile(
    r"(?<![\d.,])(?:\d{0,6}\.(?:\d{1,2}|\d{4,6})|0?\.\d{3})(?![\d.,])|\d,\d{3}\.\d|\d{4,}\.\d{3}(?!\d)"
    r"|(?<![\d.,])\d{1,3}(?:,\d{3}){2,}(?![\d,.])"
)
_COMMA: Final = re.compile(
    r"(?<![\d.,])(?:\d{0,6},(?:\d{1,2}|\d{4,6})|0?,\d{3})(?![\d.,])|\d\.\d{3},\d|\d{4,},\d{3}(?!\d)"
    r"|(?<![\d.,])\d{1,3}(?:\.\d{3}){2,}(?![\d,.])"
    r"|\d[ \u00a0]\d{3},\d"
)
_INCH: Final = re.compile(
    r"\d\s*(?:\"|''|'|/(?:2|4|8|16|32|64)\b|in\b(?!\s+(?:the\s+)?(?:plane|stock|total|all)\b)|ft\b|ga\b)|[¼½¾⅛⅜⅝⅞]",
    re.IGNORECASE,
)
_METRIC: Final = re.compile(r"\d\s*(?:mm|cm|m)\b|\b(?:mm|UPN|Rohr|Stk|Winkel|Flachstahl)\b", re.IGNORECASE)
_NO_NUMBER: Final = re.compile(
    r"\b\d{1,2}\.\d{1,2}\.(?:\d{2}){0,2}|\b\d{4}-\d\d-\d\d|\b\d{1,2}:\d\d\b|\b1\.[04]\d{3}\b"
)
_ITEM: Final = re.compile(r"\s*(\d{1,4})(?:[.)](?!\d)|\s+\d|\s+[-|]?\s*[^\W\d_])")


def decimal_sign(texts: Iterable[str]) -> str:
    """Return the decimal sign that texts show, empty where they show none or both.

    Examples
    --------
    >>> decimal_sign(["SHS 40x40x3 1.250", "RHS 60x40x3 880,5"]), decimal_sign(["1.250", "1,250"])
    (',', '')
    """
    point = comma = False
    for text in texts:
        if "." not in text and "," not in text:
            continue
        body = _NO_NUMBER.sub(" ", plain(text))
        point = point or bool(_POINT.search(body))
        comma = comma or bool(_COMMA.search(body))
        if point and comma:
            return ""
    return "." if point else "," if comma else ""


def system_of(texts: Iterable[str]) -> System | None:
    """Return the unit of dimensions that texts show, None where they show none or both."""
    inch = metric = False
    for text in texts:
        body = plain(text)
        inch = inch or bool(_INCH.search(body))
        metric = metric or bool(_METRIC.search(body))
        if inch and metric:
            return None
    return System.INCH if inch else System.MM if metric else None


def is_numbered(texts: Sequence[str]) -> bool:
    """Whether the lines begin with running item numbers: 1, 2, 3, with more numbers behind.

    Examples
    --------
    >>> is_numbered(["1. 4 x SHS 40x40x3 500", "2. 2 x SHS 40x40x3 400"]), is_numbered(["4 x 500", "2 x 400"])
    (True, False)
    """
    numbers = [int(found.group(1)) for text in texts if (found := _ITEM.match(plain(text)))]
    return len(numbers) > 1 and numbers == list(range(1, len(numbers) + 1))
