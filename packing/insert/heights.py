"""Higher layers where that saves work: the same places, sheets that are fewer to cut and to stack."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import reduce
from math import gcd

from packing.insert.make import sheet_works
from packing.insert.stack import SheetWork, layer_sheets
from packing.insert.work import INSERT_MINUTES
from packing.materials import Foam
from packing.measure import Order, Rules
from packing.nest import Layer, Nesting
from packing.plan.kinds import InsertWork


def fewer_sheets(height_um: int, spare_um: int, sheets_um: Sequence[int]) -> list[int]:
    """Heights that a layer may grow to: those that take fewer stock sheets than the height it has.

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
    list of int
        Micrometres, least first; empty where nothing saves a sheet.

    Notes
    -----
    Exact, by dynamic programming over sums of thicknesses (the change-making problem).
    """
    # In steps of the greatest common part: a few hundred sums instead of a hundred thousand.
    unit = reduce(gcd, sheets_um)
    top = (height_um + spare_um) // unit
    steps = [sheet // unit for sheet in sheets_um]
    count: list[int | None] = [0] + [None] * top
    for total in range(1, top + 1):
        fewer = [before for step in steps if step <= total and (before := count[total - step]) is not None]
        count[total] = min(fewer) + 1 if fewer else None
    own = count[height_um // unit] or 0
    return [total * unit for total in range(height_um // unit, top + 1) if 0 < (count[total] or own) < own]


def with_less_work(
    order: Order,
    nesting: Nesting,
    foam: Foam,
    *,
    worth: Decimal,
    minutes: Mapping[InsertWork, Decimal] = INSERT_MINUTES,
) -> Nesting | None:
    """The nesting with its layers up to `layer_spare` higher where the insert is then less work.

    Parameters
    ----------
    order
        With its rules.
    nesting
        A planned nesting of the order, in layers.
    foam
        What the insert is cut from.
    worth
        Minutes that must be saved for each hundredth of the interior's volume that is added.
    minutes
        For one of each kind of work.

    Returns
    -------
    Nesting or None
        None where no higher layer pays, or `max_interior` forbids it.

    Notes
    -----
    Each layer's best height is found by itself: the cost of its sheets depends on its own height alone.
    """
    rules = order.rules
    if not rules.layer_spare_um or not nesting.layers:
        return None
    # Thin stock may serve in a layer too, so it is priced with the sheets.
    stock_um = tuple(sorted({*rules.sheets_um, *(rules.thin_um or ())}))
    works = sheet_works(order, nesting, foam, minutes)
    # Thousandths of a minute for each micrometre, as the sheets' cost counts.
    each_um = 100_000 * worth / nesting.interior_um[2]

    def cost(work: SheetWork, height_um: int) -> Decimal:
        return work.total(layer_sheets(height_um, stock_um, work) or (height_um,)) + each_um * height_um

    heights = [
        min(
            (layer.height_um, *fewer_sheets(layer.height_um, rules.layer_spare_um, rules.sheets_um)),
            key=lambda height: cost(work, height),
        )
        for layer, work in zip(nesting.layers, works, strict=True)
    ]
    return _raised(rules, nesting, heights)


def _raised(rules: Rules, nesting: Nesting, heights_um: Sequence[int]) -> Nesting | None:
    """The nesting with layers of these heights; None where they are its own, or too much for the interior."""
    if list(heights_um) == [layer.height_um for layer in nesting.layers]:
        return None
    layers, floor = [], rules.base_pad_um
    for height in heights_um:
        layers.append(Layer(floor, height))
        floor += height + rules.layer_pad_um
    length, width, _ = nesting.interior_um
    interior = (length, width, floor - rules.layer_pad_um + rules.top_pad_um)
    if rules.max_interior_um is not None and interior[2] > rules.max_interior_um[2]:
        return None
    placed = tuple(replace(one, z_um=layers[one.layer].floor_um) for one in nesting.placed)
    return replace(nesting, interior_um=interior, layers=tuple(layers), placed=placed, proven=False, others=())
