"""Saved papers are named after their job, safely, whatever it is called."""

import re

import pytest

from api.routes.naming import saved_as


@pytest.mark.parametrize(
    ("title", "header"),
    [
        ("", 'attachment; filename="plan.csv"'),
        ("Kayak stands", 'attachment; filename="kayak-stands-plan.csv"'),
        ("Marktstände", "attachment; filename=\"marktstande-plan.csv\"; filename*=UTF-8''marktst%C3%A4nde-plan.csv"),
        ("屋台", "attachment; filename=\"plan.csv\"; filename*=UTF-8''%E5%B1%8B%E5%8F%B0-plan.csv"),
        ('../../x"; \r\nSet-Cookie: y', 'attachment; filename="x-set-cookie-y-plan.csv"'),
    ],
)
def test_a_paper_is_named_after_its_job(title: str, header: str) -> None:
    assert saved_as("attachment", title, "plan.csv") == header


def test_a_long_title_is_cut() -> None:
    name = re.search('filename="(.*)"', saved_as("inline", "ab " * 100, "plan.csv"))[1]
    assert len(name) <= 60 + len("-plan.csv")
