"""The shop's memory as plain values and pure functions: the rack, the works in hand, what was sawn from what."""
