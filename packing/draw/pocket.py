"""A small picture of where one item goes: its layer from above, its own place filled."""

from packing.draw.canvas import BLUE, FINE, INK, THIN, Canvas, Drawing
from packing.draw.scale import View
from packing.draw.shapes import Rect
from packing.draw.solids import solids
from packing.measure import BadInput
from packing.plan import Plan

WIDTH_MM, HEIGHT_MM = 40.0, 26.0
PALE = "#dcd6c8"
MIDDLE = "middle"


def pocket_picture(plan: Plan, item: str) -> Drawing:
    """Draw one item's place among the others of its layer, seen from above.

    Parameters
    ----------
    plan
        What to draw.
    item
        The item's id.

    Returns
    -------
    Drawing
        Not to scale, at most 40 × 26 mm, without lettering: its title and description say what it shows.

    Raises
    ------
    BadInput
        The plan has no such item.
    """
    shown = next((one for one in plan.items if one.id == item), None)
    if shown is None:
        raise BadInput("item", f"must be one of the plan's, not {item!r}.")
    length, width, _height = plan.interior_um
    view = View(max(length / 1000 / WIDTH_MM, width / 1000 / HEIGHT_MM), "mm")
    canvas = Canvas()
    canvas.polygon(view.rect(Rect(0, 0, length, width)).corners, THIN)
    for part in solids(plan, shown.layer):
        own = part.letter == shown.letter
        colour, fill = (BLUE, BLUE) if own else (INK, PALE)
        canvas.polygon(view.rect(part.footprint).corners, FINE, fill=fill, colour=colour)
    title = f"Where {shown.letter} goes"
    place = _side(shown.parts[0].min_um, shown.parts[0].max_um, (length, width))
    return canvas.finish(title, f"Seen from above, filled: {shown.letter}, {place}.", None, None)


def _side(low: tuple[int, ...], high: tuple[int, ...], sides: tuple[int, int]) -> str:
    """On which side of its layer a part lies, in words."""
    middle = [(low[axis] + high[axis]) / 2 / sides[axis] for axis in (0, 1)]
    words = []
    for place, (less, more) in zip(middle, (("left", "right"), ("front", "back")), strict=True):
        words.append(less if place < 0.4 else more if place > 0.6 else MIDDLE)
    return "in the middle" if set(words) == {MIDDLE} else f"{words[0]}, {words[1]}"
