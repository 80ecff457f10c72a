"""A number as a length, and what it is where it has two readings."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Final

from cutting.question.lengths import Unit
from shared.reading.text.tokens import Token
from shared.reading.values.draft import Around, Ask, Draft, Measured, Rewrite

__all__ = ["LENGTH_UNITS", "measured", "settle_open"]

LENGTH_UNITS: Final = frozenset(unit.value for unit in Unit)
_NAMES: Final = {".": "point", ",": "comma"}
_SHOP_FORMS: Final = frozenset({"fraction", "mixed", "glyph", "feet", "feet?"})


def settle_open(length: Measured, decimal: str, unit: Unit | None) -> tuple[Measured | None, str, Ask | None]:
    """Settle ``1.200``: by its unit or the list's decimal sign; otherwise it is asked.

    Parameters
    ----------
    length : Measured
        With a second reading in `grouped`.
    decimal : str
        The list's decimal sign, empty where it shows none.
    unit : Unit or None
        The unit of the length as far as known.

    Returns
    -------
    Measured or None
        The length with one reading, None where it stays open.
    str
        What to say about how it was settled.
    Ask or None
        The question where it stays open.
    """
    assert length.grouped is not None
    sign = "." if "." in length.body else ","
    if unit is Unit.M:
        return replace(length, grouped=None), "", None
    if unit in {Unit.IN, Unit.FT} or sign == decimal:
        note = f"{length.body} read as {_show(length.value)}" + (
            f": the list's decimal sign is a {_NAMES[sign]}"
            if sign == decimal
            else ": the other reading is longer than any stick"
        )
        return replace(length, grouped=None), note if sign == "," or unit is not Unit.IN else "", None
    if decimal:
        note = f"{length.body} read as {_show(length.grouped)}: the list's decimal sign is a {_NAMES[decimal]}"
        return replace(length, value=length.grouped, grouped=None), note, None
    return None, "", _ask_open(length)


def measured(token: Token, draft: Draft, around: Around) -> Measured | None:
    """Return a number as a length; asks where it has two readings."""
    value = token.value
    unit = Unit(token.unit) if token.unit in LENGTH_UNITS else None
    if token.form == "open":
        return Measured(
            value=token.readings[0],
            unit=unit,
            start=token.start,
            end=token.start + len(token.body),
            grouped=token.readings[1],
            body=token.body.strip(),
        )
    if token.form == "spaced":
        value = _settle_spaced(token, draft)
    elif token.form == "feet?" and draft.quantity is None and not around.offers:
        _ask_loose_feet(token, draft)
        return None
    if value is None:
        return None
    return Measured(value=value, unit=unit, start=token.start, end=token.end, shop=token.form in _SHOP_FORMS)


def _show(value: Fraction) -> str:
    return str(value.numerator) if value.denominator == 1 else f"{float(value):g}"


def _ask_open(length: Measured) -> Ask:
    """Ask whether a sign is a decimal's or a thousands separator."""
    assert length.grouped is not None
    decimal = f"{float(length.value):g}"
    readings = (str(length.grouped.numerator), decimal if "." in decimal else f"{decimal}.0")
    unit = f" {length.unit}" if length.unit else ""
    return Ask(
        message=f"{length.body} is {readings[0]} or {readings[1]}? write it without a thousands separator",
        position=length.start,
        rewrites=tuple(
            Rewrite(reading=f"{reading}{unit}", start=length.start, end=length.end, text=reading)
            for reading in readings
        ),
    )


def _shown_unit(token: Token) -> str:
    return f" {token.unit}" if token.unit else ""


def _settle_spaced(token: Token, draft: Draft) -> Fraction | None:
    """Settle ``1 250``: one number where the quantity is stated elsewhere, otherwise asked."""
    count, rest, whole = token.readings
    if draft.quantity is not None:
        return whole
    end = token.start + len(token.body)
    body = token.body.replace(" ", "")
    tail = token.body.partition(" ")[2]
    draft.asks.append(
        Ask(
            message=f"{token.body} is one length or a quantity and a length?",
            position=token.start,
            rewrites=(
                Rewrite(reading=f"{body}{_shown_unit(token)}", start=token.start, end=end, text=f"1 pc {body}"),
                Rewrite(
                    reading=f"{count} pieces of {tail}{_shown_unit(token)}",
                    start=token.start,
                    end=end,
                    text=f"{count} pcs {tail}",
                ),
            ),
        )
    )
    return None if rest is not None else whole


def _ask_loose_feet(token: Token, draft: Draft) -> None:
    """Ask whether ``8' 4`` is feet and inches or feet and a quantity."""
    feet, inches = token.readings
    draft.asks.append(
        Ask(
            message=f"{token.text.strip()} is feet and inches, or a length and a quantity?",
            position=token.start,
            rewrites=(
                Rewrite(
                    reading=f"{feet}' {inches}\"", start=token.start, end=token.end, text=f"{feet}'-{inches}\" 1 pc"
                ),
                Rewrite(
                    reading=f"{inches} pieces of {feet}'",
                    start=token.start,
                    end=token.end,
                    text=f"{feet}' {inches} pcs",
                ),
            ),
        )
    )
