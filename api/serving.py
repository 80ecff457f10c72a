"""Run the service on this computer: its socket, its secret, its addresses, the code to scan."""

from __future__ import annotations

import io
import logging
import os
import secrets
import socket
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import segno
import uvicorn
from starlette.types import ASGIApp

from api.app import create_app
from api.service.connections import connections_of
from api.service.entrance import Entrance
from api.service.settings import Limits, Settings, is_loopback, own_names
from shared.store.database import StoreError
from shared.store.place import InUseError, opened_by_us, shown, the_service_of, url_of
from shared.store.private import TooOpenError, check_private

__all__ = ["Listening", "Opening", "RefusedError", "serve", "server_config"]

_SECRET_BYTES: Final = 32
_LEAST_PASSWORD: Final = 8
_MOST_PASSWORD: Final = 200
_GRACE_SECONDS: Final = 5
_BACKLOG: Final = 256
_NOWHERE: Final = ("192.0.2.1", 9)  # RFC 5737: documentation only; connecting a datagram socket sends nothing


class RefusedError(Exception):
    """The service doesn't start like this; its message says why, and what to do instead."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Listening:
    """How the service is to listen.

    Attributes
    ----------
    host : str
        Address to listen at.
    port : int
        Port; 0 for any free one.
    folder : Path
        Where the store and the secret live.
    store : str
        SQLAlchemy URL of another store, empty for the one in the folder.
    password : str or None
        The shop's password.
    open_to_anyone : bool
        Listen to a network without one.
    names : tuple of str
        More names this computer goes by.
    trusted_proxies : tuple of str
        Addresses of proxies in front of the service, whose word on who a client is counts.
    solves : int or None
        Solves at once, None for what suits the computer.
    """

    host: str
    port: int
    folder: Path
    store: str = ""
    password: str | None = None
    open_to_anyone: bool = False
    names: tuple[str, ...] = ()
    trusted_proxies: tuple[str, ...] = ()
    solves: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Opening:
    """What to say once the service listens.

    Attributes
    ----------
    addresses : tuple of str
        Where to find it.
    code : str
        Drawing of a code to scan that lets a phone in, empty where only this computer reaches it.
    link : str
        What the code says.
    """

    addresses: tuple[str, ...]
    code: str
    link: str


def serve(listening: Listening, say: Callable[[Opening], None], preload: Sequence[str] = ()) -> None:
    """Run the service until it is told to end.

    Parameters
    ----------
    listening : Listening
        How.
    say : callable
        Hears where it listens.
    preload : sequence of str
        Modules of the caller's main module; see `api.service.runner.process.Children`.

    Raises
    ------
    RefusedError
        It can't, or mustn't, start like this.
    """
    settings = settings_of(listening)
    with _held(settings.database):
        _run(listening, settings, say, preload)


def _run(listening: Listening, settings: Settings, say: Callable[[Opening], None], preload: Sequence[str]) -> None:
    bound = _bind(listening)
    try:
        app = create_app(settings, preload)
    except (StoreError, OSError) as error:
        bound.close()
        raise RefusedError(f"can't open the store {shown(settings.database)}: {error}") from None
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(levelname)s %(message)s")
    logging.getLogger("alembic").setLevel(logging.WARNING)
    config = server_config(app, settings.limits, listening.trusted_proxies)
    say(_opening(listening, settings, bound.getsockname()[1]))
    uvicorn.Server(config).run(sockets=[bound])


def server_config(app: ASGIApp, limits: Limits, trusted_proxies: Sequence[str] = ()) -> uvicorn.Config:
    """Return how the server runs an application: with deadlines and caps for clients, and no words of its own."""
    return uvicorn.Config(
        app,
        log_config=None,
        log_level=logging.WARNING,
        access_log=False,
        server_header=False,
        http=connections_of(limits, trusted_proxies),
        ws="none",
        proxy_headers=bool(trusted_proxies),
        forwarded_allow_ips=list(trusted_proxies),
        timeout_graceful_shutdown=_GRACE_SECONDS,
    )


def settings_of(listening: Listening) -> Settings:
    """Return the settings of a service that listens so; raises RefusedError where it mustn't."""
    _check_password(listening)
    folder = listening.folder
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        secret = _secret(folder / "secret")
    except TooOpenError as error:
        raise RefusedError(str(error)) from None
    except OSError as error:
        raise RefusedError(f"can't use the folder {folder}: {(error.strerror or str(error)).lower()}") from None
    limits = Limits() if listening.solves is None else Limits(places=listening.solves)
    return Settings(
        database=url_of(folder, listening.store),
        password=listening.password,
        names=tuple(dict.fromkeys((*own_names(), listening.host.lower(), *(name.lower() for name in listening.names)))),
        secret=secret,
        limits=limits,
    )


def _held(database: str) -> ExitStack:
    """Return what keeps a restore, and a second service, away from the store while the service runs."""
    stack = ExitStack()
    try:
        _held_alone(stack, database)
        stack.enter_context(opened_by_us(database))
    except InUseError as error:
        raise RefusedError(f"{error.path} is just being restored; start the service when that is done") from None
    except (ValueError, OSError) as error:
        raise RefusedError(f"can't open the store {shown(database)}: {error}") from None
    return stack


def _held_alone(stack: ExitStack, database: str) -> None:
    try:
        stack.enter_context(the_service_of(database))
    except InUseError as error:
        raise RefusedError(
            f"another service runs on {error.path} already: use that one, end it first, or name another folder with "
            "--data"
        ) from None


def _check_password(listening: Listening) -> None:
    password = listening.password
    if password is None:
        if not (is_loopback(listening.host) or listening.open_to_anyone):
            raise RefusedError(
                f"listening at {listening.host} lets the whole network in: give a password with --password-file FILE "
                "or TALLYSTICK_PASSWORD, or say --open-to-anyone"
            )
    elif not (_LEAST_PASSWORD <= len(password) <= _MOST_PASSWORD and password.isascii() and password.isprintable()):
        raise RefusedError(
            f"a password has {_LEAST_PASSWORD} to {_MOST_PASSWORD} letters, digits and signs that any keyboard and any "
            "program can send"
        )


def _secret(path: Path) -> bytes:
    """Return the secret that signs cookies, made at the first start; only its owner may read it."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        check_private(path)
        return path.read_bytes()
    with os.fdopen(handle, "wb") as file:
        secret = secrets.token_bytes(_SECRET_BYTES)
        file.write(secret)
    return secret


def _bind(listening: Listening) -> socket.socket:
    family = socket.AF_INET6 if ":" in listening.host else socket.AF_INET
    bound = socket.socket(family, socket.SOCK_STREAM)
    try:
        bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        bound.bind((listening.host, listening.port))
        bound.listen(_BACKLOG)
    except (OSError, OverflowError) as error:
        bound.close()
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise RefusedError(f"can't listen at {listening.host}, port {listening.port}: {why.lower()}") from None
    return bound


def _opening(listening: Listening, settings: Settings, port: int) -> Opening:
    if is_loopback(listening.host):
        name = f"[{listening.host}]" if ":" in listening.host else listening.host
        return Opening(addresses=(f"http://{name}:{port}/",), code="", link="")
    outside = _outside_address() if listening.host in {"0.0.0.0", "::"} else listening.host  # noqa: S104  compared, not bound
    home = f"http://{f'[{outside}]' if ':' in outside else outside}:{port}/"
    local = (f"http://127.0.0.1:{port}/",) if listening.host in {"0.0.0.0", "::"} else ()  # noqa: S104
    link = home
    if settings.password is not None:
        link = f"{home}enter?code={Entrance(settings.password, settings.secret).code()}"
    return Opening(addresses=(home, *local), code=_drawn(link), link=link)


def _outside_address() -> str:
    """Return the address by which the network reaches this computer, as far as its routes tell."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_NOWHERE)
        except OSError:
            return "127.0.0.1"
        return str(probe.getsockname()[0])


def _drawn(link: str) -> str:
    drawing = io.StringIO()
    segno.make(link, error="m", micro=False).terminal(out=drawing, compact=True)
    return drawing.getvalue()
