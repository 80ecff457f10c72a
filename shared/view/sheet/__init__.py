"""The cut sheet: its head, its sections, its layouts."""
