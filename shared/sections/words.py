"""The words by which people call section families, in English, German, French, Spanish, Italian, Dutch, Nordic."""

from __future__ import annotations

import unicodedata
from enum import StrEnum
from functools import lru_cache
from typing import Final

__all__ = ["NEUTRAL", "TAGS", "Tag", "fold", "tags_of"]


class Tag(StrEnum):
    """One thing that a word says about a section."""

    HOLLOW = "hollow"
    SQUARE = "square"
    RECTANGULAR = "rectangular"
    ROUND = "round"
    BAR = "bar"
    SOLID = "solid"
    FLAT = "flat"
    ANGLE = "angle"
    CHANNEL = "channel"
    TEE = "tee"
    UPN = "upn"
    PIPE = "pipe"
    HEX = "hex"


_HOLLOW_WORDS: Final = (
    "hss tube tubes tubing box hollow rohr rohre stahlrohr stahlrohre hohlprofil hohlprofile formrohr formrohre "
    "profilrohr tubo tubos tubular tubulaire tubi tubolare tubolari scatolato scatolati koker kokers kokerprofiel "
    "kokerprofielen ts dom hrew vkr kkr hup hulprofil putkipalkki creux ror rør stalror stålrør fyrkantsror fyrkantrør "
    "firkantrør firkantror putki"
)
_WORDS: Final[dict[tuple[Tag, ...], str]] = {
    (Tag.HOLLOW,): _HOLLOW_WORDS,
    (Tag.HOLLOW, Tag.SQUARE): (
        "shs quadratrohr vierkantrohr quadratrohre vierkantrohre qro qr qrohr tc sqtube vierkantkoker cfshs hfshs"
    ),
    (Tag.HOLLOW, Tag.RECTANGULAR): (
        "rhs rechteckrohr rechteckrohre rro rr rrohr recttube rectube rechtrohr rechthoekkoker cfrhs hfrhs"
    ),
    (Tag.HOLLOW, Tag.ROUND): "chs rundrohr rundrohre buis buizen rundror rundrør cfchs hfchs kckr vckr",
    (Tag.SQUARE,): (
        "sq square squares vierkant vierkante quadrat quadratisch carre carres cuadrado cuadrados quadro quadri "
        "quadrato vkt"
    ),
    (Tag.RECTANGULAR,): (
        "rect rectangular rectangle rectangles rett rettang rec rechteck rechteckig rechteckige rechteckiges "
        "rectangulaire rectangulaires rectangulares rettangolare "
        "rettangolari rechthoekig rechthoekige"
    ),
    (Tag.ROUND,): "round rnd rund rond ronds ronde redondo redondos tondo tondi circular dia diameter od ø",
    (Tag.BAR,): "bar bars barre barres barra barras stab",
    (Tag.SOLID,): "solid plein pleins macizo maciza vollmaterial stahl massief pieno pieni",
    (
        Tag.SOLID,
        Tag.ROUND,
    ): "rod rods rb rd rundstahl rundstab rundeisen rundstang rundstal rundjern rondstaal rondstaf",
    (
        Tag.SOLID,
        Tag.SQUARE,
    ): (
        "sb vierkantstahl vierkanteisen quadratstahl cuadradillo vierkantstaal vierkantstaf fyrkantstang firkantstal "
        "firkantjern"
    ),
    (Tag.FLAT,): (
        "flat flats fb fl flt flatbar flachstahl flacheisen flach flachstab bandstahl strip strap plat plats meplat "
        "pletina pletinas piatto piatti platstaal platstaf bandstaal bfl breitflachstahl plattstang fladstal "
        "fladjern flattstal "
        "flattjern lattateras lattarauta llanta llantas"
    ),
    (Tag.ANGLE,): (
        "angle angles ang l winkel winkelstahl winkeleisen winkelprofil corniere cornieres angular angulo angulos "
        "lprofil angolare angolari ea ua rsa rsea rsua corn lstahl wkl hoek hoeken hoeklijn hoeklijnen "
        "hoekstaal hoekprofiel hoekprofielen "
        "lpn vinkelstang vinkeljern vinkelstal kulmateras kulmarauta"
    ),
    (Tag.CHANNEL,): "channel channels chan chnl c mc pfc rsc uprofil ustahl profilu",
    (Tag.TEE,): "tee tees teestahl tstahl tprofil tstaal tstang tjern",
    (Tag.UPN,): "upn unp",
    (Tag.PIPE,): "pipe pipes nps dn",
    (Tag.HEX,): "hex hexagon hexagonal sechskant sechskantstahl skt sexkant sekskant zeskant esagonale exagonal",
}

TAGS: Final[dict[str, tuple[Tag, ...]]] = {word: tags for tags, words in _WORDS.items() for word in words.split()}
"""Folded word to what it says."""

_NEUTRAL_WORDS: Final = (
    "a iron eisen fer fers ferro ferri equal unequal leg legs profil profile profiles profilé section erw seamless "
    "welded structural of en de w wall wt thick thk nominal nom sch schedule gleichschenklig gleichschenkliger "
    "gleichschenkelig ungleichschenklig ungleichschenkliger ailes egales inegales egale perfil perfiles profilo "
    "profiel profili estructural struct ew"
)
NEUTRAL: Final = frozenset(_NEUTRAL_WORDS.split())
"""Words that may stand in a section's name and say nothing about the family."""


@lru_cache(maxsize=8192)
def fold(word: str) -> str:
    """Return a word in lower case without accents, hyphens and dots.

    Examples
    --------
    >>> fold("Cornière"), fold("U-Profil"), fold("sq.")
    ('corniere', 'uprofil', 'sq')
    """
    if word in {"Ø", "ø", "⌀"}:
        return "ø"
    decomposed = unicodedata.normalize("NFKD", word.lower())
    return "".join(c for c in decomposed if c.isalnum())


def tags_of(word: str) -> tuple[Tag, ...]:
    """Return what a word says about the family, nothing where it says nothing.

    Examples
    --------
    >>> tags_of("Quadratrohr")
    (<Tag.HOLLOW: 'hollow'>, <Tag.SQUARE: 'square'>)
    >>> tags_of("hinge")
    ()
    """
    return TAGS.get(fold(word), ())
