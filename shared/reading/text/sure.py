"""What somebody writes behind a line to say what it is: meant as it stands, not a part, a part after all."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["ASIDE", "COUNTS", "SAID", "SAID_ASIDE", "SAID_COUNTS", "SAID_WORDS", "SURE", "unsaid"]

SURE: Final = re.compile(r"\((?:sure|sicher|s[ûu]r|seguro|sicuro|zeker)\)", re.IGNORECASE)
"""In any of the languages of the lists."""
SAID: Final = " (sure)"
"""What a choice writes."""
ASIDE: Final = re.compile(
    r"\((?:not a part|kein teil|pas une pi[èe]ce|no es (?:una )?pieza|non [èe] un pezzo|geen onderdeel)\)",
    re.IGNORECASE,
)
"""The line is no part, whatever it looks like."""
SAID_ASIDE: Final = " (not a part)"
COUNTS: Final = re.compile(
    r"\((?:a part|ein teil|une pi[èe]ce|(?:es )?una pieza|un pezzo|een onderdeel)\)", re.IGNORECASE
)
"""The line is a part, or a stick, although it looks like something else."""
SAID_COUNTS: Final = " (a part)"
SAID_WORDS: Final = re.compile("|".join(f"(?:{each.pattern})" for each in (SURE, ASIDE, COUNTS)), re.IGNORECASE)
"""Any of them."""


def unsaid(text: str) -> str:
    """Blank out what is said of a line as a whole; what stands elsewhere keeps its place.

    Examples
    --------
    >>> unsaid("4 SHS 40x40x3 30 (sure)")
    '4 SHS 40x40x3 30       '
    """
    return SAID_WORDS.sub(lambda found: " " * len(found.group()), text) if "(" in text else text
