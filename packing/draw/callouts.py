"""Places of the ringed letters: on the head, where it is seen and free; else beside it, with a leader."""

from collections.abc import Callable, Sequence
from math import ceil

from packing.draw.canvas import RING, TEXT, Anchor, Canvas, ring_width
from packing.draw.shapes import Rect, spread
from packing.draw.solids import Solid
from packing.plan.kinds import Part

Spot = tuple[str, list[Rect], list[Rect]]
MOST_BESIDE = 40
"""Rings beside a picture, with leaders: more of them could not be followed, so that then none is set."""


def ring_spots(parts: Sequence[Solid], seen: Callable[[Solid], Rect]) -> list[Spot]:
    """For each item its letter, the rectangles a ring may stand on (head first), and what covers them.

    Parameters
    ----------
    parts
        Nearest first: each may be covered by those before it.
    seen
        A part's rectangle on paper.
    """
    spots: dict[str, Spot] = {}
    nearer: list[tuple[str, Rect]] = []
    for part in parts:
        rect = seen(part)
        letter, homes, covers = spots.setdefault(part.letter, (part.letter, [], []))
        covers.extend(other for name, other in nearer if name != letter and other.overlaps(rect))
        homes.insert(0 if part.name == Part.HEAD else len(homes), rect)
        nearer.append((letter, rect))
    return list(spots.values())


def place_rings(
    canvas: Canvas, spots: Sequence[Spot], sheet: Rect, *, lane: float | None = None, every: bool = False
) -> int:
    """Ring every letter once, each on its own piece where that can be.

    Parameters
    ----------
    sheet
        What is drawn, on paper.
    lane
        Height on paper of a row for the others, each with a leader; None to set each near its piece.
    every
        Whether no letter may be left out.

    Returns
    -------
    int
        How many letters are left out: those without room on their piece, where they are more than `MOST_BESIDE`.
    """
    left: list[Spot] = []
    for spot in spots:
        letter, homes, covers = spot
        half = ring_width(letter) / 2
        for home in homes:
            found = _inside(canvas, home, half, covers)
            if found is not None:
                canvas.ring(*found, letter)
                break
        else:
            left.append(spot)
    if len(left) > MOST_BESIDE and not every:
        return len(left)
    if lane is not None:
        _in_row(canvas, left, sheet, lane)
        return 0
    for letter, homes, covers in left:
        ring_beside(canvas, letter, homes, covers, sheet)
    return 0


def say_left_out(canvas: Canvas, count: int, x: float) -> None:
    """Write under a picture how many letters it leaves out, if any."""
    if count:
        canvas.text(x, canvas.extent.y1 + 1.4 * TEXT, f"{count} letters have no room here.", anchor=Anchor.START)


def _in_row(canvas: Canvas, spots: Sequence[Spot], sheet: Rect, lane: float) -> None:
    """Rings in a row, in several rows by turns where one is too short, with leaders, in the order of their pieces."""
    feet = sorted((_visible_point(homes[0], covers), letter) for letter, homes, covers in spots)
    pitch = max((ring_width(letter) for _, letter in feet), default=0.0) + 0.8
    rows = max(1, ceil(len(feet) * pitch / sheet.width))
    places = spread([foot[0] for foot, _ in feet], pitch / rows, sheet.x0, sheet.x1)
    for index, ((foot, letter), x) in enumerate(zip(feet, places, strict=True)):
        y = lane - (index % rows) * (2 * RING + 0.8)
        canvas.leader(foot, (x, y))
        canvas.ring(x, y, letter)


def _inside(canvas: Canvas, home: Rect, half: float, covers: Sequence[Rect]) -> tuple[float, float] | None:
    """The free place nearest the middle of a rectangle that holds the ring's middle and nearly all of it."""
    cx, cy = home.centre
    room_x, room_y = max(0.0, home.width / 2 - half * 0.8), max(0.0, home.height / 2 - RING * 0.8)
    if home.width < half or home.height < RING:
        return None
    steps = (0.0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75, 1.0, -1.0)
    places = sorted(((dx, dy) for dx in steps for dy in steps), key=lambda place: abs(place[0]) + abs(place[1]))
    for dx, dy in places:
        x, y = cx + dx * room_x, cy + dy * room_y
        ring = Rect(x - half, y - RING, x + half, y + RING)
        if canvas.free(ring) and not any(ring.overlaps(cover) for cover in covers):
            return x, y
    return None


def ring_beside(canvas: Canvas, letter: str, homes: Sequence[Rect], covers: Sequence[Rect], sheet: Rect) -> None:
    """A ring near its piece with a leader to it: the nearest free place in widening squares."""
    home = homes[0]
    seen = _visible_point(home, covers)
    half = ring_width(letter) / 2
    for step in range(1, 60):
        reach = RING + 1.2 * step
        for dx, dy in ((0, -1), (1, -1), (-1, -1), (1, 0), (-1, 0), (0, 1), (1, 1), (-1, 1)):
            x, y = seen[0] + dx * (reach + half - RING), seen[1] + dy * reach
            ring = Rect(x - half, y - RING, x + half, y + RING)
            if canvas.free(ring) and not any(ring.overlaps(other) for other in homes):
                canvas.leader(seen, (x, y))
                canvas.ring(x, y, letter)
                return
    canvas.ring(sheet.x1 + 6, seen[1], letter)


def _visible_point(home: Rect, covers: Sequence[Rect]) -> tuple[float, float]:
    steps = (0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92)
    for fx in steps:
        for fy in steps:
            x, y = home.x0 + fx * home.width, home.y0 + fy * home.height
            if not any(cover.x0 <= x <= cover.x1 and cover.y0 <= y <= cover.y1 for cover in covers):
                return x, y
    return home.centre
