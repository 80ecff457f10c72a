"""One line: its section, length, quantity, mark and ends, and what it leaves open."""
