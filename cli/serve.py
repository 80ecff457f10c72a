"""`tallystick serve`: the page and the JSON API on this computer."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli.app import app
from cli.exits import Code, leave

if TYPE_CHECKING:
    from api.serving import Opening

__all__ = ["serve"]

_PRELOAD = ("cli.main",)


@app.command()
def serve(
    *,
    host: Annotated[
        str, typer.Option("--host", metavar="ADDRESS", help="Address to listen at; 0.0.0.0 is the whole network.")
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option("--port", metavar="NUMBER", min=0, max=65_535, help="Port; 0 takes any free one.")
    ] = 8765,
    data: Annotated[
        Path | None,
        typer.Option(
            "--data", metavar="FOLDER", help="Where jobs and plans are kept; your own data folder by default."
        ),
    ] = None,
    store: Annotated[
        str,
        typer.Option(
            "--store", metavar="URL", help="Another database than the one in the folder, as an SQLAlchemy URL."
        ),
    ] = "",
    password_file: Annotated[
        Path | None,
        typer.Option(
            "--password-file", metavar="FILE", help="The shop's password; TALLYSTICK_PASSWORD says it as well."
        ),
    ] = None,
    open_to_anyone: Annotated[
        bool,
        typer.Option(
            "--open-to-anyone",
            help="Listen to a network without a password: whoever is on it can read, change and delete everything.",
        ),
    ] = False,
    name: Annotated[
        list[str] | None, typer.Option("--name", metavar="HOST", help="Another name this computer goes by.")
    ] = None,
    trusted_proxy: Annotated[
        list[str] | None,
        typer.Option(
            "--trusted-proxy",
            metavar="ADDRESS",
            help="A proxy in front of the service, whose X-Forwarded-For says who a client is.",
        ),
    ] = None,
    solves: Annotated[
        int | None, typer.Option("--solves", metavar="NUMBER", min=1, max=64, help="Solves at once; the rest wait.")
    ] = None,
) -> None:
    """Serve the page and the JSON API until Ctrl-C."""
    from api.serving import Listening, RefusedError  # noqa: PLC0415 - only this command needs the service
    from api.serving import serve as run  # noqa: PLC0415
    from shared.store.place import data_directory  # noqa: PLC0415

    listening = Listening(
        host=host,
        port=port,
        folder=data or data_directory(),
        store=store,
        password=_password(password_file),
        open_to_anyone=open_to_anyone,
        names=tuple(name or ()),
        trusted_proxies=tuple(trusted_proxy or ()),
        solves=solves,
    )
    try:
        run(listening, _say, _PRELOAD)
    except RefusedError as error:
        leave(Code.INPUT, str(error))


def _password(file: Path | None) -> str | None:
    if file is None:
        return os.environ.get("TALLYSTICK_PASSWORD") or None
    from shared.store.private import TooOpenError, check_private  # noqa: PLC0415

    try:
        check_private(file)
        lines = file.read_text(encoding="utf-8").splitlines()
    except TooOpenError as error:
        leave(Code.INPUT, str(error))
    except (OSError, UnicodeDecodeError) as error:
        leave(Code.INPUT, f"can't read the password from {file}: {error}")
    return lines[0].strip() if lines else ""


def _say(opening: Opening) -> None:
    typer.echo(f"Tallystick listens at {' and '.join(opening.addresses)} (Ctrl-C ends it)")
    if opening.code:
        typer.echo(f"Scan this to come in:\n\n{opening.code}\n{opening.link}")
