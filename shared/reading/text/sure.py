"""What somebody writes behind a line that is meant as it stands."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["SAID", "SURE"]

SURE: Final = re.compile(r"\((?:sure|sicher|s[ûu]r|seguro|sicuro|zeker)\)", re.IGNORECASE)
"""In any of the languages of the lists."""
SAID: Final = " (sure)"
"""What a choice writes."""
