"""The command line's one application: which commands there are, and where each is, imported when it is asked for."""

from __future__ import annotations

from collections import UserDict
from importlib import import_module
from typing import Any, Final

import typer
from typer.core import TyperGroup
from typer.main import get_group

__all__ = ["HOMES", "app"]

HOMES: Final = {
    "plan": ("plan",),
    "read": ("read",),
    "check": ("check",),
    "compare": ("advice",),
    "worth": ("advice",),
    "margins": ("advice",),
    "spares": ("advice",),
    "backup": ("safety",),
    "restore": ("safety",),
    "export": ("safety",),
    "schema": ("schema",),
    "serve": ("serve",),
    "rack": ("rack", "rack_lists", "rack_history"),
}
"""Every command in the order of the help, with the modules of `cli` that it is made of."""


class _Commands(UserDict[str, Any]):
    """The commands by name: all are known at once, each is built from its modules when it is first looked at."""

    def __init__(self) -> None:
        super().__init__(dict.fromkeys(HOMES))

    def __getitem__(self, name: str) -> Any:
        if self.data[name] is None:
            self.data[name] = _built(name)
        return self.data[name]


def _built(name: str) -> Any:
    for module in HOMES[name]:
        import_module(f"cli.{module}")
    alone = typer.Typer(rich_markup_mode=None, add_completion=False)
    alone.registered_commands = [each for each in app.registered_commands if name in {each.name, _plain(each.callback)}]
    alone.registered_groups = [each for each in app.registered_groups if each.name == name]
    return get_group(alone).commands[name]


def _plain(callback: Any) -> str:
    return str(getattr(callback, "__name__", ""))


class _Group(TyperGroup):
    """A group that needs no command's module but that of the command which is run."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.commands = _Commands()


app = typer.Typer(
    name="tallystick",
    cls=_Group,
    help="From a parts list to the provably cheapest steel to buy, and a cut plan for the saw.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
