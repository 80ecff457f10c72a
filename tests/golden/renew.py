"""Renew the kept answers: the only way they change.

    python -m tests.golden.renew [answers] [plans] [work] [said]

renews all kinds, or those named. Every file that isn't as it was is named; read the differences (`git diff`) before
they are committed, and say in the commit why each kind changed.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from tests.golden.kept import PLANS, answers_of_today, plans_of_today, work_of_today
from tests.golden.said import SAID, said_of_today

KINDS: dict[str, Callable[[], dict[Path, bytes]]] = {
    "answers": answers_of_today,
    "plans": plans_of_today,
    "work": work_of_today,
    "said": said_of_today,
}
FOLDERS = {"plans": PLANS, "said": SAID}


def main(arguments: Sequence[str]) -> int:
    """Renew and name what changed."""
    if not set(arguments) <= set(KINDS):
        sys.stderr.write(f"{__doc__}\n")
        return 2
    for kind in arguments or KINDS:
        wanted = KINDS[kind]()
        before = set(FOLDERS[kind].rglob("*.*")) if kind in FOLDERS else set()
        for path in sorted(before - set(wanted)):
            path.unlink()
            sys.stdout.write(f"gone: {path.name}\n")
        for path, data in wanted.items():
            if not path.is_file() or path.read_bytes() != data:
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(data)
                sys.stdout.write(f"renewed: {path.name}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
