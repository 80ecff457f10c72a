"""Open the shop's memory for a command: where it is, who is asking, and what it refuses, in words."""

from __future__ import annotations

import getpass
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli.exits import Code, leave

if TYPE_CHECKING:
    from sqlalchemy import Engine

    from shared.store.shop import ShopStore

__all__ = [
    "DataOption",
    "LabelArgument",
    "StoreOption",
    "WhoOption",
    "YesOption",
    "milliseconds",
    "number_of",
    "opened_shop",
    "store_url",
    "sure",
]

_LONGEST_WHO = 60


def _who(text: str | None) -> str:
    name = " ".join((_user() if text is None else text).split())
    if len(name) > _LONGEST_WHO or not name.isprintable():
        raise typer.BadParameter(f"write a name of at most {_LONGEST_WHO} characters")
    return name


def _user() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):  # an account without a name, as in some containers
        return ""


DataOption = Annotated[
    Path | None,
    typer.Option("--data", metavar="FOLDER", help="Where the shop's memory is kept; your own data folder by default."),
]
StoreOption = Annotated[
    str,
    typer.Option("--store", metavar="URL", help="Another database than the one in the folder, as an SQLAlchemy URL."),
]
WhoOption = Annotated[
    str | None,
    typer.Option(
        "--who", metavar="NAME", callback=_who, help="Who is written beside it in the history; you by default."
    ),
]
YesOption = Annotated[bool, typer.Option("--yes", help="Make the changes without asking.")]
LabelArgument = Annotated[str, typer.Argument(metavar="LABEL", help="Label of the piece, such as D17.")]


def number_of(label: str) -> int:
    """Return the number of a label; ends the command where it is none."""
    from shared.work.rack.bars import parse_bar_name  # noqa: PLC0415 - keeps --help instant

    number = parse_bar_name(label)
    if number is None:
        leave(Code.INPUT, f"{label} is no label; write the one on the piece, such as D17")
    return number


def store_url(data: Path | None, store: str) -> str:
    """Return the URL of the database that the service uses too."""
    from shared.store.place import url_of  # noqa: PLC0415

    return url_of(data, store)


def milliseconds() -> int:
    """Return what time it is, in milliseconds since 1970: the clock of the store."""
    return time.time_ns() // 1_000_000


@contextmanager
def opened_shop(data: Path | None, store: str) -> Iterator[ShopStore]:
    """Open the shop's memory; whatever it refuses ends the command in words."""
    from sqlalchemy.exc import OperationalError  # noqa: PLC0415

    from shared.store.health import why  # noqa: PLC0415
    from shared.store.place import shown  # noqa: PLC0415
    from shared.store.shop import ShopStore  # noqa: PLC0415
    from shared.work.errors import ShopError  # noqa: PLC0415

    url = store_url(data, store)
    with ExitStack() as stack:
        engine = _opened(stack, url)
        try:
            yield ShopStore(engine, milliseconds)
        except ShopError as error:
            leave(Code.INPUT, "\n".join(error.reasons))
        except OperationalError as error:
            leave(Code.INPUT, f"the shop's memory at {shown(url)} can't be used: {why(error)}")


def _opened(stack: ExitStack, url: str) -> Engine:
    """Open the database until the stack ends; nobody can restore it meanwhile."""
    from shared.store.database import StoreError, open_database  # noqa: PLC0415
    from shared.store.place import InUseError, opened_by_us, shown  # noqa: PLC0415

    try:
        stack.enter_context(opened_by_us(url))
        engine = open_database(url)
    except InUseError as error:
        leave(Code.INPUT, f"{error.path} is just being restored; try again when that is done")
    except StoreError as error:
        leave(Code.INPUT, f"can't open the shop's memory at {shown(url)}: {error}")
    except (ValueError, OSError) as error:
        leave(Code.INPUT, f"can't open the shop's memory at {shown(url)}: {error}")
    stack.callback(engine.dispose)
    return engine


def sure(question: str, *, yes: bool) -> None:
    """Go on where the person agrees; ends the command where not, or where nobody is there to ask."""
    if yes:
        return
    if not typer.get_text_stream("stdin").isatty():
        leave(Code.INPUT, "nothing was changed; say --yes to make these changes")
    if not typer.confirm(question):
        leave(Code.DONE, "nothing was changed")
