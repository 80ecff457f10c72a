"""Find the section in a line's tokens, whatever stands around it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from cutting.question.errors import SectionError
from cutting.question.job import Section
from shared.reading.line.chain import (
    LIPPED,
    LONG_UNITS,
    WALL,
    Split,
    chains,
    fits,
    in_order,
    is_family,
    long_enough,
    say_dimension,
    splits,
    tube_like,
)
from shared.reading.text.tokens import Token
from shared.sections import System, UnfinishedSectionError, understand
from shared.sections.designations import find_designation
from shared.sections.materials import finish_words
from shared.sections.words import NEUTRAL, Tag, fold, tags_of

__all__ = ["GRADES", "Found", "find_section", "is_numbered_grade", "names_section"]

GRADES: Final = frozenset({"304", "316", "430"})
"""Stainless grades of AISI that look like lengths."""
_STAINLESS: Final = frozenset("stainless inox edelstahl ss type grade aisi inoxidable inoxydable rvs".split())  # noqa: SIM905

_JOINTS: Final = frozenset(",-.")
_DESIGNATION: Final = re.compile(
    r"(?:w|s|hp|wt|st|mt)\d{1,2}x\d{1,3}(?:\.\d+)?|(?:ipe|hea|heb|hem|ipn|inp|upe|ub|uc|t)\d{2,4}", re.IGNORECASE
)
_OTHERS: Final = frozenset({Tag.HOLLOW, Tag.SQUARE, Tag.RECTANGULAR, Tag.FLAT, Tag.CHANNEL, Tag.TEE, Tag.PIPE})
_BEAMS: Final = frozenset("ipe hea heb hem ipn inp upe ub uc".split())  # noqa: SIM905
_BARS: Final = frozenset("bar bars barre barres barra barras stab stabe".split())  # noqa: SIM905
"""Words for a bar of stock as well as for solid steel: ``tubo 40x40x2, barra 6 m``."""
_TUBE: Final = 3
"""Dimensions of a tube: two sides and the wall."""
_SINGLE: Final = frozenset({Tag.PIPE, Tag.UPN, Tag.ROUND, Tag.SQUARE, Tag.SOLID, Tag.BAR})


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """A section found in a line.

    Attributes
    ----------
    used : tuple of int
        Indexes of the tokens that name it.
    text : str
        Its name as understood from those.
    section : Section or None
        None where the name is a question.
    error : SectionError or None
        That question.
    quantity : Token or None
        A quantity that stood in one chain with the dimensions.
    length : Token or None
        A length that stood in one chain with the dimensions.
    known : bool
        Whether the family is one we know.
    """

    used: tuple[int, ...]
    text: str
    section: Section | None
    error: SectionError | None
    quantity: Token | None
    length: Token | None
    known: bool


def names_section(token: Token) -> bool:
    """Whether a word may stand before a section's size (``UPN 100``, ``IPE 100``)."""
    return is_family(token) or token.word in _BEAMS


def find_section(
    tokens: Sequence[Token], system: System | None, *, sure_quantity: bool, sure_length: Callable[[], bool]
) -> Found | None:
    """Find the section that a line names.

    Parameters
    ----------
    tokens : sequence of Token
        The line's tokens; what is settled already is left out.
    system : System or None
        The unit that the list's other sections have.
    sure_quantity : bool
        Whether the line states its quantity elsewhere, beyond doubt.
    sure_length : callable
        Tells the same of the length.

    Returns
    -------
    Found or None
        None where the line names none.
    """
    runs = list(chains(tokens))
    best: Found | None = None
    for run in runs:
        found = _from_chain(tokens, run, system, sure_quantity=sure_quantity, sure_length=sure_length)
        if found and found.known:
            return found
        best = best or found
    single = _from_single(tokens, system) or _designation(tokens)
    if single and (single.known or best is None):
        return single
    return best


def _cluster(tokens: Sequence[Token], at: int, step: int) -> list[int]:
    """Return the indexes of words next to `at`, in one direction, that may belong to the section's name."""
    found: list[int] = []
    kept = 0
    at += step
    while 0 <= at < len(tokens) and len(found) < 8:  # noqa: PLR2004
        token = tokens[at]
        if is_family(token) or token.kind in {"gauge", "schedule"} or _is_grade(token) or is_numbered_grade(tokens, at):
            if _is_length_marker(tokens, at):
                break
            found.append(at)
            kept = len(found)
        elif (token.kind == "word" and fold(token.text) in NEUTRAL) or (token.kind == "sign" and token.text in _JOINTS):
            found.append(at)
            kept = len(found) if token.word in WALL else kept
        else:
            break
        at += step
    return found[:kept]


def is_numbered_grade(tokens: Sequence[Token], at: int) -> bool:
    """Whether a number names a stainless grade: 304, 316 or 430 next to a word that says stainless."""
    if tokens[at].kind != "number" or tokens[at].text not in GRADES:
        return False
    return any(tokens[spot].word in _STAINLESS for spot in (at - 1, at + 1) if 0 <= spot < len(tokens))


def _is_grade(token: Token) -> bool:
    return token.kind in {"word", "code"} and bool(finish_words([token.text.lower().rstrip(".")]))


def _is_length_marker(tokens: Sequence[Token], at: int) -> bool:
    """Whether a lone ``L`` announces a length (``L=300``, ``L: 300``) rather than an angle."""
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if tokens[at].word in _BARS:
        said = any(
            _family(token) or token.word in _BEAMS
            for spot, token in enumerate(tokens)
            if spot != at and token.kind == "word"
        )
        return (
            said and after is not None and (after.unit in LONG_UNITS | {"mm"} or after.word in {"da", "de", "en", "di"})
        )
    if fold(tokens[at].text) not in {"l", "c", "u"}:
        return False
    if after is None or after.text in {"=", ":", "/", "+", ","}:
        return True
    others = {tag for spot, token in enumerate(tokens) if spot != at and token.kind == "word" for tag in _family(token)}
    return fold(tokens[at].text) == "l" and after.kind == "number" and bool(others)


def _family(token: Token) -> tuple[Tag, ...]:
    """What a word says about the family, a letter and words for any bar aside: beside one, ``L 1200`` is a length."""
    return () if len(fold(token.text)) == 1 else tuple(tag for tag in tags_of(token.text) if tag in _OTHERS)


def _from_chain(
    tokens: Sequence[Token],
    run: list[int],
    system: System | None,
    *,
    sure_quantity: bool,
    sure_length: Callable[[], bool],
) -> Found | None:
    """Read a chain of numbers with the words next to it."""
    left, right = _cluster(tokens, run[0], -1), _cluster(tokens, run[-1], 1)
    inner = [at for at in range(run[0], run[-1]) if is_family(tokens[at])]
    numbers = [tokens[index] for index in run]
    for outer in _shrinking(left, right):
        words = [*outer, *inner]
        tags = {tag for index in words if tokens[index].kind == "word" for tag in tags_of(tokens[index].text)}
        gauge = any(tokens[index].kind == "gauge" for index in (*words, *run))
        if not tags:
            continue
        options = []
        for split in splits(numbers, tags, gauge=gauge, words_first=bool(outer) and outer[0] < run[0]):
            found = _try(tokens, run, words, split, system)
            if found is None or _loses_tube(tokens, (*left, *right, *inner), found):
                continue
            if split.lead and _sided(tags) and len(numbers) == _TUBE and tube_like(numbers):
                continue  # SHS 60x40x3 is a tube whose name and sides differ, not sixty of 40x3
            options.append(found)
            if found.error is None and split.dims == len(numbers):
                break
        options = _likely(options, sure_quantity=sure_quantity, sure_length=sure_length)
        if options:
            return options[0]
    return _bare(tokens, run, sure_quantity=sure_quantity, sure_length=sure_length)


def _sided(tags: set[Tag]) -> bool:
    """Whether words name a tube with two sides."""
    return Tag.HOLLOW in tags and Tag.ROUND not in tags


def _loses_tube(tokens: Sequence[Token], words: Sequence[int], found: Found) -> bool:
    """Whether a reading makes a solid bar of what is called a tube or a pipe."""
    tags = {tag for at in words if tokens[at].kind == "word" for tag in tags_of(tokens[at].text)}
    solid = found.section is not None and found.section.family in {"flat", "round", "square"}
    return solid and bool(tags & {Tag.HOLLOW, Tag.PIPE})


def _likely(options: list[Found], *, sure_quantity: bool, sure_length: Callable[[], bool]) -> list[Found]:
    """Drop readings that say twice what the line says elsewhere, where others are left; complete ones first."""
    if len(options) > 1 and sure_length():
        options = [found for found in options if found.length is None and found.error is None] or options
    if sure_quantity:
        options = [found for found in options if found.quantity is None] or options
    options = [found for found in options if found.length is None or _is_bar(found)] or options
    return [found for found in options if found.error is None] or options


def _is_bar(found: Found) -> bool:
    """Whether the length in the chain makes a bar of the section, no slice of it: ``4 x 40x5`` are four of 40x5."""
    assert found.length is not None
    if found.section is None or not found.section.sides or found.length.value is None or found.length.unit:
        return True
    return found.length.value * 2 >= max(found.section.sides) / (Fraction(127, 5) if "/" in found.section.name else 1)


def _shrinking(left: list[int], right: list[int]) -> Iterator[list[int]]:
    """Yield the words around a chain, all of them first, then with the farthest left out."""
    for drop in range(len(left) + len(right) + 1):
        for from_right in range(max(0, drop - len(left)), min(drop, len(right)) + 1):
            yield [*left[: len(left) - (drop - from_right)], *right[: len(right) - from_right]]


def _name(tokens: Sequence[Token], words: Sequence[int], dims: Sequence[Token]) -> str:
    """Put words and dimensions together as a section's name."""
    said = " ".join(tokens[index].text for index in sorted(words) if tokens[index].kind != "sign")
    return f"{said} {' x '.join(token.text for token in dims)}".strip()


def _try(
    tokens: Sequence[Token], run: list[int], words: Sequence[int], split: Split, system: System | None
) -> Found | None:
    """Read a chain in one way; None where that gives no section."""
    picked = run[split.lead : split.lead + split.dims]
    dims = [tokens[index] for index in picked]
    if not in_order(dims):
        return None
    text = _name(tokens, words, dims)
    section, error = None, None
    try:
        section = understand(text, system=system)
    except UnfinishedSectionError:
        return None
    except SectionError as caught:
        error = caught
    lipped = split.dims == LIPPED and section is not None
    if section is not None and not section.family:
        if not lipped or not in_order(dims):
            return None
        section = Section(name=f"C {'x'.join(say_dimension(token, dims) for token in dims)}", material=section.material)
    length = tokens[run[split.lead + split.dims]] if split.length else None
    if length is not None and section is not None and not long_enough(length, section):
        return None
    quantity = tokens[run[0]] if split.lead else tokens[run[-1]] if split.tail else None
    crosses = [index for index in range(run[0], run[-1]) if tokens[index].kind == "cross"]
    spare = {run[0]} if split.lead else set()
    spare |= {run[split.lead + split.dims]} if split.length else set()
    spare |= {run[-1]} if split.tail else set()
    used = tuple(sorted({*words, *run, *crosses} - spare))
    return Found(used=used, text=text, section=section, error=error, quantity=quantity, length=length, known=True)


def _bare(
    tokens: Sequence[Token], run: list[int], *, sure_quantity: bool, sure_length: Callable[[], bool]
) -> Found | None:
    """Read three or more numbers without a family word as a section of its own name."""
    numbers = [tokens[index] for index in run]
    shapes = {3: [(0, 0, 0)], 4: [(0, 1, 0), (1, 0, 0)], 5: [(0, 1, 1), (1, 1, 0)]}.get(len(run), [])
    for lead, length, tail in shapes:
        split = Split(lead=lead, dims=3, length=length, tail=tail)
        dims = numbers[lead : lead + 3]
        if not fits(numbers, split) or not in_order(dims) or not tube_like(dims):
            continue
        if (lead and sure_quantity) or (length and sure_length()):
            continue
        named = [
            index
            for index in (*_cluster(tokens, run[0], -1), *_cluster(tokens, run[-1], 1))
            if _is_grade(tokens[index])
        ]
        material = " ".join(tokens[index].text for index in named)
        name = "x".join(say_dimension(token, dims) for token in dims)
        section, word = _with_word(tokens, run, name, material)
        spare = ({run[0]} if lead else set()) | ({run[lead + 3]} if length else set()) | ({run[-1]} if tail else set())
        crosses = {index for index in range(run[0], run[-1]) if tokens[index].kind == "cross"}
        return Found(
            used=tuple(sorted({*run, *crosses, *named, *word} - spare)),
            text=name,
            section=section,
            error=None,
            quantity=numbers[0] if lead else numbers[-1] if tail else None,
            length=numbers[lead + 3] if length else None,
            known=bool(section.family),
        )
    return None


def _with_word(tokens: Sequence[Token], run: list[int], name: str, material: str) -> tuple[Section, set[int]]:
    """Return the section that dimensions are with the word next to them (``T 40x40x5``), and where that word stands."""
    for at in (run[0] - 1, run[-1] + 1):
        if 0 <= at < len(tokens) and tokens[at].kind == "word":
            with suppress(SectionError):
                section = understand(f"{tokens[at].text} {name}", material)
                if section.family:
                    return section, {at}
    return Section(name=name, material=material), set()


def _from_single(tokens: Sequence[Token], system: System | None) -> Found | None:
    """Read a family that takes one number: pipe by nominal size, UPN, round and square bar, tube by gauge."""
    for at, token in enumerate(tokens):
        if not is_family(token) or not set(tags_of(token.text)) & _SINGLE or _is_length_marker(tokens, at):
            continue
        words = sorted({at, *_cluster(tokens, at, -1), *_cluster(tokens, at, 1)})
        sides = [(words[-1] + 1, 1), (words[0] - 1, -1)]
        options = [found for spot, step in sides if (found := _beside(tokens, words, spot, step, system))]
        if options:
            return _marked_first(tokens, options)
    return None


def _beside(tokens: Sequence[Token], words: list[int], spot: int, step: int, system: System | None) -> Found | None:
    """Read a family with the number that stands beside its words."""
    if not 0 <= spot < len(tokens) or tokens[spot].kind != "number" or tokens[spot].unit in {*LONG_UNITS, "deg", "%"}:
        return None
    beyond = _cluster(tokens, spot, step)
    own = [*words, *beyond]
    number = tokens[spot]
    text = _name(tokens, own, [number])
    try:
        section = understand(text, system=system)
    except UnfinishedSectionError:
        return None
    except SectionError as error:
        return Found(used=(*own, spot), text=text, section=None, error=error, quantity=None, length=None, known=True)
    if not section.family:
        return None
    return Found(used=(*own, spot), text=text, section=section, error=None, quantity=None, length=None, known=True)


def _marked_first(tokens: Sequence[Token], options: list[Found]) -> Found:
    """Of a number behind and one before the words take the one that is no plain count."""

    def plain_count(found: Found) -> bool:
        number = tokens[found.used[-1]]
        return number.form == "int" and not number.unit

    sure = [found for found in options if found.error is None] or options
    written = [found for found in sure if not plain_count(found)]
    before = [found for found in written if found.used[-1] < min(found.used[:-1])]
    return (before or written or sure)[0]


def _designation(tokens: Sequence[Token]) -> Found | None:
    """Read a rolled section by its table's designation (203x133x25 UB, W6x9); one of no table by its name only."""
    listed = _listed(tokens)
    if listed is not None:
        return listed
    for at, token in enumerate(tokens):
        if token.kind == "code" and _DESIGNATION.fullmatch(token.text):
            return _named_only((at,), token.text.upper().replace("X", "x"))
        after = tokens[at + 1] if at + 1 < len(tokens) else None
        if token.kind == "word" and fold(token.text) in _BEAMS and after is not None and after.form == "int":
            return _named_only((at, at + 1), f"{token.text.upper()} {after.body}")
    return None


def _listed(tokens: Sequence[Token]) -> Found | None:
    """Read the designation of a table, None where the tokens name none or leave open which."""
    text = ""
    for token in tokens:
        if token.kind != "bar":
            text = text.ljust(token.start) + token.text
    found = find_designation(text)
    if found is None or not found.name:
        return None
    start, end = found.span
    used = tuple(at for at, token in enumerate(tokens) if token.start < end and token.end > start)
    section = understand(found.name)
    return Found(used=used, text=found.name, section=section, error=None, quantity=None, length=None, known=True)


def _named_only(used: tuple[int, ...], name: str) -> Found:
    return Found(used=used, text=name, section=Section(name=name), error=None, quantity=None, length=None, known=True)
