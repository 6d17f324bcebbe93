"""Plans the box for one order of measured hand tools: nesting, insert, box, weights and drawings.

Plain Python: millimetres and grams at the edges, whole micrometres and milligrams inside.
"""

__version__ = "0.1.0"
