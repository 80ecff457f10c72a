"""Plain text for a terminal, a mail or a printer: laid out here, worked out in the view."""

from __future__ import annotations

from shared.writers.text.columns import columns
from shared.writers.text.plan import plan_text
from shared.writers.text.wrap import wrapped

__all__ = ["columns", "plan_text", "wrapped"]
