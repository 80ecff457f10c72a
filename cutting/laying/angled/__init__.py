"""Laying out parts with angled ends: order, poses, strokes of the saw."""
