"""Section names: what they mean, what a metre weighs and how much of it is there to paint."""

from shared.sections.materials import MATERIALS, Material, material_of
from shared.sections.understand import System, UnfinishedSectionError, understand

__all__ = ["MATERIALS", "Material", "System", "UnfinishedSectionError", "material_of", "understand"]
