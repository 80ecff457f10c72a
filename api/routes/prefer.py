"""The Prefer header (RFC 7240): how long a client would like to wait for an answer."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["LONGEST_WAIT", "preferred_wait"]

LONGEST_WAIT: Final = 120
"""Seconds; a longer wish is cut to this."""

_WAIT: Final = re.compile(r'wait\s*=\s*"?(?P<seconds>[0-9]{1,9})"?\s*(?:;.*)?', re.IGNORECASE)


def preferred_wait(header: str) -> int | None:
    """Return the seconds that a Prefer header asks to wait; None where it doesn't.

    What isn't understood is ignored, as RFC 7240, section 2, wants it; of several waits the first counts.

    Examples
    --------
    >>> preferred_wait("wait=10"), preferred_wait('respond-async, WAIT = "5"'), preferred_wait("wait=soon")
    (10, 5, None)
    """
    for preference in header.split(","):
        found = _WAIT.fullmatch(preference.strip())
        if found is not None:
            return min(int(found["seconds"]), LONGEST_WAIT)
    return None
