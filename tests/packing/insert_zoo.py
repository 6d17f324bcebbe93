"""Specimens for the insert: small orders laid in rows by hand, so that no search is needed to test what is cut."""

from dataclasses import replace
from typing import Any

from packing.measure import Order, read_order
from packing.nest import Layer, Nesting, Placement
from packing.plan.kinds import Status
from packing.pose import Orientation, orientations_of

HAMMER: dict[str, Any] = {
    "id": "hammer",
    "kind": "tool",
    "head_length": 105,
    "head_height": 42,
    "head_width": 42,
    "handle_length": 250,
    "handle_width": 33,
    "handle_thickness": 23,
    "weight_g": 1440,
}
AXE: dict[str, Any] = {
    "id": "axe",
    "kind": "tool",
    "form": "axe",
    "sharp": "far",
    "may_stand": False,
    "head_length": 170.5,
    "head_height": 95.5,
    "head_width": 30,
    "eye_offset": 36.5,
    "handle_length": 380,
    "handle_width": 36,
    "handle_thickness": 22,
    "weight_g": 1100,
}
TIN: dict[str, Any] = {"id": "tin", "kind": "block", "length": 70, "width": 70, "height": 30, "weight_g": 120}

Row = list[tuple[int, str, int]]
"""Index of the item, its pose, its turn."""


def order_of(*items: dict[str, Any], **rules: Any) -> Order:
    """An order of these items under these rules."""
    return read_order({"id": "zoo", "items": list(items), "rules": rules})


def with_thin_stock(order: Order) -> Order:
    """The same order where foam gives 1.5 mm and there is thin stock of 3 and 6 mm."""
    return replace(order, rules=replace(order.rules, bite_um=1_500, thin_um=(3_000, 6_000)))


def stance_of(order: Order, item: int, pose: str, turn: int) -> Orientation:
    """The item's first stance in this pose and turn."""
    return next(s for s in orientations_of(order.items[item]) if s.pose == pose and s.turn == turn)


def laid(order: Order, *rows: Row) -> Nesting:
    """A nesting with one layer for each row, its items side by side along x, as tight as the rules allow."""
    rules = order.rules
    edge = rules.wall_um + rules.clearance_um
    floor, length, width = rules.base_pad_um, 0, 0
    layers: list[Layer] = []
    placed: list[Placement] = []
    for index, row in enumerate(rows):
        x = edge
        need = 0
        for item, pose, turn in row:
            orientation = stance_of(order, item, pose, turn)
            placed.append(Placement(item, orientation, x, edge, floor, index))
            x += orientation.length_um + 2 * rules.clearance_um + rules.web_um
            width = max(width, orientation.width_um + 2 * edge)
            need = max(need, orientation.need_um)
        length = max(length, x - rules.web_um - 2 * rules.clearance_um + edge)
        height = least_sum(need, rules.sheets_um)
        layers.append(Layer(floor, height))
        floor += height + rules.layer_pad_um
    height = layers[-1].floor_um + layers[-1].height_um + rules.top_pad_um
    return Nesting(Status.PLANNED, (length, width, height), tuple(layers), tuple(sorted(placed, key=lambda p: p.item)))


def least_sum(need_um: int, sheets_um: tuple[int, ...]) -> int:
    """The smallest sum of stock sheets that reaches a need."""
    sums = {0}
    while max(sums) < need_um + max(sheets_um):
        grown = sums | {s + t for s in sums if s < need_um for t in sheets_um}
        if grown == sums:
            break
        sums = grown
    return min(s for s in sums if s >= need_um)


def zoo() -> dict[str, tuple[Order, Nesting]]:
    """Every specimen by name."""
    plain = order_of(HAMMER)
    thin = order_of({**HAMMER, "handle_thickness": 8, "handle_width": 12})
    thick = order_of({**HAMMER, "head_width": 30, "handle_thickness": 45.5, "weight_g": 1000})
    mixed = order_of(HAMMER, AXE, TIN, web=40, wall=40, base_pad=50, layer_pad=18)
    bare = order_of(HAMMER, TIN, base_pad=0, layer_pad=0, top_pad=0)
    nothing = order_of(
        HAMMER, {**HAMMER, "id": "other"}, clearance=0, web=0, wall=0, base_pad=0, layer_pad=0, top_pad=0
    )
    edge_eye = order_of({**HAMMER, "eye_offset": 10})
    many = order_of(*({**HAMMER, "id": f"h{n}", "handle_thickness": 10 + n} for n in range(30)))
    return {
        "one hammer flat": (plain, laid(plain, [(0, "flat", 0)])),
        "one hammer turned": (plain, laid(plain, [(0, "flat", 90)])),
        "one hammer half turned": (plain, laid(plain, [(0, "flat", 180)])),
        "one hammer on its end": (plain, laid(plain, [(0, "end", 270)])),
        "thin handle": (thin, laid(thin, [(0, "flat", 0)])),
        "handle thicker than the head": (thick, laid(thick, [(0, "flat", 90)])),
        "three forms, two layers": (mixed, laid(mixed, [(0, "end", 0), (2, "block", 0)], [(1, "flat", 180)])),
        "no pads": (bare, laid(bare, [(0, "flat", 0)], [(1, "block", 0)])),
        "no gaps, touching": (nothing, laid(nothing, [(0, "flat", 0), (1, "flat", 180)])),
        "eye at the end of the head": (edge_eye, laid(edge_eye, [(0, "flat", 270)])),
        "thirty": (many, laid(many, [(n, "flat", 90) for n in range(30)])),
    }
