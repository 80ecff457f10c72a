"""Files that only their owner may read: the store, the password, the secret that signs."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Final

__all__ = ["TooOpenError", "check_private", "make_private"]

_OTHERS: Final = stat.S_IRWXG | stat.S_IRWXO


class TooOpenError(OSError):
    """Others than its owner may read or write a file that is nobody else's business.

    Attributes
    ----------
    path : Path
        The file.
    """

    def __init__(self, path: Path, mode: int) -> None:
        self.path = path
        super().__init__(f"others may read or write {path} (its mode is {mode:o}): chmod 600 {path}")


def check_private(path: Path) -> None:
    """Make sure that only its owner may read a file, where the system knows owners.

    Raises
    ------
    TooOpenError
        Others may.
    OSError
        It isn't there, or can't be looked at.
    """
    mode = stat.S_IMODE(path.stat().st_mode)
    if os.name == "posix" and mode & _OTHERS:
        raise TooOpenError(path, mode)


def make_private(path: Path) -> None:
    """Make an empty file that only its owner may read, whatever the folder and the umask; see `check_private`."""
    try:
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    except FileExistsError:
        check_private(path)
