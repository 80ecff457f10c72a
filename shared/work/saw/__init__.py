"""A plan in hand at the saw: what was sawn from what, and where every millimetre went."""
