"""Angled ends in a line: ``45/45 LP``, ``one end 30°``, ``both ends mitred``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeVar

from cutting.question.job import Lean, Measure

__all__ = ["QUARTER", "EndsRead", "find_ends"]

_ANGLE: Final = r"\d{1,2}(?:[.,]\d{1,2})?"
_DEGREE: Final = r"(?:\s*(?:°|deg(?:rees?)?\b\.?|grad\b|degr[ée]s?\b|grados?\b))"
_MITRE: Final = (
    r"(?:mit(?:re|er)(?:e?d|s)?|gehrung(?:en)?|onglets?|ingletes?|bevel(?:l?ed|s)?|angled?|cut|schräg|schraeg)"
)
_END: Final = r"(?:ends?|enden?|bouts?|extr[ée]mit[ée]s?|extremos?|sides?|e\b\.?)(?!\w)"
_BOTH: Final = (
    rf"(?:(?:both|beide[nr]?|beidseitig|les\s+deux|ambos)(?!\w)(?:\s*{_END})?"
    rf"|(?:each|ea\.?|two|deux|(?<![\w.,/])2)(?!\w)\s*{_END})"
)
_ONE: Final = rf"(?:einseitig(?!\w)|(?:one|single|eine?|une?|uno|(?<![\w.,/])1)(?!\w)\s*{_END})"
_JOIN: Final = r"\s*(?:,|at|@|to|cut|mitred|mitered|a|à|auf|mit|-)?\s*"
_PAIR: Final = re.compile(
    rf"(?:ends?\s*:?\s*)?(?<![\d./x-])(?P<first>{_ANGLE}){_DEGREE}?\s*[/&+]\s*(?P<second>{_ANGLE})(?P<sign>{_DEGREE})?(?![\d/.\"'x-])"
    rf"(?:\s*(?:{_MITRE}|ends?))?",
    re.IGNORECASE,
)
_COUNTED: Final = re.compile(
    rf"(?:{_MITRE}\s*)?(?P<count>(?<!\w)(?:{_BOTH}"
    rf"|{_ONE})){_JOIN}(?:{_MITRE}\s*)?{_JOIN}(?P<angle>{_ANGLE})(?P<sign>{_DEGREE})?(?![\d/.\"']|\s*(?:mm|cm"
    rf"|in|x)\b)"
    rf"|(?<![\d.,/x-])(?P<after>{_ANGLE})(?P<sign2>{_DEGREE}?)\s*(?:{_MITRE}\s*)?(?:on\s+"
    rf"|an\s+)?(?P<count2>{_BOTH}|{_ONE})(?!\s*\d)",
    re.IGNORECASE,
)
_WORDED: Final = re.compile(
    rf"(?:mitred|mitered|mitre|miter|auf\s+gehrung|gehrung|onglets?|ingletes?)\s*(?P<count>(?:on\s+"
    rf"|an\s+)?(?:{_BOTH}|{_ONE}))(?!\s*(?:at|@|to)\s*\d|\s*\d\d?(?:[.,]\d)?{_DEGREE})"
    rf"|(?P<count2>{_BOTH}|{_ONE})\s*(?:mitred|mitered|mitre|miter|auf\s+gehrung|gehrung)\b(?!\s*(?:at|@"
    rf"|to)\s*\d|\s*\d\d?(?:[.,]\d)?{_DEGREE})",
    re.IGNORECASE,
)
_SQUARE: Final = re.compile(
    r"\b(?:square|sq\.?|straight|gerade?|droit[es]*|recto)[- ]+(?:cut|cuts|ends?|both\s+ends|geschnitten)\b"
    r"|\bcut\s+(?:square|straight)\b"
    r"|\bboth\s+ends\s+square\b|\b90\s*/\s*90\b|\b0\s*/\s*0\b",
    re.IGNORECASE,
)
_HINT: Final = re.compile(
    r"°|deg|grad|mit(?:er|re)|gehr|onglet|inglete|end|bout|extr|both|one|each|ea\b|beid|einseit"
    r"|\d\s*[/&+]\s*\d\d|cut|square|sq|straight|ger?ad|droit|recto|90|0/0",
    re.IGNORECASE,
)
_MEASURE: Final = re.compile(
    r"\b(?P<lp>long[\s-]*points?(?:\s*(?:to|-|/)\s*long[\s-]*points?)?|l\.?p\.?(?:\s*(?:to|-|/)\s*l\.?p\.?)?"
    r"|tip\s+to\s+tip|point\s+to\s+point|toe\s+to\s+toe"
    r"|außenmaß|aussenmass|lange\s+spitze|lange\s+seite)(?!\w)"
    r"|\b(?P<sp>short[\s-]*points?(?:\s*(?:to|-|/)\s*short[\s-]*points?)?|s\.?p\.?(?:\s*(?:to|-|/)\s*s\.?p\.?)?"
    r"|heel\s+to\s+heel|innenmaß|innenmass)(?!\w)"
    r"|\b(?P<cl>cent(?:re|er)[\s-]*lines?|c\.?l\.?|c/l|mittellinie|achsmaß|achsmass|mid[\s-]*depth)(?!\w)",
    re.IGNORECASE,
)
_LEAN: Final = re.compile(
    r"\b(?P<parallel>parallel(?:ogram)?|same\s+(?:way|direction)|parallelogramm|paralelos?|parall[èe]les?)\b"
    r"|\b(?P<opposed>opposed|opposite|trapezoid|trapez|trapezium|picture[\s-]*frame|towards\s+each\s+other"
    r"|opuestos?|oppos[ée]s?)\b",
    re.IGNORECASE,
)
_FROM: Final = re.compile(
    r"\bfrom\s+(?:the\s+)?(?P<square>square|perpendicular|90)\b|\b(?P<saw>saw\s+set(?:ting)?|vom\s+rechten\s+winkel)\b"
    r"|\bfrom\s+(?:the\s+)?(?P<axis>axis|length|long\s+axis|side|edge|face)\b|\b(?P<acute>acute|included|spitz)\b",
    re.IGNORECASE,
)
_PLANE: Final = re.compile(
    r"\b(?P<side>\d[\d./-]*)\s*(?:mm|\"|in\.?)?\s*(?:side|face|leg|way)?\s*(?:in"
    r"|lies\s+in)\s*(?:the\s+)?plane(?:\s+of\s+the\s+(?:cut|frame))?",
    re.IGNORECASE,
)
_EDGE: Final = re.compile(
    r"\b(?:long[\s-]*points?\s+)?(?:at|to|on)\s+(?:the\s+)?(?P<edge>toe|heel|back)s?\b", re.IGNORECASE
)
_Named = TypeVar("_Named")
_FORTY_FIVE: Final = Fraction(45)
QUARTER: Final = Fraction(90)


@dataclass(frozen=True, kw_only=True, slots=True)
class EndsRead:
    """What a line says about its ends.

    Attributes
    ----------
    angles : tuple of Fraction
        As written, in degrees.
    where : tuple of int
        Start and end of the angles in the line.
    measure : Measure or None
        None where the line doesn't say.
    lean : Lean or None
        None where the line doesn't say.
    reference : str
        ``square``, ``axis`` or empty: from what the angle is measured, as far as the line says.
    edge : str
        ``toe`` or ``heel``: where the long points lie on an angle or channel; empty where the line doesn't say.
    side : str
        The dimension that lies in the plane of the cut, as written; empty where the line doesn't say.
    spans : tuple of (int, int)
        The places that say it.
    """

    angles: tuple[Fraction, Fraction]
    where: tuple[int, int]
    measure: Measure | None
    lean: Lean | None
    reference: str
    side: str
    edge: str
    spans: tuple[tuple[int, int], ...]


def _value(text: str) -> Fraction:
    return Fraction(text.replace(",", "."))


def _is_both(count: str) -> bool:
    """Whether a counted end means both."""
    return re.fullmatch(rf"(?:on\s+|an\s+)?{_ONE}", count.strip(), re.IGNORECASE) is None


def _angles(line: str) -> tuple[tuple[Fraction, Fraction], tuple[int, int], bool] | None:
    """Return both angles, where they stand, and whether an angle was written at all."""
    for found in _PAIR.finditer(line):
        first, second = _value(found["first"]), _value(found["second"])
        likely = {first, second} <= {Fraction(a) for a in ("0", "15", "22.5", "30", "45", "60", "67.5", "75", "90")}
        if max(first, second) <= QUARTER and (likely or found["sign"]) and max(first, second) > 12:  # noqa: PLR2004
            return (first, second), found.span(), True
    for found in _COUNTED.finditer(line):
        angle = _value(found["angle"] or found["after"])
        sign = found["sign"] or found["sign2"]
        if angle > QUARTER or (not sign and angle not in {15, 30, 45, 60, Fraction("22.5"), Fraction("67.5"), 75}):
            continue
        both = _is_both(found["count"] or found["count2"])
        return (angle, angle if both else Fraction(0)), found.span(), True
    worded = _WORDED.search(line)
    if worded:
        both = _is_both(worded["count"] or worded["count2"])
        return (_FORTY_FIVE, _FORTY_FIVE if both else Fraction(0)), worded.span(), False
    return None


def find_ends(line: str) -> tuple[EndsRead | None, tuple[tuple[int, int], ...], bool]:
    """Find what a plain line says about its ends.

    Returns
    -------
    EndsRead or None
        None where both ends are square or nothing is said.
    tuple of (int, int)
        The places in the line that are used up.
    bool
        Whether an angle was written (a bare "mitred" means 45).
    """
    if _HINT.search(line) is None:
        return None, (), False
    square = tuple(found.span() for found in _SQUARE.finditer(line))
    read = _angles(line)
    if read is None:
        return None, square, False
    angles, where, written = read
    spans = [where, *square]
    measure = _MEASURE.search(line)
    lean = _LEAN.search(line)
    reference = _FROM.search(line)
    plane = _PLANE.search(line)
    edge = _EDGE.search(line)
    spans += [found.span() for found in (measure, lean, reference, plane, edge) if found]
    if all(angle in {0, QUARTER} for angle in angles):
        return None, (where, *square), written
    ends = EndsRead(
        angles=angles,
        where=where,
        measure=_named(measure, {"lp": Measure.LONG_POINT, "sp": Measure.SHORT_POINT, "cl": Measure.CENTRE_LINE}),
        lean=_named(lean, {"parallel": Lean.PARALLEL, "opposed": Lean.OPPOSED}),
        reference=_named(reference, {"square": "square", "saw": "square", "axis": "axis", "acute": "axis"}) or "",
        side=plane["side"] if plane else "",
        edge="" if edge is None else "toe" if edge["edge"].lower() == "toe" else "heel",
        spans=tuple(spans),
    )
    return ends, tuple(spans), written


def _named(found: re.Match[str] | None, names: dict[str, _Named]) -> _Named | None:
    """Return what the group that matched stands for."""
    if found is None:
        return None
    return next(value for name, value in names.items() if found[name])
