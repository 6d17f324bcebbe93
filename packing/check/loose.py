"""Saddles, plugs and lifts: nothing hangs, nothing can rise, everything can be lifted out."""

from collections.abc import Iterable, Iterator
from itertools import combinations

from packing.check.insert_reader import CutInsert, Loose, Sheet
from packing.check.plan_reader import PlanItem, PlanView
from packing.check.rectangles import Box, Rect, box_gap, common, uncovered_area
from packing.check.report import Problem, missed, shown
from packing.check.sheets import zone

GAP_UM = 3_000
"""A gap up to this under or over a part stays open."""


def check_loose(plan: PlanView, insert: CutInsert) -> Iterator[Problem]:
    """Saddles and plugs: within their pocket, clear of all parts and of each other, cut from what there is."""
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
        yield from _place_problems(plan, insert, piece, item)
        yield from _source_problems(insert, piece)
    for a, b in combinations(insert.loose, 2):
        if box_gap(a.box, b.box) < 0:
            yield Problem(b.what, b.id, f"lies in the same place as {a.id}.")


def _place_problems(plan: PlanView, insert: CutInsert, piece: Loose, item: PlanItem) -> Iterator[Problem]:
    if piece.content.get("layer", item.layer) != item.layer:
        yield Problem(
            piece.what, piece.id, f"is said to be in layer {piece.content['layer']!r}; its item is in {item.layer}."
        )
    layer = plan.layers[item.layer]
    out = max(layer.floor_um - piece.box.z0, piece.box.z1 - layer.top_um)
    if out > 0:
        yield missed(piece.what, piece.id, f"reaches {shown(out)} out of layer {item.layer}.", out)
    for sheet in insert.sheets:
        if sheet.floor_um < piece.box.z1 and sheet.top_um > piece.box.z0:
            left = uncovered_area(piece.box.rect, sheet.holes(item.id))
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
    sources = [sheet for sheet in insert.sheets if sheet.id in names and sheet.holes(piece.item)]
    if len(sources) != len(names):
        message = f"is to be cut from {' + '.join(names)}, where nothing is cut out for {piece.item}."
        yield Problem(piece.what, piece.id, message)
        return
    thick = sum(sheet.thickness_um for sheet in sources)
    if piece.box.side(2) > thick:
        message = f"is {shown(piece.box.side(2))} high and cut from {' + '.join(names)}, {shown(thick)} thick."
        yield missed(piece.what, piece.id, message, piece.box.side(2) - thick)


def check_gaps(plan: PlanView, insert: CutInsert) -> Iterator[Problem]:
    """What hangs more than 3 mm has a saddle, a head with more than 3 mm above it a plug."""
    for item in plan.items:
        for part, box in item.parts.items():
            bed = _bed_um(plan, insert.sheets, item, box)
            saddles = [p.box for p in insert.loose if (p.what, p.item, p.part) == ("saddle", item.id, part)]
            hanging = _open_um(bed, box.z0, box.rect, saddles)
            if hanging > GAP_UM:
                message = f"its {part} hangs {shown(hanging)} above its bed; more than {shown(GAP_UM)} needs a saddle."
                yield missed("saddle", item.id, message, hanging - GAP_UM)
        if "head" not in item.parts:
            continue
        head, top = item.parts["head"], plan.layers[item.layer].top_um
        plugs = [p.box for p in insert.loose if (p.what, p.item, p.part) == ("plug", item.id, "head")]
        loose = _open_um(head.z1, top, head.rect, plugs)
        if loose > GAP_UM:
            message = f"{shown(loose)} are open over its head; more than {shown(GAP_UM)} needs a plug."
            yield missed("plug", item.id, message, loose - GAP_UM)


def _bed_um(plan: PlanView, sheets: Iterable[Sheet], item: PlanItem, box: Box) -> int:
    """Top of the uncut foam under a part: the floor of the sheet that its underside lies in."""
    floors = [s.floor_um for s in sheets if zone(plan, s) == ("layer", item.layer) and s.floor_um <= box.z0]
    return max(floors, default=plan.layers[item.layer].floor_um)


def _open_um(low: int, high: int, rect: Rect, pieces: Iterable[Box]) -> int:
    """Height between two levels that no piece under or over at least half of the rectangle fills."""
    half = (rect.x1 - rect.x0) * (rect.y1 - rect.y0) / 2
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


def check_lifts(plan: PlanView, insert: CutInsert) -> Iterator[Problem]:
    """Every head has a notch or a tape, and every lift is really there."""
    items = {item.id: item for item in plan.items}
    for item in plan.items:
        if "head" in item.parts and item.id not in [lift.item for lift in insert.lifts]:
            yield Problem("lift", item.id, "has neither a finger notch nor a lift tape.")
    for lift in insert.lifts:
        if lift.item not in items:
            yield Problem("lift", lift.item, "is not in the plan, but has a lift.")
            continue
        item = items[lift.item]
        if lift.content.get("layer", item.layer) != item.layer:
            yield Problem(
                "lift", item.id, f"its lift is said to be in layer {lift.content['layer']!r}; it lies in {item.layer}."
            )
        if lift.rect is not None:
            top = [s for s in insert.sheets if zone(plan, s) == ("layer", item.layer)][-1:]
            if not any(p.part == "notch" and p.item == item.id and p.rect == lift.rect for s in top for p in s.pockets):
                yield Problem("lift", item.id, "its notch is not cut in the top sheet of its layer.")
        elif not _positive(lift.content.get("length_mm")):
            yield Problem("lift", item.id, f"its tape must have a length, not {lift.content.get('length_mm')!r}.")


def _positive(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and value > 0
