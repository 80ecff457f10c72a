"""The command line's entry: every command, and no traceback whatever happens."""

from __future__ import annotations

import atexit
import errno
import gc
import io
import os
import signal
import sys
from typing import Annotated, Final, NoReturn

import typer

from cli.app import app
from cli.exits import Code
from cutting.question.errors import CuttingError

__all__ = ["run"]

_OBJECTS_BETWEEN_COLLECTIONS: Final = 200_000


def _version(*, wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version  # noqa: PLC0415 - a fortieth of a second that only this needs

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


def _start_lightly() -> None:
    """Spend the start on what was asked: most of what a short command takes is loading, which leaves no garbage."""
    gc.set_threshold(_OBJECTS_BETWEEN_COLLECTIONS)
    atexit.register(gc.freeze)  # what is loaded goes with the process; looking through it once more frees nothing
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # we use none; looking for them reads every package


def _defect(error: Exception) -> NoReturn:
    sys.stderr.write(f"a defect of ours, sorry: {type(error).__name__}: {error}\n")
    sys.exit(Code.DEFECT)


def run() -> None:
    """Run the command line; what goes wrong is said in words, with the exit codes of `cli.exits.Code`."""
    _start_lightly()
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
