"""A grade or finish that stands away from the section it belongs to."""

from __future__ import annotations

import re
from typing import Final

from shared.reading.values.draft import Draft
from shared.sections import understand
from shared.sections.materials import finish_words

__all__ = ["take_finish"]

_GALVANISED_LATER: Final = re.compile(
    r"\b(?:after|nach|apr[èe]s|despu[ée]s|touch|repair|no|not|nicht|sans|sin)\b", re.IGNORECASE
)
_BUYS_ELSE: Final = re.compile(
    r"galv|galvani[sz]ed|hdg|stainless|inox|edelstahl|304l?|316l?|430|alumini?um|alu|verzinkt|feuerverzinkt"
    r"|galvanis[ée]e?"
    r"|v[24]a|s/s|ss-?(?:30[34]|316)l?|inoxidable|inoxydable|rvs|zincat[oa]|gegalvaniseerd|alum"
    r"|galvanizado|aluminio|brass|messing|copper|s\d{3}\w*|1\.4\d{3}"
)


def take_finish(draft: Draft, note: str) -> str:
    """Take a finish or grade that stands away from the section's name: another material is another section.

    Returns what is left of the note.
    """
    assert draft.section is not None
    if _GALVANISED_LATER.search(note):
        return note
    words = finish_words([word.lower().strip(".,;:") for word in re.findall(r"[^\s,;()|]+", note)])
    words = [
        word for word in words if _BUYS_ELSE.fullmatch(word) and word not in draft.section.material.lower().split()
    ]
    if words:
        material = " ".join([*([draft.section.material] if draft.section.material else []), *words])
        draft.section = understand(draft.section.name, material)
        draft.notes.append(f"{' '.join(words)} taken as the material")
    return note if note.lower().split() != words else ""
