"""A line being read: its tokens, and which of them are spoken for."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

from shared.reading.text.before import units_before
from shared.reading.text.tokens import Token, tokenize
from shared.reading.text.vocabulary import COUNTERS, NOTE_WORDS, NUMBERS, QUANTITY_WORDS
from shared.reading.values.account import TakenFor

__all__ = ["LineState", "open_work", "whole"]

_PADDING: Final = [""] * 8
_BAR: Final = Token(kind="bar", text="", start=0, end=0)
_MASK: Final = "\x1f"
_BULLET: Final = re.compile(r"\s*(?:(?:[-*•·‣▪>+]+|\[[ x]?\])\s+)?", re.IGNORECASE)
_FOOT: Final = 12
_CENT_DIGITS: Final = 2


@dataclass(slots=True)
class LineState:
    """A line being read.

    Attributes
    ----------
    text : str
        The plain line with masked places blanked out.
    tokens : list of Token
        Its tokens, feet and inches joined.
    used : set of int
        Indexes of tokens that are spoken for.
    noted : set of int
        Indexes of tokens that belong to a remark in parentheses.
    loose_feet : Token or None
        Feet and inches that may be feet and a quantity (``8' 4``).
    counted : set of int
        Indexes of the tokens that state the quantity.
    named : set of int
        Indexes of the tokens that state mark or item number.
    stage : TakenFor
        What tokens are being taken for.
    taken : dict of int to TakenFor
        What each token was taken for first.
    words, signs, kinds : list of str
        Of each token its folded word, its sign, its kind.
    """

    text: str
    tokens: list[Token]
    used: set[int] = field(default_factory=set)
    noted: set[int] = field(default_factory=set)
    loose_feet: Token | None = None
    counted: set[int] = field(default_factory=set)
    named: set[int] = field(default_factory=set)
    stage: TakenFor = TakenFor.NOTE
    taken: dict[int, TakenFor] = field(default_factory=dict)
    words: list[str] = field(init=False)
    signs: list[str] = field(init=False)
    kinds: list[str] = field(init=False)

    def __post_init__(self) -> None:
        self.index()

    def index(self) -> None:
        """Lay out words, signs and kinds; padded, so that a look beyond either end of the line finds nothing."""
        self.words = [token.word for token in self.tokens] + _PADDING
        self.signs = [token.text if token.kind == "sign" else "" for token in self.tokens] + _PADDING
        self.kinds = [token.kind for token in self.tokens] + _PADDING

    def barred(self) -> list[Token]:
        """Return the tokens with those that are spoken for replaced by bars, so that nothing is read across them."""
        return [_BAR if at in self.used or at in self.noted else token for at, token in enumerate(self.tokens)]

    def says(self, words: frozenset[str]) -> bool:
        """Whether any word of the line is among some."""
        return not words.isdisjoint(self.words)

    def free(self) -> list[int]:
        """Return the indexes that nothing has taken."""
        return [at for at in range(len(self.tokens)) if at not in self.used and at not in self.noted]

    def take(self, indexes: Iterable[int]) -> None:
        """Mark tokens as spoken for."""
        for at in indexes:
            self.used.add(at)
            self.taken.setdefault(at, self.stage)

    def word(self, at: int) -> str:
        """Return the folded word at an index, empty where there is none."""
        return self.words[at]

    def sign(self, at: int) -> str:
        """Return the sign at an index, empty where there is none."""
        return self.signs[at]

    def kind(self, at: int) -> str:
        """Return the kind of the token at an index, empty outside the line."""
        return self.kinds[at]

    def rest(self) -> str:
        """Return what nobody has taken, as text for a note."""
        pieces, last = [], 0
        for at in sorted(self.used):
            token = self.tokens[at]
            if token.start > last:
                pieces.append(self.text[last : token.start])
            last = max(last, token.end)
        pieces.append(self.text[last:])
        return _tidy(" ".join(pieces))


def _tidy(text: str) -> str:
    """Return leftover text without leftover signs."""
    text = re.sub(r"[\s\u00a0\x1f]+", " ", text).strip()
    if not text:
        return ""
    previous = None
    while text != previous:
        previous = text
        text = re.sub(r"\([-,;|:.@=\s]*\)", " ", text)
        text = re.sub(r"\s*[|;\t]\s*[|;\t]+\s*", " | ", text)
        text = re.sub(r"^[\s,;|:.@=/x*&+-]+(?=\s|[^\W_]|\(|$)|[\s,;|:@=/*&-]+$", "", text)
        text = re.sub(r"\s+", " ", text).strip()
    text = re.sub(r"\s*\|\s*", ", ", text)
    return re.sub(r"\s+([,;])", r"\1", text)


def open_work(line: str, masked: Iterable[tuple[int, int]], *, prices: bool) -> LineState:
    """Return a line ready to be read.

    Parameters
    ----------
    line : str
        The plain line.
    masked : iterable of (int, int)
        Places that are read already.
    prices : bool
        Whether numbers may be prices.
    """
    found = _BULLET.match(line)
    start = found.end() if found else 0
    text = line
    for first, last in (*masked, (0, start)):
        text = f"{text[:first]}{_MASK * (last - first)}{text[last:]}"
    work = LineState(text=text, tokens=units_before(text, tokenize(text)))
    _join_feet(work, prices=prices)
    _note_parentheses(work)
    return work


def _join_feet(work: LineState, *, prices: bool) -> None:
    """Join feet and the inches behind them into one token."""
    if not any(token.unit == "ft" for token in work.tokens):
        return
    tokens: list[Token] = []
    at = 0
    while at < len(work.tokens):
        token = work.tokens[at]
        step, joined = _feet_inches(work, at, prices=prices) if token.unit == "ft" else (1, token)
        tokens.append(joined)
        if joined.form == "feet?":
            work.loose_feet = joined
        at += step
    work.tokens = tokens
    work.index()


def _feet_inches(work: LineState, at: int, *, prices: bool) -> tuple[int, Token]:
    """Return how many tokens make up feet and inches, and the joined token."""
    feet = work.tokens[at]
    dashed = work.sign(at + 1) == "-"
    spot = at + 2 if dashed else at + 1
    if feet.form != "int" or work.kind(spot) != "number":
        return 1, feet
    inches = work.tokens[spot]
    if inches.value is None or inches.value >= _FOOT or inches.unit not in {"", "in"} or feet.value is None:
        return 1, feet
    if not inches.unit and (_is_count(work, spot) or (prices and _is_price(inches))):
        return 1, feet
    loose = not inches.unit and not dashed and inches.form == "int" and inches.start > feet.end and bool(inches.value)
    if loose and prices:
        return 1, feet
    joined = Token(
        kind="number",
        text=work.text[feet.start : inches.end],
        start=feet.start,
        end=inches.end,
        value=_FOOT * feet.value + inches.value,
        unit="in",
        form="feet?" if loose else "feet",
        readings=(feet.value, inches.value),
        body=work.text[feet.start : inches.end],
    )
    return spot - at + 1, joined


def _is_count(work: LineState, at: int) -> bool:
    """Whether a number is followed by a counter or a cross."""
    if not work.tokens[at].value:
        return False
    word = work.word(at + 1)
    announces = word in QUANTITY_WORDS and (work.sign(at + 2) in {":", "="} or work.kind(at + 2) == "number")
    return work.kind(at + 1) == "cross" or (word in COUNTERS and not announces)


def _is_price(token: Token) -> bool:
    """Whether a number is written like money."""
    head, sep, tail = token.body.replace(",", ".").partition(".")
    return bool(sep) and len(tail) == _CENT_DIGITS and head.isdigit()


def _note_parentheses(work: LineState) -> None:
    """Set remarks in parentheses aside, unless they hold a quantity, a length or a section."""
    if "(" not in work.text and "[" not in work.text:
        return
    opened: int | None = None
    for at in range(len(work.tokens)):
        if work.sign(at) in {"(", "["}:
            opened = at
        elif work.sign(at) in {")", "]"} and opened is not None:
            inside = range(opened + 1, at)
            if _is_remark(work, inside):
                work.noted.update(range(opened, at + 1))
            opened = None
    if opened is not None and _is_remark(work, range(opened + 1, len(work.tokens))):
        work.noted.update(range(opened, len(work.tokens)))


def _is_remark(work: LineState, inside: range) -> bool:
    """Whether the tokens between parentheses are only a remark."""
    words = [work.word(at) for at in inside if work.kind(at) == "word"]
    numbers = [at for at in inside if work.kind(at) == "number"]
    chained = any(work.kind(at) == "cross" for at in inside)
    if not numbers and not any(word in NUMBERS for word in words):
        return True
    if any(word in NOTE_WORDS for word in words):
        return True
    return (
        bool(words)
        and not chained
        and not any(word in COUNTERS or word in NUMBERS for word in words)
        and not _announced(work, inside)
    )


_ANNOUNCING: Final = frozenset(
    "qty quantity menge anzahl stk cant l lg length lange long lh rh left right r total make".split()  # noqa: SIM905
)


def _announced(work: LineState, inside: range) -> bool:
    """Whether a word between parentheses announces a quantity or a length."""
    return any(work.word(at) in _ANNOUNCING for at in inside)


def whole(token: Token) -> int | None:
    """Return the value of a plain whole number without a unit, None for any other token."""
    if token.kind != "number" or token.form != "int" or token.unit or token.value is None:
        return None
    return int(token.value)
