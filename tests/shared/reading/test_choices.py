"""Every choice that is offered shows the part it makes, makes it in its list, and settles what was asked."""

import pytest

from shared.reading import read_parts
from tests.reading_corpus import PastedList, load
from tests.shared.reading.test_account import read

LISTS = [each for each in load() if each.made == "hand"]


def replaced(text: str, number: int, line: str) -> str:
    lines = text.splitlines()
    lines[number - 1] = line
    return "\n".join(lines)


def wrong_choices(pasted: PastedList) -> tuple[int, list[str]]:
    """Count the choices of a list that show what they make, and return those that make something else."""
    shown, wrong = 0, []
    lines, _ = read(pasted, pasted.text)
    for line in lines:
        for question in line.questions:
            for choice in question.choices:
                if not choice.makes:
                    continue
                again, _ = read(pasted, replaced(pasted.text, line.line, choice.line))
                end = line.line + choice.line.count("\n")
                mine = [each for each in again if line.line <= each.line <= end]
                said = "; ".join(understood for each in mine for understood in each.understood)
                shown += 1
                if choice.makes.split("  ")[0] not in said:
                    wrong.append(f"{choice.line!r}: {choice.makes!r}, but {said!r}")
    return shown, wrong


@pytest.mark.parametrize("step", [9, pytest.param(1, marks=pytest.mark.slow("the choices of every list by hand"))])
def test_what_a_choice_shows_is_what_it_makes_in_its_list(step: int) -> None:
    found = [wrong_choices(pasted) for pasted in LISTS[::step]]
    assert [each for _, wrong in found for each in wrong] == []
    assert sum(shown for shown, _ in found) > 100 / step


def test_a_choice_that_asks_the_same_once_more_is_not_offered() -> None:
    _, (question,) = read_parts("Pos 5: je 2 links/rechts L 30x30x3 x 615")
    assert [choice.reading for choice in question.choices] == ["2 pieces"]
    assert question.choices[0].makes.startswith("2 x L 30x30x3 x 615 mm")


@pytest.mark.parametrize("line", ["3 fers ronds de 10, 450 mm", "4 angle 1200 mm"])
def test_no_section_of_the_list_is_offered_where_the_line_names_a_family(line: str) -> None:
    found, (question,) = read_parts(f"4 tubes carrés 40x40x2 de 1,20 m\n{line}")
    assert len(found.parts) == 1
    assert question.line == 2
    assert question.choices == ()
