"""Examples in the API's description; a test posts every one of them."""

from __future__ import annotations

from typing import Any, Final

__all__ = ["JOB_JSON", "JOB_TOML", "LISTS_JSON", "PASTED"]

_STAND: Final[dict[str, Any]] = {
    "title": "Kayak stand",
    "unit": "in",
    "currency": "USD",
    "saw": {"kerf": "3/32", "end_trim": "1/4"},
    "parts": [
        {"mark": "A", "section": "SHS 1-1/2x1-1/2x1/8", "length": "80 1/2", "quantity": 4, "note": "uprights"},
        {"mark": "B", "section": "SHS 1-1/2x1-1/2x1/8", "length": "34 5/8", "quantity": 6},
    ],
    "sticks": [{"section": "SHS 1-1/2x1-1/2x1/8", "length": "20 ft", "price": "61.40"}],
    "rack": [{"section": "SHS 1-1/2x1-1/2x1/8", "length": "117 5/8", "price": "14.00"}],
}

JOB_JSON: Final[dict[str, Any]] = {"summary": "A kayak stand", "value": _STAND}

JOB_TOML: Final[dict[str, Any]] = {
    "summary": "The same stand without prices",
    "value": """\
title = "Kayak stand"
unit = "in"

[saw]
kerf = "3/32"
end_trim = "1/4"

[[parts]]
mark = "A"
section = "SHS 1-1/2x1-1/2x1/8"
length = "80 1/2"
quantity = 4

[[sticks]]
section = "SHS 1-1/2x1-1/2x1/8"
length = "20 ft"
""",
}

_PASTED: Final = """\
4 - 1-1/2x1-1/2x1/8 sq tube @ 6'-8 1/2"  uprights
6 pcs 1-1/2x1-1/2x1/8 sq tube 34 5/8"
"""

PASTED: Final[dict[str, Any]] = {"summary": "A kayak stand, as somebody wrote it down", "value": _PASTED}

LISTS_JSON: Final[Any] = {
    "summary": "A kayak stand with prices",
    "value": {
        "title": "Kayak stand",
        "parts": _PASTED,
        "sticks": "SHS 1-1/2x1-1/2x1/8 20 ft $61.40",
        "rack": 'SHS 1-1/2x1-1/2x1/8 117 5/8" $14',
        "kerf": "3/32 in",
        "end_trim": "1/4 in",
    },
}
