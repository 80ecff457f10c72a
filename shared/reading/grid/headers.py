"""Column headers in English, German, French, Spanish, Italian and Dutch, and the unit that they state."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import StrEnum
from typing import Final

from cutting.question.lengths import Unit
from shared.reading.grid.cells import Row
from shared.reading.line.breaks import break_in_header
from shared.reading.text.tokens import plain, unit_of
from shared.reading.text.vocabulary import COUNTERS
from shared.sections.words import fold

__all__ = ["Column", "Role", "find_header", "with_units"]


class Role(StrEnum):
    """What a column holds."""

    MARK = "mark"
    ITEM = "item"
    NUMBER = "the row's number, or its quantity"
    QUANTITY = "quantity"
    EACH = "quantity per assembly"
    SECTION = "section"
    DESCRIPTION = "description"
    MATERIAL = "material"
    LENGTH = "length"
    UNIT = "unit"
    NOTE = "note"
    ENDS = "ends"
    ASSEMBLY = "assembly"
    PRICE = "price"
    BREAK = "price by quantity"
    YARD = "yard"
    SUBSTITUTE = "substitute"
    IGNORED = "ignored"


_WORDS: Final = {
    Role.EACH: (
        "qtyper qtyperassembly qtyassy qtyassembly perassembly qtyperassy perassy qtyperframe perframe perset "
        "qtyperset qtyset "
        "qtyunit eachassembly stkjebaugruppe jebaugruppe probaugruppe parensemble qteparensemble porconjunto "
        "cantporconjunto"
    ),
    Role.MARK: (
        "mark mk marks partmark piecemark marke repere rep reperes marca part partno partnumber partid partnr "
        "teil teilenr "
        "teilenummer bauteil id ref reference label tag piece pieza piezano zeichnungsnr detail"
    ),
    Role.ITEM: "item itemno itm pos position no nr num line lfd lfdnr row zeile ligne linea posicion index",
    Role.QUANTITY: (
        "qty quantity quant menge anzahl anz stk stck stuck stueck stuckzahl stueckzahl qte quantite nb nbre nombre "
        "cant cantidad pcs "
        "pieces count ea nooff noreqd noreq off required reqd totalqty qtytotal quantitytotal nos available "
        "avail stock instock "
        "lager bestand verfugbar disponible disponibles uds unidades existencias voorraad aantal giacenza giac "
        "qta quantita pezzi pz hoeveelheid stuks nooff"
    ),
    Role.SECTION: (
        "section sections profile profil profilé perfil shape size sizes dimension dimensions dims abmessung "
        "abmessungen querschnitt "
        "type typ stock stocksize sectionsize barsize halbzeug profilart medidas sección seccion tubesize "
        "materialsize tube tubing profilo profili profiel profielen sezione articolo artikel doorsnede"
    ),
    Role.DESCRIPTION: (
        "description desc descr bezeichnung benennung designation descripcion denominacion name component "
        "partname bauteilname "
        "what use libelle descrizione omschrijving"
    ),
    Role.MATERIAL: (
        "materiale materiaal qualita kwaliteit "
        "material mat grade werkstoff gute guete matiere nuance materialgrade finish oberflache acabado calidad acero "
        "stahl"
    ),
    Role.LENGTH: (
        "length len lgth lg lange laenge longueur longitud largo l cutlength lengtheach finishedlength "
        "zuschnitt zuschnittlange "
        "lunghezza lungh lengte handelslengte staaflengte stablange barlength longueurbarre largobarra barra stab maat "
        "long longueurdecoupe lgr lonq lengths milllength sticklength"
    ),
    Role.UNIT: "unita eenheid unit units einheit unite unidad uom me",
    Role.NOTE: (
        "note notes remark remarks comment comments bemerkung bemerkungen anmerkung hinweis remarque remarques "
        "nota notas "
        "opmerking opmerkingen observaciones observacion ops operations commentaire commentaires comentario"
    ),
    Role.ENDS: (
        "ends end endprep angle angles cutangle cutangles angle1 angle2 coupe gehrung corte miter mitre enden bouts "
        "endcuts cut cuts cutting schnitt schnitte winkel winkelli winkelre winkellinks winkelrechts winkel1 "
        "winkel2 w1 w2 "
        "enda endb end1 end2 ende1 ende2 angolo angoli angolo1 angolo2 taglio hoek hoeken hoek1 hoek2 angulo angulos "
        "angulo1 angulo2 coupe1 coupe2 anglea angleb leftend rightend"
    ),
    Role.ASSEMBLY: "assembly assy baugruppe ensemble sousensemble conjunto usedon group frame unitname",
    Role.PRICE: (
        "price prices unitprice priceea priceeach priceper cost preis einzelpreis stuckpreis prix prixunitaire "
        "precio preciounitario preciobarra prezzo prezzobarra prijs prijslengte prijsstuk preisstab prixbarre "
        "pricestick each usd eur"
    ),
    Role.YARD: "yard supplier vendor merchant stockist lieferant handler haendler fournisseur proveedor",
    Role.SUBSTITUTE: (
        "substitute substitutes alternative alternatives alternate alternates altsection alternatesection ersatz "
        "ersatzprofil alternativ alternativprofil remplacement sustituto sustitutos alternativa alternativas"
    ),
    Role.IGNORED: (
        "totallength lengthtotal gesamtlange longueurtotale longitudtotal weight gewicht poids peso mass masse "
        "weighteach totalweight "
        "gesamtgewicht kg lbs total amount betrag montant importe summe rev revision drawing dwg zeichnung sum"
    ),
}
_ROLES: Final = {fold(word): role for role, words in _WORDS.items() for word in words.split()}
_BRACKET: Final = re.compile(r"[(\[]\s*([^)\]]{1,12})\s*[)\]]")
_TRAILING: Final = re.compile(
    r"(?:^|[\s,_/-])(?:in\s+)?(mm|cm|m|in|inch|inches|ft|feet|zoll|pouces|pulg\w*)\.?$", re.IGNORECASE
)
_LOOK_AT: Final = 20
_UNIT_NAMES: Final = frozenset("mm cm m in inch inches ft feet foot zoll pouces po pulgadas pulg".split())  # noqa: SIM905
_BELOW: Final = frozenset(
    "n no nr kg lb lbs pc pce pces pcs stk st stck stuck pz uds ud ea each off qty n/a - deg grad text x".split()  # noqa: SIM905
)
"""What may stand below other columns beside the units of lengths."""
_MONEY_BELOW: Final = re.compile(
    r"(?:[€$£]|eur|usd|gbp|euro)(?:\s*/\s*[^\W\d]{1,5})?|(?:kg|lbs?)\s*/\s*(?:m|ft)", re.IGNORECASE
)
_LEAD_IN: Final = re.compile(r"(?:in|en|a|à|as)\s+", re.IGNORECASE)


class Column:
    """One column of a table.

    Attributes
    ----------
    role : Role
        What it holds.
    title : str
        Its header as written.
    unit : Unit or None
        The unit that the header states.
    least : int
        Sticks from which on a column of prices by quantity holds.
    """

    __slots__ = ("least", "role", "title", "unit")

    def __init__(self, role: Role, title: str, unit: Unit | None = None, least: int = 1) -> None:
        self.role = role
        self.title = title
        self.unit = unit
        self.least = least


def _column(title: str) -> Column | None:
    """Return what a header cell says, None where it is no header that we know."""
    text = plain(title)
    least = break_in_header(text)
    if least is not None:
        return Column(Role.PRICE if least == 1 else Role.BREAK, title, least=least)
    if re.search(r"[€£$]|\b(?:EUR|USD|GBP)\b", text) and not re.search(r"total|gesamt|sum", text, re.IGNORECASE):
        return Column(Role.PRICE, title, _unit(text))
    unit = _unit(text)
    bare = _BRACKET.sub(" ", text)
    whole = fold(bare)
    role = _ROLES.get(whole)
    if role is None and whole in {"ft", "feet", "in", "inch", "inches"}:
        return Column(Role.LENGTH, title, _unit_word(text.strip()))
    if role is None and unit is not None:
        role = _ROLES.get(fold(_TRAILING.sub("", bare)))
    if role is None:
        words = [fold(word) for word in re.findall(r"[^\W_]+", bare)]
        role = next((_ROLES[word] for word in words if word in _ROLES and len(words) <= 4), None)  # noqa: PLR2004
        if role is not None and any(word in {"total", "gesamt", "totale"} for word in words) and role is Role.LENGTH:
            role = Role.IGNORED
    if text.strip() == "#":
        role = Role.ITEM
    if role is None:
        return None
    return Column(role, title, unit if role in {Role.LENGTH, Role.PRICE} else None)


def with_units(columns: list[Column | None], row: Row) -> list[Column | None] | None:
    """Return the columns with the units of a row below their header, None where the row isn't one of units.

    A column without a title beside a column of lengths belongs to it: feet and inches in two columns.
    """
    texts = [_LEAD_IN.sub("", plain(cell.text).strip(" ()[].")) for cell in row.cells]
    said = [text for text in texts if text]
    if not any(_names_unit(text) for text in said):
        return None
    if not all(fold(text) in _BELOW or fold(text) in COUNTERS or _names_unit(text) for text in said):
        return None
    settled = [*columns, *[None] * (len(texts) - len(columns))]
    last: Column | None = None
    for at, column in enumerate(settled):
        last = column if column is not None else last
        text = texts[at] if at < len(texts) else ""
        unit = _unit_word(text)
        if unit is not None and last is not None and last.role is Role.LENGTH:
            settled[at] = Column(Role.LENGTH, last.title, unit)
        elif column is not None and column.role in {Role.PRICE, Role.BREAK} and _MONEY_BELOW.fullmatch(text):
            settled[at] = Column(column.role, f"{column.title} {text}", column.unit, column.least)
    return settled


def _names_unit(text: str) -> bool:
    return _unit_word(text) is not None or _MONEY_BELOW.fullmatch(text) is not None


def _unit_word(text: str) -> Unit | None:
    """Return the unit that a cell is the name of, None where it is something else."""
    named = unit_of(text) if re.fullmatch(r"[^\W\d_]{1,12}\.?|[\"']", text) and fold(text) in _UNIT_NAMES else ""
    return Unit(named) if named in set(Unit) else None


def _unit(text: str) -> Unit | None:
    """Return the unit that a header states in brackets or at its end."""
    found = _BRACKET.search(text) or _TRAILING.search(text)
    if found is None:
        return None
    named = unit_of(re.sub(r"^in\s+", "", found.group(1).strip()))
    return Unit(named) if named in set(Unit) else None


def find_header(rows: Sequence[Row]) -> tuple[int, list[Column | None]] | None:
    """Return the header row's index and its columns, None where there is none.

    A header has at least two cells that name different things, one of them length, quantity or section, and no cell
    that looks like data.
    """
    for index, row in enumerate(rows[:_LOOK_AT]):
        columns = [_column(cell.text) if cell.text and cell.number is None else None for cell in row.cells]
        named = [column.role for column in columns if column is not None]
        filled = [cell for cell in row.cells if cell.text]
        core = {Role.LENGTH, Role.QUANTITY, Role.SECTION, Role.DESCRIPTION, Role.EACH} & set(named)
        digits = sum(
            bool(re.search(r"\d{2}|\d\s*[x\"']", cell.text)) and break_in_header(plain(cell.text)) is None
            for cell in filled
        )
        if len(set(named)) > 1 and core and 2 * len(named) >= len(filled) and digits == 0:
            return index, columns
    return None
