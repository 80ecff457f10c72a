"""Which yard a line of a price list is from: by a heading above it, a column, or a word in the line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final

from shared.reading.grid.structure import Heading
from shared.reading.values.draft import Ask, Rewrite
from shared.sections.words import NEUTRAL, TAGS, fold

__all__ = ["MOST_NAME", "Yards", "clean_name"]

MOST_NAME: Final = 60
"""Most letters of a yard's name in a list."""
_MOST_WORDS: Final = 6
_YARD: Final = r"(?:yard|supplier|vendor|merchant|stockist|lieferant|händler|fournisseur|proveedor)"
_STATED: Final = re.compile(rf"\s*{_YARD}\s*[:=]\s*(?P<name>[^,;()\[\]\t|]+?)\s*:?\s*", re.IGNORECASE)
_IN_LINE: Final = re.compile(
    rf"(?<![^\s,;(\[])[(\[]?{_YARD}\s*[:=]\s*(?P<name>[^,;()\[\]\t|]+?)\s*(?:[)\]]|(?=[,;])|$)", re.IGNORECASE
)
_FROM: Final = r"(?:from|at|by|bei|von|chez|de|en)"
_GOODS: Final = frozenset(
    {
        *TAGS,
        *NEUTRAL,
        *(  # noqa: SIM905  what price lists put above their blocks
            "steel stahl acier acero metal metals mild carbon stainless edelstahl inox aluminium aluminum galvanised "
            "galvanized galv painted primed black bright hot cold rolled formed finished warmgewalzt kaltgewalzt "
            "verzinkt sections hollow shs rhs chs material materials lengths and und et y with mit in"
        ).split(),
    }
)
_REMARKS: Final = frozenset({"note", "notes", "nb", "remark", "hinweis", "nota"})
_LISTS: Final = frozenset(
    (  # noqa: SIM905  words that make of a name the title of a list
        "price prices pricelist list lists stock rack racks offcut offcuts drops remnants sticks full quote quotation "
        "offer rates terms preise preisliste angebot lager reststucke prix tarif tarifs offre chutes precios lista "
        "oferta retales sheet page part parts note notes total from to our my your the unsere nos nuestra"
    ).split()
)


class Yards:
    """The yards that a list may name, and the one its lines belong to just now.

    Parameters
    ----------
    known : iterable of str
        Names that are known from elsewhere.
    """

    def __init__(self, known: Iterable[str] = ()) -> None:
        self._known: dict[str, str] = {}
        self.current = ""
        for name in known:
            self.named(name)

    def named(self, text: str) -> str:
        """Return a yard's name as it was written first; from now on it is known."""
        name = clean_name(text)
        return self._known.setdefault(_folded(name), name)

    def knows(self, text: str) -> bool:
        """Whether a text is the name of a yard that is known."""
        return _folded(clean_name(text)) in self._known

    def heading(self, text: str, heading: Heading | None) -> str | Ask | None:
        """Read a line as a yard's heading.

        Parameters
        ----------
        text : str
            The line.
        heading : Heading or None
            The line as a heading of any kind.

        Returns
        -------
        str, Ask or None
            The yard's name, what has to be asked, or None for a line that heads something else.
        """
        stated = _STATED.fullmatch(text)
        bare = clean_name(text)
        if stated and len(stated["name"]) <= MOST_NAME:
            return self.named(stated["name"])
        if self.knows(bare):
            return self.named(bare)
        written = re.findall(r"[^\W\d_]+", bare)
        words = {fold(word) for word in written}
        if words <= _GOODS | _LISTS or fold(written[0]) in _REMARKS or len(bare) > MOST_NAME:
            return None
        if heading is not None and heading.sure and heading.sets is None and not words & _LISTS:
            return self.named(bare)
        # The title of a list, or a name below another yard's heading but without a colon: whose the lines below are
        # must not be guessed.
        if not _like_a_name(written) or (heading is not None and heading.sets is not None):
            return None
        titled = bool(words & _LISTS) and text.rstrip("* ").endswith(":") and len(written) <= _MOST_WORDS
        below = heading is not None and bool(self.current) and not words & _LISTS
        return _which(text, bare) if titled or below else None

    def in_line(self, line: str) -> tuple[str, tuple[int, int]] | None:
        """Return the yard that a plain line names beside its stick, and where."""
        stated = _IN_LINE.search(line)
        if stated and len(stated["name"]) <= MOST_NAME:
            return self.named(stated["name"]), stated.span()
        for name in sorted(self._known.values(), key=len, reverse=True):
            pattern = r"\s+".join(map(re.escape, name.split()))
            found = re.search(
                rf"(?<!\w){_FROM}\s+{pattern}(?!\w)|[(\[]\s*(?:{_FROM}\s+)?{pattern}\s*[)\]]"
                rf"|^\s*{pattern}\s*(?:[:,;|-]|\s)(?=.)|(?<=[\s,;|-]){pattern}\s*$",
                line,
                re.IGNORECASE,
            )
            if found:
                return name, found.span()
        return None


def _like_a_name(written: Sequence[str]) -> bool:
    """Whether words are written as a name is: those that aren't what lists are called have a capital."""
    joints = {"of", "and", "the", "und", "et", "y"}
    return all(word[0].isupper() or fold(word) in _LISTS | joints for word in written)


def clean_name(text: str) -> str:
    """Return a name without the signs that make a heading of it.

    Examples
    --------
    >>> clean_name("## Harbour  Steel:")
    'Harbour Steel'
    """
    return " ".join(text.strip().lstrip("#*=- ").rstrip("*=#:- ").split())


def _folded(name: str) -> str:
    return " ".join(fold(word) for word in name.split())


def _which(text: str, name: str) -> Ask:
    """Ask whether a heading names a yard."""
    end = len(text)
    return Ask(
        message=f"does {name} name the yard of the lines below? write yard: and its name, or a remark without a colon",
        position=0,
        rewrites=(
            Rewrite(reading="a yard", start=0, end=end, text=f"yard: {name}"),
            Rewrite(reading="a remark", start=0, end=end, text=f"note: {name}"),
        ),
    )
