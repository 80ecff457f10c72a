"""Whether exactly these sticks hold all parts: fractions, dives, lists of patterns and choices among them."""
