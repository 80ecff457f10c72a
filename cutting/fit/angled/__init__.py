"""Angled ends: geometry, poses, gaps between neighbours, pricing of rows and their order on a stick."""

from cutting.fit.angled.shape import PartLengths, lengths_of

__all__ = ["PartLengths", "lengths_of"]
