"""What the terminal can show: how wide it is, and whether bold."""

from __future__ import annotations

import os
import shutil
import sys
from typing import Final

__all__ = ["is_bold_wanted", "width"]

_NARROWEST: Final = 40


def is_bold_wanted() -> bool:
    """Whether standard output is a terminal that may show bold (see no-color.org: NO_COLOR set and not empty)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def width() -> int:
    """Return how many columns a line may take: the terminal's, what COLUMNS says, or 80 as mail and printers take."""
    return max(_NARROWEST, shutil.get_terminal_size().columns)
