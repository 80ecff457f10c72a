"""The columns of the rack's list as CSV or xlsx: what each holds, and the other words people put above it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from shared.sections.words import fold

__all__ = ["COLUMNS", "STOCK_TAKE", "Col", "ColumnOfRack", "column_named"]


class Col(StrEnum):
    """A column; its value is the heading that we write."""

    LABEL = "label"
    PLACE = "place"
    SECTION = "section"
    MATERIAL = "material"
    LENGTH = "length"
    THERE = "there?"
    MEASURED = "measured"
    SURE = "sure of"
    FIRST = "first end"
    SECOND = "second end"
    REMARK = "remark"
    HEAT = "heat number"
    STATE = "state"
    WORK = "work"
    ORIGIN = "origin"
    PARENT = "cut from"
    SINCE = "since"
    VERSION = "version"


@dataclass(frozen=True, kw_only=True, slots=True)
class ColumnOfRack:
    """One column.

    Attributes
    ----------
    col : Col
        Which.
    wide : int
        Characters in a workbook.
    meaning : str
        What it holds, for the documentation.
    words : str
        Other headings that mean it, folded, with spaces between.
    """

    col: Col
    wide: int
    meaning: str
    words: str = ""


_THERE: Final = ColumnOfRack(
    col=Col.THERE,
    wide=9,
    meaning="stock-take: yes or no; empty where nobody looked",
    words="there found present da vorhanden gefunden trouve encontrado",
)
_MEASURED: Final = ColumnOfRack(
    col=Col.MEASURED,
    wide=16,
    meaning="stock-take: its length where it differs from what the list says",
    words="measuredlength newlength gemessen mesure medido",
)

COLUMNS: Final = (
    ColumnOfRack(
        col=Col.LABEL,
        wide=9,
        meaning="label number such as D17; empty for a piece that isn't in the books yet",
        words="labelnumber labelno number no nr id piece etikett nummer etiquette numero etiqueta",
    ),
    ColumnOfRack(
        col=Col.PLACE,
        wide=18,
        meaning="where it lies",
        words="location where bay shelf bin lagerplatz platz ort fach emplacement lieu ubicacion lugar",
    ),
    ColumnOfRack(
        col=Col.SECTION, wide=24, meaning="what it is", words="profile shape size profil querschnitt seccion perfil"
    ),
    ColumnOfRack(
        col=Col.MATERIAL,
        wide=16,
        meaning="grade and finish; empty for plain",
        words="grade finish werkstoff gute matiere nuance acabado calidad",
    ),
    ColumnOfRack(
        col=Col.LENGTH,
        wide=16,
        meaning="its exact length with its unit",
        words="len lange laenge longueur largo longitud",
    ),
    ColumnOfRack(
        col=Col.SURE,
        wide=16,
        meaning="what can be counted on where nobody has measured it; empty where its length counts",
        words="usable countedon",
    ),
    ColumnOfRack(
        col=Col.FIRST,
        wide=11,
        meaning="what to take off its first end: sawn (nothing), a length, or empty (what the saw takes off any stick)",
        words="firsttrim trim1 endtrim",
    ),
    ColumnOfRack(col=Col.SECOND, wide=11, meaning="the same of its second end", words="secondtrim trim2"),
    ColumnOfRack(
        col=Col.REMARK,
        wide=26,
        meaning="bent, drilled, painted",
        words="remarks note notes comment bemerkung anmerkung hinweis remarque nota observaciones",
    ),
    ColumnOfRack(
        col=Col.HEAT, wide=16, meaning="heat number", words="heat heatno cast castno charge schmelze coulee colada"
    ),
    ColumnOfRack(col=Col.STATE, wide=12, meaning="free, or reserved", words="status zustand etat estado"),
    ColumnOfRack(col=Col.WORK, wide=24, meaning="the work that it is reserved for", words="reservedfor job auftrag"),
    ColumnOfRack(
        col=Col.ORIGIN,
        wide=11,
        meaning="bought, counted (written down), drop (left at the saw) or part (cut for nothing)",
    ),
    ColumnOfRack(col=Col.PARENT, wide=9, meaning="label of the piece it was cut from", words="parent"),
    ColumnOfRack(col=Col.SINCE, wide=21, meaning="when it came into the books, UTC", words="made date"),
    ColumnOfRack(
        col=Col.VERSION,
        wide=9,
        meaning="counts its changes, so that an old list can't undo newer ones; clear it to have the list's word taken",
    ),
)
"""What an export holds, in order."""

_ON_PAPER: Final = (Col.LABEL, Col.PLACE, Col.SECTION, Col.MATERIAL, Col.LENGTH)
_OF: Final = {each.col: each for each in (*COLUMNS, _THERE, _MEASURED)}

STOCK_TAKE: Final = tuple(
    _OF[col]
    for col in (*_ON_PAPER, Col.THERE, Col.MEASURED, Col.REMARK, Col.HEAT, Col.STATE, Col.WORK, Col.SINCE, Col.VERSION)
)
"""What a stock-take list holds, in order."""

_BY_WORD: Final = {
    word: each.col for each in _OF.values() for word in (fold(each.col.value), *map(fold, each.words.split()))
}


def column_named(heading: str) -> Col | None:
    """Return the column that a heading means, None where it means none.

    Examples
    --------
    >>> column_named("Heat No."), column_named("Länge"), column_named("colour")
    (<Col.HEAT: 'heat number'>, <Col.LENGTH: 'length'>, None)
    """
    return _BY_WORD.get(fold(heading.partition("(")[0]))
