"""A grade or finish that stands away from the section it belongs to."""

from __future__ import annotations

import re
from typing import Final

from shared.reading.values.draft import Draft
from shared.sections import understand

__all__ = ["buys_else", "take_finish"]

_GALVANISED_LATER: Final = re.compile(
    r"\b(?:after|nach|apr[èe]s|despu[ée]s|touch|repair|no|not|nicht|sans|sin)\b", re.IGNORECASE
)
_BUYS_ELSE: Final = re.compile(
    r"galv|galvani[sz]ed|hdg|stainless|inox|edelstahl|304l?|316l?|430|alumini?um|alu|verzinkt|feuerverzinkt"
    r"|galvanis[ée]e?"
    r"|v[24]a|s/s|ss-?(?:30[34]|316)l?|inoxidables?|inoxydables?|inossidabile|rvs|zincat[oaie]|zincad[oa]s?|zingu[ée]e?s?"
    r"|gegalvaniseerd|(?:pre-?)?galva?|(?:pre-?)?galvani[sz]ed|\w*verzinkt(?:e[rsnm]?)?|alum|ally"
    r"|galvani[zs]ad[oa]s?|galvanis[ée]e?s?|aluminio|alluminio|brass|messing|laiton|lat[oó]n|ottone"
    r"|copper|kupfer|cuivre|cobre|rame|koper|s\d{3}\w*|1\.4\d{3}"
    r"|bronze|bronce|bronzo|brons|titan(?:e|io|ium)?|monel|inconel|duplex|cor-?ten|hardox|strenx|weldox|magnesium"
    r"|gusseisen|fonte|ghisa|gietijzer|chromed?|verchromt|cromad[oa]|cromat[oa]|verchroomd|grp|frp|gfk|pvc|nylon"
)
"""Words for what is bought: other than the plain steel that a line without them is of."""


def buys_else(word: str) -> bool:
    """Whether a word in lower case says that something other than plain steel is bought.

    Examples
    --------
    >>> buys_else("galvanised"), buys_else("brons"), buys_else("painted")
    (True, True, False)
    """
    return _BUYS_ELSE.fullmatch(word) is not None


def take_finish(draft: Draft, note: str) -> str:
    """Take a finish or grade that stands away from the section's name: another material is another section.

    Returns what is left of the note.
    """
    assert draft.section is not None
    if _GALVANISED_LATER.search(note):
        return note
    said = [word.lower().strip(".,;:") for word in re.findall(r"[^\s,;()|]+", note)]
    words = [word for word in said if _BUYS_ELSE.fullmatch(word) and word not in draft.section.material.lower().split()]
    if words:
        material = " ".join([*([draft.section.material] if draft.section.material else []), *words])
        draft.section = understand(draft.section.name, material)
        draft.notes.append(f"{' '.join(words)} taken as the material")
    return note if note.lower().split() != words else ""
