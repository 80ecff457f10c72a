"""What a line leaves open: asked, never guessed."""

from __future__ import annotations

import re
from typing import Final

from rapidfuzz import fuzz, process

from cutting.question.errors import SectionError
from shared.reading.line.chain import chains
from shared.reading.line.lengths import (
    candidates,
)
from shared.reading.line.quantity import MOST_PIECES
from shared.reading.text.vocabulary import COUNTERS, MULTIPLIERS
from shared.reading.values.account import TakenFor
from shared.reading.values.draft import Ask, Draft, Rewrite
from shared.reading.values.line_state import LineState, whole
from shared.sections.words import TAGS

__all__ = [
    "ask_divided",
    "ask_each",
    "ask_left_over",
    "ask_loose_chain",
    "ask_section",
    "ask_struck",
    "ask_uncounted",
    "asks_loose_start",
    "check_quantity",
    "suggest_family",
]

_SIMILAR: Final = 80
_LEAST_WORD: Final = 4
_GLUED: Final = re.compile(r"[A-Za-z0-9]+|\.[A-Za-z]\b\.?|\+(?![-/\d])")
_UNIT_FIRST: Final = re.compile(r"(?:ft|m|cm|mm|in)\d+", re.IGNORECASE)
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
_STRUCK: Final = re.compile(
    r"^\s*(?:no|keine?|pas de|geen|ning[uú]n\w*|nessun\w*)\s+(?=[^\W\d])"
    r"|\b(?:not (?:needed|required|wanted)|cancel(?:l?ed)?|deleted?|omit(?:ted)?|superseded|entf[äa]llt|gestrichen"
    r"|annul[ée]e?s?|anulad[oa]s?|annullat[oa]|vervalt|vervallen)\b",
    re.IGNORECASE,
)
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
_EITHER: Final = frozenset({"or", "oder", "ou", "o", "of"})
_SUGGESTED: Final = (  # noqa: SIM905
    "angle angular channel corniere flachstahl flat hollow pipe quadratrohr rechteckrohr rectangular round "
    "rundrohr square tube "
    "tubing vierkantrohr winkel"
).split()


def asks_loose_start(work: LineState, draft: Draft, spots: list[int]) -> bool:
    """Ask where a line begins with ``4 1/4 x 2 flat``: four pieces of 1/4, or 4-1/4."""
    numbers = [at for at in spots if work.kind(at) == "number"]
    first = next(iter(work.free()), None)
    if not numbers or draft.quantity is not None or numbers[0] != first:
        return False
    token = work.tokens[numbers[0]]
    if token.form != "mixed" or " " not in token.body.replace("\u00a0", " "):
        return False
    head, _, tail = token.body.replace("\u00a0", " ").partition(" ")
    end = token.start + len(token.body)
    draft.asks.append(
        Ask(
            message=f"{token.body} is a quantity and a dimension, or one dimension?",
            position=token.start,
            rewrites=(
                Rewrite(
                    reading=f"{head} pieces of {tail.strip()}",
                    start=token.start,
                    end=end,
                    text=f"{head} pcs {tail.strip()}",
                ),
                Rewrite(
                    reading=f"{head}-{tail.strip()}", start=token.start, end=end, text=f"1 pc {head}-{tail.strip()}"
                ),
            ),
        )
    )
    work.take(spots)
    return True


def ask_section(work: LineState, draft: Draft, error: SectionError, spots: list[int]) -> None:
    """Pass a question about a section on, with the place where its name stands."""
    start = min(work.tokens[at].start for at in spots)
    end = max(work.tokens[at].end for at in spots)
    between = work.text[start:end]
    pure = all(at in spots for at in range(min(spots), max(spots) + 1))
    rewrites = (
        tuple(Rewrite(reading=choice, start=start, end=end, text=choice) for choice in error.choices) if pure else ()
    )
    draft.asks.append(Ask(message=f"{error.message} ({between.strip()})", position=start, rewrites=rewrites))


def suggest_family(work: LineState, draft: Draft) -> None:
    """Suggest the family word that a misspelt one may be (the word only; numbers are never guessed)."""
    for at in work.free():
        word = work.word(at)
        if len(word) < _LEAST_WORD or word in TAGS:
            continue
        best = process.extractOne(word, _SUGGESTED, scorer=fuzz.ratio, score_cutoff=_SIMILAR)
        if best is None:
            continue
        token = work.tokens[at]
        draft.asks.append(
            Ask(
                message=f"no section family called {token.text}; did you mean {best[0]}?",
                position=token.start,
                rewrites=(Rewrite(reading=best[0], start=token.start, end=token.end, text=best[0]),),
            )
        )
        return


def ask_left_over(work: LineState, draft: Draft) -> None:
    """Ask about a number or a gauge that nothing explains: it may be the quantity, another length, the wall."""
    wall = next((at for at in work.free() if work.kind(at) in {"gauge", "schedule"}), None)
    if wall is not None:
        token = work.tokens[wall]
        message = f"what does {token.text} belong to? write the section in one piece, such as 2x2x11ga sq tube"
        draft.asks.append(Ask(message=message, position=token.start))
        return
    for at in candidates(work):
        named = work.kind(at - 1) in {"word", "code"} and at - 1 not in work.used and draft.quantity is not None
        in_remark = "cross" in {work.kind(at - 1), work.kind(at + 1)} and not work.tokens[at].unit
        if named and not in_remark:
            continue
        token = work.tokens[at]
        number = whole(token)
        if number is not None and number == draft.quantity and at == work.free()[0]:
            work.take((at,))  # the total stands in front of its handed pieces
            continue
        text = token.text.strip()
        end = token.start + len(text)
        rewrites = [Rewrite(reading=f"a remark: {text}", start=token.start, end=end, text=f"(no. {text})")]
        if number is not None and draft.quantity is None:
            rewrites.insert(0, Rewrite(reading=f"{number} pieces", start=token.start, end=end, text=f"{number} pcs"))
        draft.asks.append(
            Ask(
                message=f"what is {text}? write a quantity as 4 pcs, and remarks in parentheses or behind note:",
                position=token.start,
                rewrites=tuple(rewrites),
            )
        )
        return


def ask_glued(work: LineState, draft: Draft) -> None:
    """Ask about letters or digits that stand against a number: ``85O``, ``3ft6``, ``1200 m.m.``, ``34 5/8+``."""
    for at in work.free():
        glued = at > 0 and work.kind(at - 1) == "number" and work.tokens[at - 1].end == work.tokens[at].start
        if glued and _UNIT_FIRST.fullmatch(work.tokens[at].text):
            token = work.tokens[at]
            message = f"what is {token.text}? write feet and inches as 6' 8 3/4\", metres as 1.2 m"
            draft.asks.append(Ask(message=message, position=token.start))
            return
    for at, token in enumerate(work.tokens):
        if token.kind != "number" or at not in work.used:
            continue
        end = token.start + len(work.text[token.start : token.end].rstrip())
        found = _GLUED.match(work.text, end)
        if found is None or any(
            spot in work.used and other.start < found.end() and other.end > found.start()
            for spot, other in enumerate(work.tokens)
        ):
            continue
        text = work.text[token.start : found.end()].strip()
        message = f"what is {text}? write the number, then its unit, such as 1200 mm or 3 ft 6 in"
        draft.asks.append(Ask(message=message, position=token.start))
        return


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
    bit = _BIT.search(work.text)
    if bit is not None:
        message = f"{bit.group()}? write the one length that is to be cut"
        draft.asks.append(Ask(message=message, position=bit.start()))


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


def ask_struck(work: LineState, draft: Draft) -> None:
    """Ask where a line says of its part that it isn't wanted."""
    found = _STRUCK.search(work.text)
    if found is not None:
        rewrite = Rewrite(reading="it is needed", start=found.start(), end=found.end(), text="")
        message = f"{found.group()}: is this part to be cut? take the line out where it isn't"
        draft.asks.append(Ask(message=message, position=found.start(), rewrites=(rewrite,)))


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


def ask_loose_chain(work: LineState, draft: Draft) -> None:
    """Ask what ``2x4 1/2`` means where no section is known: pieces of a length, or dimensions."""
    for run in chains(work.tokens):
        last = work.tokens[run[-1]]
        if last.form != "mixed" or " " not in last.body or len(run) != 2 or run[0] in work.noted:  # noqa: PLR2004
            continue
        first = work.tokens[run[0]]
        head, _, tail = last.body.partition(" ")
        end = last.start + len(last.body)
        readings = (
            (f"{first.body} pieces of {last.body}", f"{first.body} pcs @ {last.body}"),
            (f"a section {first.body}x{head}x{tail.strip()}", f"{first.body}x{head}x{tail.strip()}"),
            (f"a section {first.body}x{head}-{tail.strip()}", f"{first.body}x{head}-{tail.strip()}"),
        )
        draft.asks.append(
            Ask(
                message=f"{work.text[first.start : end]} is pieces of a length, or dimensions of a section?",
                position=first.start,
                rewrites=tuple(Rewrite(reading=say, start=first.start, end=end, text=put) for say, put in readings),
            )
        )
        return


def check_quantity(draft: Draft, *, least: int = 1) -> None:
    """Refuse quantities that can't be; none in stock is said by a yard."""
    if draft.quantity is not None and not least <= draft.quantity <= MOST_PIECES:
        draft.asks.append(Ask(message=f"{draft.quantity} pieces? write a quantity from 1 to {MOST_PIECES}", position=0))
