"""Packages that hand out names of their modules, each module imported when one of its names is first used."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any

__all__ = ["handed_out"]


def handed_out(package: str, homes: Mapping[str, str]) -> tuple[Callable[[str], Any], Callable[[], list[str]]]:
    """Make a package's `__getattr__` and `__dir__` (PEP 562).

    Parameters
    ----------
    package : str
        The package's name.
    homes : mapping of str to str
        The module in the package that each name comes from.

    Returns
    -------
    tuple of (callable, callable)
        The two functions.
    """

    def get(name: str) -> Any:
        if name not in homes:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        value = getattr(import_module(f"{package}.{homes[name]}"), name)
        setattr(sys.modules[package], name, value)
        return value

    def names() -> list[str]:
        return sorted({*vars(sys.modules[package]), *homes})

    return get, names
