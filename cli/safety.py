"""`tallystick backup|restore|export`: the shop's memory in a safe place, and back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from cli.app import app
from cli.exits import Code, leave
from cli.shop import DataOption, StoreOption, YesOption, milliseconds, store_url, sure

if TYPE_CHECKING:
    from shared.store.safety import Contents, Restored

__all__ = ["backup", "export", "restore"]

_Value = TypeVar("_Value")


@app.command()
def backup(
    target: Annotated[Path, typer.Argument(metavar="FILE", help="File to write.")],
    *,
    replace: Annotated[bool, typer.Option("--replace", help="Take the place of a file that is there.")] = False,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Write everything the service keeps into one file, also while it runs, and check that file."""
    from shared.store.safety import back_up  # noqa: PLC0415 - keeps --help instant

    contents = _said(lambda: back_up(store_url(data, store), target, replace=replace))
    typer.echo(f"Backed up to {target}: {_holds(contents)}; checked and sound.")


@app.command()
def restore(
    source: Annotated[Path, typer.Argument(metavar="FILE", help="File that backup wrote.")],
    *,
    yes: YesOption = False,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Put a backup in the place of what the service keeps; that is kept beside it under another name."""
    from shared.store import safety  # noqa: PLC0415 - keeps --help instant
    from shared.store.place import shown  # noqa: PLC0415

    url = store_url(data, store)
    contents = _said(lambda: safety.look_at(source))
    sure(f"{source} holds {_holds(contents)}. Put it in the place of {shown(url)}?", yes=yes)
    typer.echo("\n".join(_told(_said(lambda: safety.restore(source, url, datetime.now().astimezone())))))


@app.command()
def export(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="New folder to write into.")],
    *,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Write everything the service keeps in open formats: tables as CSV, jobs and plans as JSON, with a README."""
    from shared.store.export import export_all  # noqa: PLC0415 - keeps --help instant

    names = _said(lambda: export_all(store_url(data, store), folder, milliseconds))
    typer.echo(f"Written to {folder}: {', '.join(names)}.")


def _said(act: Callable[[], _Value]) -> _Value:
    """Do it; what stands in the way ends the command in words."""
    from shared.store.place import InUseError  # noqa: PLC0415
    from shared.store.safety import SafetyError  # noqa: PLC0415

    try:
        return act()
    except SafetyError as error:
        leave(Code.INPUT, str(error))
    except InUseError as error:
        leave(
            Code.INPUT,
            f"{error.path} is in use: end the service (Ctrl-C) and every other command first, then try again",
        )


def _holds(contents: Contents) -> str:
    counts = [f"{count} {name if count != 1 else name.removesuffix('s')}" for name, count in contents.counts]
    return f"{', '.join(counts)}, {contents.size / 1024:,.0f} KiB"


def _told(done: Restored) -> list[str]:
    """Say what was restored, whether it was brought up to date, and where the old one is."""
    lines = [f"Restored: {_holds(done.after)}; checked and sound."]
    if not done.before.newest:
        lines.append(f"It was of an older schema ({done.before.revision}) and was brought to {done.after.revision}.")
    if done.kept is not None:
        damaged = " It was damaged and is kept as it was found." if done.damaged else ""
        lines.append(f"What was there before is kept as {done.kept}.{damaged}")
    return lines
