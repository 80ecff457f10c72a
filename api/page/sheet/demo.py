"""The demo sheet: stands for kayaks, an invented job in everyday handwriting."""

from __future__ import annotations

from typing import Final

from api.sheet.form import SheetForm

__all__ = ["DEMO"]

DEMO: Final = SheetForm(
    title="Market stalls, set of two",
    parts="""\
8 - 1-1/2x1-1/2x1/8 sq tube @ 6'-8 1/2"  posts
4 pcs 1-1/2x1-1/2x1/8 sq tube 69 5/16"  rails
8 pcs SHS 1-1/2 x 1-1/2 x .125  33 7/8"  end rails
(4) L1-1/2x1-1/2x3/16  6' 1-3/8"  shelf bearers
6 x L1-1/2x1-1/2x3/16  31 11/16"  shelf ends
flat 2x1/4  11 3/4"  qty 8  pads
flat 2x1/4  26 9/32"  qty 4  braces""",
    sticks="""\
SHS 1-1/2x1-1/2x1/8  20 ft  $61.40
SHS 1-1/2x1-1/2x1/8  24 ft  $72.48
L 1-1/2x1-1/2x3/16  20 ft  $31.00
flat 2x1/4  20 ft  $35.60""",
    rack="""\
SHS 1-1/2x1-1/2x1/8  63-1/4"  $6.00
3 pcs SHS 1-1/2x1-1/2x1/8  117 5/8"  $18.00
L 1-1/2x1-1/2x3/16  74 1/2"  $7.50""",
    currency="USD",
    saw="dry",
    kerf="3/32 in",
    trim="1/4 in",
    hold="3 in",
    keep_from="24 in",
)
