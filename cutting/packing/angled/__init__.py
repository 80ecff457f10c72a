"""Packing rows of parts with angled ends."""
