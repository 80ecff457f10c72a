"""What a line leaves open: asked, never guessed."""

from __future__ import annotations

import re
from typing import Final

from rapidfuzz import fuzz, process

from cutting.question.errors import SectionError
from shared.reading.line.chain import chains
from shared.reading.line.counts import MOST_PIECES
from shared.reading.line.lengths import candidates
from shared.reading.values.draft import Ask, Draft, Rewrite
from shared.reading.values.line_state import LineState, whole
from shared.sections.words import TAGS

__all__ = [
    "ask_glued",
    "ask_left_over",
    "ask_loose_chain",
    "ask_section",
    "ask_struck",
    "asks_loose_start",
    "check_quantity",
    "suggest_family",
]

_SIMILAR: Final = 80
_LEAST_WORD: Final = 4
_GLUED: Final = re.compile(r"[A-Za-z0-9]+|\.[A-Za-z]\b\.?|\+(?![-/\d])")
_UNIT_FIRST: Final = re.compile(r"(?:ft|m|cm|mm|in)\d+", re.IGNORECASE)
_STRUCK: Final = re.compile(
    r"^\s*(?:no|keine?|pas de|geen|ning[uú]n\w*|nessun\w*)\s+(?=[^\W\d])"
    r"|\b(?:not (?:needed|required|wanted)|cancel(?:l?ed)?|deleted?|omit(?:ted)?|superseded|entf[äa]llt|gestrichen"
    r"|annul[ée]e?s?|anulad[oa]s?|annullat[oa]|vervalt|vervallen)\b",
    re.IGNORECASE,
)
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


def ask_struck(work: LineState, draft: Draft) -> None:
    """Ask where a line says of its part that it isn't wanted."""
    found = _STRUCK.search(work.text)
    if found is not None:
        rewrite = Rewrite(reading="it is needed", start=found.start(), end=found.end(), text="")
        message = f"{found.group()}: is this part to be cut? take the line out where it isn't"
        draft.asks.append(Ask(message=message, position=found.start(), rewrites=(rewrite,)))


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
