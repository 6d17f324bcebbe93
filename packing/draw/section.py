"""The side section: the stack of sheets cut through, with every piece's profile, saddles and plugs, in its box."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from packing.draw import dimension
from packing.draw.box_geometry import BoxGeometry, box_geometry
from packing.draw.callouts import place_rings, ring_spots, say_left_out
from packing.draw.canvas import FINE, LABEL, RING, THIN, WIDE, Anchor, Canvas, Drawing, text_width
from packing.draw.dimension import LANE, PITCH, Edge, Mark, side_of
from packing.draw.hatch import Material, cut_through, fill, key, wall
from packing.draw.layer_plan import HIDDEN
from packing.draw.scale import Paper, View, fitted, length_text
from packing.draw.shapes import Rect, covered, edges, outside, spread
from packing.draw.solids import Solid, listing, loose, solids
from packing.plan import Plan, SheetPlan
from packing.plan.kinds import Part

_STOCK = "Sheets are named by the thickness of their stock; heights go by the left-hand figures."
_ORDER = (
    Material.STEEL,
    Material.WOOD,
    Material.OTHER,
    Material.FOAM,
    Material.SADDLE,
    Material.REST,
    Material.PLUG,
    Material.FILL,
    Material.BOARD,
)


def side_section(
    plan: Plan,
    *,
    across: bool = False,
    unit: str = "mm",
    paper: Paper = (180.0, 100.0),
    scale: float | None = None,
    ground: str | None = None,
    caption: bool = True,
) -> Drawing:
    """The box cut through from bottom to top: sheets with ids and thicknesses, the pieces in profile, nearest first.

    Parameters
    ----------
    plan
        What to draw.
    across
        Seen from the end, width across the paper, instead of from the long side.
    unit, paper, scale, ground, caption
        See `plan_view`.

    Returns
    -------
    Drawing
        At `scale`. Heads behind others are dashed where those hide them. The board is drawn as it folds: outer flaps
        outside, inner flaps apart by the flap gap.
    """
    length, width, height = plan.interior_um
    name = "Section across" if across else "Section along"
    seen = width if across else length
    axis, words = 0 if across else 1, name if caption else ""
    canvas, chosen = fitted(lambda view: _draw(plan, axis, view, words), (seen, height), paper, unit=unit, scale=scale)
    stack = ", ".join(f"{sheet.id} {length_text(sheet.thickness_um, unit)}" for sheet in plan.insert.sheets)
    description = f"Inside height {length_text(height, unit)} {unit}. Sheets from the bottom: {stack}. " + listing(plan)
    return canvas.finish(f"Order {plan.order}: {name.lower()}", description, chosen, ground)


def _draw(plan: Plan, axis: int, view: View, caption: str) -> Canvas:
    """Draw the view along x (axis 0) or y (axis 1)."""
    canvas = Canvas()
    inside, stack = plan.interior_um, plan.insert.sheets
    block = view.rect(Rect(0, 0, inside[1 - axis], inside[2]))
    box = box_geometry(plan)
    outer = _board(canvas, box, axis, view)
    pieces = _nearest_first(solids(plan), axis)
    insert = plan.insert
    foam = loose(insert.saddles, Material.SADDLE) + loose(insert.rests, Material.REST)
    foam += loose(insert.plugs, Material.PLUG) + loose(insert.fills, Material.FILL)
    foam = _nearest_first(foam + loose(insert.plates, Material.WOOD), axis)
    # Figures and rings before any hatching, which then keeps clear of them.
    _sheet_figures(canvas, stack, outer, view)
    _heights(canvas, plan, outer, view)
    missing = place_rings(
        canvas, ring_spots(pieces, lambda solid: view.rect(solid.facing(axis))), block, lane=outer.y0 - RING - 1.5
    )
    labels = [label.grown(0.3) for label in canvas.labels]
    _profiles(canvas, pieces, foam, axis, view)
    filled = [view.rect(solid.facing(axis)) for solid in pieces + foam]
    for sheet in stack:
        rect = view.rect(Rect(0, sheet.floor_um, sheet.size_um[axis - 1], sheet.top_um))
        level = [part for part in filled if part.y0 <= rect.y1 and part.y1 >= rect.y0]
        fill(canvas, Material.FOAM, rect, level + labels)
        line = ((rect.x0, rect.y0), (rect.x1, rect.y0))
        canvas.lines(outside(line, level), THIN)
    canvas.polygon(block.corners, WIDE)
    words = view.figure(inside[1 - axis])
    dimension.across(canvas, (block.x0, block.x1), canvas.extent.y0 - 7.0, words, foot=outer.y0)
    if caption:
        y = dimension.strip(canvas, caption, view, x0=outer.x0, x1=outer.x1)
        used = {part.material for part in [*pieces, *foam]} | {
            Material.FOAM,
            Material.WOOD if box.wood else Material.BOARD,
        }
        used |= {Material.BOARD} if box.case else set()
        kinds = [kind for kind in _ORDER if kind in used]
        key(canvas, kinds, (outer.x0, y), width=canvas.extent.x1 - outer.x0)
        if not _adds_up(stack, inside[2], view):
            canvas.text(outer.x0, canvas.extent.y1 + LABEL, _STOCK, size=LABEL, anchor=Anchor.START)
    say_left_out(canvas, missing, outer.x0)
    return canvas


def _adds_up(stack: Sequence[SheetPlan], height: float, view: View) -> bool:
    """Tell whether the thicknesses of the sheets add up to the whole height as printed."""
    figures = [view.figure(sheet.thickness_um) for sheet in stack]
    return sum(map(_value, figures)) == _value(view.figure(height))


def _value(figure: str) -> Fraction:
    """A figure such as 4 5/8 as a number."""
    return sum((Fraction(part) for part in figure.split()), Fraction(0))


def _nearest_first(parts: Sequence[Solid], axis: int) -> list[Solid]:
    """Along y the viewer stands at y = 0; along x at the far end of x, so that y runs from left to right."""
    return (
        sorted(parts, key=lambda part: (part.low[axis], part.letter))
        if axis == 1
        else sorted(parts, key=lambda part: (-part.high[axis], part.letter))
    )


def _board(canvas: Canvas, box: BoxGeometry, axis: int, view: View) -> Rect:
    """Walls, bottom and lid cut through in the middle; returns the outside on paper."""
    if box.case is not None:
        _slotted(canvas, box.case, axis, view)
    if box.slotted:
        _slotted(canvas, box, axis, view)
    else:
        middle = (box.low[axis] + box.high[axis]) / 2
        rects = [view.rect(found) for wall in box.walls if (found := wall.cut(axis, middle)) is not None]
        cut_through(canvas, rects, wood=box.wood)
    (x0, y0, z0), (x1, y1, z1) = box.outside
    return view.rect(Rect(x0, z0, x1, z1) if axis == 1 else Rect(y0, z0, y1, z1))


def _slotted(canvas: Canvas, box: BoxGeometry, axis: int, view: View) -> None:
    """Walls and flaps of a slotted case cut through."""
    side = 1 - axis
    t, low, high, floor, top = box.board, box.low[side], box.high[side], box.low[2], box.high[2]
    middle, folded = (low + high) / 2, (box.layers - 1) * t
    for layer in range(box.layers):
        for bottom in (floor - (layer + 1) * t, top + layer * t):
            runs = [(low - t, high + t)]
            if axis == 1 and layer == 0:
                reach = (high - low - box.flap_gap) / 2
                runs = [(low, low + reach), (high - reach, high)]
            elif layer == 0:
                runs = [(low, high)]
            elif axis == 0 and box.layers == 2:
                runs = [(low - t, middle), (middle, high + t)]
            for start, end in runs:
                wall(canvas, view.rect(Rect(start, bottom, end, bottom + t)))
    for x in (low - t, high):
        wall(canvas, view.rect(Rect(x, floor - folded, x + t, top + folded)))


def _profiles(canvas: Canvas, pieces: Sequence[Solid], foam: Sequence[Solid], axis: int, view: View) -> None:
    """Pieces nearest first, each hiding what is behind; loose foam only where no piece is seen."""
    near, labels = list[Rect](), [label.grown(0.3) for label in canvas.labels]
    for part in pieces:
        rect = view.rect(part.facing(axis))
        over = [cover for cover in near if cover.overlaps(rect)]
        fill(canvas, part.material, rect, [*over, *labels])
        canvas.lines(
            (line for edge in edges(rect) for line in outside(edge, over)),
            WIDE if part.material != Material.WOOD else 0.4,
        )
        # Hidden heads alone are dashed: lines of hidden handles would run through everything.
        if part.name != Part.HANDLE:
            canvas.lines((line for edge in edges(rect) for line in covered(edge, over)), FINE, dash=HIDDEN)
        near.append(rect)
    for loose_foam in foam:
        rect = view.rect(loose_foam.facing(axis))
        over = [cover for cover in near if cover.overlaps(rect)]
        fill(canvas, loose_foam.material, rect, [*over, *labels])
        canvas.lines((line for edge in edges(rect) for line in outside(edge, over)), THIN)
        near.append(rect)


def _runs(stack: Sequence[SheetPlan], height: float) -> list[list[SheetPlan]]:
    """Sheets from the top down, neighbours alike together where figures for each have no room in a height on paper."""
    runs: list[list[SheetPlan]] = []
    for sheet in reversed(stack):
        last = runs[-1][-1] if runs else None
        alike = last and (last.layer, last.role, last.thickness_um) == (sheet.layer, sheet.role, sheet.thickness_um)
        # One by one as long as they run at most two lines beyond the height: figures under one bracket are harder to
        # count.
        if alike and len(stack) * PITCH > height + 2 * PITCH:
            runs[-1].append(sheet)
        else:
            runs.append([sheet])
    return runs


def _sheet_figures(canvas: Canvas, stack: Sequence[SheetPlan], outer: Rect, view: View) -> None:
    """At the right, each sheet's id and thickness, spread where sheets are thin."""
    runs = _runs(stack, outer.height)
    spans = [(-view.length(run[0].top_um), -view.length(run[-1].floor_um)) for run in runs]
    wanted = [(top + bottom) / 2 for top, bottom in spans]
    half = max(outer.height, len(runs) * PITCH) / 2
    middle = (outer.y0 + outer.y1) / 2
    places = spread(wanted, PITCH, middle - half, middle + half)
    names = [run[-1].id if len(run) == 1 else f"{run[-1].id}–{run[0].id}" for run in runs]
    x = outer.x1 + 1.2
    column = x + 7.0 + max((text_width(name, bold=True) for name in names), default=0.0)
    for run, (top, bottom), at, place, name in zip(runs, spans, wanted, places, names, strict=True):
        bracket = [(x, top + 0.35), (x + 0.8, top + 0.35), (x + 0.8, bottom - 0.35), (x, bottom - 0.35)]
        canvas.lines(pairwise(bracket), FINE)
        canvas.lines(pairwise([(x + 0.8, at), (x + 3.6, place), (x + 4.4, place)]), FINE)
        canvas.text(x + 5.0, place, name, anchor=Anchor.START, bold=True)
        each = " each" if len(run) > 1 else ""
        canvas.text(column, place, view.figure(run[0].thickness_um) + each, anchor=Anchor.START)


def _heights(canvas: Canvas, plan: Plan, outer: Rect, view: View) -> None:
    """At the left, running heights of floors and tops of layers from the bottom, then the whole height."""
    height = plan.interior_um[2]
    levels = {0, height}
    for layer in plan.layers:
        levels |= {layer.floor_um, layer.floor_um + layer.height_um}
    marks = [Mark(level, -view.length(level), 0.0) for level in sorted(levels)]
    reach = dimension.running(canvas, side_of(outer, Edge.LEFT), marks, view)
    at = outer.x0 - reach - LANE
    dimension.upright(canvas, (-view.length(height), 0.0), at, view.figure(height), foot=outer.x0 - reach - 1.0)
