"""The outline of a tool seen on its cheek, head and handle each within its measured rectangle."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from packing.measure.errors import BadInput
from packing.measure.values import LONGEST_UM, mm, read_mapping, read_number, refuse_unknown, shown
from packing.messages import Figure, Length, Message
from packing.polygon import Polygon, Rect, area2, counter_clockwise, crossing, extent, holds

HEAD, HANDLE = "head", "handle"
MOST_POINTS = 400
"""Of one outline: a finer tracing says no more than a knife, a router or a laser can follow."""
LEAST_SPAN = Decimal("0.5")
"""Share of its rectangle that an outline must reach over, each way: less is another unit or another frame."""
JOINT_UM = 1_000
"""Nearness of both outlines to the head's underside, where head and handle meet."""


@dataclass(frozen=True, slots=True)
class Outline:
    """Head and handle seen on the cheek, in micrometres: x along the handle from the crown, y from the face or poll.

    Parameters
    ----------
    head, handle
        Corners in turn, counter-clockwise; None where the measured rectangle stands for it.
    """

    head: Polygon | None = None
    handle: Polygon | None = None


def outline_content(outline: Outline) -> dict[str, list[list[int | float]]]:
    """Write an outline as an order file has it.

    Parameters
    ----------
    outline
        Of a tool.

    Returns
    -------
    dict
        Lists of [x, y] in millimetres by part.
    """
    named = {HEAD: outline.head, HANDLE: outline.handle}
    return {part: [[mm(x), mm(y)] for x, y in figure] for part, figure in named.items() if figure is not None}


def read_outline(raw: Any, field: str, *, head: Rect, handle: Rect) -> Outline | None:
    """Read the outline of a tool.

    Parameters
    ----------
    raw
        An object with ``head`` and ``handle``, lists of [x, y] in mm; one of them may be left out.
    field
        Its path, for messages.
    head, handle
        The measured rectangles in the tool's frame, in micrometres.

    Returns
    -------
    Outline or None
        None where there is none.

    Raises
    ------
    BadInput
        No list of points, too few or too many of them, a point outside its rectangle, sides that cross; an outline
        much smaller than its rectangle; head and handle that do not meet at the head's underside.
    """
    if raw is None:
        return None
    held = read_mapping(raw, field)
    refuse_unknown(held, (HEAD, HANDLE), field)
    figures = {part: _figure(held, part, f"{field}.{part}", rect) for part, rect in ((HEAD, head), (HANDLE, handle))}
    outline = Outline(figures[HEAD], figures[HANDLE])
    if outline == Outline():
        raise BadInput(field, "must have head or handle; it has neither.")
    _refuse_apart(outline, field, head, handle)
    return outline


def _figure(held: Mapping[str, Any], part: str, field: str, rect: Rect) -> Polygon | None:
    raw = held.get(part)
    if raw is None:
        return None
    if not isinstance(raw, Sequence) or isinstance(raw, str) or len(raw) < 3:
        raise BadInput(field, f"must be a list of at least three [x, y] points in mm, not {shown(raw)}.")
    if len(raw) > MOST_POINTS:
        raise BadInput(field, f"must have at most {MOST_POINTS} points, not {len(raw)}.")
    points = [_point(point, f"{field}[{index}]", part, rect) for index, point in enumerate(raw)]
    # A list that comes back to where it began says so with its first point once more.
    if points[0] == points[-1]:
        points.pop()
    crossed = crossing(tuple(points)) if len(points) > 2 else None
    if crossed is not None:
        raise BadInput(field, f"crosses itself: the sides that begin at points {crossed[0]} and {crossed[1]} meet.")
    figure = counter_clockwise(tuple(points))
    if len(figure) < 3 or area2(figure) == 0:
        raise BadInput(field, "has no area inside it.")
    _refuse_small(figure, field, part, rect)
    return figure


def _point(raw: Any, field: str, part: str, rect: Rect) -> tuple[int, int]:
    if not isinstance(raw, Sequence) or isinstance(raw, str) or len(raw) != 2:
        raise BadInput(field, f"must be a point [x, y] in mm, not {shown(raw)}.")
    found = []
    for axis, (name, value) in enumerate(zip("xy", raw, strict=True)):
        um = _coordinate_um(value, field)
        low, high = rect[axis], rect[axis + 2]
        if not low <= um <= high:
            template = (
                "has its {axis} at {at} mm, outside the measured {part}, which lies from {low} to {high} mm there "
                "(x from the crown along the handle, y from the face or poll)."
            )
            raise BadInput(
                field,
                Message(
                    template,
                    axis=Figure(name),
                    at=Figure(f"{mm(um)}"),
                    part=Figure(part),
                    low=Figure(f"{mm(low)}"),
                    high=Figure(f"{mm(high)}"),
                ),
            )
        found.append(um)
    return found[0], found[1]


def _coordinate_um(value: Any, field: str) -> int:
    number = read_number(value, field)
    if abs(number) > Decimal(LONGEST_UM) / 1000:
        raise BadInput(field, f"must be within {LONGEST_UM // 1000} mm, not {shown(value)} mm.")
    hundredths = int(number * 100)
    if number != Decimal(hundredths) / 100:
        raise BadInput(field, f"must be a multiple of 0.01 mm, not {shown(value)} mm.")
    return hundredths * 10


def _refuse_small(figure: Polygon, field: str, part: str, rect: Rect) -> None:
    """Raise where an outline reaches over less than half of its rectangle: inches or centimetres, or turned round."""
    found = extent(figure)
    for axis, way in enumerate(("along the handle", "from the face or poll")):
        span, side = found[axis + 2] - found[axis], rect[axis + 2] - rect[axis]
        if span < LEAST_SPAN * side:
            raise BadInput(
                field,
                Message(
                    "reaches over {span} {way}, the measured {part} over {side}: is it in millimetres, x along the "
                    "handle?",
                    span=Length(span),
                    way=Message(way),
                    part=Message(part),
                    side=Length(side),
                ),
            )


def _refuse_apart(outline: Outline, field: str, head: Rect, handle: Rect) -> None:
    """Raise where head and handle do not meet at the head's underside, x where the handle's rectangle begins."""
    underside = head[2]
    middle = (handle[1] + handle[3]) // 2
    if outline.handle is not None:
        begins = extent(outline.handle)[0]
        if begins > underside + JOINT_UM:
            raise BadInput(
                f"{field}.{HANDLE}",
                Message(
                    "begins at {at}; it must begin at the head's underside, at {underside}.",
                    at=Length(begins),
                    underside=Length(underside),
                ),
            )
        joint = [y for x, y in outline.handle if x <= underside + JOINT_UM]
        middle = (min(joint) + max(joint)) // 2
    if outline.head is not None and not holds(outline.head, (underside - JOINT_UM, middle)):
        raise BadInput(
            f"{field}.{HEAD}",
            Message(
                "must hold the handle down to where its own outline begins, at {underside} from the crown.",
                underside=Length(underside),
            ),
        )
