"""Signs on a tool's head of how it lies: where face or poll is, which ends are sharp, which cheek is up."""

from collections.abc import Iterable, Sequence
from enum import StrEnum

from packing.draw.canvas import INK, LABEL, THIN, WHITE, Anchor, Canvas, text_width
from packing.draw.scale import View
from packing.draw.shapes import Point, Rect
from packing.plan import ItemPlan
from packing.plan.kinds import Form, Part, Pose, Sharp

Way = tuple[int, int]
"""A direction along an axis."""
_BAR, _WEDGE, _DOT = 0.8, 1.8, 0.9
"""Millimetres on paper: seen at arm’s length and still smaller than a letter."""
_SIDES: tuple[Way, ...] = ((0, -1), (1, 0), (0, 1), (-1, 0))
_BLADED = (Form.AXE, Form.ADZE)
"""Their blunt end is a poll, not a face."""


class Sign(StrEnum):
    """A mark on a head, by its name in the key."""

    FACE = "face"
    POLL = "poll"
    EDGE = "sharp edge"
    UP = "marked cheek up"
    DOWN = "marked cheek down"


def face_side(item: ItemPlan) -> Way:
    """Unit vector, seen from above, from the middle of the head of a flat tool to its face or poll."""
    return _SIDES[(item.turn // 90 + (2 if item.flipped else 0)) % 4]


def signs_of(item: ItemPlan) -> tuple[Sign, ...]:
    """The marks that a tool lying on a cheek bears; none for others."""
    if item.pose != Pose.FLAT:
        return ()
    blunt = Sign.POLL if item.form in _BLADED else Sign.FACE
    found = [] if item.sharp == Sharp.BOTH else [blunt]
    found += [] if item.sharp in (None, Sharp.NONE) else [Sign.EDGE]
    if item.marked_up is not None:
        found.append(Sign.UP if item.marked_up else Sign.DOWN)
    return tuple(found)


def bearing_words(items: Iterable[ItemPlan]) -> str:
    """In words which way the heads point, for those who hear the picture."""
    ways = {(0, -1): "the front", (1, 0): "the right", (0, 1): "the back", (-1, 0): "the left"}
    said = []
    for item in items:
        signs = signs_of(item)
        if not signs:
            continue
        blunt = "poll" if item.form in _BLADED else "face"
        first = "edges at both ends" if item.sharp == Sharp.BOTH else f"{blunt} towards {ways[face_side(item)]}"
        more = [sign.value for sign in signs if sign in (Sign.UP, Sign.DOWN)]
        said.append(f"{item.letter}: " + ", ".join([first, *more]))
    return "; ".join(said) + "." if said else ""


def mark_heads(canvas: Canvas, items: Iterable[ItemPlan], view: View) -> list[Sign]:
    """Mark the heads that lie on a cheek; returns which signs were drawn, each once."""
    drawn: dict[Sign, None] = {}
    for item in items:
        signs = signs_of(item)
        head = next((part for part in item.parts if part.part == Part.HEAD), None)
        if head is None or not signs:
            continue
        (x0, y0, _), (x1, y1, _) = head.min_um, head.max_um
        rect, (dx, dy) = view.rect(Rect(x0, y0, x1, y1)), face_side(item)
        towards = (dx, -dy)
        for sign in signs:
            if sign in (Sign.FACE, Sign.POLL):
                _bar(canvas, rect, towards)
            elif sign == Sign.EDGE:
                _wedge(canvas, rect, (-towards[0], -towards[1]))
                if item.sharp == Sharp.BOTH:
                    _wedge(canvas, rect, towards)
            elif not _dot(canvas, rect, towards, solid=sign == Sign.UP):
                continue
            drawn[sign] = None
    return list(drawn)


def _bar(canvas: Canvas, rect: Rect, way: Point) -> None:
    """A heavy bar along the end of a head."""
    depth = min(_BAR, rect.width / 4, rect.height / 4)
    if way[0]:
        end = rect.x1 if way[0] > 0 else rect.x0 + depth
        bar = Rect(end - depth, rect.y0, end, rect.y1)
    else:
        end = rect.y1 if way[1] > 0 else rect.y0 + depth
        bar = Rect(rect.x0, end - depth, rect.x1, end)
    canvas.polygon(bar.corners, 0, fill=INK)


def _wedge(canvas: Canvas, rect: Rect, way: Point) -> None:
    """A solid wedge inside the end of a head, its point at the edge."""
    (cx, cy), half = rect.centre, min(_WEDGE, rect.width / 2.5, rect.height / 2.5)
    tip = (cx + way[0] * rect.width / 2, cy + way[1] * rect.height / 2)
    foot = (tip[0] - way[0] * half, tip[1] - way[1] * half)
    side = (way[1] * half * 0.7, way[0] * half * 0.7)
    points = [tip, (foot[0] + side[0], foot[1] + side[1]), (foot[0] - side[0], foot[1] - side[1])]
    canvas.polygon(points, 0, fill=INK)


def _dot(canvas: Canvas, rect: Rect, way: Point, *, solid: bool) -> bool:
    """A dot on the marked cheek, full where it is up; False where the head has no room for it beside its letter."""
    cx, cy = rect.centre
    # Away from the middle, where the letter's ring stands.
    for share in (0.3, -0.3, 0.36, -0.36, 0.24, -0.24):
        x, y = cx + way[0] * share * rect.width, cy + way[1] * share * rect.height
        box = Rect(x - _DOT, y - _DOT, x + _DOT, y + _DOT)
        if rect.holds(box) and canvas.free(box, 0.2):
            canvas.circle(x, y, _DOT, THIN, fill=INK if solid else WHITE)
            canvas.labels.append(box)
            return True
    return False


_KEY = {Sign.FACE: "face (peen or other face opposite)"}
"""Words of the key where it says more than the sign's name."""


def sign_key(canvas: Canvas, signs: Sequence[Sign], at: Point, *, width: float) -> None:
    """The signs with their names, in rows of at most this width."""
    (x, y), start = at, at[0]
    # Face and poll are drawn alike, so the key has one line for both.
    both = Sign.FACE in signs and Sign.POLL in signs
    for sign in signs:
        words = _KEY.get(sign, sign.value)
        if both and sign == Sign.FACE:
            words = "face or poll (peen or other face opposite)"
        if both and sign == Sign.POLL:
            continue
        if x > start and x + 6 + text_width(words, LABEL) > start + width:
            x, y = start, y + 1.6 * LABEL
        swatch = Rect(x, y - 1.4, x + 4.0, y + 1.4)
        if sign in (Sign.FACE, Sign.POLL):
            canvas.polygon(swatch.corners, THIN)
            _bar(canvas, swatch, (-1, 0))
        elif sign == Sign.EDGE:
            canvas.polygon(swatch.corners, THIN)
            _wedge(canvas, swatch, (1, 0))
        else:
            canvas.circle(x + 2.0, y, _DOT, THIN, fill=INK if sign == Sign.UP else WHITE)
        canvas.text(x + 5.5, y, words, size=LABEL, anchor=Anchor.START)
        x = canvas.labels.last.x1 + 4.0
