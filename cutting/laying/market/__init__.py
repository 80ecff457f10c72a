"""Laying out what yards sell and cut: marks, carried pieces, orders."""
