"""What a file is called when it is saved: after the job, so that two jobs' papers lie side by side.

Names outside ASCII are given twice (RFC 6266): in letters every system takes, and whole (RFC 8187).
"""

from __future__ import annotations

import re
import unicodedata
from urllib.parse import quote

__all__ = ["saved_as"]

_LONGEST = 60


def saved_as(shown: str, title: str, name: str) -> str:
    """Return a Content-Disposition.

    Parameters
    ----------
    shown : str
        ``inline`` or ``attachment``.
    title : str
        The job's; may be empty.
    name : str
        Which paper, with its ending.

    Examples
    --------
    >>> saved_as("inline", "Market stalls, north side", "cut-sheet.pdf")
    'inline; filename="market-stalls-north-side-cut-sheet.pdf"'
    """
    whole = _joined(_words(title), name)
    plain = _joined(_words(unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()), name)
    more = "" if whole == plain else f"; filename*=UTF-8''{quote(whole, safe='')}"
    return f'{shown}; filename="{plain}"{more}'


def _words(text: str) -> str:
    return re.sub(r"[\W_]+", "-", text.lower())[:_LONGEST].strip("-")


def _joined(words: str, name: str) -> str:
    return f"{words}-{name}" if words else name
