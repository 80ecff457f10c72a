"""What yards write where a number in stock would stand: none, or as many as one likes."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["GONE", "in_stock"]

GONE: Final = re.compile(
    r"\b(?:out of stock|sold out|no stock|not in stock|discontinued|ausverkauft|vergriffen|kein bestand"
    r"|nicht (?:lieferbar|vorr[äa]tig|am lager|auf lager)|[ée]puis[ée]e?s?|rupture(?: de stock)?|pas en stock"
    r"|agotad[oa]s?|sin existencias|no disponible|esaurit[oaie]|non disponibil[ei]|uitverkocht"
    r"|niet (?:leverbaar|voorradig|op voorraad)|(?:^|- )(?:none|nil|nul|keine?|n[ée]ant|ninguno|nessuno|geen)$|on order"
    r"|back ?order(?:ed)?|auf bestellung|bestellt|sur commande|bajo pedido|su ordinazione|op bestelling|in arrivo)",
    re.IGNORECASE,
)
"""What says that a stick isn't to be had now."""
_PLENTY: Final = re.compile(
    r"(?:in stock|plenty|lots|many|any|yes|y|ok|available|ex stock|auf lager|ab lager|am lager"
    r"|vorr[äa]tig|lagernd|viele|ja|lager"
    r"|en stock|disponibles?|oui|abondant|s[ií]|en existencia|muchos?|molti|disponibil[ei]|in magazzino|op voorraad"
    r"|voorradig|veel|leverbaar|lieferbar)",
    re.IGNORECASE,
)
_AT_LEAST: Final = re.compile(
    r"(?P<count>\d{1,5})\s*\+|(?:>|over|more than|at least|min\.?|[üu]ber|mehr als|mind\.?|plus de"
    r"|m[aá]s de|oltre|meer dan)"
    r"\s*(?P<over>\d{1,5})",
    re.IGNORECASE,
)


def in_stock(text: str) -> int | str | None:
    """Return how many a stock cell's words say, None for any number, or the text where they say something else.

    Examples
    --------
    >>> in_stock("agotado"), in_stock("in stock"), in_stock("30+"), in_stock("some")
    (0, None, 30, 'some')
    """
    at_least = _AT_LEAST.fullmatch(text.strip())
    if at_least is not None:
        return int(at_least["count"] or at_least["over"])
    if GONE.search(text.strip()):
        return 0
    return None if _PLENTY.fullmatch(text.strip(" .!")) else text
