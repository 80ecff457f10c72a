"""`tallystick rack history|undo`: what happened, and taking it back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from cli.exits import Code, leave
from cli.files import write_bytes
from cli.rack import JsonOption, rack, say_outcome
from cli.shop import DataOption, StoreOption, WhoOption, YesOption, number_of, opened_shop, sure

if TYPE_CHECKING:
    from shared.store.shop import ShopStore
    from shared.work.saw.work import Entry

__all__: list[str] = []

_LOOK_BACK = 1_000


@rack.command()
def history(
    label: Annotated[
        str | None, typer.Argument(metavar="[LABEL]", help="Only what touched this piece, such as D17.")
    ] = None,
    *,
    work: Annotated[str | None, typer.Option("--work", metavar="ID", help="Only what belongs to this work.")] = None,
    most: Annotated[
        int, typer.Option("--most", metavar="NUMBER", min=1, max=100_000, help="So many entries at most.")
    ] = 40,
    json: JsonOption = None,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Show what happened, the newest first: every change of the rack, of one piece, or of one work."""
    from cli.rack_show import entries_json, history_text  # noqa: PLC0415 - keeps --help instant

    number = None if label is None else number_of(label)
    with opened_shop(data, store) as shop:
        if number is not None:
            shop.bar(number)
        entries = shop.history(number=number, work=work, limit=most)
    if json is not None:
        write_bytes(json, entries_json(entries))
    if json != "-":
        typer.echo(history_text(entries), nl=False)


@rack.command()
def undo(
    entry: Annotated[
        int | None, typer.Argument(metavar="[ENTRY]", min=1, help="Number of the entry; the last one if none.")
    ] = None,
    *,
    yes: YesOption = False,
    who: WhoOption = None,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Take a change back; refused, with the reason, where something newer rests on it."""
    with opened_shop(data, store) as shop:
        number = entry
        if number is None:
            last = _last(shop)
            sure(f"Take back entry {last.id} ({last.who}): {last.words}", yes=yes)
            number = last.id
        say_outcome(shop.undo(number, who or ""))


def _last(shop: ShopStore) -> Entry:
    """Return the newest entry that stands and can be taken back; ends the command where there is none."""
    entries = shop.history(limit=_LOOK_BACK)
    last = next((each for each in entries if each.undone_by is None and each.undoes is None), None)
    if last is None:
        leave(Code.INPUT, "there is nothing to take back")
    return last
