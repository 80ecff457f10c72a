"""Lengths and counts that a line gives only roughly, or in two ways: asked for the one that is meant."""

from __future__ import annotations

import re
from typing import Final

from shared.reading.text.vocabulary import COUNTERS, MULTIPLIERS, NUMBERS, fold
from shared.reading.values.account import TakenFor
from shared.reading.values.draft import Ask, Draft, Rewrite
from shared.reading.values.line_state import LineState

__all__ = ["ask_divided", "ask_each", "ask_hedged", "ask_uncounted"]

_ROUGHLY: Final = frozenset(
    {"about", "approx", "approximately", "ca", "circa", "etwa", "ungefahr", "rund", "environ", "aprox"}
    | {"abt", "roughly", "appx", "approximativement", "env", "aprx", "apross", "approssimativamente", "cca", "ong"}
    | {"aproximadamente", "ongeveer", "unos", "unas", "strong", "scant", "shy", "heavy", "knapp", "reichlich"}
    | {"half", "double", "twice", "halb", "halbe", "doppelt", "doppelte", "doble", "doppio", "dubbel", "moitie"}
)
_AT_MOST: Final = frozenset(
    {"max", "maximum", "min", "minimum", "maximal", "minimal", "mind", "mindestens", "hochstens", "wenigstens"}
    | {"minimo", "massimo", "maximo", "minimaal", "maximaal", "nominal", "nom", "finish", "over", "under"}
)
"""Beside a length they leave open which one is cut."""
_TIMES: Final = frozenset(MULTIPLIERS) - {"par", "pares", "pr"}
"""Counters that multiply; beside a quantity they leave it open."""
_SOME: Final = frozenset(
    "few some several various varias varios unos algunos algunas quelques plusieurs divers einige mehrere diverse "  # noqa: SIM905
    "verschiedene alcuni alcune vari varie diversi enkele verschillende veel viele lots many".split()
)
"""Words for a number that nobody has counted."""
_EACH_SIDE: Final = re.compile(
    r"\b(?:each|either|both|per)\s+(?:hands?|sides?)\b|\bje\s+(?:seite|hand)\b|\bpar\s+c[ôo]t[ée]\b|\bpor\s+lado\b"
    r"|\bpairs?\b.*\b(?:lh|rh|left|right)\b",
    re.IGNORECASE,
)
_BIT: Final = re.compile(r"\b(?:and a bit|or so|give or take|plus a bit)\b", re.IGNORECASE)
_LETTERS: Final = re.compile(r"[lIoO]{1,3}|[SsBZzG]")
"""What a typewriter's hand writes for 1 and 0, and a scan for 5, 8, 2 and 6."""
_DIVIDED: Final = re.compile(
    r"\b(?:in|en|into)\s+(?:\d{1,3}|two|three|four|zwei|drei|vier|deux|trois|quatre|dos|tres|due|tre|twee|drie)\s+(?:equal\s+)?"
    r"(?:pieces?|pcs|bits|lengths|parts|halves|st[üu]cken?|teilen?|morceaux|trozos|partes|pezzi|parti|stukken|delen)\b"
    r"|\b(?:cut in half|halbieren|coup[ée]e? en deux|cortado en dos|tagliato a met[àa]|doormidden)\b",
    re.IGNORECASE,
)
_EACH: Final = frozenset({"each", "ea"})
_ABOUT: Final = re.compile(r"(?:±|\+\s?/?\s?-)\s*$")
_MORE: Final = re.compile(
    r"\s*(?:(?:and a |e |et |y |und (?:ein(?:e[nr]?)? )?|en (?:een )?)(?:half|halb(?:e[nr]?)?|mezz[oa]|demie?|medi[oa])"
    r"|einhalb|(?:minus|less|meno|moins|menos|weniger|plus|più|más|mehr|extra)\s+\d"
    r"|(?:and|e|et|y|und|en)\s+(?P<count>[^\W\d]+))\b",
    re.IGNORECASE,
)
"""Words that go on with a length."""
_SPOKEN: Final = frozenset(NUMBERS) | frozenset(
    {"thirty", "forty", "fifty", "dreissig", "vierzig", "funfzig", "trente", "quarante", "cinquante", "soixante"}
    | {"treinta", "cuarenta", "cincuenta", "venti", "trenta", "quaranta", "cinquanta", "twintig", "dertig", "veertig"}
)
_EITHER: Final = frozenset({"or", "oder", "ou", "o", "of"})


def ask_hedged(work: LineState, draft: Draft) -> None:
    """Ask for the length where a line gives one only roughly, or two of them."""
    for at in work.free():
        beside = {work.kind(at - 1) if at else "", work.kind(at + 1)}
        either = work.word(at) in _EITHER and beside == {"number"} and work.kind(at + 2) != "cross"
        bounded = work.word(at) in _AT_MOST and TakenFor.LENGTH in {work.taken.get(at - 1), work.taken.get(at + 1)}
        if either or bounded or (work.word(at) in _ROUGHLY and "number" in beside):
            token = work.tokens[at]
            message = f"{token.text}? write the one length that is to be cut"
            draft.asks.append(Ask(message=message, position=token.start))
            return
        if work.sign(at) == "?":
            message = "what does the question mark mean? take it away where the line is right"
            rewrite = Rewrite(reading="as it stands", start=work.tokens[at].start, end=work.tokens[at].end, text=" ")
            draft.asks.append(Ask(message=message, position=work.tokens[at].start, rewrites=(rewrite,)))
            return
    if _ask_below_nothing(work, draft) or _ask_about(work, draft):
        return
    if _ask_more(work, draft):
        return
    bit = _BIT.search(work.text)
    if bit is not None:
        message = f"{bit.group()}? write the one length that is to be cut"
        draft.asks.append(Ask(message=message, position=bit.start()))


def _ask_more(work: LineState, draft: Draft) -> bool:
    """Ask where words go on with the length: ``18 and a half``, ``1 metro e venti``, ``48 minus 3/16``."""
    for at, what in work.taken.items():
        if what is not TakenFor.LENGTH or work.kind(at) != "number":
            continue
        more = _MORE.match(work.text, work.tokens[at].end)
        counts = more is not None and more["count"] is not None and fold(more["count"]) not in _SPOKEN
        if more is not None and not counts:
            text = work.text[work.tokens[at].start : more.end()].strip()
            draft.asks.append(
                Ask(message=f"{text}? write the length in digits, such as 1.20 m", position=work.tokens[at].start)
            )
            return True
    return False


def _ask_about(work: LineState, draft: Draft) -> bool:
    """Ask where ``+/-`` stands before the length itself: about so long."""
    for at, what in work.taken.items():
        about = _ABOUT.search(work.text[: work.tokens[at].start])
        if what is TakenFor.LENGTH and work.kind(at) == "number" and about is not None:
            message = f"{about.group().strip()}? write the one length that is to be cut"
            draft.asks.append(Ask(message=message, position=about.start()))
            return True
    return False


def _ask_below_nothing(work: LineState, draft: Draft) -> bool:
    """Ask where a sign stands against a length: ``-40`` is a dash and a length, or an error."""
    for at, what in work.taken.items():
        token = work.tokens[at]
        tight = work.sign(at - 1) == "-" and work.tokens[at - 1].end == token.start
        if what is TakenFor.LENGTH and token.kind == "number" and tight and work.text[: token.start - 1].endswith(" "):
            start = token.start - 1
            rewrite = Rewrite(reading=token.text.strip(), start=start, end=token.start, text="@ ")
            message = f"-{token.text.strip()}: is the sign a dash? leave a space behind it"
            draft.asks.append(Ask(message=message, position=start, rewrites=(rewrite,)))
            return True
    return False


def ask_uncounted(work: LineState, draft: Draft) -> None:
    """Ask how many where a line counts in words that are no number, in letters, or for each side."""
    for at in work.free():
        token = work.tokens[at]
        some = work.word(at) in _SOME and draft.length is not None
        letters = _LETTERS.fullmatch(token.text) is not None and work.word(at + 1) in COUNTERS
        twice = draft.quantity is not None and work.word(at) in _TIMES
        if some or letters or twice:
            message = f"how many is {token.text}? write a whole number, such as 4 pcs"
            draft.asks.append(Ask(message=message, position=token.start))
            return
    side = _EACH_SIDE.search(work.text)
    if side is not None:
        message = f"{side.group()}: how many pieces in all? write their number, or left and right as 2 LH + 2 RH"
        draft.asks.append(Ask(message=message, position=side.start()))


def ask_divided(work: LineState, draft: Draft) -> None:
    """Ask of ``3 m in 3 pieces`` whether the length is each piece's or that of all."""
    found = _DIVIDED.search(work.text)
    if found is not None and draft.length is not None:
        message = (
            f"{found.group().strip()}: is the length each piece's, or all of them together? write it for one piece"
        )
        draft.asks.append(Ask(message=message, position=found.start()))


def ask_each(work: LineState, draft: Draft) -> None:
    """Ask of ``20' 61 each`` in a list of sticks whether it is a price or a count, where the line has no price."""
    if draft.money is not None or draft.quantity is None:
        return
    section = min((at for at, what in work.taken.items() if what is TakenFor.SECTION), default=len(work.tokens))
    at = next((at for at in sorted(work.counted) if work.word(at) in _EACH and at > section), 0)
    if not at:
        return
    start, end = work.tokens[at - 1].start, work.tokens[at].end
    count = work.tokens[at - 1].body
    draft.asks.append(
        Ask(
            message=f"{work.text[start:end]} is a price, or so many pieces? write 61.00 each, or 61 pcs",
            position=start,
            rewrites=(
                Rewrite(reading=f"{count}.00 for each", start=start, end=end, text=f"@ {count}.00 each"),
                Rewrite(reading=f"{count} pieces", start=start, end=end, text=f"{count} pcs"),
            ),
        )
    )
