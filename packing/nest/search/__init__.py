"""Heuristic search: annealing over sequences of items that are placed layer by layer at the bottom left."""
