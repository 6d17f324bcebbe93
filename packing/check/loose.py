"""Loose pieces: nothing hangs, nothing can rise."""

from collections.abc import Iterable, Iterator
from itertools import combinations

from packing.check.figures import figures_area, left_uncovered
from packing.check.insert_reader import CutInsert, Loose, Sheet
from packing.check.kinds import Part
from packing.check.plan_reader import PlanItem, PlanView
from packing.check.rectangles import Box, Rect, box_gap, common
from packing.check.report import Problem, missed, shown
from packing.check.sheets import enters, zone
from packing.measure import Rules

GAP_UM = 3_000
"""A gap up to this under or over a part stays open."""
OVER_HANDLE_UM = 12_000
"""A gap up to this over a handle stays open where thin stock holds it down."""
SHORTEST_REST_UM, LONGEST_REST_UM = 60_000, 80_000
"""Length of a rest under a handle, or of a hold over it."""
OF_THE_HEAD_UM = 10_000
"""A handle shorter than a rest is carried along all of it, less what its head's pocket takes."""
THINNEST_SLICE_UM, LONGEST_SLICE_UM = 10_000, 160_000
"""A thinner or a longer slice of waste cannot be cut freehand."""
UNDER, OVER = ("saddle", "rest"), ("plug", "fill")
"""Loose pieces under a part and over it: of waste first, as plans from before thin stock have them."""


def check_loose(plan: PlanView, insert: CutInsert, rules: Rules) -> Iterator[Problem]:
    """Loose pieces: within their pocket, clear of all parts and of each other, cut from what there is."""
    items = {item.id: item for item in plan.items}
    ids = [piece.id for piece in insert.loose]
    for index, piece in enumerate(insert.loose):
        item = items.get(piece.item)
        if item is None or piece.part not in item.parts:
            yield Problem(piece.what, piece.id, f"belongs to {piece.item!r} {piece.part!r}, which is not in the plan.")
            continue
        if piece.id in ids[:index]:
            yield Problem(piece.what, piece.id, "another loose piece has the same id.")
        letter = item.content.get("letter")
        if piece.content.get("letter", letter) != letter:
            yield Problem("letter", piece.id, f"bears the letter {piece.content['letter']!r}; its item has {letter!r}.")
        yield from _place_problems(plan, insert, piece, item, rules)
        if piece.thin:
            yield from _thin_problems(piece, item, rules)
        else:
            yield from _source_problems(insert, piece)
            yield from _slice_problems(insert, piece, rules)
    for a, b in combinations(insert.loose, 2):
        if box_gap(a.box, b.box) < 0:
            yield Problem(b.what, b.id, f"lies in the same place as {a.id}.")


def _thin_problems(piece: Loose, item: PlanItem, rules: Rules) -> Iterator[Problem]:
    """A fill or a rest is made of whole thicknesses that there are; on a handle it is short and near the butt."""
    for thickness in piece.thicknesses_um:
        if thickness not in (rules.thin_um or ()):
            yield Problem(piece.what, piece.id, f"{shown(thickness)} is not a thickness of the order's thin stock.")
    made = sum(piece.thicknesses_um)
    if made != piece.box.side(2):
        message = f"is {shown(piece.box.side(2))} high; its pieces make {shown(made)}."
        yield missed(piece.what, piece.id, message, piece.box.side(2) - made)
    if piece.part != Part.HANDLE or Part.HEAD not in item.parts:
        return
    head, handle = item.parts["head"], item.parts["handle"]
    axis = 0 if handle.x0 >= head.x1 or handle.x1 <= head.x0 else 1
    length, whole = piece.box.side(axis), handle[axis + 3] - handle[axis]
    if length > LONGEST_REST_UM or length < min(SHORTEST_REST_UM, whole - OF_THE_HEAD_UM):
        message = (
            f"is {shown(length)} along the handle; it must be {shown(SHORTEST_REST_UM)} to {shown(LONGEST_REST_UM)}."
        )
        yield Problem(piece.what, piece.id, message)
    away = handle[axis] >= head[axis + 3]
    off = handle[axis + 3] - piece.box[axis + 3] if away else piece.box[axis] - handle[axis]
    if off > SHORTEST_REST_UM:
        yield missed(piece.what, piece.id, f"lies {shown(off)} from the butt.", off - SHORTEST_REST_UM)


def _slice_problems(insert: CutInsert, piece: Loose, rules: Rules) -> Iterator[Problem]:
    """A slice of waste is cut only where it may be, and where thin stock is named only where it can be."""
    if not insert.has_covers:
        return
    if not rules.slices_allowed:
        yield Problem("slice", piece.id, "is a slice of waste, which the order does not allow.")
    elif rules.thin_um is not None:
        longest = max(piece.box.side(0), piece.box.side(1))
        if piece.box.side(2) < THINNEST_SLICE_UM or longest > LONGEST_SLICE_UM:
            message = (
                f"is a slice {shown(piece.box.side(2))} thick and {shown(longest)} long; "
                f"at least {shown(THINNEST_SLICE_UM)} and at most {shown(LONGEST_SLICE_UM)} can be cut."
            )
            yield Problem("slice", piece.id, message)


def _place_problems(plan: PlanView, insert: CutInsert, piece: Loose, item: PlanItem, rules: Rules) -> Iterator[Problem]:
    if piece.content.get("layer", item.layer) != item.layer:
        yield Problem(
            piece.what, piece.id, f"is said to be in layer {piece.content['layer']!r}; its item is in {item.layer}."
        )
    layer = plan.layers[item.layer]
    give = rules.give_um if piece.thin else 0
    out = max(layer.floor_um - piece.box.z0, piece.box.z1 - layer.top_um)
    if out > give:
        yield missed(piece.what, piece.id, f"reaches {shown(out)} out of layer {item.layer}.", out)
    for sheet in insert.sheets:
        if sheet.floor_um < piece.box.z1 - give and sheet.top_um > piece.box.z0 + give:
            left = left_uncovered(piece.box.rect, sheet.holes(item.id), sheet.figures(item.id))
            if left:
                yield Problem(piece.what, piece.id, f"leaves its pocket in {sheet.id} by {left / 10**6:g} mm².")
    for other in plan.items:
        for part, box in other.parts.items():
            if box_gap(piece.box, box) < 0:
                yield Problem(piece.what, piece.id, f"runs into {other.id} {part}.")


def _source_problems(insert: CutInsert, piece: Loose) -> Iterator[Problem]:
    if "from_sheet" in piece.content:
        names = str(piece.content["from_sheet"]).split(" + ")
    elif isinstance(piece.content.get("from_sheets"), list):
        names = [str(name) for name in piece.content["from_sheets"]]
    else:
        return
    sources = [
        sheet for sheet in insert.sheets if sheet.id in names and (sheet.holes(piece.item) or sheet.figures(piece.item))
    ]
    if len(sources) != len(names):
        message = f"is to be cut from {' + '.join(names)}, where nothing is cut out for {piece.item}."
        yield Problem(piece.what, piece.id, message)
        return
    thick = sum(sheet.thickness_um for sheet in sources)
    if piece.box.side(2) > thick:
        message = f"is {shown(piece.box.side(2))} high and cut from {' + '.join(names)}, {shown(thick)} thick."
        yield missed(piece.what, piece.id, message, piece.box.side(2) - thick)


def check_gaps(plan: PlanView, insert: CutInsert, rules: Rules) -> Iterator[Problem]:
    """Check gaps: over 3 mm below a part is carried; over 3 mm above a head, 12 mm above a handle, is filled."""
    for item in plan.items:
        for part, box in item.parts.items():
            share = _least(insert, item, part, box)
            bed = _bed_um(plan, insert.sheets, item, box, rules)
            under = [p for p in insert.loose if (p.what in UNDER, p.item, p.part) == (True, item.id, part)]
            hanging = _open_um(
                bed, box.z0, _held(box, under, part), [p.box for p in under], _least(insert, item, part, box)
            )
            if hanging > GAP_UM and not _unfillable(hanging, rules):
                message = (
                    f"its {part} hangs {shown(hanging)} above its bed; more than {shown(GAP_UM)} is to be carried."
                )
                yield missed(_name(rules, "rest", "saddle"), item.id, message, hanging - GAP_UM)
            most = {"head": GAP_UM, "handle": None if rules.thin_um is None else OVER_HANDLE_UM}.get(part)
            if most is None:
                continue
            over = [p for p in insert.loose if (p.what in OVER, p.item, p.part) == (True, item.id, part)]
            top = _cover_um(plan, insert, item, box, rules)
            left = _open_um(box.z1, top, _held(box, over, part), [p.box for p in over], share)
            if left > (GAP_UM if over else most) and not _unfillable(left, rules):
                message = f"{shown(left)} are open over its {part}; more than {shown(most)} is to be filled."
                yield missed(_name(rules, "fill", "plug"), item.id, message, left - most)


def _name(rules: Rules, thin: str, waste: str) -> str:
    return waste if rules.thin_um is None else thin


def _unfillable(gap_um: int, rules: Rules) -> bool:
    """Tell whether even one piece of the thinnest stock is too thick for a gap."""
    return rules.thin_um is not None and min(rules.thin_um) > gap_um + rules.give_um


def _held(box: Box, pieces: Iterable[Loose], part: str) -> Rect:
    """The place where a gap is measured: over the whole part; at a handle where thin stock carries or holds it."""
    thin = [piece.box.rect for piece in pieces if piece.thin]
    shared = common(box.rect, thin[0]) if part == Part.HANDLE and thin else None
    return box.rect if shared is None else shared


def _bed_um(plan: PlanView, sheets: Iterable[Sheet], item: PlanItem, box: Box, rules: Rules) -> int:
    """Top of the uncut foam under a part: the floor of the lowest sheet that it reaches into."""
    floors = [s.floor_um for s in sheets if enters(box, s, rules) and zone(plan, s) == ("layer", item.layer)]
    return min(floors, default=plan.layers[item.layer].floor_um)


def _cover_um(plan: PlanView, insert: CutInsert, item: PlanItem, box: Box, rules: Rules) -> int:
    """Underside of the foam over a part: the top of the highest sheet cut open for it or, in it, of its layer."""
    own = [s for s in insert.sheets if zone(plan, s) == ("layer", item.layer)]
    if insert.has_covers:
        return max((s.top_um for s in own if enters(box, s, rules)), default=box.z1)
    return plan.layers[item.layer].top_um


def _least(insert: CutInsert, item: PlanItem, part: str, box: Box) -> float:
    """The share of a part's rectangle that foam under or over it must have: half, or a third of its outline."""
    figures = [p.outline for s in insert.sheets for p in s.pockets if (p.item, p.part) == (item.id, part) and p.outline]
    return figures_area(figures[:1]) / 3 / (box.side(0) * box.side(1)) if figures else 0.5


def _open_um(low: int, high: int, rect: Rect, pieces: Iterable[Box], share: float) -> int:
    """Height between two levels that no piece under or over at least this share of the rectangle fills."""
    half = (rect.x1 - rect.x0) * (rect.y1 - rect.y0) * share
    spans = []
    for box in pieces:
        shared = common(rect, box.rect)
        if shared is not None and (shared.x1 - shared.x0) * (shared.y1 - shared.y0) >= half:
            spans.append((max(low, box.z0), min(high, box.z1)))
    left, reached = 0, low
    for start, end in sorted(span for span in spans if span[0] < span[1]):
        left += max(0, start - reached)
        reached = max(reached, end)
    return left + max(0, high - reached)
