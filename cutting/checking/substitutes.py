"""The checker's rules for substitutes; written from the agreed rules alone."""

from __future__ import annotations

from collections.abc import Iterator

from cutting.answer.plan import Plan
from cutting.question.job import Job, Part, Section

__all__ = ["accepted", "substitution_faults"]


def accepted(part: Part) -> dict[tuple[str, str], Section]:
    """Sections that a part may be cut from."""
    return {section.key: section for section in (part.section, *(other.section for other in part.substitutes))}


def substitution_faults(job: Job, plan: Plan) -> Iterator[str]:
    """Every line from one section only, and every change told, once."""
    told = {change.mark: change for change in plan.changes}
    if len(told) != len(plan.changes):
        yield "The plan tells a change of section twice."
    sections = _sections(plan)
    for part in job.parts:
        used = sections.get(part.mark, {})
        if len(used) > 1:
            labels = " and ".join(section.label for section in used.values())
            yield f"{part.mark} is cut from {labels}; all of its pieces take one section."
        change = told.pop(part.mark, None)
        taken = next(iter(used), part.section.key)
        if taken == part.section.key:
            if change is not None:
                yield f"The plan says that {part.mark} is cut from another section, and it isn't."
        elif taken not in accepted(part):
            continue  # a section nobody accepted is a fault of the layout
        elif change is None or (change.wanted.key, change.taken.key) != (part.section.key, taken):
            yield f"{part.mark} is cut from {used[taken].label}, and the plan doesn't say so."
        elif change.remark not in {other.remark for other in part.substitutes if other.section.key == taken}:
            yield f"The plan gives another remark for {part.mark} than the job does."
    for mark in told:
        yield f"The plan changes the section of {mark}, which the job doesn't ask for."


def _sections(plan: Plan) -> dict[str, dict[tuple[str, str], Section]]:
    """Sections that pieces of each mark are cut from."""
    found: dict[str, dict[tuple[str, str], Section]] = {}
    for cut in plan.cuts:
        for piece in cut.pieces:
            found.setdefault(piece.mark, {})[cut.section.key] = cut.section
    return found
