"""The search of a section whose parts have angled ends."""
