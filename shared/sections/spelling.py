"""Ways of writing that have to be put straight before a section's name can be taken apart word by word.

What is done here looks at more than one word: ``EA`` means an equal angle behind three dimensions and "each" anywhere
else, a slash stands between dimensions or within a fraction.
"""

from __future__ import annotations

import re
from typing import Final

__all__ = ["DIMENSIONAL", "put_straight"]

_SIZE: Final = r"\d+(?:[.,]\d+)?"
_THREE: Final = rf"{_SIZE}\s?x\s?{_SIZE}\s?x\s?{_SIZE}"
_RULES: Final[tuple[tuple[re.Pattern[str], str], ...]] = tuple(
    (re.compile(pattern, re.IGNORECASE), by)
    for pattern, by in (
        # 60/40/3: no fraction has a denominator over another, and none this large
        (r"(?<![\d/.,-])(\d{2,3})/(\d{2,3})/(\d{1,2}(?:[.,]\d+)?)(?![\d/])", r"\1x\2x\3"),
        (rf"({_THREE})\s?(?:ea|ua)\b", r"\1 angle"),
        (rf"^(?:ea|ua)\s?(?={_THREE})", "angle "),
        (r"\b4[\s-]?kt\b", "vkt"),
        (r"\b6[\s-]?kt\b", "skt"),
        (r"\b(?:llh|llv|slv|slh)\b", " "),
        (r"à ailes", "ailes"),
        (rf"({_SIZE})\s?nb\b", r"dn \1"),
        (rf"\bnb\s?(?={_SIZE})", "dn "),
        (r"\bs(5|10|40|80|160)s?\b(?=.*\bpipes?\b)|(?<=pipe )s(5|10|40|80|160)s?\b", r"sch \1\2"),
    )
)
_TEE: Final = re.compile(r"^t[ée]?[\s-]?(?=\d)", re.IGNORECASE)
_INCHES: Final = re.compile(r"/|\"|[¼½¾⅛⅜⅝⅞]|\bin\b|''")
_TEES: Final = {
    20: "3",
    25: "3.5",
    30: "4",
    35: "4.5",
    40: "5",
    50: "6",
    60: "7",
    70: "8",
    80: "9",
    100: "11",
    120: "13",
    140: "15",
}
"""EN 10055: height of an equal tee to the thickness of its walls, mm [from memory]; 20, 25 were in DIN 1024."""
_TEE_ALONE: Final = re.compile(r"^(tee|t[- ]?(?:stahl|staal|profil)|fer t)\s?(\d{2,3})(?=\s|$)(?!\s?x)", re.IGNORECASE)
DIMENSIONAL: Final = re.compile(
    r"(?:(?:din|bs|nf|une|uni|nen|sfs|ss|ns|ds)\s?)*(?:en\s?)?(?:10365|1025|1026|1028|1029|1017|1024|10055|10056|10058|10059|10060"
    r"|10061|10067|10279|10034|59410|59370|4)(?:\s?-\s?\d)?(?::\d{4})?"
    r"|astm\s?a\s?6(?:/a6m)?|(?:asme\s?)?b36\.10m?"
)
"""Standards that say how large a shape is, and nothing of what it is made of."""


def put_straight(text: str) -> str:
    """Return a name with everything spelled so that each word can be read by itself.

    Examples
    --------
    >>> put_straight("L 50/50/5"), put_straight("75x50x6 UA"), put_straight("T 40")
    ('L 50x50x5', '75x50x6 angle', 'tee 40x40x5')
    """
    for pattern, by in _RULES:
        text = pattern.sub(by, text)
    if not _INCHES.search(text):  # in inches a T may as well be a tube
        text = _TEE.sub("tee ", text)
    alone = _TEE_ALONE.match(text)
    if alone and (wall := _TEES.get(int(alone[2]))):
        text = f"tee {alone[2]}x{alone[2]}x{wall}{text[alone.end() :]}"
    return " ".join(text.split())
