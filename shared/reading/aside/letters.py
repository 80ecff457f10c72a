"""Lines of a letter around a list: telephone, address, order, tax, page, date. They are set aside, and said."""

from __future__ import annotations

import re
from typing import Final

from shared.reading.text.tokens import plain, tokenize
from shared.reading.text.vocabulary import COUNTERS
from shared.sections.words import tags_of

__all__ = ["said_around"]

_MONTH: Final = (
    r"(?:jan|feb|m[äa]r|mrt|apr|abr|ma[iy]|mag|jun|jui|giu|jul|lug|aug|ao[uû]|ago|sep|set|okt|oct|ott|nov|de[cz]|dic"
    r"|ene|gen|f[ée]v)[a-zäéûo]*\.?"
)
_STREET: Final = r"street|st\.?|road|rd|lane|ln|avenue|ave|drive|dr|row|way|close|yard"
_KINDS: Final = {
    "a telephone number": (
        r"\b(?:tel|t[ée]l|phone|ph|fax|mob|mobile?|cell|ring|handy|telefon|telefoon|tel[ée]fono|gsm|whatsapp)\b\.?.*\d{2}"
        r"|\b(?:poste|ext|durchwahl)\b\.?\s*\d+|\b\d{3}-\d{4}\b"
        r"|^\W*(?:\+\d|0\d)[\d /().-]{6,}\d\W*$"
    ),
    "a tax number": r"\b(?:vat|tax id|ust-?id\w*|ust|mwst|iva|tva|btw|nif|cif|siret|kvk)\b.*\d",
    "the number of an order or a drawing": (
        r"\b(?:po|p\.o\.|order|ordernr|ordernummer|bestell(?:ung|nr|nummer)|auftrag|bon de commande|commande"
        r"|pedido|ordine|devis|offerte|offerta|oferta|quote|quotation|angebot|invoice|rechnung|dwg|drawing|zeichnung|rev|revision"
        r"|projekt|project|chantier|baustelle)\b\.?\s*(?:n(?:[or]\b\.?|°)|#|:|id)?\s*:?\s*[\w/-]*\d"
    ),
    "the number of a page": (
        r"^\W*(?:page|seite|p[áa]gina|blad|blatt|sheet|pag\.?)\s*\d+\s*(?:of|/|von|de|van|di|sur)\s*\d+"
    ),
    "a scale": r"\b(?:scale|ma(?:ß|ss)stab|[ée]chelle|escala|scala|schaal)\b\.?\s*:?\s*1\s*[:/]\s*\d+",
    "an address": (
        r"\b\w*(?:weg|stra(?:ß|ss)e|str\.|gasse|platz|allee|laan|straat|plein|gracht|gewerbepark)\s+\d+\b"
        r"|\b(?:rue|avenue|boulevard|impasse|calle|c/|avda\.?|via|viale|piazza|plaza|corso)\s+"
        rf"(?:d(?:e|el|ella|es|u|ei|er|i) |l[ae] |van )*(?-i:[A-Z])\w+"
        rf"|\b\d+\w?,?\s+(?-i:[A-Z][\w.]*\s+){{1,3}}(?:{_STREET})\b"
        r"|(?-i:\b\d{4,5}(?:\s+[A-Z]{2})?\s+[A-ZÄÖÜ][a-zäöüß]{3,})"
    ),
    "a tolerance; cuts are planned exactly": (
        r"^\W*(?:(?:general|allgemeine?|g[ée]n[ée]rale?|general(?:es)?|generale?|algemene)\s+)?"
        r"(?:tolerances?|tol|toleran(?:z|zen|cias?|ties?)|tolleranz[ae]|tol[ée]rances?|allgemeintoleranz(?:en)?)\b\.?"
        r"(?:\s+(?:g[ée]n[ée]rales?|generali?|generales))?\s*[:=]?\s*(?:±|\+\s?/?\s?-)?\s*[\d.,]"
    ),
    "how it is finished; what is bought stays as each line says": (
        r"^\W*(?:finish|surface(?: treatment)?|coating|finition|traitement|revêtement|acabado"
        r"|oberfl[äa]che(?:nbehandlung)?"
        r"|tratamiento|finitura|trattamento|afwerking|oppervlakte(?:behandeling)?)\s*[:=-]\s*[^\W\d]"
        r"|^\W*(?:finish|finition|oberfl[äa]che|acabado|finitura|afwerking)\s+[^\W\d]+\W*$"
        r"|^\D*\b(?:powder ?-?coat(?:ed|ing)?|pulverbeschicht\w*|thermolaqu\w*|gepoedercoat|poedercoat\w*"
        r"|verniciat\w+ a polvere)\b(?:\D|ral \d{4})*$"
    ),
    "a date or a time": (
        r"\b(?:fait le|le|am|vom|del|op)\s+\d{1,2}/\d{1,2}\b|"
        r"\b\d{1,2}[./-]\d{1,2}[./-](?:20)?\d\d\b|\b20\d\d-\d\d-\d\d\b|"
        rf"\b\d{{1,2}}\.?\s+{_MONTH}\b(?:\s+\d{{4}})?|\b\d{{1,2}}[.:]\d\d\s*(?:uhr|h|am|pm)\b|\b\d{{1,2}}-\d{{1,2}}\s*uhr\b"
        r"|\b(?:hours|opening|open|closed|counter|heures|horario|orari|öffnungszeiten)\b.*\d"
        r"|\b(?:wrote|schrieb|a écrit|escribió|ha scritto|schreef)\s*:"
        r"|\b(?:before|by|vor|bis|avant|antes de|entro|voor)\s+(?:the\s+)?"
        r"(?:\d{1,2}(?:st|nd|rd|th)?\s*(?:am|pm|uhr|h)\b|\d{1,2}[./]\d{1,2}\b)"
    ),
}
_FOUND: Final = {kind: re.compile(pattern, re.IGNORECASE) for kind, pattern in _KINDS.items()}
_HARMLESS: Final = frozenset({"n", "no", "nr", "st", "rd", "ex", "pr", "par", "c", "u"})
"""Counters and names of sections that are abbreviations of other words as well."""
_CHAIN: Final = re.compile(r"\d\s*[x×*]\s*\.?\d", re.IGNORECASE)


def said_around(text: str) -> str:
    """Return what a line of a letter is, empty for one that may belong to the list.

    A line that names a section, has dimensions or counts pieces is never set aside.

    Examples
    --------
    >>> said_around("Tel. 0555 014277"), said_around("1420 County Rd 12, Unit 3"), said_around("Seite 1 von 2")
    ('a telephone number', 'an address', 'the number of a page')
    >>> said_around("order 12 off flat 40x5 1200"), said_around("1200 - 4 off"), said_around("Gate 2")
    ('', '', '')
    """
    line = plain(text)
    if _CHAIN.search(line):
        return ""
    words = [token.word for token in tokenize(line) if token.word]
    if any(word in COUNTERS - _HARMLESS for word in words) or any(
        tags_of(word) for word in words if word not in _HARMLESS
    ):
        return ""
    return next((kind for kind, found in _FOUND.items() if found.search(line)), "")
