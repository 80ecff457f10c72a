"""Angled ends in the job file: what is read, what is asked and never guessed, and that it reads back as it was
written."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from cutting.question.job import Job, Lean, Measure
from shared.files.job import read_job, write_job
from shared.files.job.write import Format

JOB = """
unit = "mm"
[saw]
kerf = "2.5"
{saw}
[[parts]]
mark = "A"
section = "{section}"
length = "{length}"
quantity = 4
{fields}
[[sticks]]
section = "{section}"
length = "6000"
"""
MITRED = 'ends = ["45", "45"]\nlean = "opposed"\nmeasured = "long point"\n'


def read(fields: str, *, section: str = "SHS 40x40x3", length: str = "500", saw: str = "") -> tuple[Job | None, Any]:
    text = JOB.format(section=section, length=length, fields=fields, saw=saw)
    return read_job(text.encode(), name="job.toml")


def right(fields: str, **more: str) -> Job:
    job, problems = read(fields, **more)
    assert problems == ()
    assert job is not None
    return job


def asked(fields: str, **more: str) -> list[tuple[str, str]]:
    job, problems = read(fields, **more)
    assert job is None
    return [(problem.where, problem.message) for problem in problems]


def test_a_mitred_part() -> None:
    ends = right(MITRED).parts[0].ends
    assert ends is not None
    assert ends.angles == (45, 45)
    assert ends.lean is Lean.OPPOSED
    assert ends.measure is Measure.LONG_POINT


def test_one_value_stands_for_both_ends_and_numbers_are_exact() -> None:
    ends = right('ends = 22.5\nlean = "parallel"\nmeasured = "centre line"').parts[0].ends
    assert ends is not None
    assert ends.angles == (Fraction(45, 2), Fraction(45, 2))


def test_square_ends_are_no_ends() -> None:
    assert right('ends = ["0", "0"]').parts[0].ends is None
    assert right("").parts[0].ends is None


@pytest.mark.parametrize("spelt", ["center line", "Centre  Line", "centre line"])
def test_spellings_of_the_centre_line(spelt: str) -> None:
    ends = right(f'ends = ["45", "0"]\nmeasured = "{spelt}"').parts[0].ends
    assert ends is not None
    assert ends.measure is Measure.CENTRE_LINE


@pytest.mark.parametrize(("angle", "other"), [("30", "60"), ("60", "30"), ("35", "55"), ("50", "40")])
def test_what_may_be_read_from_the_other_axis_is_asked(angle: str, other: str) -> None:
    [(where, message)] = asked(f'ends = ["{angle}", "0"]\nmeasured = "long point"')
    assert where == "parts[0].ends"
    assert f'"{angle} from square"' in message
    assert f'"{other} from square"' in message
    stated = right(f'ends = ["{angle} from square", "0"]\nmeasured = "long point"').parts[0].ends
    assert stated is not None
    assert stated.angles == (Fraction(angle), 0)


@pytest.mark.parametrize("angle", ["45", "22.5", "15", "29.9", "0.5"])
def test_what_only_square_makes_sense_of_is_not_asked(angle: str) -> None:
    right(f'ends = ["{angle}", "0"]\nmeasured = "long point"')


@pytest.mark.parametrize(
    "wrong", ['"61"', '"-5"', '"90"', '"steep"', "true", '["45"]', '["45", "0", "0"]', '"NaN"', '""']
)
def test_angles_that_are_none(wrong: str) -> None:
    problems = asked(f'ends = {wrong}\nmeasured = "long point"\nlean = "opposed"')
    assert problems[0][0] == "parts[0].ends"


def test_an_angle_measured_along_the_steel_is_explained() -> None:
    [(_, message)] = asked('ends = ["67.5", "0"]\nmeasured = "long point"')
    assert '"22.5 from square"' in message


def test_everything_open_is_asked_at_once() -> None:
    problems = asked('ends = ["45", "45"]', section="RHS 60x40x3")
    assert [where for where, _ in problems] == ["parts[0].measured", "parts[0].lean"]
    problems = asked(MITRED, section="RHS 60x40x3")
    assert [where for where, _ in problems] == ["parts[0].plane"]
    assert 'plane = "60" or "40"' in problems[0][1]


@pytest.mark.parametrize(("plane", "number"), [("60", 0), ("40", 1), ("60 mm", 0), ("first", 0), ("second", 1)])
def test_which_side_lies_in_the_plane(plane: str, number: int) -> None:
    ends = right(f'{MITRED}plane = "{plane}"', section="RHS 60x40x3").parts[0].ends
    assert ends is not None
    assert ends.planes == (number, number)


def test_a_side_that_the_section_does_not_have() -> None:
    [(where, message)] = asked(f'{MITRED}plane = "50"', section="RHS 60x40x3")
    assert where == "parts[0].plane"
    assert "60 or 40" in message


def test_ends_in_different_planes_need_no_lean_but_a_hand() -> None:
    fields = 'ends = ["45", "45"]\nmeasured = "long point"\nplane = ["60", "40"]\n'
    [(where, message)] = asked(fields, section="RHS 60x40x3")
    assert where == "parts[0].long_points"
    assert '["top", "right"]' in message
    ends = right(fields + 'long_points = ["top", "left"]', section="RHS 60x40x3").parts[0].ends
    assert ends is not None
    assert (ends.planes, ends.toward) == ((0, 1), (1, -1))


@pytest.mark.parametrize(
    ("section", "plane", "fields", "is_asked"),
    [
        ("SHS 40x40x3", "", 'ends = ["45", "0"]\n', False),  # may be rolled and turned: both hands are one
        ("RHS 60x40x3", "60", 'ends = ["45", "0"]\n', False),
        ("FL 50x8", "50", 'ends = ["45", "0"]\n', False),
        ("CHS 48.3x3", "", 'ends = ["45", "0"]\n', False),
        ("C 80x40x5", "web", 'ends = ["45", "0"]\n', True),  # left and right hand differ
        ("C 80x40x5", "web", 'ends = ["45", "45"]\nlean = "opposed"\n', False),  # the same, turned end for end
        ("C 80x40x5", "flange", 'ends = ["45", "45"]\nlean = "opposed"\n', True),  # long points at toes or back
        ("L 50x50x5", "upright leg", 'ends = ["45", "0"]\n', True),
        ("L 60x40x5", "lying leg", 'ends = ["45", "45"]\nlean = "opposed"\n', True),
    ],
)
def test_hands_are_asked_only_where_they_make_another_part(
    section: str, plane: str, fields: str, *, is_asked: bool
) -> None:
    fields += 'measured = "long point"\n' + (f'plane = "{plane}"\n' if plane else "")
    if is_asked:
        problems = asked(fields, section=section)
        assert [where for where, _ in problems] == ["parts[0].long_points"]
        edge = "top" if plane in ("web", "upright leg") else "right"
        right(f'{fields}long_points = "{edge}"', section=section)
    else:
        right(fields, section=section)


def test_long_points_say_the_plane_too() -> None:
    ends = right(f'{MITRED}long_points = "right"', section="L 50x50x5").parts[0].ends
    assert ends is not None
    assert (ends.planes, ends.toward) == ((1, 1), (1, 1))


def test_an_edge_outside_the_plane() -> None:
    [(where, _)] = asked(f'{MITRED}plane = "web"\nlong_points = "right"', section="C 80x40x5")
    assert where == "parts[0].long_points"


def test_a_lean_that_the_long_points_contradict() -> None:
    [(where, _)] = asked(f'{MITRED}plane = "60"\nlong_points = ["top", "bottom"]', section="RHS 60x40x3")
    assert where == "parts[0].lean"


def test_a_section_whose_size_is_not_known() -> None:
    [(where, _)] = asked(MITRED, section="handrail profile")
    assert where == "parts[0].depth"
    job = right(f'{MITRED}depth = "42"\nplane = "first"\nlong_points = "top"', section="handrail profile")
    ends = job.parts[0].ends
    assert ends is not None
    assert ends.depths == (42, 42)
    [(where, _)] = asked(f'{MITRED}depth = "42"')
    assert where == "parts[0].depth"


def test_what_only_concerns_angled_ends() -> None:
    problems = asked('measured = "long point"\nlean = "opposed"')
    assert [where for where, _ in problems] == ["parts[0].lean", "parts[0].measured"]


def test_cuts_that_would_meet_in_the_steel() -> None:
    [(where, message)] = asked(MITRED, length="70")
    assert where == "parts[0].length"
    assert "meet" in message


def test_a_saw_that_does_not_swing_so_far() -> None:
    problems = asked('ends = ["50 from square", "0"]\nmeasured = "long point"', saw='largest_angle = "45"')
    assert problems == [("parts[0].ends", "A wants 50 degrees, the saw swings to 45 at most (saw.largest_angle)")]
    job = right(MITRED, saw="largest_angle = 45\none_way = true")
    assert (job.saw.largest, job.saw.one_way) == (45, True)


@pytest.mark.parametrize(
    ("section", "fields"),
    [
        ("SHS 40x40x3", MITRED),
        ("SHS 40x40x3", 'ends = ["30 from square", "0"]\nmeasured = "short point"'),
        ("RHS 60x40x3", f'{MITRED}plane = "40"'),
        (
            "RHS 60x40x3",
            'ends = 22.5\nmeasured = "centre line"\nplane = ["60", "40"]\nlong_points = ["bottom", "right"]',
        ),
        ("C 80x40x5", 'ends = ["0", "45"]\nmeasured = "long point"\nplane = "web"\nlong_points = "bottom"'),
        ("L 50x50x5", f'{MITRED}plane = "lying leg"\nlong_points = "left"'),
        ("handrail profile", f'{MITRED}depth = "42"\nlong_points = "top"'),
    ],
)
@pytest.mark.parametrize("form", list(Format))
def test_what_is_written_reads_back(section: str, fields: str, form: Format) -> None:
    job = right(fields, section=section, saw="largest_angle = 60\none_way = true")
    back, problems = read_job(write_job(job, form), name=f"job.{form.value}")
    assert problems == ()
    assert back is not None
    assert back.saw == job.saw
    first, second = job.parts[0].ends, back.parts[0].ends
    assert first is not None
    assert second is not None
    assert (first.angles, first.measure, first.planes, first.depths) == (
        second.angles,
        second.measure,
        second.planes,
        second.depths,
    )
