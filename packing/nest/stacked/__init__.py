"""Blocks that stand on each other freely in an outer case, without layers: heuristic and exact."""
