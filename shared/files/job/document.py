"""From bytes to plain tables: encodings, TOML and JSON syntax, numbers kept as exact decimals.

Nothing here knows what a job is. What can't be read is said with its line and column, as far as they are known.
"""

from __future__ import annotations

import codecs
import json
import re
import tomllib
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any, Final, NoReturn

from cutting.question.problems import Problem

__all__ = ["MOST_BYTES", "Table", "read_document"]

Table = Mapping[str, Any]

MOST_BYTES: Final = 10_000_000
"""Largest document that is read."""

_MOST_DIGITS: Final = 300
_DEEP_KEY: Final = re.compile(r"(?<![\w-])(?:[\w-]++[ \t]*+\.[ \t]*+){100}")
"""A key in more steps than any table of ours: reading it takes the square of its length."""

_TOML_PLACE: Final = re.compile(
    r"(?P<what>.*) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)\Z", re.DOTALL
)
_WIDE: Final = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


class _UnreadableError(Exception):
    """Carries the one problem that stops the reading of a document."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem.message)


def read_document(data: bytes, *, name: str) -> tuple[Table | None, tuple[Problem, ...]]:
    """Read a TOML or JSON document.

    Parameters
    ----------
    data : bytes
        UTF-8, or UTF-16 with its byte order mark.
    name : str
        A file name: ``.json`` or ``.toml`` decides; with any other ending a text that starts with ``{`` is JSON.

    Returns
    -------
    tuple of (mapping or None, tuple of Problem)
        Decimal numbers are `decimal.Decimal`, never a binary float. None where the document can't be read.
    """
    try:
        text = _decode(data)
        table = _json(text) if _is_json(text, name) else _toml(text)
    except _UnreadableError as error:
        return None, (error.problem,)
    return table, ()


def _stop(where: str, text: str, message: str, position: int | None = None) -> NoReturn:
    raise _UnreadableError(Problem(where=where, text=text, message=message, position=position))


def _decode(data: bytes) -> str:
    if len(data) > MOST_BYTES:
        _stop("file", "", f"longer than a job file is ever; at most {MOST_BYTES} bytes are read")
    if not data.strip():
        _stop("file", "", "the file is empty; write at least unit, [saw] and one [[parts]] entry")
    try:
        return data.decode("utf-16" if data.startswith(_WIDE) else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        _stop(f"line {line}", repr(data[error.start : error.start + 1])[2:-1], "not UTF-8; save the file as UTF-8")


def _is_json(text: str, name: str) -> bool:
    lowered = name.lower()
    if lowered.endswith((".json", ".toml")):
        return lowered.endswith(".json")
    return text.lstrip().startswith(("{", "["))


def _show(text: str, line: int, column: int) -> tuple[str, int]:
    """Return the line a message is about, shortened around the column, and the column's index in it."""
    lines = text.split("\n")
    whole = lines[line - 1].rstrip("\r") if line <= len(lines) else ""
    start = max(0, column - 61)
    return whole[start : start + 120], column - 1 - start


def _json(text: str) -> Table:
    try:
        value = json.loads(
            text,
            parse_float=_decimal,
            parse_int=_integer,
            parse_constant=Decimal,
            object_pairs_hook=_unique,
        )
    except json.JSONDecodeError as error:
        shown, position = _show(text, error.lineno, error.colno)
        where = f"line {error.lineno}, column {error.colno}"
        _stop(where, shown, f"not JSON: {_plain(error.msg)}", position)
    except RecursionError:
        _stop("file", "", "nested too deeply for a job file")
    if not isinstance(value, dict):
        _stop("file", type(value).__name__, "a job file is one JSON object: {...}")
    return value


def _plain(message: str) -> str:
    return message[:1].lower() + message[1:]


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table: dict[str, Any] = {}
    for key, value in pairs:
        if key in table:
            _stop(key, key, "this field is stated twice in one object; keep one of them")
        table[key] = value
    return table


def _decimal(text: str) -> Decimal:
    if len(text) > _MOST_DIGITS:
        _stop("file", text[:40] + "...", f"a number has at most {_MOST_DIGITS} digits")
    try:
        return Decimal(text.replace("_", ""))
    except InvalidOperation:
        _stop("file", text, "no number that anything can be counted or measured with")


def _integer(text: str) -> int:
    if len(text) > _MOST_DIGITS:
        _stop("file", text[:40] + "...", f"a number has at most {_MOST_DIGITS} digits")
    return int(text)


def _toml(text: str) -> Table:
    if (deep := _DEEP_KEY.search(text)) is not None:
        line = text.count("\n", 0, deep.start()) + 1
        _stop(f"line {line}", deep.group()[:40] + "...", "nested too deeply for a job file")
    try:
        return tomllib.loads(text, parse_float=_decimal)
    except tomllib.TOMLDecodeError as error:
        _stop_toml(text, str(error))
    except RecursionError:
        _stop("file", "", "nested too deeply for a job file")
    except ValueError:  # int() refuses texts of thousands of digits
        _stop("file", "", f"a number has at most {_MOST_DIGITS} digits")


def _stop_toml(text: str, message: str) -> NoReturn:
    found = _TOML_PLACE.match(message)
    if found is None:
        _stop("file", "", f"not TOML: {_plain(message)}")
    if found["line"] is None:
        _stop("end of file", text.rstrip().rpartition("\n")[2][:120], f"not TOML: {_plain(found['what'])}")
    line, column = int(found["line"]), int(found["column"])
    shown, position = _show(text, line, column)
    _stop(f"line {line}, column {column}", shown, f"not TOML: {_plain(found['what'])}{_hint(shown)}", position)


def _hint(line: str) -> str:
    """Say what most often is wrong with a line: a text without its quotes."""
    value = line.partition("=")[2].strip()
    if value and not value.startswith(("'", '"', "[", "{")) and not value.replace(".", "").isdigit():
        return f'; a text goes in quotes, as in {line.partition("=")[0].strip() or "length"} = "80 1/2"'
    return ""
