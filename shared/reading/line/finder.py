"""Find the section in a line's tokens, whatever stands around it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from fractions import Fraction
from typing import Final

from cutting.question.errors import SectionError
from cutting.question.job import Section
from shared.reading.line.chain import (
    LIPPED,
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
from shared.reading.line.named import Found, cluster, is_grade, said_name
from shared.reading.line.single import designation, from_single
from shared.reading.text.tokens import Token
from shared.sections import System, UnfinishedSectionError, understand
from shared.sections.words import Tag, tags_of

__all__ = ["find_section"]

_TUBE: Final = 3
"""Dimensions of a tube: two sides and the wall."""


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
    apart: Found | None = None
    for run in runs:
        found = _from_chain(tokens, run, system, sure_quantity=sure_quantity, sure_length=sure_length)
        if found and found.known and (run is runs[-1] or not _over_comma(tokens, found)):
            return found
        apart = apart or (found if found and found.known else None)
        best = best or found
    if apart is not None:
        return apart
    single = from_single(tokens, system) or designation(tokens)
    if single and (single.known or best is None):
        return single
    return best


def _over_comma(tokens: Sequence[Token], found: Found) -> bool:
    """Whether a comma parts a section's words from its numbers: ``4x 100, strip 80x8`` may name the next ones."""
    return any(tokens[at].text == "," for at in range(min(found.used), max(found.used)))


def _from_chain(
    tokens: Sequence[Token],
    run: list[int],
    system: System | None,
    *,
    sure_quantity: bool,
    sure_length: Callable[[], bool],
) -> Found | None:
    """Read a chain of numbers with the words next to it."""
    left, right = cluster(tokens, run[0], -1), cluster(tokens, run[-1], 1)
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


def _try(
    tokens: Sequence[Token], run: list[int], words: Sequence[int], split: Split, system: System | None
) -> Found | None:
    """Read a chain in one way; None where that gives no section."""
    picked = run[split.lead : split.lead + split.dims]
    dims = [tokens[index] for index in picked]
    if not in_order(dims):
        return None
    text = said_name(tokens, words, dims)
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
            index for index in (*cluster(tokens, run[0], -1), *cluster(tokens, run[-1], 1)) if is_grade(tokens[index])
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
