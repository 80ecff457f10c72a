"""What a line says beside its own numbers: the number that is no longer right, and the tolerance of a cut.

Neither is a length or a quantity, so both are taken out of the line before it is read, and stay in its note.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from shared.reading.values.draft import Draft

__all__ = ["Beside", "find_beside"]

_UNIT: Final = r"(?:\s?(?:mm|cm|mtrs?|m|in|inch(?:es)?|ft|\"|'|thou)(?![^\W_]))"
_VALUE: Final = (
    rf"(?:[€£$]\s?)?\d+(?:[ -]\d+/\d+|/\d+|[.,]\d+)?(?:{_UNIT}(?:[ -]?\d+(?:[ -]\d+/\d+)?\")?|\s?[€£$])?"
    r"(?![\w/]|[.,]\d|\s*[x×*]\s*\d)"
)
_INSTEAD: Final = (
    r"instead\s+of|rather\s+than|in\s+place\s+of|in\s+lieu\s+of|previously|formerly|originally|changed\s+from|was"
    r"|(?:an)?statt|anstelle\s+von|vorher|fr[üu]her|bisher|urspr[üu]nglich|war"
    r"|au\s+lieu\s+de|[àa]\s+la\s+place\s+de|et\s+non(?:\s+pas)?|auparavant|avant|avait"
    r"|en\s+vez\s+de|en\s+lugar\s+de|antes|y\s+no"
    r"|invece\s+d[ei]|anzich[ée]|al\s+posto\s+di|prima|e\s+non"
    r"|i\.?p\.?v\.?|in\s+plaats\s+van|voorheen|eerst"
)
"""Words before a number that is no longer right."""
_NOT: Final = r"(?:not|nicht|pas|non|niet|geen)\s+|(?<=,\s)no\s+"
"""The same where a number of the same kind stands right before them: ``1200 not 1250``, ``640, no 604``."""
_VOID: Final = re.compile(
    rf"\(?(?<!\w)(?:{_INSTEAD})\s*:?\s*(?P<void>{_VALUE})\)?"
    rf"|(?<=\d)(?P<gap>(?:\s?(?:mm|cm|m|off|pcs?|st(?:k|ück|uks?)?|\"|')\.?)?[\s,]+)\(?(?:{_NOT})(?P<other>{_VALUE})\)?"
    rf"|(?<!\w)not\s+(?P<but>{_VALUE})(?=[, ]+but\b)"
    rf"|[,;(]\s*(?P<wrong>{_VALUE})\s+(?:is|ist|est|es|[èe])\s+(?:wrong|falsch|faux|incorrecto|sbagliato|fout)\)?",
    re.IGNORECASE,
)
_PLUS_MINUS: Final = r"(?:±|\+\s?/?\s?-|-\s?/?\s?\+)"
_SMALL: Final = r"(?:0?[.,]\d{1,3}|\d{1,2}/(?:8|16|32|64|128)|10|\d(?:[.,]\d{1,3})?)"
_END: Final = r"(?![\w/]|[.,]\d|\s*[x×*]\s*\d)"
_TOLERANCE_WORD: Final = r"tolerances?|tol|toleran(?:z|zen|cia|cias|tie|ties)|tolleranz[ae]|tol[ée]rances?"
_TOLERANCE: Final = re.compile(
    rf"\(?\b(?:{_TOLERANCE_WORD})\b\.?\s*(?:of|von|de|di|van)?\s*[:=]?\s*{_PLUS_MINUS}?\s*{_SMALL}{_UNIT}?{_END}\)?"
    rf"|(?<=[\d\"'m\s(]){_PLUS_MINUS}\s?{_SMALL}{_UNIT}?{_END}(?:\s*(?:{_TOLERANCE_WORD})\b)?"
    rf"|(?<=[\d\"'m\s(])(?:\+{_SMALL}{_UNIT}?\s?[/,]?\s?-{_SMALL}|-{_SMALL}{_UNIT}?\s?[/,]?\s?\+{_SMALL}){_UNIT}?{_END}",
    re.IGNORECASE,
)
_HINT: Final = re.compile(
    r"\b(?:no[tn]?|nicht|pas|niet|geen|was|war|instead|rather|place|lieu|previous|former|orig|changed|statt|anstatt|anstelle"
    r"|vorher|fr[üu]her|bisher|urspr|auparavant|avant|avait|antes|vez|lugar|invece|anzich|prima|posto|ipv|plaats|voorheen"
    r"|eerst|tol|wrong|falsch|faux|incorr|sbagl|fout)|i\.p\.v|±|[+-]\s?/?\s?[+-]|[+-]\s?[\d.,/]+\s?[/, ]?\s?[+-]",
    re.IGNORECASE,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Beside:
    """What stands beside a line's own numbers.

    Attributes
    ----------
    spans : tuple of (int, int)
        Where it stands, in order.
    note : str
        The same as text for the part's note.
    said : tuple of str
        What to say about each number that was left aside.
    """

    spans: tuple[tuple[int, int], ...] = ()
    note: str = ""
    said: tuple[str, ...] = ()

    def keep(self, draft: Draft) -> None:
        """Put it to a line's note."""
        draft.note = ", ".join(part for part in (draft.note, self.note) if part)
        draft.notes += self.said


_NOTHING: Final = Beside()


def find_beside(line: str) -> Beside:
    """Find the numbers in a plain line that it says aren't right any more, and its tolerances.

    Examples
    --------
    >>> find_beside("4 off SHS 40x40x3 1200 not 1250").note
    'not 1250'
    >>> find_beside("6 statt 4 Stk Flach 30x5 300 +/- 0,5").note
    'statt 4, +/- 0,5'
    >>> find_beside("No 604 SHS 40x40x3 1200").spans
    ()
    """
    if _HINT.search(line) is None:
        return _NOTHING
    found = []
    for each in _VOID.finditer(line):
        start = each.end("gap") if each["gap"] is not None else each.start()
        number = each["void"] or each["other"] or each["but"] or each["wrong"]
        found.append((start, each.end(), f"{number.strip()} is left aside"))
    for each in _TOLERANCE.finditer(line):
        if not any(start < each.end() and each.start() < end for start, end, _ in found):
            found.append((each.start(), each.end(), ""))
    found.sort()
    texts = [line[start:end].strip(" ,;()") for start, end, _ in found]
    return Beside(
        spans=tuple((start, end) for start, end, _ in found),
        note=", ".join(texts),
        said=tuple(f"{say}: {text}" for (_, _, say), text in zip(found, texts, strict=True) if say),
    )
