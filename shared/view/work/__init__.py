"""Paper of a plan in hand: its cut sheet, its trace list, the list to take stock with."""
