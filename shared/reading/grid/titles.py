"""What the titles of columns mean, in English, German, French, Spanish, Italian and Dutch."""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Final

from shared.sections.words import fold

__all__ = ["Role", "role_of"]


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
    CENTRE = "length along the centre line"
    SIZE = "one of the section's sizes"
    LENGTH = "length"
    UNIT = "unit"
    NOTE = "note"
    ENDS = "ends"
    ASSEMBLY = "assembly"
    PRICE = "price"
    LISTED = "price before a discount"
    DISCOUNT = "discount"
    BREAK = "price by quantity"
    YARD = "yard"
    SUBSTITUTE = "substitute"
    IGNORED = "ignored"
    SAID = "a number that is nothing without its title"
    OTHER = "something that we don't know"


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
        "qty quantity asked quant menge anzahl anz stk stck stuck stueck stuckzahl stueckzahl qte quantite nb nbre "
        "nombre "
        "cant cantidad pcs "
        "pieces count ea nooff noreqd noreq off required reqd totalqty qtytotal quantitytotal nos available "
        "avail stock instock "
        "lager bestand verfugbar disponible disponibles disponibili disponibilita qtydisponibile beschikbaar libre "
        "auflager onhand qtyonhand uds unidades existencias voorraad aantal giacenza giac "
        "qta quantita pezzi pz hoeveelheid stuks nooff"
    ),
    Role.SECTION: (
        "section sections member members profile profil profilé perfil shape size sizes dimension dimensions dims "
        "abmessung abmessungen querschnitt "
        "type typ stock stocksize sectionsize barsize halbzeug profilart medidas sección seccion tubesize "
        "materialsize tube tubing profilo profili profiel profielen sezione articolo articulo artikel doorsnede"
    ),
    Role.DESCRIPTION: (
        "description desc descr bezeichnung benennung designation descripcion denominacion name component "
        "partname bauteilname art "
        "what use libelle descrizione omschrijving"
    ),
    Role.CENTRE: "centreline centerline centrelinelength",
    Role.SIZE: (
        "width breite largeur ancho larghezza breedte w b height hohe hoehe hauteur alto altura altezza hoogte h "
        "depth tiefe "
        "thickness thk wall wallthickness t dicke wand wandstarke wanddicke starke epaisseur ep epaiss espesor pared "
        "esp "
        "spessore sp dikte wanddikte od diameter dia durchmesser diametre diametro leg legs schenkel"
    ),
    Role.MATERIAL: (
        "materiale materiaal qualita kwaliteit "
        "material mat grade werkstoff gute guete matiere nuance materialgrade finish oberflache acabado calidad acero "
        "stahl"
    ),
    Role.LENGTH: (
        "length len stocklength lgth lg lange laenge longueur longitud largo l cutlength lengtheach finishedlength "
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
        "pricestick each usd eur net netprice netto nettopreis neto prixnet precioneto prezzonetto nettoprijs now "
        "trade tradeprice "
        "yourprice jetzt ahora ora adesso nu aktionspreis angebotspreis"
    ),
    Role.LISTED: (
        "list listprice rrp was listenpreis bruttopreis brutto uvp tarif prixpublic prixbrut brut listino "
        "prezzolistino "
        "prezzodilistino lordo pvp tarifa precioantes antes era prima vorher statt avant bruto brutoprijs "
        "adviesprijs oldprice"
    ),
    Role.DISCOUNT: "discount disc rabatt nachlass remise rabais descuento dto sconto korting",
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
_ENDINGS: Final = {
    "lange": Role.LENGTH,
    "laenge": Role.LENGTH,
    "lengte": Role.LENGTH,
    "length": Role.LENGTH,
    "menge": Role.QUANTITY,
    "anzahl": Role.QUANTITY,
    "bestand": Role.QUANTITY,
    "stuckzahl": Role.QUANTITY,
    "voorraad": Role.QUANTITY,
    "preis": Role.PRICE,
    "prijs": Role.PRICE,
    "profil": Role.SECTION,
    "profiel": Role.SECTION,
    "nummer": Role.MARK,
}
"""How compounds end that name what such a column holds, as in ``Restlänge``."""
_PER_SET: Final = re.compile(
    r"(?:je|pro|per|par|por|for each|pour chaque|voor elk)\s+(?P<what>[^\W\d_]+)|(?P<each>each)\s+[^\W\d_]+",
    re.IGNORECASE,
)
_SOLD_BY: Final = frozenset(
    [
        "stange",
        "stab",
        "stuck",
        "stueck",
        "stk",
        "st",
        "stick",
        "sticks",
        "length",
        "bar",
        "m",
        "ft",
        "kg",
        "lb",
        "cwt",
        "t",
        "tonne",
        "meter",
        "metre",
        "metro",
        "meters",
        "barre",
        "barra",
        "pz",
        "pezzo",
        "pezzi",
        "ud",
        "uds",
        "unidad",
        "unite",
        "piece",
        "pc",
        "ea",
        "stuk",
        "lengte",
        "staaf",
        "each",
    ]
)
"""What a price may be for; quantities for a set are for something else."""
_LEAST: Final = re.compile(r"\b(?:min|mini|minimum|m[ií]nimo|minimo|mindest\w*|moq|minimale)\b", re.IGNORECASE)
_RUNNING_WEIGHT: Final = re.compile(r"(?:kgs?|lbs?)\s*(?:/|per|pro)\s*(?:l?f?m|ft)\.?", re.IGNORECASE)
_MOST_WORDS: Final = 4


def role_of(title: str, bare: str) -> Role | None:
    """Return what a column of such a title holds, None for a title that isn't known.

    Parameters
    ----------
    title : str
        As written.
    bare : str
        Without its unit.

    Examples
    --------
    >>> str(role_of("Restlänge (mm)", "Restlänge")), str(role_of("je Rahmen", "je Rahmen"))
    ('length', 'quantity per assembly')
    """
    if title.strip() == "#":
        return Role.ITEM
    whole = fold(bare)
    if _LEAST.search(bare):
        return Role.SAID
    if _RUNNING_WEIGHT.fullmatch(bare.strip()):
        return Role.IGNORED
    if whole in _ROLES:
        return _ROLES[whole]
    per = _PER_SET.fullmatch(bare.strip(" ."))
    if per is not None and (per["each"] or fold(per["what"]) not in _SOLD_BY):
        return Role.EACH
    words = [fold(word) for word in re.findall(r"[^\W_]+", bare)]
    role = next((_ROLES[word] for word in words if word in _ROLES and len(words) <= _MOST_WORDS), None)
    if role is Role.LENGTH and any(word in {"total", "gesamt", "totale"} for word in words):
        return Role.IGNORED
    if role is Role.SIZE and len(words) > 1:
        role = None
    if role is None and len(words) == 1:
        return next((role for ending, role in _ENDINGS.items() if words[0].endswith(ending)), None)
    return role
