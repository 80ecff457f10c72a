"""What a sheet comes to while it is read: its lines, its questions, what is wrong with its fields."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from api.sheet.form import LISTS, SheetForm
from api.sheet.understood import FieldFault
from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from shared.reading import Choice, LineRead, Question

__all__ = ["Draft"]


@dataclass(kw_only=True, slots=True)
class Draft:
    """What a sheet comes to while it is read."""

    form: SheetForm
    lines: dict[str, tuple[LineRead, ...]] = field(default_factory=lambda: dict.fromkeys(LISTS, ()))
    questions: dict[str, tuple[Question, ...]] = field(default_factory=lambda: dict.fromkeys(LISTS, ()))
    faults: list[FieldFault] = field(default_factory=list)
    unit: Unit = Unit.IN

    def ask(self, name: str, number: int, problem: Problem, message: str) -> None:
        """Ask something about a line that reads well by itself."""
        asked = Question(line=number, text="", message=message)
        for at, line in enumerate(self.lines[name]):
            if line.line == number:
                changed = replace(line, questions=(*line.questions, replace(asked, text=line.text)))
                self.lines[name] = (*self.lines[name][:at], changed, *self.lines[name][at + 1 :])
                return
        self.questions[name] = (*self.questions[name], replace(asked, text=problem.text))

    def ask_yard(self, name: str, number: int, count: int, yards: Sequence[str]) -> None:
        """Ask which yard a line, and those below it, are from: a choice writes its name above them."""
        lines = "this line" if count == 1 else f"this line and the {count - 1} below"
        for at, line in enumerate(self.lines[name]):
            if line.line == number:
                question = Question(
                    line=number,
                    text=line.text,
                    message=f"which yard is {lines} from? write its name with a colon above, such as {yards[0]}:",
                    choices=tuple(Choice(reading=yard, line=f"{yard}:\n{line.text}") for yard in yards),
                )
                changed = replace(line, questions=(*line.questions, question))
                self.lines[name] = (*self.lines[name][:at], changed, *self.lines[name][at + 1 :])

    def note(self, name: str, number: int, note: str) -> None:
        """Say something about a line."""
        self.lines[name] = tuple(
            replace(line, notes=(*line.notes, note)) if line.line == number else line for line in self.lines[name]
        )

    def blame(self, name: str, message: str) -> None:
        """Say what is wrong with a field, once."""
        fault = FieldFault(field=name, message=message)
        if fault not in self.faults:
            self.faults.append(fault)

    @property
    def settled(self) -> bool:
        """Whether nothing is open."""
        asked = any(line.questions for lines in self.lines.values() for line in lines)
        return not (asked or any(self.questions.values()) or self.faults)
