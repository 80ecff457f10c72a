"""A section with two readings in a job file is a problem of its line, with what to write."""

from shared.files.job import read_job

JOB = b"""
unit = "in"
[saw]
kerf = "3/32"
[[parts]]
section = "pipe 1-1/4"
length = 20
quantity = 2
[[sticks]]
section = "tube 2x1/8"
length = "20 ft"
"""


def test_both_are_asked_at_once():
    job, problems = read_job(JOB)
    assert job is None
    assert [(problem.where, problem.text) for problem in problems] == [
        ("parts[0].section", "pipe 1-1/4"),
        ("sticks[0].section", "tube 2x1/8"),
    ]
    assert "PIPE 1-1/4 sch 40" in problems[0].message
    assert "SHS 2x2x1/8" in problems[1].message
