"""A traced outline in parts of a tool's own measures, kept with its pattern and scaled to each piece."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from packing.measure import BadInput, Outline, Tool
from packing.polygon import Polygon, Rect, counter_clockwise

HEAD, HANDLE = "head", "handle"
SHARES = 10_000
"""A tracing is kept in so many parts of the head's sides, of the handle's length, and of its greatest reach."""


@dataclass(frozen=True, slots=True)
class Tracing:
    """A traced outline in `SHARES` of a tool's own measures, so that it scales to each piece.

    Parameters
    ----------
    head
        Corners in parts of the head's height and length; empty where the rectangle stands.
    handle
        Corners in parts of the handle's length and, from the middle of the eye, of half its width; empty likewise.
    """

    head: Polygon = ()
    handle: Polygon = ()


def traced_outline(tool: Tool, tracing: Tracing) -> Outline:
    """The outline of a piece by a tracing of its pattern.

    Parameters
    ----------
    tool
        The measured piece.
    tracing
        As `read_tracing` gives it.

    Returns
    -------
    Outline
        In hundredths of a millimetre, within the measured rectangles.
    """
    head = [(x * tool.head_height_um / SHARES, y * tool.head_length_um / SHARES) for x, y in tracing.head]
    long, half = tool.handle_length_um / SHARES, tool.handle_width_um / 2 / SHARES
    handle = [(tool.head_height_um + x * long, tool.eye_offset_um + y * half) for x, y in tracing.handle]
    return Outline(_within(head, tool.head_rect), _within(handle, tool.handle_rect))


def _within(points: Sequence[tuple[float, float]], rect: Rect) -> Polygon | None:
    if not points:
        return None
    low, high = [-(-side // 10) * 10 for side in rect[:2]], [side // 10 * 10 for side in rect[2:]]
    rounded = ((round(x / 10) * 10, round(y / 10) * 10) for x, y in points)
    return counter_clockwise(tuple((min(max(x, low[0]), high[0]), min(max(y, low[1]), high[1])) for x, y in rounded))


def tracing_content(tracing: Tracing) -> dict[str, list[list[int]]]:
    """Write a tracing as plain lists, to be kept; `tracing_of` reads it.

    Parameters
    ----------
    tracing
        As read from a file.

    Returns
    -------
    dict
        Lists of whole numbers by part.
    """
    return {HEAD: [list(point) for point in tracing.head], HANDLE: [list(point) for point in tracing.handle]}


def tracing_of(content: Any) -> Tracing:
    """Read a tracing that was kept.

    Parameters
    ----------
    content
        As `tracing_content` writes it.

    Returns
    -------
    Tracing

    Raises
    ------
    BadInput
        It is none.
    """
    figures = []
    for part in (HEAD, HANDLE):
        try:
            figures.append(tuple((int(x), int(y)) for x, y in content[part]))
        except (KeyError, TypeError, ValueError):
            raise BadInput(f"traced.{part}", "must be a list of points, as a tracing is kept.") from None
    return Tracing(*figures)
