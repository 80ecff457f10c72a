"""What a list leaves open, asked on the terminal, one question at a time; nothing is answered by default."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Final

import typer

from cli.exits import printable

if TYPE_CHECKING:
    from shared.reading import LineRead, Question

__all__ = ["answered", "can_ask"]

Read = Callable[[str | bytes], "tuple[Sequence[LineRead], Sequence[Question]]"]
"""Reads a list; returns its lines and what is open."""

_MOST_BACK: Final = 30


def can_ask() -> bool:
    """Whether somebody sits at the terminal: there is an input to answer with and a screen that shows the question."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def answered(name: str, source: str | bytes, read: Read) -> str | bytes:
    """Ask what is open about a list; returns the list with the answers in it, the same where none was given.

    Parameters
    ----------
    name : str
        What the list is called in front of its questions.
    source : str or bytes
        The list.
    read : callable
        Reads it.
    """
    from shared.reading import lines_of, rewritten  # noqa: PLC0415 - keeps --help instant

    lines, questions = read(source)
    asked = any(question.line for question in questions)
    passed: set[tuple[str, str]] = set()
    while open_lines := [line for line in lines if line.questions and not _passed(line, passed)]:
        line = open_lines[0]
        left = len(open_lines)
        _show(f"{name}, {left} {'line' if left == 1 else 'lines'} open", line)
        found = _answer(lines, line)
        if found is None:
            return source
        if not found:
            passed.add((line.text, line.questions[0].message))
            continue
        source = rewritten(lines_of(source), found)
        lines, questions = read(source)
    return _brought_back(source, lines) if asked else source


def _passed(line: LineRead, passed: set[tuple[str, str]]) -> bool:
    return (line.text, line.questions[0].message) in passed


def _show(where: str, line: LineRead) -> None:
    """Show a line and the first thing that is open about it, each reading with what it makes."""
    from shared.reading import NOT_A_PART  # noqa: PLC0415

    question = line.questions[0]
    lead = f"{line.line:>4}  "
    _say(f"\n{where}\n{lead}{printable(line.text)}")
    if question.position is not None:
        _say(" " * (len(lead) + question.position) + "^")
    _say(f"      {question.message}")
    for number, choice in enumerate(question.choices, 1):
        _say(f"      {number}  {printable(choice.reading)}:  {printable(choice.makes or _one_line(choice.line))}")
    _say(f"      {len(question.choices) + 1}  {NOT_A_PART}")


def _one_line(text: str) -> str:
    return " / ".join(part.strip() for part in text.split("\n"))


def _answer(lines: Sequence[LineRead], line: LineRead) -> dict[int, str] | None:
    """Ask for one answer; returns the lines it rewrites, none where it is left open, None at the end of the input."""
    from shared.reading import NOT_A_PART, answer_alike, asking_alike, chosen  # noqa: PLC0415

    question = line.questions[0]
    readings = [*(choice.reading for choice in question.choices), NOT_A_PART]
    while True:
        text = _asked("      number, or the line written anew; Enter leaves it open: ")
        if text is None:
            return None
        if not text:
            return {}
        if not text.isdecimal() and any(map(str.isdigit, text)):
            return {line.line: text}
        if text.isdecimal() and 1 <= int(text) <= len(readings):
            break
        _say(f"      there is no {printable(text)}; write a number from 1 to {len(readings)}, or the whole line")
    reading = readings[int(text) - 1]
    put = chosen(line, question, reading)
    assert put is not None
    alike = answer_alike(lines, question.alike, reading) if len(asking_alike(lines, question.alike)) > 1 else {}
    alike.pop(line.line, None)
    if alike and _yes(f"      the same for {_others(alike)}? y/N: "):
        return {**alike, line.line: put}
    return {line.line: put}


def _others(alike: dict[int, str]) -> str:
    if len(alike) == 1:
        return f"line {next(iter(alike))}, which asks the same"
    return f"the {len(alike)} other lines that ask the same"


def _brought_back(source: str | bytes, lines: Sequence[LineRead]) -> str | bytes:
    """Show what was set aside and let it be brought back, by number."""
    from shared.reading import lines_of, rewritten  # noqa: PLC0415

    aside = {line.line: line for line in lines if line.set_aside and any(map(str.isdigit, line.text))}
    if not aside:
        return source
    _say("\nset aside, not planned:")
    for line in list(aside.values())[:_MOST_BACK]:
        _say(f"{line.line:>4}  {printable(line.text)}")
    text = _asked("      numbers of lines that are parts; Enter for none: ")
    numbers = {int(word) for word in (text or "").replace(",", " ").split() if word.isdecimal()}
    back = {number: aside[number].brought_back for number in numbers if number in aside}
    return rewritten(lines_of(source), back) if back else source


def _yes(prompt: str) -> bool:
    return (_asked(prompt) or "").lower() in {"y", "yes"}


def _asked(prompt: str) -> str | None:
    """Return what somebody types, None at the end of the input."""
    typer.echo(prompt, nl=False, err=True)
    text = sys.stdin.readline()
    return text.strip() if text else None


def _say(text: str) -> None:
    typer.echo(text, err=True)
