"""Examples of the rack's and the works' bodies; a test posts every one of them."""

from __future__ import annotations

from typing import Any, Final

__all__ = ["CHANGES", "COUNT", "EVENTS", "NEW_BARS", "RECEIVED", "TAKE"]

NEW_BARS: Final[Any] = {
    "summary": "Three drops of a stall frame",
    "value": {
        "who": "Bay 2",
        "unit": "in",
        "bars": [
            {"section": "SHS 1-1/2x1-1/2x1/8", "length": "41 3/8", "place": "Bay 2, low", "heat": "K4471"},
            {"section": "SHS 1-1/2x1-1/2x1/8", "length": "63 1/4", "quantity": 2, "remark": "primed"},
        ],
    },
}

CHANGES: Final[Any] = {
    "summary": "Measured again, and moved",
    "value": {"who": "Bay 2", "length": "41 1/4 in", "place": "Bay 3"},
}

COUNT: Final[Any] = {
    "summary": "One piece shorter than written, one that nobody had written down",
    "value": {
        "who": "Stock-take",
        "lines": [
            {"number": 1, "length": "41 1/4 in"},
            {"section": "SHS 1-1/2x1-1/2x1/8", "length": "22 in", "place": "Bay 1"},
        ],
    },
}

TAKE: Final[Any] = {"summary": "Take a plan in hand", "value": {"job": "kX3vQ1bT9sLw0aYd", "who": "Office"}}

RECEIVED: Final[Any] = {
    "summary": "One stick as it should be, one shorter",
    "value": {
        "who": "Yard gate",
        "lines": [{"bar": 1, "heat": "K4471"}, {"bar": 2, "heat": "K4471", "length": "239 1/2 in"}],
    },
}

EVENTS: Final[Any] = {
    "summary": "What a phone kept while there was no network",
    "value": {
        "who": "Phone at the saw",
        "events": [
            {"key": "6e2b7c1a-1", "kind": "tick", "slot": 1},
            {"key": "6e2b7c1a-2", "kind": "short", "slot": 2, "length": "238 1/2 in"},
            {"key": "6e2b7c1a-3", "kind": "blade", "kerf": "1/8 in"},
        ],
    },
}
