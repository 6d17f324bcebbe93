"""The pictures of a plan."""

from packing.draw import (
    blank_drawing,
    box_section,
    corner_pages,
    isometric,
    lid_section,
    piece_drawing,
    plan_view,
    pocket_picture,
    rod_pages,
    sheet_drawing,
    side_section,
    small_box,
    step_drawing,
    tape_picture,
    template_pages,
)

__all__ = [
    "blank_drawing",
    "box_section",
    "corner_pages",
    "isometric",
    "lid_section",
    "piece_drawing",
    "plan_view",
    "pocket_picture",
    "rod_pages",
    "sheet_drawing",
    "side_section",
    "small_box",
    "step_drawing",
    "tape_picture",
    "template_pages",
]
