"""Where a job's parts may be cut and bought: every section, every yard."""

from __future__ import annotations

from cutting.question.job import Job, Part, Section, Source
from cutting.question.yards import Yard

__all__ = ["accepts", "sections_of", "yards_of"]


def yards_of(job: Job) -> dict[str, Yard]:
    """Every yard by name; one that is only named has no terms."""
    found = {yard.name: yard for yard in job.yards}
    for stick in job.sticks:
        if stick.source is not Source.OWN:
            found.setdefault(stick.yard, Yard(name=stick.yard))
    return found


def sections_of(job: Job) -> list[Section]:
    """Every section a part may be cut from, own ones first."""
    found = {section.key: section for section in job.sections}
    for part in job.parts:
        for substitute in part.substitutes:
            found.setdefault(substitute.section.key, substitute.section)
    return list(found.values())


def accepts(part: Part, section: Section) -> bool:
    """Whether a part may be cut from a section."""
    return section.key in {part.section.key, *(other.section.key for other in part.substitutes)}
