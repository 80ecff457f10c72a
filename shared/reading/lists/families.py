"""Settle sections by the list: dimensions without a family, near misses."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from cutting.question.job import Section
from shared.reading.lists.entry import Entry, List
from shared.reading.values.draft import Ask, Draft, Rewrite
from shared.reading.values.result import COUNTING
from shared.sections import understand
from shared.sections.equivalents import material_key

__all__ = ["settle_materials", "settle_sections"]

_SHAPES: Final = frozenset({"shs", "rhs", "angle"})
"""Families that three dimensions alone may be of."""
_ROUNDED: Final = 1000


def settle_sections(listing: List, known: Sequence[Section]) -> None:
    """Give sections without a family the one that the list has with the same dimensions; join near misses."""
    stated = {
        entry.draft.section.name: entry.draft.section
        for entry in listing.entries
        if entry.draft and entry.draft.section and entry.draft.section.family
    }
    stated |= {
        entry.off.section.name: entry.off.section for entry in listing.entries if entry.off and entry.off.section
    }
    stated |= {section.name: section for section in known}
    families: dict[str, list[Section]] = {}
    others = any(_is_shape(section) for section in stated.values())
    for section in stated.values():
        if " " in section.name:
            families.setdefault(section.name.partition(" ")[2], []).append(section)
    rounded = _roundings(stated)
    for entry in listing.entries:
        draft = entry.draft
        if draft is None or draft.section is None or entry.kind not in COUNTING:
            continue
        section = draft.section
        if not section.family and re.fullmatch(r"[\d./x-]+(?:ga)?", section.name):
            _settle_family(entry, draft, families.get(section.name, []), listing.delimiter, others=others)
        elif section.name in rounded:
            better = rounded[section.name]
            draft.section = understand(better, section.material)
            entry.notes.append(f"{section.name} is the list's {better}, rounded")
        elif section.family and draft.stated:
            _say_writing(entry, draft, section)


def settle_materials(listing: List, known: Sequence[Section]) -> None:
    """Write one material in one way: as the list, or the parts it is for, wrote it first."""
    first = {material_key(section.material): section.material for section in reversed(known)}
    for entry in listing.entries:
        draft = entry.draft
        if draft is None or draft.section is None or not draft.section.material:
            continue
        material = draft.section.material
        said = first.setdefault(material_key(material), material)
        if said != material:
            draft.section = understand(draft.section.name, said)
            if said.lower() != material.lower():
                entry.notes.append(f"{material} is the list's {said or 'plain steel'}")


def _is_shape(section: Section) -> bool:
    """Whether a section has a family that dimensions alone could be of."""
    return section.family in _SHAPES


def _settle_family(entry: Entry, draft: Draft, same: list[Section], delimiter: str, *, others: bool) -> None:
    """Settle dimensions without a family word by the list; asked where it has two such sections, or others only."""
    assert draft.section is not None
    name, material = draft.section.name, draft.section.material
    if len(same) == 1:
        draft.section = understand(same[0].name, material or same[0].material)
        entry.notes.append(f"{name} taken as the list's {draft.section.name}")
    elif name.endswith("ga"):
        draft.section = understand(f"tube {name}", material)
        entry.notes.append(f"{name} taken as {draft.section.name}: a wall by gauge is tube")
    elif same:
        names = " or ".join(section.name for section in same)
        entry.ask(Ask(message=f"{name} is {names}? write which", position=0), None, delimiter)
    elif others:
        _ask_family(entry, name, delimiter)
    else:
        entry.notes.append(f"{name}: no family said (tube, angle?), so its weight isn't known")


def _ask_family(entry: Entry, name: str, delimiter: str) -> None:
    """Ask for the family of dimensions alone in a list that names it elsewhere."""
    text = entry.row.text
    found = None if entry.row.cells else re.search(r"\s*[x×*/]\s*".join(map(re.escape, name.split("x"))), text)
    alike = len(set(name.split("x")[:2])) == 1
    rewrites = (
        ()
        if found is None
        else tuple(
            Rewrite(reading=f"{family} {name}", start=found.start(), end=found.end(), text=f"{family} {name}")
            for family in ("SHS" if alike else "RHS", "L")
        )
    )
    position = found.start() if found else 0
    entry.ask(
        Ask(message=f"{name}: tube or angle? write which, such as SHS or L", position=position, rewrites=rewrites),
        None,
        delimiter,
    )


def _say_writing(entry: Entry, draft: Draft, section: Section) -> None:
    """Say where decimal dimensions were read as the fractions they are."""
    decimals = re.findall(r"\d*\.\d+", draft.stated)
    fractions = [text for text in decimals if "/" in section.name and text not in section.name]
    if fractions:
        entry.notes.append(f"{' '.join(draft.stated.split())} is {section.name}")


def _roundings(stated: dict[str, Section]) -> dict[str, str]:
    """Return names whose decimals are rounded fractions of another name in the list (0.188 for 3/16)."""
    found: dict[str, str] = {}
    decimals = [name for name in stated if re.search(r"0?\.\d{3}\b", name)]
    for name in decimals:
        for other in stated:
            if other != name and "/" in other and _rounds_to(other, name):
                found[name] = other
    return found


def _rounds_to(exact: str, rounded: str) -> bool:
    """Whether each dimension of a name is the other's, or its fraction rounded to three decimals."""
    pairs = [re.findall(r"\d+-\d+/\d+|\d+/\d+|\d*\.\d+|\d+", name.partition(" ")[2]) for name in (exact, rounded)]
    if exact.partition(" ")[0] != rounded.partition(" ")[0] or len(pairs[0]) != len(pairs[1]):
        return False
    for one, two in zip(*pairs, strict=True):
        a, b = _dimension(one), _dimension(two)
        if a != b and not (a.denominator & (a.denominator - 1) == 0 and Fraction(round(a * _ROUNDED), _ROUNDED) == b):
            return False
    return True


def _dimension(text: str) -> Fraction:
    whole, _, part = text.rpartition("-")
    return (int(whole) if whole else 0) + Fraction(part)
