"""Whole lists: parts, offers, outside sizes, and the job they make."""
