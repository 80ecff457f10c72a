"""A data frame is a parts list as good as rows: exact, by name, with words for what is wrong."""

from fractions import Fraction

import pandas as pd
import pytest

from cutting import JobError, make_job
from cutting.question.job import Job


def of(parts: pd.DataFrame, sticks: object = (("tube", 6000, "30"),)) -> Job:
    return make_job(unit="mm", kerf="2", currency="EUR", parts=parts, sticks=sticks)  # type: ignore[arg-type]


def test_columns_count_by_name_in_any_order() -> None:
    frame = pd.DataFrame({"quantity": [2, 3], "mark": ["A", None], "length": ["1200.1", 80.1], "section": "tube"})
    first, second = of(frame).parts
    assert (first.mark, first.length, first.quantity) == ("A", Fraction("1200.1"), 2)
    assert (second.mark, second.length, second.quantity) == ("P2", Fraction("80.1"), 3)


def test_a_column_with_a_hole_still_holds_whole_numbers() -> None:
    sticks = pd.DataFrame({"section": "tube", "length": [6000, 7000], "price": ["30", 31.5], "available": [None, 4]})
    first, second = of(pd.DataFrame({"section": ["tube"], "length": [1000], "quantity": [1]}), sticks).sticks
    assert (first.available, second.available) == (None, 4)
    assert second.price is not None


@pytest.mark.parametrize(
    ("frame", "words"),
    [
        (
            {"section": ["tube"], "lenght": [1], "quantity": [1]},
            ["no column is called lenght", "the column length is missing"],
        ),
        ({"section": ["tube"], "length": [1.5], "quantity": [1.5]}, ["whole number"]),
        ({"section": ["tube"], "length": [None], "quantity": [1]}, ["parts[0]"]),
    ],
)
def test_what_is_wrong_is_named(frame: dict[str, list[object]], words: list[str]) -> None:
    with pytest.raises(JobError) as error:
        of(pd.DataFrame(frame))
    assert [word for word in words if word not in str(error.value)] == []
