"""Corners of a sheet that are cut off by hand."""

from packing.draw.canvas import WIDE, Canvas
from packing.draw.shapes import Rect


def cut_corners(canvas: Canvas, floor: Rect, cut: Rect) -> list[Rect]:
    """Two opposite corners cut off by hand, so that fingers take hold: not the one that everything is measured from."""
    upper = Rect(floor.x0, floor.y0, floor.x0 + cut.width, floor.y0 + cut.height)
    lower = Rect(floor.x1 - cut.width, floor.y1 - cut.height, floor.x1, floor.y1)
    for corner in (upper, lower):
        canvas.lines([((corner.x0, corner.y1), (corner.x1, corner.y0))], WIDE)
    return [upper, lower]
