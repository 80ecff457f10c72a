"""Tables: their rows, headers and columns."""
