"""Files and standard streams: what can't be read or written is said in words."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import typer

from cli.exits import Code, leave

__all__ = ["name_of", "read_bytes", "write_bytes"]


def name_of(path: str) -> str:
    """Name a file for messages."""
    return "standard input" if path == "-" else path


def read_bytes(path: str) -> bytes:
    """Read a file, or standard input for ``-``, up to what a reader takes; ends the command where that fails."""
    from shared.files.job.document import MOST_BYTES  # noqa: PLC0415 - keeps --help instant

    try:
        if path == "-":
            return sys.stdin.buffer.read(MOST_BYTES + 1)
        with Path(path).open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except IsADirectoryError:
        leave(Code.INPUT, f"{path} is a folder; name a file in it")
    except (OSError, ValueError) as error:
        leave(Code.INPUT, f"can't read {path}: {_why(error)}")


def write_bytes(path: str, data: bytes) -> None:
    """Write a file, or standard output for ``-``; ends the command where that fails."""
    if path == "-":
        typer.get_binary_stream("stdout").write(data)
        return
    target = Path(path).resolve()
    beside = target.with_name(f".{target.name}.{os.getpid()}")
    try:
        if target.is_dir():
            leave(Code.INPUT, f"{path} is a folder; name a file in it")
        if target.exists() and not target.is_file():
            target.write_bytes(data)
            return
        beside.write_bytes(data)
        beside.replace(target)
    except (OSError, ValueError) as error:
        beside.unlink(missing_ok=True)
        leave(Code.INPUT, f"can't write {path}: {_why(error)}")


def _why(error: OSError | ValueError) -> str:
    return (error.strerror or str(error)).lower() if isinstance(error, OSError) else str(error)
