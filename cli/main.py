"""The command line's entry: every command, and no traceback whatever happens."""

from __future__ import annotations

import errno
import io
import os
import signal
import sys
from importlib.metadata import version
from typing import Annotated, NoReturn

import typer

from cli import advice, check, plan, rack, rack_history, rack_lists, read, safety, schema, serve
from cli.app import app
from cli.exits import Code
from cutting.question.errors import CuttingError

__all__ = ["run"]

COMMANDS = (plan, read, check, advice, rack, rack_lists, rack_history, safety, schema, serve)


def _version(*, wanted: bool) -> None:
    if wanted:
        typer.echo(f"tallystick {version('tallystick')}")
        raise typer.Exit


@app.callback()
def main(
    *,
    _: Annotated[
        bool,
        typer.Option(
            "--version", callback=lambda value: _version(wanted=value), is_eager=True, help="Say the version."
        ),
    ] = False,
) -> None:
    """From a parts list to the provably cheapest steel to buy, and a cut plan for the saw."""


def _defect(error: Exception) -> NoReturn:
    sys.stderr.write(f"a defect of ours, sorry: {type(error).__name__}: {error}\n")
    sys.exit(Code.DEFECT)


def run() -> None:
    """Run the command line; what goes wrong is said in words, with the exit codes of `cli.exits.Code`."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)  # Ctrl-C ends at once, even inside a solver that hears nothing
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    try:
        app()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(Code.FAULTS)
    except OSError as error:
        if error.errno not in {errno.ENOSPC, errno.EIO, errno.EDQUOT, errno.EFBIG}:
            _defect(error)
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.stderr.write(f"can't write the output: {(error.strerror or '').lower()}\n")
        sys.exit(Code.INPUT)
    except KeyboardInterrupt:
        sys.stderr.write("stopped\n")
        sys.exit(Code.STOPPED)
    except CuttingError as error:
        sys.stderr.write(f"{error}\n")
        sys.exit(Code.DEFECT)
    except Exception as error:  # noqa: BLE001 - the last net: a person at a saw can't use a traceback
        _defect(error)
