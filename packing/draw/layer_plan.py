"""The plan view: one layer from above, with where every pocket lies."""

from collections.abc import Sequence

from packing.draw import dimension
from packing.draw.bearing import bearing_words, mark_heads, sign_key
from packing.draw.box_geometry import BoxGeometry, box_geometry
from packing.draw.callouts import place_rings, ring_spots, say_left_out
from packing.draw.canvas import BLUE, FINE, LABEL, THIN, WIDE, Canvas, Drawing, text_box
from packing.draw.hatch import Material, cut_through, fill, key
from packing.draw.outlines import union_outline
from packing.draw.pocket_dimensions import mark_pockets, overall
from packing.draw.pocket_shapes import grouped, holes_of, pocket_lines, sides_of, strips
from packing.draw.scale import Paper, View, fitted, length_text
from packing.draw.shapes import Rect, covered, edges, outside
from packing.draw.solids import Solid, by_letter, layer_pockets, listing, loose, solids
from packing.measure import BadInput
from packing.plan import Plan
from packing.plan.kinds import Axis, LiftKind, Part

HIDDEN = "1.6 .8"
"""Dashes for what lies under something else."""
MOST_MEASURED = 60
"""Places of more blocks that stand on each other are not dimensioned: nobody could tell the figures apart."""


def plan_view(
    plan: Plan,
    layer: int | None = 0,
    *,
    unit: str = "mm",
    paper: Paper = (180.0, 130.0),
    scale: float | None = None,
    ground: str | None = None,
    caption: bool = True,
) -> Drawing:
    """One layer of a plan seen from above, cut open: pieces, pockets, dimensions.

    Parameters
    ----------
    plan
        What to draw.
    layer
        Index of the layer, 0 lowest; whatever it is, a plan without layers is shown whole.
    unit
        "mm" or "in", for the figures.
    paper
        Room for the drawing in mm; the scale is the largest standard one at which it fits.
    scale
        5 for 1 : 5 whatever the room.
    ground
        Colour under the drawing; None for none.
    caption
        Whether to write view, scale and unit underneath.

    Returns
    -------
    Drawing
        At `scale`. Running dimensions start at the lower left corner of the insert, on the nearer side for each pocket.

    Raises
    ------
    BadInput
        Where the plan has no such layer.
    """
    floors = len(plan.layers)
    shown = layer if floors else None
    if floors and (shown is None or not 0 <= shown < floors):
        raise BadInput("layer", f"must be 0 to {floors - 1}, not {layer!r}.")
    length, width, _ = plan.interior_um
    name = f"{layer_name(shown, floors)}, seen from above" if shown is not None and floors > 1 else "Seen from above"
    words = name if caption else ""
    canvas, chosen = fitted(
        lambda view: _draw(plan, shown, view, words), (length, width), paper, unit=unit, scale=scale
    )
    description = f"Inside {length_text(length, unit)} by {length_text(width, unit)} {unit}. " + listing(plan, shown)
    description += " " + bearing_words(plan.items if shown is None else plan.items_of(shown))
    return canvas.finish(f"Order {plan.order}: {name.lower()}", description, chosen, ground)


def layer_name(layer: int, floors: int) -> str:
    """Name a layer in words: bottom, top, or its place from the bottom.

    Parameters
    ----------
    layer
        Its index, 0 lowest.
    floors
        How many layers there are.

    Returns
    -------
    str
    """
    if floors == 1:
        return "Layer"
    return {0: "Bottom layer", floors - 1: "Top layer"}.get(layer, f"Layer {layer + 1} from the bottom")


def _draw(plan: Plan, layer: int | None, view: View, caption: str) -> Canvas:
    canvas = Canvas()
    length, width, _ = plan.interior_um
    parts = sorted(solids(plan, layer), key=lambda part: (-part.high[2], part.letter))
    pockets = layer_pockets(plan, layer)
    items = plan.items if layer is None else plan.items_of(layer)
    floor = view.rect(Rect(0, 0, length, width))
    box = box_geometry(plan)
    outer = _walls(canvas, box, _cut_at(plan, layer), view)
    canvas.polygon(floor.corners, WIDE)
    groups = list(by_letter([pocket for pocket in pockets if pocket.part != Part.NOTCH]).values())
    groups = groups or [[part.footprint] for part in parts]
    holes = [view.rect(rect) for group in groups for rect in group]
    if layer is not None or len(groups) <= MOST_MEASURED:
        mark_pockets(canvas, [union_outline(group) for group in groups], view, floor=floor, outer=outer, holes=holes)
    overall(canvas, floor, outer, (length, width), view)
    for own in grouped(pockets).values():
        canvas.lines(pocket_lines(own, view), THIN)
    spots = ring_spots(parts, lambda solid: view.rect(solid.footprint))
    missing = place_rings(canvas, spots, floor, every=layer is not None)
    under = loose(plan.insert.saddles, Material.SADDLE, layer) + loose(plan.insert.rests, Material.REST, layer)
    _under(canvas, under, view)
    _tapes(canvas, plan, parts, layer, view)
    for plate in loose(plan.insert.plates, Material.WOOD, layer):
        canvas.lines(edges(view.rect(plate.footprint)), WIDE)
    _pieces(canvas, parts, view)
    signs = mark_heads(canvas, items, view)
    if layer is not None:
        open_ = [view.rect(rect) for rect in holes_of(pockets)]
        fill(canvas, Material.FOAM, floor, open_ + [label.grown(0.3) for label in canvas.labels])
    dimension.datum(canvas, floor.x0, floor.y1)
    if caption:
        y = dimension.strip(canvas, caption, view, x0=outer.x0, x1=outer.x1)
        used = {part.material for part in parts} | {Material.WOOD if box.wood else Material.BOARD}
        used |= {Material.BOARD} if box.case else set()
        used |= {Material.FOAM} if layer is not None else set()
        used |= {Material.NOTCH for pocket in pockets if pocket.part == Part.NOTCH}
        used |= {Material.TAPE for lift in plan.insert.lifts if (lift.kind, lift.layer) == (LiftKind.TAPE, layer)}
        kinds = [
            kind
            for kind in (
                Material.STEEL,
                Material.WOOD,
                Material.OTHER,
                Material.FOAM,
                Material.BOARD,
                Material.NOTCH,
                Material.TAPE,
            )
            if kind in used
        ]
        room = canvas.extent.x1 - outer.x0
        key(canvas, kinds, (outer.x0, y), width=room)
        sign_key(canvas, signs, (outer.x0, canvas.labels.last.centre[1] + 1.6 * LABEL), width=room)
    say_left_out(canvas, missing, outer.x0)
    return canvas


def _cut_at(plan: Plan, layer: int | None) -> float:
    """The height at which the box is cut: the middle of the layer, or of the interior where there are none."""
    if layer is None:
        return plan.interior_um[2] / 2
    held = plan.layers[layer]
    return held.floor_um + held.height_um / 2


def _walls(canvas: Canvas, box: BoxGeometry, at: float, view: View) -> Rect:
    """The box's walls cut through at a height; returns its outside on paper."""
    for one in (box.case, box):
        if one is None:
            continue
        rects = _four(one) if one.slotted else [found for wall in one.walls if (found := wall.cut(2, at)) is not None]
        cut_through(canvas, [view.rect(rect) for rect in rects], wood=one.wood)
    (x0, y0, _z0), (x1, y1, _z1) = box.outside
    return view.rect(Rect(x0, y0, x1, y1))


def _four(box: BoxGeometry) -> list[Rect]:
    """The four walls of a slotted case, the long ones from end to end."""
    (x0, y0, _z0), (x1, y1, _z1), t = box.low, box.high, box.board
    return [
        Rect(x0 - t, y1, x1 + t, y1 + t),
        Rect(x0 - t, y0 - t, x1 + t, y0),
        Rect(x0 - t, y0, x0, y1),
        Rect(x1, y0, x1 + t, y1),
    ]


def _under(canvas: Canvas, pieces: Sequence[Solid], view: View) -> None:
    """Hidden lines of the loose foam under handles; its id where there is room."""
    for piece in pieces:
        rect = view.rect(piece.footprint)
        if min(rect.width, rect.height) < 4.5:
            continue
        canvas.lines(edges(rect.grown(-0.9)), THIN, dash=HIDDEN)
        turn = 0 if rect.width >= rect.height else -90
        for share in (0.5, 0.7, 0.3, 0.85, 0.15):
            x = rect.x0 + rect.width * (0.5 if turn else share)
            y = rect.y0 + rect.height * (share if turn else 0.5)
            box = text_box(x, y, piece.name, turn=turn)
            if rect.grown(-0.2).holds(box) and canvas.free(box):
                canvas.text(x, y, piece.name, turn=turn)
                break


def _tapes(canvas: Canvas, plan: Plan, parts: Sequence[Solid], layer: int | None, view: View) -> None:
    """A lift tape under its head: a tail at either end of the way it runs; the shorter one where nothing is said."""
    lifts = [lift for lift in plan.insert.lifts if lift.kind == LiftKind.TAPE and lift.layer == layer]
    taped = {lift.letter: lift.along for lift in lifts}
    # A ribbon of 20 mm at scale; its tails are a sign and as long at every scale.
    half, tail = 10.0 / view.scale, 3.0
    for part in parts:
        if part.letter not in taped or part.name == Part.HANDLE:
            continue
        rect = view.rect(part.footprint)
        along = taped[part.letter] or (Axis.X if rect.width <= rect.height else Axis.Y)
        if along == Axis.X:
            # Off the middle, where letter and signs stand.
            at = rect.y0 + rect.height * 0.22
            ends = [(rect.x0 - tail, rect.x0), (rect.x1, rect.x1 + tail)]
            tails = [Rect(low, at - half, high, at + half) for low, high in ends]
        else:
            at = rect.x0 + rect.width * 0.22
            ends = [(rect.y0 - tail, rect.y0), (rect.y1, rect.y1 + tail)]
            tails = [Rect(at - half, low, at + half, high) for low, high in ends]
        for one in tails:
            canvas.polygon(one.corners, THIN, colour=BLUE)


def _pieces(canvas: Canvas, parts: Sequence[Solid], view: View) -> None:
    """Pieces with heavy outlines, hatched; what lies under another is dashed."""
    rings = [label.grown(0.3) for label in canvas.labels]
    for part in parts:
        rect = view.rect(part.footprint)
        sides = [(view.point(a), view.point(b)) for a, b in sides_of([part.shape])] if part.shape else edges(rect)
        beside = [view.rect(gap) for gap in strips(part.shape, inside=False)] if part.shape else []
        over = [
            view.rect(other.footprint)
            for other in parts
            if other.low[2] >= part.high[2] and other.footprint.overlaps(part.footprint)
        ]
        seen = [line for edge in sides for line in outside(edge, over)]
        hidden = [line for edge in sides for line in covered(edge, over)]
        fill(canvas, part.material, rect, over + rings + beside)
        canvas.lines(hidden, FINE, dash=HIDDEN)
        canvas.lines(seen, WIDE if part.material != Material.WOOD or part.name == Part.HEAD else 0.4)
