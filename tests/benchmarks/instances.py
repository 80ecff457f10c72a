"""Sets of instances to measure on: files given by path, and two generators.

A set file has one JSON object a line, in one of two forms:

* one kind of stick: ``name, stick, lengths, demands, optimum`` (fewest sticks, as published);
* a shop job: ``name, kerf, end_trim, lengths, demands, stock`` with stock as [length, price, available or null].
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutting.fit.instance import Instance


@dataclass(frozen=True, kw_only=True, slots=True)
class Case:
    """One instance to measure on; `optimum` where it is known."""

    name: str
    group: str
    instance: Instance
    optimum: int | None = None


def read_set(path: Path) -> list[Case]:
    """Read a set file; every line must be one of the two forms."""
    return [_case(json.loads(line), path.stem) for line in path.read_text().splitlines() if line.strip()]


def _case(record: dict[str, Any], group: str) -> Case:
    if "stock" in record:
        return Case(name=record["name"], group=group, instance=shop_instance(record))
    pieces = sum(record["demands"])
    return Case(
        name=record["name"],
        group=record.get("set", group),
        instance=one_kind(record["stick"], record["lengths"], record["demands"], pieces),
        optimum=record.get("optimum"),
    )


def one_kind(stick: int, lengths: list[int], demands: list[int], limit: int) -> Instance:
    """An instance of the plain cutting stock problem: every stick costs 1."""
    pairs = sorted(zip(lengths, demands, strict=True), reverse=True)
    return Instance(
        sizes=tuple(length for length, _ in pairs),
        demands=tuple(demand for _, demand in pairs),
        capacities=(stick,),
        costs=(1,),
        limits=(limit,),
    )


def shop_instance(record: dict[str, Any]) -> Instance:
    """An instance with kerf, end trim and priced, limited stock."""
    kerf = record["kerf"]
    pairs = sorted(zip(record["lengths"], record["demands"], strict=True), reverse=True)
    pieces = sum(record["demands"])
    return Instance(
        sizes=tuple(length + kerf for length, _ in pairs),
        demands=tuple(demand for _, demand in pairs),
        capacities=tuple(length - record["end_trim"] + kerf for length, _, _ in record["stock"]),
        costs=tuple(price for _, price, _ in record["stock"]),
        limits=tuple(pieces if available is None else min(available, pieces) for _, _, available in record["stock"]),
    )


def cutgen1(count: int, *, kinds: int, stick: int, low: float, high: float, mean: int, seed: int = 1994) -> list[Case]:
    """CUTGEN1, the published generator (Gau & Waescher, European Journal of Operational Research 84, 1995)."""
    uniform = _lehmer(seed)
    group = f"cutgen1 m={kinds} v={low}-{high} d={mean}"
    return [_cutgen_case(number, group, uniform, kinds, stick, (low, high), mean) for number in range(1, count + 1)]


def _lehmer(state: int) -> Iterator[float]:
    while True:
        state = 16807 * state % (2**31 - 1)
        yield state / (2**31 - 1)


def _cutgen_case(
    number: int, group: str, uniform: Iterator[float], kinds: int, stick: int, span: tuple[float, float], mean: int
) -> Case:
    low, high = span
    draws = [next(uniform) for _ in range(kinds)]
    lengths = sorted((int((low + (high - low) * draw) * stick + draw) for draw in draws), reverse=True)
    shares = [next(uniform) for _ in range(kinds)]
    total = kinds * mean
    demands = [max(1, int(total * share / sum(shares) + 0.5)) for share in shares[:-1]]
    demands.append(max(1, total - sum(demands)))
    merged: dict[int, int] = {}
    for length, demand in zip(lengths, demands, strict=True):
        merged[length] = merged.get(length, 0) + demand
    return Case(
        name=f"{group} #{number}",
        group=group,
        instance=one_kind(stick, list(merged), list(merged.values()), sum(merged.values())),
    )


def shop_jobs(count: int, *, pieces: int, kinds: int, stock: int, seed: int, limited: bool = False) -> list[Case]:
    """Shop jobs of our own: 0.5 mm grid, mill lengths at a falling price per metre, a rack of discounted pieces.

    Parameters
    ----------
    count : int
        How many jobs.
    pieces, kinds, stock : int
        About so many pieces, of so many kinds, over so many kinds of stick.
    seed : int
        For the generator.
    limited : bool
        Limit every stick, mill lengths included, to hardly more than the parts need: is there a plan at all?
    """
    rng = random.Random(seed)
    group = f"shop {pieces} pieces, {kinds} kinds, {stock} sticks{', all limited' if limited else ''}"
    return [_shop_case(f"{group} #{n}", group, rng, pieces, kinds, stock, limited) for n in range(1, count + 1)]


def _shop_case(name: str, group: str, rng: random.Random, pieces: int, kinds: int, stock: int, limited: bool) -> Case:
    lengths = rng.sample(range(300, 5600, 2), kinds)
    demands = [max(1, round(rng.uniform(0.2, 1.8) * pieces / kinds)) for _ in lengths]
    rate = rng.uniform(0.3, 1.2)
    kerf, trim = rng.randint(3, 6), rng.choice([0, 10, 20, 30])
    mills = (12000, 15000, 24000)[: max(1, min(3, stock))]
    lines: list[list[int | None]] = [[mill, round(mill * rate * rng.uniform(0.9, 1.0)), None] for mill in mills]
    while len(lines) < stock:
        length = rng.randrange(1200, 9000, 2)
        lines.append([length, round(length * rate * rng.uniform(0.3, 0.8)), rng.randint(1, 4)])
    if limited:
        need = rng.uniform(1.0, 1.03) * sum((n + kerf) * d for n, d in zip(lengths, demands, strict=True))
        _limit(lines, need, kerf, trim)
    record = {"kerf": kerf, "end_trim": trim, "lengths": lengths, "demands": demands, "stock": lines}
    return Case(name=name, group=group, instance=shop_instance(record))


def _limit(lines: list[list[int | None]], need: float, kerf: int, trim: int) -> None:
    """Give the unlimited lines so many sticks in turn that all together hold just what is needed."""
    rooms = [(length or 0) - trim + kerf for length, _, _ in lines]
    have = sum(room * (count or 0) for room, (_, _, count) in zip(rooms, lines, strict=True))
    mills = [number for number, line in enumerate(lines) if line[2] is None]
    for number in mills:
        lines[number][2] = 0
    turn = 0
    while have + rooms[mills[turn % len(mills)]] <= need:
        number = mills[turn % len(mills)]
        lines[number][2] = (lines[number][2] or 0) + 1
        have += rooms[number]
        turn += 1
    lines[mills[0]][2] = (lines[mills[0]][2] or 0) + 1
