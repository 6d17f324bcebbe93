"""Plane figures with straight sides and whole corners in micrometres: what is inside, larger, simpler, common."""

from packing.polygon.figure import Point, Polygon, Rect, area2, counter_clockwise, crossing, extent, holds, of_rect
from packing.polygon.largest_rectangle import largest_rectangle
from packing.polygon.offset import clipped, offset
from packing.polygon.simpler import simpler
from packing.polygon.union import Loop, union_loops

__all__ = [
    "Loop",
    "Point",
    "Polygon",
    "Rect",
    "area2",
    "clipped",
    "counter_clockwise",
    "crossing",
    "extent",
    "holds",
    "largest_rectangle",
    "of_rect",
    "offset",
    "simpler",
    "union_loops",
]
