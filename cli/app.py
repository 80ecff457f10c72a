"""The command line's one application, which each command joins."""

from __future__ import annotations

import typer

__all__ = ["app"]

app = typer.Typer(
    name="tallystick",
    help="From a parts list to the provably cheapest steel to buy, and a cut plan for the saw.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
