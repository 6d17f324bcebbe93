"""The isometric picture: the open box, the foam cut low so that the pieces show, upper layers lifted."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from packing.draw.box_geometry import BoxGeometry, box_geometry
from packing.draw.callouts import MOST_BESIDE, say_left_out
from packing.draw.canvas import FINE, RING, THIN, WHITE, WIDE, Anchor, Canvas, Drawing, ring_width
from packing.draw.hatch import Material, broken, hatched
from packing.draw.isometric_projection import Brick, Corner, Eye, bounds, draw_brick, farthest_first, holds
from packing.draw.outlines import union_outline
from packing.draw.scale import Paper
from packing.draw.shapes import Point, Rect, around
from packing.draw.solids import Solid, by_letter, listing, solids
from packing.plan import Plan, SheetPlan
from packing.plan.kinds import Part, SheetRole

_LIFTED = "1.6 1.2"
"""Dashes for the way along which something was lifted."""
_LEANS = (0.0, 0.35, 0.7, 1.0)
"""Angles by which flaps and lid lean back, tried from upright on until they hide no letter."""
_GAP = 12_000
"""Between the box and what was lifted out of it, in the box’s own micrometres."""


@dataclass(frozen=True, slots=True)
class Tray:
    """One layer as shown: foam up to its cut, pockets there, pieces, all moved by `lift` (y, z); in micrometres."""

    foam: Brick
    seams: tuple[float, ...]
    pockets: tuple[tuple[Rect, ...], ...]
    pieces: tuple[Brick, ...]
    lift: tuple[float, float]

    @property
    def top(self) -> float:
        """The highest of foam and pieces."""
        return max([self.foam.high[2], *(piece.high[2] for piece in self.pieces)])


def isometric(
    plan: Plan,
    *,
    paper: Paper = (180.0, 150.0),
    ground: str | None = None,
    caption: bool = True,
) -> Drawing:
    """The open box from above the front: the lowest layer in place behind ghosted walls, the others lifted.

    Parameters
    ----------
    plan
        What to draw.
    paper
        Room for the picture in mm; it fills its width or its height.
    ground, caption
        See `plan_view`.

    Returns
    -------
    Drawing
        Not to scale. Each layer's foam is cut low, so that handles and heads stand out of their pockets.
    """
    box = box_geometry(plan)
    room = (paper[0] - 4.0, paper[1] - (18.0 if caption else 6.0))
    trays, scale = tilted_trays(plan, 0.0), 0.0
    for lean in _LEANS:
        leaning = tilted_trays(plan, lean)
        needed = _needed(leaning, box, room)
        # Leaning back has to gain a tenth: layers straight above each other are easier to follow.
        if not scale or needed < 0.9 * scale:
            trays, scale = leaning, needed
    canvas = Canvas()
    missing = _draw(canvas, trays, box, Eye(scale))
    if caption:
        words = "Lid and top pad off, foam cut low to show the pieces"
        if len(trays) > 1:
            words += "; upper layers lifted"
        canvas.text(canvas.extent.x0, canvas.extent.y1 + 5.0, words, anchor=Anchor.START)
    say_left_out(canvas, missing, canvas.extent.x0)
    title = f"Order {plan.order}: the open box"
    return canvas.finish(title, f"{len(plan.items)} items. " + listing(plan), None, ground)


def _needed(trays: Sequence[Tray], box: BoxGeometry, room: Paper) -> float:
    """The scale at which layers and box fill the room."""
    whole = bounds(
        [_hull(box.case or box), *(brick for tray in trays for brick in (tray.foam, *tray.pieces))], Eye(1.0)
    )
    return max(whole.width / room[0], whole.height / room[1], 0.2)


def _rim_height(box: BoxGeometry) -> float:
    """The height of the walls, the case's where there is one."""
    return (box.case or box).high[2]


def _hull(box: BoxGeometry) -> Brick:
    t, e = box.board, box.ends
    low = (box.low[0] - e, box.low[1] - t, box.low[2] - box.under)
    return Brick("", "box", None, low, (box.high[0] + e, box.high[1] + t, box.high[2]))


def tilted_trays(plan: Plan, lean: float) -> list[Tray]:
    """The layers from the bottom up, each lifted clear of the one below.

    Where they are moved back by a part of the width (`lean`, 0 to 1), they need be lifted only by the rest of it.
    """
    length, width, _ = plan.interior_um
    stack, trays = plan.insert.sheets, list[Tray]()
    floors = [(layer.floor_um, layer.height_um) for layer in plan.layers]
    below = 0
    for index, (floor, height) in enumerate(floors):
        parts = solids(plan, index)
        lowest_top = min((part.high[2] for part in parts), default=floor + height)
        # Even the lowest piece stands out of the foam by two fifths, and the foam is never half as high as the layer.
        cut = floor + min(0.45 * height, 0.6 * (lowest_top - floor))
        lift = (0.0, 0.0)
        if trays:
            top = trays[-1].top
            if lean and index == 1:
                # A layer that is also moved back passes over the rim of the box.
                top = max(top, _rim_height(box_geometry(plan))) + 2 * _GAP
            back = trays[-1].lift[0] + lean * (width + _GAP)
            lift = back, top + (1.0 - lean) * width + _GAP - below
        trays.append(_tray(parts, stack, size=(length, width), span=(below, cut), layer=index, lift=lift))
        below = floor + height
    if not floors:
        base = max((sheet.top_um for sheet in stack if sheet.role == SheetRole.BASE), default=0)
        trays.append(_tray(solids(plan), stack, size=(length, width), span=(0.0, base), layer=None, lift=(0.0, 0.0)))
    return trays


def _tray(
    parts: Sequence[Solid],
    stack: Sequence[SheetPlan],
    *,
    size: tuple[float, float],
    span: tuple[float, float],
    layer: int | None,
    lift: tuple[float, float],
) -> Tray:
    (bottom, cut), (back, up) = span, lift

    def moved(point: Corner, least: float = -inf) -> Corner:
        return point[0], point[1] + back, max(point[2], least) + up

    here = next(
        (
            sheet
            for sheet in stack
            if sheet.layer == layer and layer is not None and sheet.floor_um <= cut < sheet.top_um
        ),
        None,
    )
    groups = by_letter(pocket for pocket in (here.pockets if here else ()) if pocket.part != Part.NOTCH)
    return Tray(
        Brick("", "foam", Material.FOAM, moved((0.0, 0.0, bottom)), moved((size[0], size[1], cut))),
        tuple(sheet.top_um + up for sheet in stack if bottom < sheet.top_um < cut),
        tuple(tuple(rect.moved(0, back) for rect in rects) for rects in groups.values()),
        tuple(Brick(part.letter, part.name, part.material, moved(part.low, cut), moved(part.high)) for part in parts),
        lift,
    )


def _draw(canvas: Canvas, trays: Sequence[Tray], box: BoxGeometry, eye: Eye) -> int:
    """Draw box and trays; returns how many letters are left out."""
    boxes = [one for one in (box.case, box) if one is not None]
    for one in boxes:
        _back_walls(canvas, one, eye)
    shown: list[Brick] = []
    for index, tray in enumerate(trays):
        if index:
            _lift_lines(canvas, trays[index - 1], tray, eye)
        shown += [tray.foam, *_draw_tray(canvas, tray, eye)]
        if index == 0:
            # After the lowest layer, before the next: the near walls are in front of the one and below the others.
            for one in reversed(boxes):
                _ghost_walls(canvas, one, eye)
    return _rings(canvas, shown, eye)


def _draw_tray(canvas: Canvas, tray: Tray, eye: Eye) -> list[Brick]:
    """Draw foam, pockets, pieces; returns the pieces in drawing order."""
    foam, z = tray.foam, tray.foam.high[2]
    if foam.high[2] > foam.low[2]:
        holes = [[eye.at(x, y, z) for x, y in rect.corners] for group in tray.pockets for rect in group]
        draw_brick(canvas, foam, eye, width=WIDE, gaps=holes)
    for seam in tray.seams:
        corner = eye.at(foam.high[0], foam.low[1], seam)
        canvas.lines(
            [(eye.at(foam.low[0], foam.low[1], seam), corner), (corner, eye.at(foam.high[0], foam.high[1], seam))], THIN
        )
    for group in tray.pockets:
        lines = union_outline(group)
        canvas.lines([(eye.at(*start, z), eye.at(*end, z)) for start, end in lines], THIN)
    order = farthest_first(tray.pieces, eye)
    for piece in order:
        draw_brick(canvas, piece, eye, width=0.4)
    return order


def _back_walls(canvas: Canvas, box: BoxGeometry, eye: Eye) -> None:
    """The two far walls seen from inside, flutes upright, with the board's thickness on their upper edges."""
    (x0, y0, z), (x1, y1, h), t, e = box.low, box.high, box.board, box.ends
    far = [eye.at(x0, y1, z), eye.at(x1, y1, z), eye.at(x1, y1, h), eye.at(x0, y1, h)]
    left = [eye.at(x0, y0, z), eye.at(x0, y1, z), eye.at(x0, y1, h), eye.at(x0, y0, h)]
    for face, pitch in ((far, 1.9), (left, 1.3)):
        canvas.polygon(face, 0, fill=WHITE)
        lines = hatched(face, 30 if face is far else -30, 1.6) if box.wood else hatched(face, 90, pitch)
        canvas.lines(broken(lines, 9.0, 1.2) if box.wood else lines, FINE)
        canvas.polygon(face, THIN)
    rim = [(x0 - e, y0 - t), (x0 - e, y1 + t), (x1 + e, y1 + t), (x1 + e, y1), (x0, y1), (x0, y0 - t)]
    canvas.polygon([eye.at(x, y, h) for x, y in rim], THIN, fill=WHITE)


def _ghost_walls(canvas: Canvas, box: BoxGeometry, eye: Eye) -> None:
    """The two near walls as if of glass, and the bottom edge of the box."""
    hull = _hull(box)
    (x0, y0, z0), (x1, y1, z1) = hull.low, hull.high
    rim = [(x0, y0), (x1, y0), (x1, y1)]
    foot = [eye.at(x, y, z0) for x, y in rim]
    top = [eye.at(x, y, z1) for x, y in rim]
    inner = [
        eye.at(box.low[0], box.low[1], z1),
        eye.at(box.high[0], box.low[1], z1),
        eye.at(box.high[0], box.high[1], z1),
    ]
    canvas.lines(zip(foot, top, strict=True), THIN)
    canvas.lines([*pairwise(foot), *pairwise(top)], THIN)
    canvas.lines(pairwise(inner), FINE)


def _lift_lines(canvas: Canvas, below: Tray, above: Tray, eye: Eye) -> None:
    """Broken lines from the corners of a lifted layer down to the one it came from."""
    (x0, y0, z0), (x1, y1, _) = above.foam.low, above.foam.high
    z1, back = below.foam.high[2], above.lift[0] - below.lift[0]
    corners = ((x0, y0), (x1, y0), (x1, y1))
    canvas.lines([(eye.at(x, y, z0), eye.at(x, y - back, z1)) for x, y in corners], FINE, dash=_LIFTED)


def _rings(canvas: Canvas, shown: Sequence[Brick], eye: Eye) -> int:
    """Each letter on the upper face of its head, where nothing nearer hides it; else above it with a leader.

    Returns how many are left out: those without room on their piece, where they are more than can be followed.
    """
    outlines = [(brick.letter, brick.silhouette(eye)) for brick in shown]
    boxes = [around(outline) for _, outline in outlines]
    own: dict[str, list[int]] = {}
    for index, brick in enumerate(shown):
        own.setdefault(brick.letter, []).append(index)
    first: dict[str, int] = {}
    # A packer knows a tool by its head; where none is shown the handle has to do.
    for part in (Part.HEAD, Part.BLOCK, Part.HANDLE):
        for index, brick in enumerate(shown):
            if brick.name == part:
                first.setdefault(brick.letter, index)
    beside = []
    for letter, index in first.items():
        nearer = zip(outlines[index + 1 :], boxes[index + 1 :], strict=True)
        reach = [boxes[mine] for mine in own[letter]]
        covers = [
            outline for (other, outline), box in nearer if other != letter and any(box.overlaps(mine) for mine in reach)
        ]
        if not _ring_on(canvas, [shown[index], *(shown[mine] for mine in own[letter])], covers, eye):
            beside.append(shown[index])
    if len(beside) > MOST_BESIDE:
        return len(beside)
    for brick in beside:
        _ring_off(canvas, brick, eye)
    return 0


def _ring_on(canvas: Canvas, homes: Sequence[Brick], covers: Sequence[Sequence[Point]], eye: Eye) -> bool:
    """Ring the letter of a piece on the upper face of one of its parts, where that is free and seen."""
    letter = homes[0].letter
    half = ring_width(letter) / 2
    for home in homes:
        (x0, y0, _), (x1, y1, z) = home.low, home.high
        # The middle first, then both ways by turns: of a part half hidden the other half may show.
        for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8):
            fx, fy = (share, 0.5) if x1 - x0 >= y1 - y0 else (0.5, share)
            x, y = eye.at(x0 + fx * (x1 - x0), y0 + fy * (y1 - y0), z)
            if canvas.free(_box(x, y, half)) and not any(holds(cover, (x, y)) for cover in covers):
                canvas.ring(x, y, letter)
                return True
    return False


def _ring_off(canvas: Canvas, brick: Brick, eye: Eye) -> None:
    """Ring the letter of a brick near it, with a leader."""
    half = ring_width(brick.letter) / 2
    (x0, y0, _), (x1, y1, z) = brick.low, brick.high
    foot = eye.at((x0 + x1) / 2, (y0 + y1) / 2, z)
    for x, y in _about(foot, half):
        if canvas.free(_box(x, y, half)):
            canvas.leader(foot, (x, y))
            canvas.ring(x, y, brick.letter)
            return


def _box(x: float, y: float, half: float) -> Rect:
    return Rect(x - half, y - RING, x + half, y + RING)


def _about(foot: Point, half: float) -> list[Point]:
    places = []
    for step in range(1, 80):
        reach = RING + 1.0 * step
        places += [
            (foot[0] + dx * (reach + half - RING), foot[1] + dy * reach)
            for dx, dy in ((0, -1), (0.8, -0.7), (-0.8, -0.7), (1, 0), (-1, 0), (0, 1))
        ]
    return places
