"""`tallystick rack`: the shop's own pieces of steel, seen and put right one by one."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Annotated

import typer

from cli.app import app
from cli.files import write_bytes
from cli.rack_said import Said, changes_of, listed, new_of
from cli.shop import DataOption, LabelArgument, StoreOption, WhoOption, YesOption, number_of, opened_shop
from cutting.question.lengths import Unit

if TYPE_CHECKING:
    from shared.store.shop import ShopStore
    from shared.work.rack.bars import Bar, BarState
    from shared.work.saw.work import Outcome

__all__ = [
    "JsonOption",
    "PlaceFilter",
    "SectionFilter",
    "UnitOption",
    "at_hand",
    "chosen",
    "rack",
    "say_outcome",
    "titles",
]

rack = typer.Typer(
    help="The rack: your own pieces of steel, with labels, places and heat numbers.", rich_markup_mode=None
)
app.add_typer(rack, name="rack")

JsonOption = Annotated[
    str | None,
    typer.Option("--json", metavar="FILE", help="Write it as JSON; - writes it to standard output instead."),
]
UnitOption = Annotated[
    Unit | None, typer.Option("--unit", help="What a bare length means; left out, it must say so itself.")
]
SectionFilter = Annotated[
    str, typer.Option("--section", metavar="TEXT", help="Only pieces whose section has this in it.")
]
PlaceFilter = Annotated[str, typer.Option("--place", metavar="TEXT", help="Only pieces whose place has this in it.")]
SectionOption = Annotated[
    str | None, typer.Option("--section", metavar="NAME", help="What it is, such as SHS 2x2x1/8.")
]
MaterialOption = Annotated[
    str | None, typer.Option("--material", metavar="TEXT", help="Grade and finish; empty for plain.")
]
LengthOption = Annotated[
    str | None, typer.Option("--length", metavar="LENGTH", help="What a tape says, with its unit.")
]
FirstEndOption = Annotated[
    str | None,
    typer.Option("--first-end", metavar="TRIM", help="To take off its first end: sawn for nothing, or a length."),
]
SecondEndOption = Annotated[
    str | None, typer.Option("--second-end", metavar="TRIM", help="The same of its second end.")
]
PlaceOption = Annotated[str | None, typer.Option("--place", metavar="TEXT", help="Where it lies.")]
RemarkOption = Annotated[str | None, typer.Option("--remark", metavar="TEXT", help="Bent, drilled, painted ...")]
HeatOption = Annotated[str | None, typer.Option("--heat", metavar="TEXT", help="Heat number.")]
WhyOption = Annotated[str, typer.Option("--why", metavar="TEXT", help="A word on it, for the history.")]


@rack.callback(invoke_without_command=True)
def show(
    context: typer.Context,
    *,
    section: SectionFilter = "",
    place: PlaceFilter = "",
    everything: Annotated[
        bool, typer.Option("--all", help="Pieces that are gone, lost or still to come as well.")
    ] = False,
    unit: Annotated[
        Unit | None, typer.Option("--unit", help="In which lengths are shown; each in its own by default.")
    ] = None,
    json: JsonOption = None,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Show the rack by section: place, length, free or reserved; or change it by one of the commands below."""
    if context.invoked_subcommand is not None:
        _only_behind(context)
        return
    with opened_shop(data, store) as shop:
        bars = chosen(shop.bars(states=None if everything else at_hand()), section, place)
        works = titles(shop, bars)
    from cli.rack_show import bars_json, rack_text  # noqa: PLC0415 - keeps --help instant

    if json is not None:
        write_bytes(json, bars_json(bars, works))
    if json != "-":
        typer.echo(rack_text(bars, works, unit), nl=False)


@rack.command()
def add(
    source: Annotated[
        str | None, typer.Argument(metavar="LIST", help="Pieces as text, CSV, xlsx or ods; - reads standard input.")
    ] = None,
    *,
    section: SectionOption = None,
    material: MaterialOption = None,
    length: LengthOption = None,
    first_end: FirstEndOption = None,
    second_end: SecondEndOption = None,
    place: PlaceOption = None,
    remark: RemarkOption = None,
    heat: HeatOption = None,
    quantity: Annotated[int, typer.Option("--quantity", metavar="NUMBER", min=1, max=500, help="So many alike.")] = 1,
    unit: UnitOption = None,
    yes: YesOption = False,
    who: WhoOption = None,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Put pieces on the rack: one by options, or many by a list in whatever form."""
    said = Said(
        section=section,
        material=material,
        length=length,
        first=first_end,
        second=second_end,
        place=place,
        remark=remark,
        heat=heat,
    )
    if (source is None) is not said.anything:
        raise typer.BadParameter("name a list, or state one piece with --section and --length")
    with opened_shop(data, store) as shop:
        news = (new_of(said, unit),) * quantity if source is None else listed(source, unit, shop.bars(), yes=yes)
        say_outcome(shop.add_bars(news, who or ""))


@rack.command()
def correct(
    label: LabelArgument,
    *,
    section: SectionOption = None,
    material: MaterialOption = None,
    length: LengthOption = None,
    first_end: FirstEndOption = None,
    second_end: SecondEndOption = None,
    place: PlaceOption = None,
    remark: RemarkOption = None,
    heat: HeatOption = None,
    unit: UnitOption = None,
    why: WhyOption = "",
    who: WhoOption = None,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Put right what is written of a piece; an empty text takes a place, remark or heat number away."""
    said = Said(
        section=section,
        material=material,
        length=length,
        first=first_end,
        second=second_end,
        place=place,
        remark=remark,
        heat=heat,
    )
    number = number_of(label)
    if not said.anything:
        raise typer.BadParameter("say what is different, such as --length or --place")
    with opened_shop(data, store) as shop:
        changes = changes_of(said, shop.bar(number), unit)
        say_outcome(shop.correct(number, changes, who or "", why))


@rack.command()
def scrap(
    label: LabelArgument,
    *,
    why: WhyOption = "",
    who: WhoOption = None,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Throw a free piece away."""
    with opened_shop(data, store) as shop:
        say_outcome(shop.scrap(number_of(label), who or "", why))


@rack.command()
def lost(
    label: LabelArgument,
    *,
    why: WhyOption = "",
    who: WhoOption = None,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Say that a piece isn't where it should be, nor anywhere else."""
    with opened_shop(data, store) as shop:
        say_outcome(shop.lost(number_of(label), who or "", why))


@rack.command()
def found(
    label: LabelArgument,
    *,
    why: WhyOption = "",
    who: WhoOption = None,
    data: DataOption = None,
    store: StoreOption = "",
) -> None:
    """Say that a lost piece is there after all."""
    with opened_shop(data, store) as shop:
        say_outcome(shop.found(number_of(label), who or "", why))


def chosen(bars: Iterable[Bar], section: str, place: str) -> tuple[Bar, ...]:
    """Return the pieces whose section and place have these texts in them, whatever their case."""
    wanted, where = section.casefold(), place.casefold()
    return tuple(bar for bar in bars if wanted in bar.section.label.casefold() and where in bar.place.casefold())


def titles(shop: ShopStore, bars: Iterable[Bar]) -> dict[str, str]:
    """Return the titles of the works that these pieces belong to, by id."""
    return {work.id: work.title for work in shop.works()} if any(bar.work for bar in bars) else {}


def say_outcome(outcome: Outcome) -> None:
    """Say what happened, what no longer fits, and how to take it back."""
    typer.echo(outcome.words)
    for flag in outcome.flags:
        typer.echo(f"  {flag.words}")
    typer.echo(f"Entry {outcome.entry}; tallystick rack undo {outcome.entry} takes it back.")


def at_hand() -> tuple[BarState, ...]:
    """Return the states of what is on the rack."""
    from shared.work.rack.bars import BarState  # noqa: PLC0415

    return tuple(state for state in BarState if state.at_hand)


def _only_behind(context: typer.Context) -> None:
    """Refuse the list's options in front of another command: they would be lost."""
    sources = {
        parameter.opts[0]: context.get_parameter_source(parameter.name or "") for parameter in context.command.params
    }
    given = [option for option, source in sources.items() if source is not None and source.name == "COMMANDLINE"]
    if given:
        raise typer.BadParameter(
            f"write {', '.join(given)} behind {context.invoked_subcommand}, where it has such an option"
        )
