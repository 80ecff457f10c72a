"""Density goes with the material: 7850 is not stainless."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

__all__ = ["MATERIALS", "PLAIN", "STEEL", "Material", "finish_words", "material_of"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Material:
    """A material and what it weighs.

    Attributes
    ----------
    name : str
        For people.
    density : Fraction
        kg/m3.
    words : str
        Regular expression for the words (grades, finishes) by which it is recognised, in lower case.
    source : str
        Where the density comes from.
    """

    name: str
    density: Fraction
    words: str
    source: str


STEEL: Final = Material(
    name="steel",
    density=Fraction(7850),
    words=r"steel|plain|black|blk|mild|ms|hr|hrs|cr|crs|cold|hot|rolled|finished|drawn|bright|pickled|p&o|oiled|hrpo"
    r"|galv|galvani[sz]ed|galvanized|hdg|zinc|zincked|electrogalvani[sz]ed|primed|painted|powder|coated|corten"
    r"|weathering|structural|a36|a53|a500|a501|a513|a529|a572(?:-\d+)?|a588|a992|gr(?:ade)?\.?|[abc]|1018|1020|1026"
    r"|s235\w*|s275\w*|s355\w*|s420\w*|s460\w*|e195|e220|e235|st37(?:-2)?|st52(?:-3)?|verzinkt|feuerverzinkt|schwarz"
    r"|stahl|baustahl|galvanis[ée]e?|acier|noir|acero|galvanizado|zincat[oa]|gegalvaniseerd|acciaio|staal|negro|en|astm|ral|certified|cert|3\.1|2\.2"
    r"|bright|en\d{1,2}[a-z]?|en \d{4,5}(?:-\d)?|b500[abc]?|bst|warmgewalst|koudgewalst|warmgewalzt"
    r"|kaltgewalzt|kaltgefertigt|warmgefertigt|blank|galvanizad[ao]|zincad[ao]",
    source="EN 10219-2 and EN 1991-1-1 table A.4: 7850 kg/m3",
)

MATERIALS: Final = (
    Material(
        name="stainless steel 1.4401/1.4404 (316)",
        density=Fraction(8000),
        words=r"316l?|ss-?316l?|316ti|1\.4401|1\.4404|1\.4571|a4|v4a",
        source="EN 10088-1 table of physical properties: 8.0 kg/dm3 [from memory]",
    ),
    Material(
        name="stainless steel 1.4301 (304)",
        density=Fraction(7900),
        words=r"stainless|inox|edelstahl|nirosta|niro|rvs|ss|s/s|ss-?30[34]l?|304l?|303|1\.4301|1\.4307|1\.4541|a2|v2a|inoxidable|inoxydable",
        source="EN 10088-1 table of physical properties: 7.9 kg/dm3 [from memory]",
    ),
    Material(
        name="stainless steel 1.4016 (430)",
        density=Fraction(7700),
        words=r"430|1\.4016|409|1\.4512",
        source="EN 10088-1 table of physical properties: 7.7 kg/dm3 [from memory]",
    ),
    Material(
        name="aluminium",
        density=Fraction(2700),
        words=r"alumini?um|alu|alum|aluminio|al|6061(?:-t6)?|6063(?:-t\d)?|6060(?:-t\d+)?|6082(?:-t6)?|6005a?(?:-t\d)?|5052|aw",
        source="EN 1999-1-1, 3.2.5: 2700 kg/m3",
    ),
    Material(
        name="brass",
        density=Fraction(8500),
        words=r"brass|messing|laiton|lat[oó]n",
        source="common handbook value for CuZn37 to CuZn39Pb3, 8.4 to 8.5 kg/dm3 [from memory]",
    ),
    Material(
        name="copper",
        density=Fraction(8960),
        words=r"copper|kupfer|cuivre|cobre",
        source="handbook value for pure copper, 8.96 kg/dm3 [from memory]",
    ),
    STEEL,
)

PLAIN: Final = frozenset({"steel", "mild", "ms", "acier", "acero", "stahl", "acciaio", "staal"})
"""Words that say plain steel: they make no other section."""

_WORD: Final = re.compile(r"s/s|[^\s,;()/]+")
_PATTERNS: Final = tuple((material, re.compile(rf"(?:{material.words})")) for material in MATERIALS)


def material_of(text: str) -> Material | None:
    """Return the material that a text about grade and finish speaks of; plain steel where it says nothing.

    Parameters
    ----------
    text : str
        Grade and finish as given, such as ``galvanised`` or ``316 brushed``.

    Returns
    -------
    Material or None
        None where nothing in a text that isn't empty is known: then there is no weight rather than a wrong one.

    Examples
    --------
    >>> material_of("galvanised").density, material_of("stainless 304").density, material_of("oak")
    (Fraction(7850, 1), Fraction(7900, 1), None)
    """
    words = _WORD.findall(text.lower())
    if not words:
        return STEEL
    if "stainless" in words or "inox" in words:
        words = [word for word in words if word not in {"steel", "a", "b", "c"}]
    for material, pattern in _PATTERNS:
        if any(pattern.fullmatch(word) for word in words):
            return material
    return None


_FINISH: Final = re.compile(
    r"v[24]a|s/s|ss-?(?:30[34]|316)l?|inoxidable|inoxydable|rvs|zincat[oa]|gegalvaniseerd|alum|acciaio|staal|"
    r"galv|galvani[sz]ed|hdg|stainless|inox|edelstahl|304l?|316l?|430|alumini?um|alu|6061(?:-t6)?|6063(?:-t\d)?"
    r"|6060(?:-t\d+)?|6082(?:-t6)?|verzinkt|feuerverzinkt|galvanis[ée]e?|galvanizado|aluminio|brass|messing|copper"
    r"|a\d{2,3}|s\d{3}\w*|1\.4\d{3}|10(?:18|20|26)|st(?:37|52)(?:-\d)?|303|60(?:05|60|61|63|82)a?(?:-t\d+)?|primed|black"
    r"|hr|cr|hrs|crs"
    r"|steel|mild|ms|acier|acero|stahl|certified|bright|en\d{1,2}[a-z]?|en \d{4,5}(?:-\d)?|b500[abc]?"
    r"|warmgewalst|koudgewalst|warmgewalzt|kaltgewalzt|kaltgefertigt|warmgefertigt|blank|galvanizad[ao]|zincad[ao]"
)


def finish_words(words: list[str]) -> list[str]:
    """Return those of the words, in lower case, that state a grade or a finish.

    Examples
    --------
    >>> finish_words(["tube", "galv", "posts"])
    ['galv']
    """
    return [word for word in words if _FINISH.fullmatch(word)]
