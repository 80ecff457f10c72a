"""Yards, carrying, breaks, substitutes and the worth of leftovers in the job file."""
