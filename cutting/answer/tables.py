"""Plans as pandas tables; the only module that imports pandas, and only when a table is asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from cutting.answer.plan import Plan
from cutting.question.job import Job

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["buy_table", "cut_table"]

_BUY = ("id", "section", "material", "length", "from", "quantity", "price", "cost", "weight_kg")
_CUTS = ("layout", "id", "section", "material", "stick", "from", "sticks", "position", "mark", "length", "start", "end")


def buy_table(job: Job, plan: Plan) -> pd.DataFrame:
    """Buy list of a plan.

    Parameters
    ----------
    job : Job
        The question; lengths are in its unit.
    plan : Plan
        The answer.

    Returns
    -------
    pandas.DataFrame
        A row for each line: id, section, material, length, from, quantity, price, cost (`Decimal`, None without
        prices), weight_kg (NaN where unknown). Lengths and weights are floats, for looking at; the plan itself holds
        exact ones.
    """
    rows = [
        (
            line.stick,
            line.section.name,
            line.section.material,
            float(line.length / job.unit.mm),
            line.source.value,
            line.quantity,
            line.price,
            line.cost,
            None if line.section.mass is None else float(line.section.mass * line.length / 1000 * line.quantity),
        )
        for line in plan.buy
    ]
    return _frame(rows, _BUY).astype({"length": float, "quantity": int, "weight_kg": float})


def cut_table(job: Job, plan: Plan) -> pd.DataFrame:
    """Cuts of a plan.

    Parameters
    ----------
    job : Job
        The question; lengths are in its unit.
    plan : Plan
        The answer.

    Returns
    -------
    pandas.DataFrame
        A row for each part on each layout, in cutting order: layout (from 1), id, section, material, stick (its
        length), from, sticks (cut alike), position (from 1), mark, length, start, end (running dimensions).
    """
    unit = job.unit.mm
    rows = [
        (
            number,
            cut.stick,
            cut.section.name,
            cut.section.material,
            float(cut.length / unit),
            cut.source.value,
            cut.quantity,
            position,
            piece.mark,
            float(piece.length / unit),
            float(piece.start / unit),
            float(piece.end / unit),
        )
        for number, cut in enumerate(plan.cuts, start=1)
        for position, piece in enumerate(cut.pieces, start=1)
    ]
    return _frame(rows, _CUTS)


def _frame(rows: list[tuple[Any, ...]], columns: tuple[str, ...]) -> pd.DataFrame:
    try:
        import pandas as pd  # noqa: PLC0415 - half a second that only tables need
    except ModuleNotFoundError as error:
        message = "a plan as a table needs pandas: install it with pip install 'tallystick[notebook]'"
        raise ModuleNotFoundError(message, name=error.name) from error

    return pd.DataFrame(rows, columns=list(columns))
