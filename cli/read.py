"""`tallystick read`: a pasted list, each line as understood."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Any

import typer
from typer.core import TyperCommand

from cli.app import app
from cli.asking import answered, can_ask
from cli.exits import Code, leave, printable
from cli.files import name_of, read_bytes, write_bytes
from cutting.question.lengths import Unit

__all__ = ["UnitOption", "read"]


class What(StrEnum):
    """What a list is."""

    PARTS = "parts"
    STICKS = "sticks"
    RACK = "rack"
    OWN = "own"


UnitOption = Annotated[
    Unit | None,
    typer.Option("--unit", help="What a bare length in a list means; left out, the list itself tells, or it is asked."),
]


class _Command(TyperCommand):
    """Lets ``--json`` stand without a file: then the JSON goes to standard output."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Give ``--json`` its ``-`` where no file follows it."""
        return super().parse_args(ctx, _completed(args))


def _completed(args: list[str]) -> list[str]:
    """Return the arguments with ``-`` behind a ``--json`` that has no file."""
    if "--json" not in args:
        return args
    at = args.index("--json") + 1
    rest = args[at:]
    before = [arg for spot, arg in enumerate(args[: at - 1]) if not arg.startswith("--") and not _is_value(args, spot)]
    after = [
        arg for spot, arg in enumerate(rest) if not (arg.startswith("-") and arg != "-") and not _is_value(rest, spot)
    ]
    if not rest or (rest[0].startswith("-") and rest[0] != "-") or (not before and len(after) == 1):
        return [*args[:at], "-", *rest]
    return args


def _is_value(args: list[str], spot: int) -> bool:
    """Whether an argument is the value of the option before it."""
    return spot > 0 and args[spot - 1] in {"--as", "--unit", "--answered"}


@app.command(cls=_Command)
def read(
    source: Annotated[str, typer.Argument(metavar="LIST", help="Text, CSV, xlsx or ods file; - reads standard input.")],
    *,
    kind: Annotated[What, typer.Option("--as", help="What the list is.")] = What.PARTS,
    unit: UnitOption = None,
    answers: Annotated[
        str | None,
        typer.Option(
            "--answered", metavar="FILE", help="Write the list as text, with what was answered on the terminal in it."
        ),
    ] = None,
    json: Annotated[
        str | None,
        typer.Option(
            "--json",
            metavar="[FILE]",
            help="Write what was read and its problems as JSON, to FILE or standard output, instead of the echo.",
        ),
    ] = None,
) -> None:
    """Read a pasted list and show each line as understood, with what is open below it.

    On a terminal what is open is asked first.
    """
    data: str | bytes = read_bytes(source)
    if source != "-" and can_ask():
        data = answered(name_of(source), data, lambda text: _lists(text, kind, unit)[:2])
    if answers is not None:
        _write_answered(answers, data)
    lines, problems, table = _read(data, kind, unit)
    if json is not None:
        write_bytes(json, _as_json(table))
    else:
        for line in lines:
            typer.echo(printable(line))
    if problems:
        count = "1 line is" if problems == 1 else f"{problems} lines are"
        leave(Code.INPUT, f"{name_of(source)}: {count} open, see the question below each")


def _lists(data: str | bytes, kind: What, unit: Unit | None) -> tuple[Any, Any, Any]:
    """Read a list; returns its lines, its questions, and both as tables."""
    from cutting.question.job import Source  # noqa: PLC0415 - keeps --help instant
    from shared.reading import offers_table, parts_table, read_offers, read_parts  # noqa: PLC0415

    if kind is What.PARTS:
        parts, questions = read_parts(data, unit=unit)
        return parts.lines, questions, parts_table(parts, questions)
    offers, questions = read_offers(data, kind=Source(kind.value), unit=unit)
    return offers.lines, questions, offers_table(offers, questions)


def _read(data: str | bytes, kind: What, unit: Unit | None) -> tuple[list[str], int, dict[str, Any]]:
    """Read a list; returns its echo, how many questions there are, and both as tables."""
    from shared.reading import echo  # noqa: PLC0415

    lines, questions, table = _lists(data, kind, unit)
    return list(echo(lines, questions)), _lines(questions), table


def _write_answered(path: str, data: str | bytes) -> None:
    from shared.reading import lines_of  # noqa: PLC0415

    write_bytes(path, ("\n".join(lines_of(data)).rstrip("\n") + "\n").encode())


def _lines(questions: tuple[Any, ...]) -> int:
    return len({question.line for question in questions})


def _as_json(table: dict[str, Any]) -> bytes:
    from json import dumps  # noqa: PLC0415

    return (dumps(table, ensure_ascii=False, indent=2) + "\n").encode()
