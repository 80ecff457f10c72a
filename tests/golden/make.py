"""Make the random jobs: invented racks, stalls and stands, each from its kind and a number.

    python -m tests.golden.make

writes `tests/golden/jobs/`. The jobs are kept as files, so that no change of this module or of a library changes them:
it says where they come from, and makes more of them. Afterwards `python -m tests.golden.renew`.
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

JOBS = Path(__file__).parent / "jobs"
Table = dict[str, Any]
# What a job file says of a cut's plane, where the section's two sides differ.
PLANES = {
    "RHS 60x40x3": ("60", "40"),
    "flat 50x6": ("50",),
    "flat 2x1/4": ("2",),
    "L 1-1/2x1-1/2x3/16": ("upright leg",),
}
TITLES = ("Firewood racks", "Market stalls", "Kayak stands")


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """What a system of units brings along: sections, lengths in its own marks, stick lengths, saws.

    Attributes
    ----------
    unit, currency : str
        As a job file says them.
    sections : tuple of (str, float)
        Sections of the tables, with an invented price for a `step` of the longest stick.
    marks : int
        Marks of the tape to one unit.
    shortest, longest : int
        Of a part, in marks.
    mills : tuple of int
        Full bars, in units.
    kerfs, trims : tuple of str
        As a job file says them.
    far : str
        What fits on a van's roof.
    """

    unit: str
    currency: str
    sections: tuple[tuple[str, float], ...]
    marks: int
    shortest: int
    longest: int
    mills: tuple[int, ...]
    kerfs: tuple[str, ...]
    trims: tuple[str, ...]
    far: tuple[str, ...]
    load: str
    keep: tuple[str, str]
    allowance: str


METRIC = Shop(
    unit="mm",
    currency="EUR",
    sections=(("SHS 40x40x3", 0.0062), ("RHS 60x40x3", 0.0078), ("flat 50x6", 0.0041)),
    marks=2,
    shortest=500,
    longest=4400,
    mills=(6000, 6500, 7500),
    kerfs=("2.4", "2.5", "3"),
    trims=("0", "5", "10"),
    far=("3500", "4200"),
    load="180 kg",
    keep=("2.40/m", "500"),
    allowance="8",
)
INCHES = Shop(
    unit="in",
    currency="USD",
    sections=(("SHS 2x2x1/8", 0.28), ("L 1-1/2x1-1/2x3/16", 0.17), ("flat 2x1/4", 0.15)),
    marks=16,
    shortest=160,
    longest=1400,
    mills=(240, 288, 252),
    kerfs=("1/16", "3/32", "1/8"),
    trims=("0", "1/4", "1/2"),
    far=("11 ft", "13 ft"),
    load="400 lb",
    keep=("0.80/ft", "20"),
    allowance="1/4",
)


class Maker:
    """One job in the making."""

    def __init__(self, kind: str, number: int) -> None:
        self.chance = random.Random(f"golden {kind} {number}")
        self.shop = self.chance.choice([METRIC, INCHES])
        self.sections = list(self.shop.sections)
        self.chance.shuffle(self.sections)
        kerf = self.chance.choice(self.shop.kerfs)
        self.job: Table = {
            "title": f"{self.chance.choice(TITLES)}, {kind} {number}",
            "unit": self.shop.unit,
            "currency": self.shop.currency,
            "saw": {"kerf": kerf, "end_trim": self.chance.choice(self.shop.trims)},
            "parts": [],
            "sticks": [],
        }

    def length(self, marks: int) -> str:
        """Write a length given in marks of the tape."""
        whole, rest = divmod(marks, self.shop.marks)
        if not rest:
            return str(whole)
        return f"{whole}.5" if self.shop.marks == 2 else f"{whole} {Fraction(rest, self.shop.marks)}"

    def parts(self, sections: int, kinds: int, pieces: tuple[int, int]) -> None:
        """Add parts, so many kinds to a section."""
        for at, (section, _) in enumerate(self.sections[:sections]):
            for number in range(kinds):
                self.job["parts"].append(
                    {
                        "mark": f"{'PQR'[at]}{number + 1}",
                        "section": section,
                        "length": self.length(self.chance.randint(self.shop.shortest, self.shop.longest)),
                        "quantity": self.chance.randint(*pieces),
                    }
                )

    def price(self, rate: float, units: float, share: tuple[float, float] = (0.88, 1.12)) -> str:
        """Price a stick by its length."""
        return f"{rate * units * self.chance.uniform(*share):.2f}"

    def sticks(self, sections: int, mills: int, **more: Any) -> None:
        """Add full bars, so many lengths to a section."""
        for section, rate in self.sections[:sections]:
            for mill in sorted(self.chance.sample(self.shop.mills, mills)):
                line = {"section": section, "length": str(mill), "price": self.price(rate, mill), **more}
                self.job["sticks"].append(line)

    def pieces(self, table: str, sections: int, most: int, **more: Any) -> None:
        """Add pieces of a yard's rack, or one's own drops."""
        lines = self.job.setdefault(table, [])
        for section, rate in self.sections[:sections]:
            for _ in range(self.chance.randint(1, most)):
                marks = self.chance.randint(2 * self.shop.shortest, 2 * self.shop.longest)
                line = {
                    "section": section,
                    "length": self.length(marks),
                    "quantity": self.chance.randint(1, 3),
                    **more,
                }
                if table == "rack":
                    line["price"] = self.price(rate, marks / self.shop.marks, (0.3, 0.8))
                else:
                    line["end_trim"] = "0"
                lines.append(line)

    def angles(self) -> None:
        """Give most parts angled ends."""
        few = self.chance.sample(["15", "22.5", "30", "45", "45"], 2)
        for part in self.job["parts"]:
            if self.chance.random() < 0.75:
                first, second = self.chance.choice(few), self.chance.choice([*few, "0"])
                part["ends"] = [f"{first} from square", f"{second} from square"]
                part["measured"] = self.chance.choice(["long point", "long point", "centre line", "short point"])
                if part["section"] in PLANES:
                    part["plane"] = self.chance.choice(PLANES[part["section"]])
                if part["section"].startswith("L"):
                    part["long_points"] = self.chance.choice(["top", "bottom"])
                if second != "0":
                    part["lean"] = self.chance.choice(["opposed", "opposed", "parallel"])

    def yards(self) -> None:
        """Buy from two yards with terms."""
        tax = {"rate": self.chance.choice(["5 %", "7.25 %"])}
        north = {
            "name": "North yard",
            "delivery": self.chance.choice(["8.00", "18.00", "45.00"]),
            "delivery_free_from": self.chance.choice(["250.00", "400.00"]),
            "collecting": self.chance.choice([False, "12.00"]),
            "minimum": self.chance.choice(["0", "60.00"]),
            "tax": tax,
        }
        river = {
            "name": "River yard",
            "delivery": False,
            "collecting": self.chance.choice(["9.50", "14.00"]),
            "cuts": {"charge": "1.50", "free": self.chance.choice([0, 2]), "allowance": self.shop.allowance},
            **({"tax": {**tax, "on": ["material"]}} if self.chance.random() < 0.5 else {}),
        }
        self.job["yards"] = [north, river]

    def carry(self, *, load: bool) -> None:
        """Say what fits on the van."""
        self.job["carry"] = {"longest": self.chance.choice(self.shop.far), **({"load": self.shop.load} if load else {})}

    def breaks(self) -> None:
        """Lower the price of some lines from a number on."""
        for line in self.job["sticks"]:
            if self.chance.random() < 0.7:
                lower = f"{float(line['price']) * self.chance.uniform(0.85, 0.96):.2f}"
                line["breaks"] = [{"from_quantity": self.chance.randint(3, 6), "price": lower}]

    def substitutes(self) -> None:
        """Accept another section for some parts."""
        names = [section for section, _ in self.sections[:2]]
        for part in self.job["parts"]:
            if self.chance.random() < 0.4:
                other = names[1 - names.index(part["section"])]
                part["substitutes"] = [{"section": other, "remark": "holes as drawn"}]


def square(kind: str, number: int) -> Table:
    made = Maker(kind, number)
    made.parts(1, 4 + 2 * number, (2, 14))
    made.sticks(1, 1 + number % 3)
    return made.job


def sections(kind: str, number: int) -> Table:
    made = Maker(kind, number)
    count = 2 + number % 2
    made.parts(count, 3 + number, (1, 10))
    made.sticks(count, 2)
    if number % 3 == 0:  # no prices: weight decides
        del made.job["currency"]
        for line in made.job["sticks"]:
            del line["price"]
    return made.job


def rack(kind: str, number: int) -> Table:
    made = Maker(kind, number)
    made.parts(1 + number % 2, 5 + number, (1, 8))
    made.sticks(1 + number % 2, 2)
    made.pieces("rack", 1 + number % 2, 6)
    made.pieces("own", 1, 3)
    return made.job


def limited(kind: str, number: int) -> Table:
    """Every stick limited: some of these have no plan at all."""
    made = Maker(kind, number)
    made.parts(1, 6, (2, 6))
    made.sticks(1, 2, available=3 + 2 * (number % 2))
    made.pieces("rack", 1, 4)
    return made.job


def angled(kind: str, number: int) -> Table:
    made = Maker(kind, number)
    made.parts(1 + number % 2, 3 + number // 4, (1, 10))
    made.sticks(1 + number % 2, 1 + number % 2)
    if number % 3 == 0:
        made.pieces("rack", 1, 3)
    made.angles()
    if number % 4 == 0:
        made.job["saw"]["one_way"] = True
    return made.job


def yards(kind: str, number: int) -> Table:
    made = Maker(kind, number)
    made.parts(2, 4 + number // 3, (1, 8))
    made.yards()
    made.sticks(2, 2, yard="North yard")
    made.sticks(2, 1, yard="River yard")
    made.pieces("rack", 1, 3, yard="River yard")
    if number % 2:
        made.pieces("own", 1, 2)
        made.job["kind_cost"] = "6.00"
    return made.job


def yards_angled(kind: str, number: int) -> Table:
    made = Maker(kind, number)
    made.parts(1 + number % 2, 3, (1, 6))
    made.yards()
    made.sticks(1 + number % 2, 1, yard="North yard")
    made.sticks(1 + number % 2, 1, yard="River yard")
    made.angles()
    if number % 2 == 0:
        made.carry(load=False)
    return made.job


def keep(kind: str, number: int) -> Table:
    made = Maker(kind, number)
    made.parts(1, 3 + number % 3, (1, 6))
    if number % 3 == 0:
        made.yards()
        made.sticks(1, 2, yard="North yard")
        made.sticks(1, 1, yard="River yard")
    else:
        made.sticks(1, 2)
        made.pieces("own", 1, 3)
    per, shortest = made.shop.keep
    made.job["keep_value"] = {"per_length": per, "shortest": shortest}
    return made.job


def breaks(kind: str, number: int) -> Table:
    made = Maker(kind, number)
    made.parts(1 + number % 2, 4 + number, (1, 9))
    made.sticks(1 + number % 2, 3)
    made.breaks()
    return made.job


def substitutes(kind: str, number: int) -> Table:
    made = Maker(kind, number)
    made.parts(2, 3 + number, (1, 6))
    made.sticks(2, 2)
    made.substitutes()
    if number % 2:
        made.job["kind_cost"] = "15.00"
    return made.job


def carried(kind: str, number: int) -> Table:
    made = Maker(kind, number)
    made.parts(1 + number % 2, 4, (1, 6))
    made.yards()
    made.sticks(1 + number % 2, 1, yard="North yard")
    made.sticks(1 + number % 2, 2, yard="River yard")
    made.carry(load=number % 2 == 0)
    return made.job


def impossible(kind: str, number: int) -> Table:
    """The lengths would do, but only two parts fit on a stick: by sorts of job that is proven in other places."""
    made = Maker(kind, number)
    made.sticks(1, 1, available=3, **({"yard": "North yard"} if number == 2 else {}))
    (stick,) = made.job["sticks"]
    marks = int(stick["length"]) * made.shop.marks * 2 // 5
    made.job["parts"] = [
        {"mark": "P1", "section": stick["section"], "length": made.length(marks), "quantity": 4},
        {"mark": "P2", "section": stick["section"], "length": made.length(marks - 7), "quantity": 3},
    ]
    if number == 2:
        made.yards()
    if number == 3:
        made.angles()
    return made.job


KINDS: dict[str, tuple[Callable[[str, int], Table], int]] = {
    "square": (square, 8),
    "sections": (sections, 6),
    "rack": (rack, 6),
    "limited": (limited, 4),
    "angled": (angled, 10),
    "yards": (yards, 8),
    "yards_angled": (yards_angled, 8),
    "keep": (keep, 6),
    "breaks": (breaks, 4),
    "substitutes": (substitutes, 4),
    "carried": (carried, 6),
    "impossible": (impossible, 3),
}


def main(arguments: Sequence[str] = ()) -> int:
    """Write every job."""
    if arguments:
        sys.stderr.write(f"{__doc__}\n")
        return 2
    JOBS.mkdir(exist_ok=True)
    for path in JOBS.glob("*.json"):
        path.unlink()
    for kind, (make, count) in KINDS.items():
        for number in range(1, count + 1):
            text = json.dumps(make(kind, number), ensure_ascii=False, indent=1)
            (JOBS / f"{kind}_{number}.json").write_text(f"{text}\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
