"""Which words for a grade or finish mean the same steel, so that A36 and a36, V2A and 1.4301 aren't bought apart.

Numbers and names of steels: EN 10027-1 and EN 10027-2, EN 10088-1 (stainless grades with their numbers), EN 10025-2
(structural grades); AISI and UNS names beside the EN numbers as EN 10088-1's tables and trade tables set them side by
side [from memory]. V2A and V4A are common practice in German for 1.4301 and 1.4401, with no standard behind them.
"""

from __future__ import annotations

import re
from typing import Final

__all__ = ["material_key"]

_SAME: Final = {
    "1.4301": "304 aisi304 ss304 ss-304 s30400 v2a x5crni18-10 1.4301",
    "1.4307": "304l ss304l ss-304l s30403 1.4307 x2crni18-9",
    "1.4401": "316 aisi316 ss316 ss-316 s31600 v4a 1.4401 x5crnimo17-12-2",
    "1.4404": "316l ss316l ss-316l s31603 1.4404 x2crnimo17-12-2",
    "1.4016": "430 aisi430 s43000 1.4016 x6cr17",
    "s235jr": "s235jr 1.0038 rst37-2",
    "s355j2": "s355j2 1.0577 st52-3",
    "stainless": "stainless inox edelstahl nirosta niro rvs ss s/s inoxidable inoxydable",
    "galvanised": (
        "galv galvanised galvanized hdg verzinkt feuerverzinkt zincato zincata zincati galvanizado galvanizada "
        "gegalvaniseerd thermischverzinkt galvanisé galvanisée galvanise galvanisee"
    ),
    "aluminium": "aluminium aluminum alu alum aluminio alluminio",
    "black": "black blk schwarz noir negro nero zwart",
}
_KEY: Final = {word: key for key, words in _SAME.items() for word in words.split()}
_SILENT: Final = frozenset(
    {"steel", "stahl", "acier", "acero", "acciaio", "staal", "grade", "gr", "aisi", "type", "en"}
)
_STAINLESS: Final = frozenset({"1.4301", "1.4307", "1.4401", "1.4404", "1.4016"})


def material_key(material: str) -> tuple[str, ...]:
    """Return what a material comes to whatever it is called: equal for words that mean the same steel.

    Parameters
    ----------
    material : str
        Grade and finish as somebody wrote them.

    Examples
    --------
    >>> material_key("A36") == material_key("a36"), material_key("V2A") == material_key("stainless 304")
    (True, True)
    >>> material_key("S355J2H") == material_key("S355J2"), material_key("steel"), material_key("HDG")
    (False, (), ('galvanised',))
    """
    words = {_KEY.get(word, word) for word in re.split(r"[\s,;]+", material.lower()) if word and word not in _SILENT}
    if words & _STAINLESS:
        words.discard("stainless")
    return tuple(sorted(words))
