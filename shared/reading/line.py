"""Read one line of free text: mark, quantity, section, length, ends, and what is left as its note."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from rapidfuzz import fuzz, process

from cutting.errors import SectionError
from cutting.lengths import Unit
from shared.reading.draft import Around, Ask, Draft, Rewrite
from shared.reading.ends import find_ends
from shared.reading.finder import Found, chains, find_section, is_family
from shared.reading.lengths import LENGTH_UNITS, candidates, claim, is_announced, is_range, take_length
from shared.reading.money import take_money
from shared.reading.quantity import MOST_PIECES, explicit_quantity
from shared.reading.tokens import Token, plain
from shared.reading.vocabulary import DITTO, MARK_WORDS, NUMBERS, is_also
from shared.reading.work import Work, open_work, whole
from shared.sections import understand
from shared.sections.materials import finish_words
from shared.sections.words import TAGS, fold

__all__ = ["read_line", "take_finish"]

_LEAST_LENGTH: Final = {Unit.IN: Fraction(3, 4), Unit.MM: Fraction(20)}
_MOST_LENGTH: Final = {Unit.IN: Fraction(600), Unit.MM: Fraction(15000)}
_MOST_LIKELY_PIECES: Final = 999
_SIMILAR: Final = 80
_LEAST_WORD: Final = 4
_FEW: Final = 5
_GALVANISED_LATER: Final = re.compile(
    r"\b(?:after|nach|apr[èe]s|despu[ée]s|touch|repair|no|not|nicht|sans|sin)\b", re.IGNORECASE
)
_UNREAD_ENDS: Final = re.compile(
    r"\d\s*(?:°|deg\b)|\bmit(?:re|er)|\b[ls]\.?p\.?\b|\b(?:long|short)[\s-]points?\b|\bgehrung", re.IGNORECASE
)
_SUGGESTED: Final = (
    "angle angular channel corniere flachstahl flat hollow pipe quadratrohr rechteckrohr rectangular round rundrohr square tube "
    "tubing vierkantrohr winkel"
).split()
_BUYS_ELSE: Final = re.compile(
    r"galv|galvani[sz]ed|hdg|stainless|inox|edelstahl|304l?|316l?|430|alumini?um|alu|verzinkt|feuerverzinkt|galvanis[ée]e?"
    r"|galvanizado|aluminio|brass|messing|copper|s\d{3}\w*|1\.4\d{3}"
)
_HOOKED: Final = re.compile(r"[.):]")


def read_line(text: str, around: Around, given: Draft | None = None) -> Draft:
    """Read one line.

    Parameters
    ----------
    text : str
        The line as it stands.
    around : Around
        What the rest of the list says.
    given : Draft or None
        What is known already from other cells of the row.

    Returns
    -------
    Draft
        What the line says; what is open is in its `asks`.
    """
    line = plain(text)
    draft = given or Draft()
    ends, masked, written = find_ends(line)
    draft.ends = draft.ends or ends
    if ends is not None and not written:
        draft.notes.append("mitred: 45° taken")
    work = open_work(line, masked, prices=around.offers)
    if around.offers:
        take_money(work, draft)
    _take_mark(work, draft, around)
    if draft.quantity is None:
        before = set(work.used)
        explicit_quantity(work, draft)
        work.counted = work.used - before
    ditto = _take_ditto(work)
    known_length = draft.length is not None or _length_is_sure(work)
    found = find_section(
        work.barred(), around.system, sure_quantity=draft.quantity is not None, sure_length=known_length
    )
    if found is not None and draft.section is None:
        _take_section(work, draft, found)
    if draft.length is None and not draft.asks:
        take_length(work, draft, around)
    _take_plain_numbers(work, draft, around)
    _finish(work, draft, around, ditto=ditto)
    return draft


def _take_mark(work: Work, draft: Draft, around: Around) -> None:
    """Take a mark or an item number at the line's beginning."""
    free = work.free()
    if not free:
        return
    at = free[0]
    token = work.tokens[at]
    if work.sign(at) == "#" and work.kind(at + 1) in {"number", "code"}:
        _set_mark(work, draft, range(at, at + 2), work.tokens[at + 1].text)
    elif work.word(at) in MARK_WORDS and _marked(work, at) is not None:
        spot = _marked(work, at) or at
        _set_mark(work, draft, range(at, spot + 1), work.tokens[spot].text)
    elif token.kind == "code" and not _is_section_code(token):
        _set_mark(work, draft, range(at, at + 1), token.text)
    elif token.kind == "word" and len(token.text) <= 2 and work.sign(at + 1) in {":", ")"}:  # noqa: PLR2004
        _set_mark(work, draft, range(at, at + 2), token.text)
    elif whole(token) is not None and _HOOKED.fullmatch(work.sign(at + 1)) and work.tokens[at + 1].start == token.end:
        _take_item(work, draft, around, at)


def _is_section_code(token: Token) -> bool:
    """Whether a code is a rolled section or a grade rather than a mark."""
    return (
        re.fullmatch(
            r"(?:w|s|hp|wt|st|mt)\d+x[\d.]*|m\d+(?:x\d+)?|(?:ipe|he[abm]|ipn|upe|ub|uc|t)\d+|s\d{3}\w*|a\d{2,3}",
            token.text,
            re.IGNORECASE,
        )
        is not None
    )


def _marked(work: Work, at: int) -> int | None:
    """Return where the mark stands behind a word that announces one."""
    spot = at + 1
    while work.sign(spot) in {".", ":", "#"}:
        spot += 1
    token = work.tokens[spot] if spot < len(work.tokens) else None
    if token is None or spot in work.used:
        return None
    short = token.kind == "word" and len(token.text) == 1
    return spot if token.kind == "code" or whole(token) is not None or short else None


def _set_mark(work: Work, draft: Draft, inside: range, text: str) -> None:
    """Take a mark and the sign behind it."""
    draft.mark = draft.mark or text
    work.take(inside)
    work.named.update(inside)
    if work.sign(inside.stop) in {":", ")", ".", "-", "|", "="}:
        work.take((inside.stop,))


def _take_item(work: Work, draft: Draft, around: Around, at: int) -> None:
    """Take ``3.`` or ``3)`` as an item number where it is one beyond doubt, else leave it to the quantities."""
    number = whole(work.tokens[at])
    if around.numbered and number == around.item:
        draft.item = number
        work.take((at, at + 1))
        work.named.update((at, at + 1))
        return
    probe = Draft()
    trial = Work(text=work.text, tokens=work.tokens, used={at, at + 1, *work.used}, noted=set(work.noted))
    explicit_quantity(trial, probe)
    first = next(iter(trial.free()), None)
    if probe.quantity is not None or (
        first is not None and whole(work.tokens[first]) is not None and work.kind(first + 1) != "cross"
    ):
        draft.item = number
        work.take((at, at + 1))
        work.named.update((at, at + 1))


def _take_ditto(work: Work) -> bool:
    """Take a word or sign for "as above" where it stands for a field."""
    if not work.says(DITTO) and not any(token.text == '"' for token in work.tokens):
        return False
    for at in work.free():
        first = at == work.free()[0]
        plain_word = work.word(at) in {"same", "do", "gleich"} and not work.tokens[at].text.endswith(".")
        if work.word(at) in DITTO and (first or not plain_word):
            work.take((at,))
            if work.sign(at + 1) == ".":
                work.take((at + 1,))
            return True
        if work.sign(at) == '"' and (first or work.sign(at + 1) in {"|", ";", '"'} or at + 1 == len(work.tokens)):
            work.take((at,))
            return True
    return False


def _length_is_sure(work: Work) -> bool:
    """Whether the line has a length outside any chain of dimensions, beyond doubt."""
    in_chain = {at for run in chains(work.tokens) for at in run}
    numbers = candidates(work)
    return (
        any(
            (is_announced(work, at) and work.tokens[at].unit != "ft")
            or work.tokens[at].unit in {"ft", "m"}
            or work.tokens[at].form == "feet"
            for at in numbers
            if at not in in_chain or is_announced(work, at)
        )
        or sum(work.tokens[at].unit in LENGTH_UNITS for at in numbers if at not in in_chain) == 1
    )


def _take_section(work: Work, draft: Draft, found: Found) -> None:
    """Take the section, and a quantity or length that stood in one chain with it."""
    spots = list(found.used)
    if _starts_loose(work, draft, spots):
        return
    work.take(spots)
    draft.section = found.section
    draft.stated = found.text
    if found.error is not None:
        _ask_section(work, draft, found.error, spots)
    if found.quantity is not None and draft.quantity is None:
        draft.quantity = whole(found.quantity)
        _take_token(work, found.quantity)
    if found.length is not None and draft.length is None:
        at = next(index for index, token in enumerate(work.tokens) if token is found.length)
        work.used.discard(at)
        claim(work, draft, Around(), at)


def _take_token(work: Work, token: Token) -> None:
    """Take a token itself."""
    at = next(index for index, other in enumerate(work.tokens) if other is token)
    work.take((at,))
    if work.kind(at + 1) == "cross":
        work.take((at + 1,))


def _starts_loose(work: Work, draft: Draft, spots: list[int]) -> bool:
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


def _ask_section(work: Work, draft: Draft, error: SectionError, spots: list[int]) -> None:
    """Pass a question about a section on, with the place where its name stands."""
    start = min(work.tokens[at].start for at in spots)
    end = max(work.tokens[at].end for at in spots)
    between = work.text[start:end]
    pure = all(at in spots for at in range(min(spots), max(spots) + 1))
    rewrites = (
        tuple(Rewrite(reading=choice, start=start, end=end, text=choice) for choice in error.choices) if pure else ()
    )
    draft.asks.append(Ask(message=f"{error.message} ({between.strip()})", position=start, rewrites=rewrites))


def _take_plain_numbers(work: Work, draft: Draft, around: Around) -> None:
    """Share the plain numbers that are left out between item, quantity and length."""
    if draft.asks:
        return
    left = [at for at in candidates(work) if work.tokens[at].unit in LENGTH_UNITS or not work.tokens[at].unit]
    section_at = min((at for at in work.used if is_family(work.tokens[at]) or work.kind(at) == "number"), default=-1)
    if len(left) > 1 and draft.item is None and _is_item(work, draft, around, left, section_at):
        draft.item = whole(work.tokens[left[0]])
        work.take(left[:1])
        left = left[1:]
    if draft.length is None and (draft.section or draft.stated or around.section or around.previous):
        _length_among(work, draft, around, left)
        left = [at for at in left if at not in work.used]
    if draft.quantity is None and not draft.asks:
        _quantity_among(work, draft, left)


def _is_item(work: Work, draft: Draft, around: Around, left: list[int], section_at: int) -> bool:
    """Whether the first plain number is a running item number."""
    first = whole(work.tokens[left[0]])
    if first is None or (section_at != -1 and left[0] > section_at):
        return False
    if around.numbered and first == around.item:
        return True
    before = [at for at in left if section_at == -1 or at < section_at]
    spare = draft.quantity is not None and draft.length is not None
    return spare and len(before) > 0 and before[0] == left[0] and work.free()[:1] == left[:1]


def _length_among(work: Work, draft: Draft, around: Around, left: list[int]) -> None:
    """Find the length among plain numbers, together with the quantity."""
    if not left:
        return
    ranged = next((at for at in left if is_range(work, at)), None)
    if ranged is not None:
        claim(work, draft, around, ranged)
        return
    if (
        draft.section is None
        and not draft.stated
        and around.section is None
        and not around.offers
        and around.previous is None
    ):
        return
    if len(left) == 1:
        if draft.quantity is None and _is_leading_count(work, left[0]):
            return
        claim(work, draft, around, left[0])
        return
    if len(left) == 2 and draft.quantity is None:  # noqa: PLR2004
        _pair(work, draft, around, left)
        return
    written = [at for at in left if whole(work.tokens[at]) is None]
    behind = [at for at in left if at > _section_end(work)] if draft.section is not None else []
    for sure in (written, behind):
        if len(sure) == 1:
            claim(work, draft, around, sure[0])
            return
    texts = [work.tokens[at].text.strip() for at in left]
    draft.asks.append(
        Ask(
            message=f"which of {', '.join(texts)} is the length? write it behind @, and the quantity as 4 pcs",
            position=work.tokens[left[0]].start,
        )
    )


def _section_end(work: Work) -> int:
    """Return where the section's last token stands."""
    return max(
        (at for at in work.used if is_family(work.tokens[at]) or work.kind(at) in {"cross", "gauge"}), default=-1
    )


def _is_leading_count(work: Work, at: int) -> bool:
    """Whether the only number stands before the section, as a quantity does."""
    behind = [other for other in work.used if other > at and work.kind(other) in {"number", "word"}]
    first = min((other for other in range(len(work.tokens)) if other not in work.noted), default=at)
    return (
        whole(work.tokens[at]) is not None
        and bool(behind)
        and at <= first + 1
        and not any(o < at and is_family(work.tokens[o]) for o in work.used)
    )


def _pair(work: Work, draft: Draft, around: Around, left: list[int]) -> None:
    """Share two plain numbers out: quantity and length, in whichever order only one reading is possible."""
    one, two = left
    first, second = whole(work.tokens[one]), whole(work.tokens[two])
    crossed = work.kind(one + 1) == "cross" and two == one + 2
    if second is None and first is not None:
        order = (one, two)
    elif first is None and second is not None:
        order = (two, one)
    elif first is None or second is None:
        claim(work, draft, around, one)
        return
    elif crossed or _split_by_section(work, one, two) or (one == work.free()[0] and work.sign(one + 1) == "-"):
        order = (one, two) if not crossed or _likely(first, second, around) else (two, one)
    else:
        order = _by_size(work, draft, one, two, around) or (-1, -1)
    count, length = order
    if count < 0:
        return
    draft.quantity = whole(work.tokens[count])
    work.take((count,))
    claim(work, draft, around, length)


def _split_by_section(work: Work, one: int, two: int) -> bool:
    """Whether the section stands between the two numbers."""
    return any(one < at < two and work.kind(at) in {"word", "number"} for at in work.used)


def _likely(count: int, length: int, around: Around) -> bool:
    """Whether a count and a bare length are likely ones, in mm or in inches as the list has it."""
    units = [Unit.IN] if around.system == "inch" else [Unit.MM] if around.system == "mm" else [Unit.IN, Unit.MM]
    return 0 < count <= _MOST_LIKELY_PIECES and any(_LEAST_LENGTH[u] <= length <= _MOST_LENGTH[u] for u in units)


def _by_size(work: Work, draft: Draft, one: int, two: int, around: Around) -> tuple[int, int] | None:
    """Tell quantity and length apart by size; asks where both orders are possible."""
    first, second = whole(work.tokens[one]) or 0, whole(work.tokens[two]) or 0
    forward, backward = _likely(first, second, around), _likely(second, first, around)
    if forward != backward:
        return (one, two) if forward else (two, one)
    start, end = work.tokens[one].start, work.tokens[two].end
    draft.asks.append(
        Ask(
            message=f"which of {first} and {second} is the quantity?",
            position=start,
            rewrites=(
                Rewrite(reading=f"{second} pieces of {first}", start=start, end=end, text=f"{second} pcs @ {first}"),
                Rewrite(reading=f"{first} pieces of {second}", start=start, end=end, text=f"{first} pcs @ {second}"),
            ),
        )
    )
    work.take((one, two))
    return None


def _quantity_among(work: Work, draft: Draft, left: list[int]) -> None:
    """Take a plain count that is left as the quantity."""
    counts = [
        at
        for at in left
        if whole(work.tokens[at]) is not None and "cross" not in {work.kind(at - 1), work.kind(at + 1)}
    ]
    unnamed = [at for at in counts if work.kind(at - 1) not in {"word", "code"} or at - 1 in work.used]
    if draft.section is None and not draft.stated and draft.length is None and not any(is_also(t.word) for t in work.tokens):
        return
    leading = [at for at in unnamed if at < _section_end(work)] if len(unnamed) > 1 else unnamed
    counts = leading or unnamed or ([] if draft.complete else counts)
    if not counts:
        first = next(iter(work.free()), None)
        if first is not None and work.word(first) in NUMBERS and draft.complete:
            draft.quantity = NUMBERS[work.word(first)]
            work.take((first,))
        return
    if len(counts) == 1:
        draft.quantity = whole(work.tokens[counts[0]])
        if work.word(counts[0] + 1) in {"of", "de", "von"}:
            counts = [counts[0], counts[0] + 1]
        work.take(counts)
        work.counted.update(counts)
        return
    if draft.complete:
        texts = [work.tokens[at].text for at in counts]
        draft.asks.append(
            Ask(
                message=f"which of {', '.join(texts)} is the quantity? write it as {texts[-1]} pcs",
                position=work.tokens[counts[0]].start,
                rewrites=tuple(
                    Rewrite(
                        reading=f"{work.tokens[at].text} pieces",
                        start=work.tokens[at].start,
                        end=work.tokens[at].end,
                        text=f"{work.tokens[at].text} pcs",
                    )
                    for at in counts
                ),
            )
        )


def _finish(work: Work, draft: Draft, around: Around, *, ditto: bool) -> None:
    """Fill in what the surroundings give, sort out what is no bar stock, and keep the rest as the note."""
    nouns = [at for at, token in enumerate(work.tokens) if is_also(token.word)]
    free_nouns = [at for at in nouns if at not in work.noted]
    listed = draft.section is not None and bool(draft.section.family) and draft.length is not None
    numbers = any(token.kind == "number" for token in work.tokens)
    few = len(work.tokens) <= _FEW and not work.text.rstrip().endswith((".", "!", "?"))
    if free_nouns and not listed and not draft.ends and (numbers or few):
        draft.also = True
        draft.asks.clear()
        if draft.quantity is None:
            _count_of_other(work, draft)
        draft.note = Work(text=work.text, tokens=work.tokens, used=work.counted | work.named, noted=work.noted).rest()
        return
    if ditto and draft.section is None:
        draft.section = around.previous
    if ditto and draft.length is None and not draft.asks:
        draft.length = around.previous_length
    if draft.section is None and not draft.stated and not draft.asks:
        draft.section = around.section
    if not draft.asks and (draft.section is None or not draft.section.family) and draft.length is not None:
        _suggest_family(work, draft)
    if draft.section is None and not draft.asks:
        _ask_loose_chain(work, draft)
    _check_quantity(draft)
    if draft.complete and not draft.asks:
        _ask_left_over(work, draft)
    rest = work.rest()
    if draft.section is not None and draft.stated:
        rest = take_finish(draft, rest)
    if draft.complete and draft.ends is None and not draft.asks:
        _ask_unread_ends(draft, work.text)
    draft.note = ", ".join(part for part in (draft.note, rest) if part)


def _count_of_other(work: Work, draft: Draft) -> None:
    """Take the count of what is no bar stock: a plain number at the line's beginning or end."""
    ends = [at for at in (0, len(work.tokens) - 1) if whole(work.tokens[at]) is not None]
    ends = [at for at in ends if "cross" not in {work.kind(at - 1) if at else "", work.kind(at + 1)}]
    if ends:
        draft.quantity = whole(work.tokens[ends[0]])
        work.counted.add(ends[0])


def _suggest_family(work: Work, draft: Draft) -> None:
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


def _ask_left_over(work: Work, draft: Draft) -> None:
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


def _ask_loose_chain(work: Work, draft: Draft) -> None:
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


def take_finish(draft: Draft, note: str) -> str:
    """Take a finish or grade that stands away from the section's name: another material is another section.

    Returns what is left of the note.
    """
    assert draft.section is not None
    if _GALVANISED_LATER.search(note):
        return note
    words = finish_words([word.lower().strip(".,;:") for word in re.findall(r"[^\s,;()|]+", note)])
    words = [
        word for word in words if _BUYS_ELSE.fullmatch(word) and word not in draft.section.material.lower().split()
    ]
    if words:
        material = " ".join([*([draft.section.material] if draft.section.material else []), *words])
        draft.section = understand(draft.section.name, material)
        draft.notes.append(f"{' '.join(words)} taken as the material")
    return note if note.lower().split() != words else ""


def _ask_unread_ends(draft: Draft, text: str) -> None:
    """Ask where a line speaks of angled ends in a way that isn't understood, rather than call the ends square."""
    found = _UNREAD_ENDS.search(text)
    if found is not None:
        draft.asks.append(
            Ask(
                message="angled ends aren't understood; write them such as 45/45 LP, or one end 45 LP",
                position=found.start(),
            )
        )


def _check_quantity(draft: Draft) -> None:
    """Refuse quantities that can't be."""
    if draft.quantity is not None and not 0 < draft.quantity <= MOST_PIECES:
        draft.asks.append(Ask(message=f"{draft.quantity} pieces? write a quantity from 1 to {MOST_PIECES}", position=0))


def fold_words(text: str) -> list[str]:
    """Return the folded words of a text."""
    return [fold(word) for word in re.findall(r"[^\W\d_]+", text)]
