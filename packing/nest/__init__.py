"""The search for the smallest interior, its bounds and proofs."""

from packing.nest.result import Layer, Nesting, Placed

__all__ = ["Layer", "Nesting", "Placed"]
