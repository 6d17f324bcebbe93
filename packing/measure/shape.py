"""The outline of a tool from a few measures of its pattern, scaled to each piece."""

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum

from packing.measure.errors import BadInput
from packing.measure.kinds import Form, Sharp
from packing.measure.model import Tool
from packing.measure.outline import Outline
from packing.messages import Figure, Message, Series, Term
from packing.polygon import Polygon, Rect, counter_clockwise


class ShapeMeasure(StrEnum):
    """A measure of a pattern beyond its rectangles, in hundredths of one of the piece's own measures."""

    PEEN = "peen"
    TAPER = "taper"
    EYE_HEIGHT = "eye_height"
    BEARD = "beard"
    NECK = "neck"
    BELLY = "belly"
    REACH_NEAR = "reach_near"
    REACH_FAR = "reach_far"


_OF_THE_HANDLE = (ShapeMeasure.NECK, ShapeMeasure.BELLY, ShapeMeasure.REACH_NEAR, ShapeMeasure.REACH_FAR)
SHAPE_MEASURES: Mapping[Form, tuple[ShapeMeasure, ...]] = {
    Form.HAMMER: (ShapeMeasure.PEEN, ShapeMeasure.TAPER, *_OF_THE_HANDLE),
    Form.AXE: (ShapeMeasure.EYE_HEIGHT, ShapeMeasure.BEARD, *_OF_THE_HANDLE),
    # The blade of an adze bends towards its handle: its head is traced, or stays a rectangle.
    Form.ADZE: _OF_THE_HANDLE,
    Form.MALLET: _OF_THE_HANDLE,
}
"""Measures that can be said of each form."""
TYPICAL: Mapping[Form, Mapping[ShapeMeasure, int]] = {
    Form.HAMMER: {ShapeMeasure.PEEN: 25, ShapeMeasure.TAPER: 60, ShapeMeasure.NECK: 75, ShapeMeasure.BELLY: 100},
    Form.AXE: {ShapeMeasure.EYE_HEIGHT: 55, ShapeMeasure.BEARD: 30, ShapeMeasure.NECK: 80, ShapeMeasure.BELLY: 90},
    Form.ADZE: {ShapeMeasure.NECK: 80, ShapeMeasure.BELLY: 100},
    Form.MALLET: {ShapeMeasure.NECK: 80, ShapeMeasure.BELLY: 100},
}
"""Figures to begin from, to be measured on the tool (common practice, no source)."""
MOST_MEASURES = 4
"""Of one pattern: who needs more traces the outline."""
GUARD_UM = 20_000
"""Height of a guard from a sharp edge, all along it (common practice, no source)."""
_NECK_END, _BELLY_START, _BELLY_END, _SWELL_START = 15, 35, 75, 88
"""Places of neck, belly and swell of a handle, in hundredths of its length (common practice, no source)."""


def shaped_outline(tool: Tool, shape: Mapping[ShapeMeasure, Decimal]) -> Outline | None:
    """The outline of a piece by the measures of its pattern.

    Parameters
    ----------
    tool
        The measured piece.
    shape
        In hundredths: `peen` (thickness of the peen's edge) and `eye_height` and `beard` (how far the edge reaches
        below the eye) of the head's height; `taper` (from the face to where the peen begins to taper) of the head's
        length; `neck`, `belly`, and for a curved handle `reach_near` and `reach_far` (from the eye's middle line
        towards face or poll, and towards peen or edge) of the handle's width.

    Returns
    -------
    Outline or None
        None where nothing is said: the rectangles stand. What is not said is as large as the rectangle.

    Raises
    ------
    BadInput
        A measure that the form has not, more than `MOST_MEASURES`, one that is not above 0 and at most 100, eye and
        beard higher than the head.
    """
    if not shape:
        return None
    check_shape_measures(tool.form, shape)
    own = {one: share for one, share in shape.items() if one not in _OF_THE_HANDLE}
    head = None
    if own:
        head = _axe_head(tool, shape) if tool.form is Form.AXE else _tapered_head(tool, shape)
    handle = _handle(tool, shape) if len(own) < len(shape) else None
    return Outline(head, handle)


def check_shape_measures(form: Form, shape: Mapping[ShapeMeasure, Decimal]) -> None:
    """Check the measures of a pattern.

    Parameters
    ----------
    form
        Of its tools.
    shape
        See `shaped_outline`.

    Raises
    ------
    BadInput
        See `shaped_outline`.
    """
    known = SHAPE_MEASURES[form]
    for one, share in shape.items():
        if one not in known:
            message = Message(
                "is not a measure of this form; it has {known}.", known=Series(tuple(Term(each) for each in known))
            )
            raise BadInput(one, message)
        if not 0 < share <= 100:
            raise BadInput(one, Message("must be above 0 and at most 100, not {given}.", given=Figure(f"{share}", "%")))
    if len(shape) > MOST_MEASURES:
        raise BadInput("shape", f"must have at most {MOST_MEASURES} measures, not {len(shape)}.")
    both = sum(shape.get(one, Decimal(0)) for one in (ShapeMeasure.EYE_HEIGHT, ShapeMeasure.BEARD))
    if both > 100:
        raise BadInput(
            ShapeMeasure.BEARD,
            Message(
                "and the eye are {both} of the head's height together; at most 100 % is possible.",
                both=Figure(f"{both}", "%"),
            ),
        )


def _part(whole_um: int, share: Decimal) -> int:
    """So many hundredths of a length, up to the next hundredth of a millimetre."""
    return -int(-(whole_um * share) // 1000) * 10


def _within(points: list[tuple[int, int]], rect: Rect) -> Polygon:
    # To hundredths of a millimetre, as a file has them, and never out of the rectangle.
    (x0, y0), (x1, y1) = (-(-low // 10) * 10 for low in rect[:2]), (high // 10 * 10 for high in rect[2:])
    points = [(x // 10 * 10, y // 10 * 10) for x, y in points]
    return counter_clockwise(tuple((min(max(x, x0), x1), min(max(y, y0), y1)) for x, y in points))


def _tapered_head(tool: Tool, shape: Mapping[ShapeMeasure, Decimal]) -> Polygon:
    """A body as high as the head from the face to where it tapers, then even on both sides to the peen's edge."""
    height, length = tool.head_height_um, tool.head_length_um
    start = _part(length, shape.get(ShapeMeasure.TAPER, Decimal(100)))
    # The eye lies in the body: a taper cannot begin before its far side.
    start = max(start, min(length, tool.eye_offset_um + tool.handle_width_um // 2))
    edge = _part(height, shape.get(ShapeMeasure.PEEN, Decimal(100)))
    # A guard round a sharp edge was measured with it; its thickness is the edge's measure, its depth is told here.
    guard = min(length - start, GUARD_UM) if tool.sharp is not Sharp.NONE else 0
    low = (height - edge) // 20 * 10
    points = [(0, 0), (height, 0), (height, start), (low + edge, length - guard), (low + edge, length)]
    return _within([*points, (low, length), (low, length - guard), (0, start)], tool.head_rect)


def _axe_head(tool: Tool, shape: Mapping[ShapeMeasure, Decimal]) -> Polygon:
    """The eye's walls from the poll, the crown out to the toe of the edge, the heel back under the beard to the eye."""
    height, length = tool.head_height_um, tool.head_length_um
    beard = _part(height, shape.get(ShapeMeasure.BEARD, Decimal(0)))
    eye = _part(height, shape.get(ShapeMeasure.EYE_HEIGHT, 100 - shape.get(ShapeMeasure.BEARD, Decimal(0))))
    lower = height - beard
    upper = max(0, lower - eye)
    half = _part(tool.handle_width_um, shape.get(ShapeMeasure.NECK, Decimal(100))) // 2
    near, far = tool.eye_offset_um - half, tool.eye_offset_um + half
    # The eye has as much wall towards the edge as towards the poll.
    throat = min(max(far, 2 * tool.eye_offset_um), length)
    guard = max(throat, length - (GUARD_UM if tool.sharp is not Sharp.NONE else 0))
    points = [(upper, 0), (0, near), (0, length), (height, length), (height, guard), (lower, throat)]
    # Between the eye and the heel's height the handle is a part of the head's rectangle.
    points += [(lower, far), (height, far), (height, near), (lower, near), (lower, 0)]
    return _within(points, tool.head_rect)


def _handle(tool: Tool, shape: Mapping[ShapeMeasure, Decimal]) -> Polygon:
    """Neck, belly and swell, each side by itself: a curved handle reaches further to one."""
    x0, y0, x1, y1 = tool.handle_rect
    width, length, eye = y1 - y0, x1 - x0, tool.eye_offset_um
    neck = _part(width, shape.get(ShapeMeasure.NECK, Decimal(100))) // 2
    belly = shape.get(ShapeMeasure.BELLY, Decimal(100))
    sides = []
    for sign, measure in ((-1, ShapeMeasure.REACH_NEAR), (1, ShapeMeasure.REACH_FAR)):
        reach = min(_part(width, shape.get(measure, Decimal(50))), -(-width // 2))
        bulge = _part(reach, belly)
        offs = (neck, neck, bulge, bulge, reach, reach)
        shares = (0, _NECK_END, _BELLY_START, _BELLY_END, _SWELL_START, 100)
        xs = (x0 + length * share // 100 for share in shares)
        sides.append([(x, eye + sign * off) for x, off in zip(xs, offs, strict=True)])
    return _within([*sides[0], *reversed(sides[1])], tool.handle_rect)
