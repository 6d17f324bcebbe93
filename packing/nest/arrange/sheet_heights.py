"""Higher layers where that saves sheets: the same places, fewer sheets to cut."""

from dataclasses import replace
from functools import reduce
from math import gcd

from packing.measure import Order
from packing.nest.result import Layer, Nesting


def fewest_sheets(height_um: int, spare_um: int, sheets_um: tuple[int, ...]) -> int:
    """The height from `height_um` to `spare_um` more that the fewest sheets make, the least of such heights.

    Parameters
    ----------
    height_um
        A sum of sheets, greater than 0.
    spare_um
        How much more is allowed, 0 or more.
    sheets_um
        Stock thicknesses.

    Returns
    -------
    int
        Micrometres; `height_um` itself where nothing saves a sheet.
    """
    unit = reduce(gcd, sheets_um)
    top = (height_um + spare_um) // unit
    steps = [sheet // unit for sheet in sheets_um]
    count: list[int | None] = [0] + [None] * top
    for total in range(1, top + 1):
        fewer = [before for step in steps if step <= total and (before := count[total - step]) is not None]
        count[total] = min(fewer) + 1 if fewer else None
    reached = [(made, total) for total in range(height_um // unit, top + 1) if (made := count[total]) is not None]
    return min(reached)[1] * unit


def with_fewer_sheets(order: Order, nesting: Nesting) -> Nesting | None:
    """The nesting with its layers up to `layer_spare` higher where that saves sheets; None where it saves none.

    Parameters
    ----------
    order
        With its rules.
    nesting
        A planned nesting of the order, in layers.
    """
    rules = order.rules
    heights = [fewest_sheets(layer.height_um, rules.layer_spare_um, rules.sheets_um) for layer in nesting.layers]
    if heights == [layer.height_um for layer in nesting.layers]:
        return None
    layers, floor = [], rules.base_pad_um
    for height in heights:
        layers.append(Layer(floor, height))
        floor += height + rules.layer_pad_um
    length, width, _ = nesting.interior_um
    interior = (length, width, floor - rules.layer_pad_um + rules.top_pad_um)
    if rules.max_interior_um is not None and interior[2] > rules.max_interior_um[2]:
        return None
    placed = tuple(replace(one, z_um=layers[one.layer].floor_um) for one in nesting.placed)
    return replace(nesting, interior_um=interior, layers=tuple(layers), placed=placed, proven=False, others=())
