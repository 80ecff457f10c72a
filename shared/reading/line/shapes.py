"""Ends and shapes that a line speaks of and that aren't understood: asked, rather than called square."""

from __future__ import annotations

import re
from typing import Final

from shared.reading.values.draft import Ask, Draft, Rewrite

__all__ = ["ask_shape", "ask_unread_ends"]

_UNREAD_ENDS: Final = re.compile(
    r"\d\s*(?:°|deg\b)|\bmit(?:re|er)|\b[ls]\.?p\.?\b|\b(?:long|short)[\s-]points?\b|\bgehrung"
    r"|\bbevel|\binglete|\bonglet|\bverstek|\bbisel|\bbiseaut?|\bsmuss|\btaglio obliquo"
    r"|\bspitz(?:e[nr]?)? auf spitz|\blong to long|\bbiaise?s?\b"
    r"|\bends? (?:as|to|per|see) (?:the )?(?:drawing|dwg|sketch)"
    r"|\b(?:tagli\w*|cort\w+|coup\w+|cut|gezaagd|ges[äa]gt|geschnitten) (?:a|à|at|to|auf|onder|unter|op|en|in) "
    r"(?:45|30|60|15|22[.,]5)\b(?!\s?(?:mm|cm|x|in\b|\"))"
    r"|\b(?:a|à|at|auf|unter|onder) (?:45|22[.,]5)\s*$"
    r"|\b(?:22[.,]5|30|45|60)'?s\b|\b(?:to|per|as per|see|nach|selon|seg[úu]n|come da|volgens) (?:the )?"
    r"(?:sketch|skizze|croquis|schizzo|schets)\b"
    r"|\bfish-?\s?mouth|\bschr[äa]gschnitt|\bschr[äa]g\b|\bscarf",
    re.IGNORECASE,
)
_SHAPED: Final = re.compile(
    r"\b(?:birds?-?mouth(?:ed)?|scribed?|raked?|tapere?d?|splay(?:ed)?|chamfer(?:ed)?|curved?|bend|bends|rolled|radius(?:ed)?"
    r"|arch(?:ed)|cranked|joggled|saddled?|hooked|ausgeklinkt|ausklinkung|gebogen|gekr[üu]mmt|konisch"
    r"|abgeschr[äa]gt|angefast"
    r"|gerollt|gekantet|abgekantet|g[äa]rung|gueule de loup|cintr[ée]e?s?|courb[ée]e?s?|chanfrein\w*"
    r"|coud[ée]e?s?|grug[ée]e?s?"
    r"|grugeage|curvad[oa]s?|doblad[oa]s?|chafl[áa]n|boca de (?:pez|pescado|lobo)|achaflanad[oa]s?"
    r"|rebajad[oa]s?|curvat[oaie]"
    r"|piegat[oaie]|calandrat[oaie]|bocca di lupo|sagomat[oaie]|afgeschuind|schuine?|scheef|ingekeept|gezet|gerold)\b",
    re.IGNORECASE,
)
"""Words for ends and shapes that a straight cut doesn't make."""
_SQUARELY: Final = ", square cut"


def ask_shape(draft: Draft, line: str) -> None:
    """Ask where a line speaks of ends or a shape that no straight cut makes, unless it says that it is cut square."""
    found = _SHAPED.search(line)
    if found is None or _SQUARELY[2:] in line.lower():
        return
    end = len(line.rstrip())
    said = found.group()
    rewrite = Rewrite(reading=f"cut square to this length; {said} is a remark", start=end, end=end, text=_SQUARELY)
    message = f"{said}: a plan cuts straight pieces, square or at an angle; is the length that of a square cut?"
    draft.asks.append(Ask(message=message, position=found.start(), rewrites=(rewrite,)))


def ask_unread_ends(draft: Draft, text: str) -> None:
    """Ask where a line speaks of angled ends in a way that isn't understood, rather than call the ends square."""
    found = _UNREAD_ENDS.search(text)
    if found is not None:
        draft.asks.append(
            Ask(
                message="angled ends aren't understood; write them such as 45/45 LP, or one end 45 LP",
                position=found.start(),
            )
        )
