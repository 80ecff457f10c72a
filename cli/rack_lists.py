"""`tallystick rack count|export|import|labels`: the rack as lists, out and in again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import PurePath
from typing import TYPE_CHECKING, Annotated

import typer

from cli.exits import Code, leave, leave_with_problems, printable
from cli.files import name_of, read_bytes, write_bytes
from cli.papers import LabelSheetOption, LabelsUsedOption, PaperOption, today
from cli.rack import PlaceFilter, SectionFilter, UnitOption, at_hand, chosen, rack, say_outcome, titles
from cli.shop import DataOption, StoreOption, WhoOption, YesOption, number_of, opened_shop, sure

if TYPE_CHECKING:
    from cutting.question.lengths import Unit
    from shared.store.shop import ShopStore
    from shared.view.issue import Paper
    from shared.work.rack.bars import Bar
    from shared.work.rack.intake import RackList

__all__: list[str] = []

ListArgument = Annotated[str, typer.Argument(metavar="FILE", help="CSV, xlsx or ods file; - reads standard input.")]


@rack.command()
def count(
    source: Annotated[
        str | None, typer.Argument(metavar="FILE", help="The list filled in: CSV, xlsx or ods; - reads standard input.")
    ] = None,
    *,
    write: Annotated[
        str | None,
        typer.Option(
            "--write",
            metavar="FILE",
            help="Write the list to take stock by: .csv, .xlsx or .pdf, else text; - for stdout.",
        ),
    ] = None,
    section: SectionFilter = "",
    place: PlaceFilter = "",
    paper: PaperOption = None,
    unit: UnitOption = None,
    yes: YesOption = False,
    who: WhoOption = None,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Take stock: write the list to walk along the rack with, then read it back filled in."""
    if source is not None and write is not None:
        raise typer.BadParameter("either write the list or read it back; leave out FILE or --write")
    with opened_shop(data, store) as shop:
        if source is None:
            bars = chosen(shop.bars(), section, place)
            write_bytes(write or "-", _stock_list(write or "-", bars, titles(shop, bars), paper))
        else:
            _take_in(shop, source, who or "", unit, yes=yes)


@rack.command()
def export(
    target: Annotated[
        str, typer.Argument(metavar="FILE", help="File to write, .csv or .xlsx; - writes CSV to stdout.")
    ],
    *,
    section: SectionFilter = "",
    place: PlaceFilter = "",
    everything: Annotated[
        bool, typer.Option("--all", help="Pieces that are gone, lost or still to come as well.")
    ] = False,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Write the rack as CSV or xlsx, exact, so that import reads it back."""
    from shared.work.rack.exchange import rack_csv  # noqa: PLC0415 - keeps --help instant
    from shared.writers.xlsx.rack import rack_xlsx  # noqa: PLC0415

    if _ending(target) not in {"-", ".csv", ".xlsx"}:
        raise typer.BadParameter(f"{target} says no form; end its name in .csv or .xlsx")
    with opened_shop(data, store) as shop:
        bars = chosen(shop.bars(states=None if everything else at_hand()), section, place)
        works = titles(shop, bars)
    write_bytes(target, rack_xlsx(bars, works, _now()) if _ending(target) == ".xlsx" else rack_csv(bars, works))


@rack.command("import")
def import_(
    source: ListArgument,
    *,
    new_labels: Annotated[
        bool, typer.Option("--new-labels", help="Every row is a new piece with a new label: another shop's list.")
    ] = False,
    unit: UnitOption = None,
    yes: YesOption = False,
    who: WhoOption = None,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Read an exported list back: changes of labelled pieces, new pieces without label; all of it or nothing."""
    with opened_shop(data, store) as shop:
        _take_in(shop, source, who or "", unit, yes=yes, as_new=new_labels)


@rack.command()
def labels(
    target: Annotated[str, typer.Argument(metavar="FILE", help="PDF to write; - writes it to standard output.")],
    names: Annotated[
        list[str] | None,
        typer.Argument(metavar="[LABEL]...", help="Only these pieces, such as D17; all of the rack if none."),
    ] = None,
    *,
    section: SectionFilter = "",
    place: PlaceFilter = "",
    paper: PaperOption = None,
    label_sheet: LabelSheetOption = None,
    labels_used: LabelsUsedOption = 0,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Write labels for pieces of the rack as PDF, each with its number and a code to scan."""
    numbers = [number_of(name) for name in names or []]
    with opened_shop(data, store) as shop:
        bars = tuple(map(shop.bar, numbers)) or chosen(shop.bars(), section, place)
    write_bytes(target, _labels(bars, paper, label_sheet, labels_used))


def _ending(name: str) -> str:
    return "-" if name == "-" else PurePath(name).suffix.lower()


def _now() -> datetime:
    return datetime.combine(today(), datetime.min.time(), tzinfo=UTC)


def _take_in(shop: ShopStore, source: str, who: str, unit: Unit | None, *, yes: bool, as_new: bool = False) -> None:
    """Read a list, show what it changes, ask, and do it."""
    from shared.work.rack.intake import read_rack_list  # noqa: PLC0415

    found, problems = read_rack_list(read_bytes(source), shop.bars(states=None), unit=unit, as_new=as_new)
    if found is None:
        leave_with_problems(name_of(source), problems)
    typer.echo("\n".join(_shown(found)))
    if not found.lines:
        return
    if found.words:
        sure("Make these changes?", yes=yes)
    say_outcome(shop.stock_take(found.lines, who))


def _shown(found: RackList) -> list[str]:
    """Say what a list changes, and how much it leaves as it is."""
    seen = [f"{found.same} as the books have them"] if found.same else []
    unseen = [f"{found.unseen} not looked at"] if found.unseen else []
    tail = "; ".join([*seen, *unseen]) or "nothing else"
    return [
        *(printable(f"  {words}") for words in found.words),
        f"{'Nothing changes; ' if not found.words else ''}{tail}.",
    ]


def _stock_list(target: str, bars: Sequence[Bar], works: Mapping[str, str], paper: str | None) -> bytes:
    """Write the list to take stock by in the form that the file's name asks for."""
    from shared.work.rack.count_list import stock_take_text  # noqa: PLC0415
    from shared.work.rack.exchange import stock_take_csv  # noqa: PLC0415
    from shared.writers.xlsx.rack import stock_take_xlsx  # noqa: PLC0415

    match _ending(target):
        case ".csv":
            return stock_take_csv(bars, works)
        case ".xlsx":
            return stock_take_xlsx(bars, works, _now())
        case ".pdf":
            return _stock_pdf(bars, paper)
        case _:
            return stock_take_text(bars, works).encode()


def _stock_pdf(bars: Sequence[Bar], paper: str | None) -> bytes:
    from shared.view.work.stock_take import stock_take  # noqa: PLC0415
    from shared.writers.pdf import stock_take_pdf  # noqa: PLC0415

    return stock_take_pdf(stock_take(bars, today(), _paper(bars, paper)))


def _labels(bars: Sequence[Bar], paper: str | None, label_sheet: str | None, used: int) -> bytes:
    from shared.view.labels.bars import bar_labels  # noqa: PLC0415
    from shared.view.labels.sizes import LABEL_SHEETS, usual_labels  # noqa: PLC0415
    from shared.writers.pdf import labels_pdf  # noqa: PLC0415

    if not bars:
        leave(Code.INPUT, "no piece to write a label for")
    sheet = LABEL_SHEETS[label_sheet] if label_sheet else usual_labels(_paper(bars, paper))
    if used >= sheet.count:
        leave(Code.USAGE, f"a sheet of {sheet.name} has {sheet.count} labels; --labels-used must be below that")
    return labels_pdf(bar_labels(bars, today(), sheet, used))


def _paper(bars: Sequence[Bar], paper: str | None) -> Paper:
    """Return the paper that was asked for, else what is usual where the rack's steel comes from."""
    from cutting.question.lengths import Unit  # noqa: PLC0415
    from shared.view.issue import Paper  # noqa: PLC0415
    from shared.work.rack.measures import usual_unit  # noqa: PLC0415

    if paper is not None:
        return Paper(paper)
    return Paper.LETTER if usual_unit(bars) is Unit.IN else Paper.A4
