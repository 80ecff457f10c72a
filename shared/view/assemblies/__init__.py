"""A plan by assembly: parts, weight, surface and share of the cost, for kitting and for quoting."""

from shared.view.assemblies.shares import Assembly, Share, by_assembly, steel_lengths

__all__ = ["Assembly", "Share", "by_assembly", "steel_lengths"]
