"""Laying parts on stock: offcuts first, then as few new sheets as are found, then as little of them as can be."""

from collections.abc import Sequence

import numpy as np

from packing.measure import BadInput
from packing.stock.bars import lay_bars
from packing.stock.finish import as_found, finished, least_stock
from packing.stock.model import Cutting, Keeping, Lack, Layout, Part, Shortage, StockSheet
from packing.stock.needed import as_bars, fits, new_at_least
from packing.stock.search_kernel import UNLAID
from packing.stock.task import Sheets, Task

DEFAULT_EFFORT = 120_000
"""Steps for each number of sheets that is tried; 60 parts then take about a second, measured on one slow core."""
MOST_OFFCUTS = 40
"""Offcuts that are looked at, the largest: with more the search spreads too thin."""
MIXED_SEED = 0x9E3779B97F4A7C15
"""Splits seeds that are near each other apart; the state of the random numbers may not be 0."""


def lay_out(
    parts: Sequence[Part],
    stock: Sequence[StockSheet],
    *,
    cutting: Cutting = Cutting.EDGE_TO_EDGE,
    kerf_um: int = 0,
    keeping: Keeping | None = None,
    effort: int = DEFAULT_EFFORT,
    seed: int = 0,
) -> Layout | Shortage:
    """Lay rectangles on sheets or bars.

    Parameters
    ----------
    parts
        What to cut.
    stock
        What there is to cut from, all of one thickness and material.
    cutting
        Edge to edge with a saw or along a straightedge; free with a machine that follows any line.
    kerf_um
        What a cut takes, 0 or more.
    keeping
        What is worth keeping of a sheet; 300 × 100 mm where not given.
    effort
        Steps of the search for each number of sheets, at least 1. The same parts, stock, effort and seed give the same
        layout on any machine.
    seed
        Any integer.

    Returns
    -------
    Layout or Shortage
        Offcuts first, so that the fewest new sheets found are cut; then the least area of stock found; then, on the
        sheets as they are, the largest rest found. Exact for bars of one size without offcuts wherever
        `Layout.proven`; a heuristic else, which says by `new_at_least` how far from the least it may be.

    Raises
    ------
    BadInput
        A size that is not greater than 0, a saw cut or trim below 0, a trim that leaves nothing, an effort below 1.
    """
    _refuse(parts, stock, kerf_um, effort)
    state = (MIXED_SEED * (2 * seed + 1)) % (1 << 64) or 1
    task = Task(parts, cutting, kerf_um, keeping or Keeping(), effort, np.array([state], np.uint64))
    there = [one for one in stock if one.count != 0]
    strange = tuple(dict.fromkeys(part.id for part in parts if not any(fits(part, one) for one in there)))
    if strange:
        return Shortage(Lack.TOO_SMALL, strange, _largest(there))
    if not parts:
        return Layout(cutting, kerf_um, (), 0)
    offcuts = _each([one for one in there if one.offcut and any(fits(part, one) for part in parts)])[:MOST_OFFCUTS]
    new = sorted((one for one in there if not one.offcut), key=lambda one: -one.area_um2)
    least = new_at_least(parts, offcuts, new, kerf_um)
    bars = _bars_alone(task, offcuts, new, least)
    if bars is not None:
        sheets = [as_found(task, bars, index) for index in range(len(bars.stock))]
    else:
        found = _fewest(task, offcuts, new, least)
        if isinstance(found, Shortage):
            return found
        found = least_stock(task, found, new)
        sheets = [finished(task, found, index) for index in range(len(found.stock))]
    laid = sorted((one for one in sheets if one.parts), key=lambda one: (not one.stock.offcut, -one.used_um2))
    return Layout(cutting, kerf_um, tuple(laid), least)


def _refuse(parts: Sequence[Part], stock: Sequence[StockSheet], kerf_um: int, effort: int) -> None:
    for part in parts:
        if min(part.size_um) <= 0:
            raise BadInput(f"part {part.id}", f"must be larger than 0 each way, not {part.size_um} µm.")
    for one in stock:
        if min(one.size_um) <= 0:
            raise BadInput(f"stock {one.id}", f"must be larger than 0 each way, not {one.size_um} µm.")
        if one.trim_um < 0 or min(one.room_um) <= 0:
            raise BadInput(f"stock {one.id}", f"must have a trim of 0 to under half a side, not {one.trim_um} µm.")
        if one.count is not None and one.count < 0:
            raise BadInput(f"stock {one.id}", f"must count 0 or more, not {one.count}.")
    if kerf_um < 0:
        raise BadInput("kerf", f"must be 0 or more, not {kerf_um} µm.")
    if effort < 1:
        raise BadInput("effort", f"must be at least 1, not {effort}.")


def _largest(stock: Sequence[StockSheet]) -> tuple[int, int] | None:
    return max((one.room_um for one in stock), key=lambda room: room[0] * room[1], default=None)


def _each(stock: Sequence[StockSheet]) -> list[StockSheet]:
    """The offcuts one by one, the largest first; of one that can be bought at will there is one."""
    each = [one for one in stock for _ in range(min(one.count or 1, MOST_OFFCUTS))]
    return sorted(each, key=lambda one: (-one.area_um2, one.id))


def _chosen(new: Sequence[StockSheet], many: int) -> list[StockSheet] | None:
    """So many new sheets, the largest; None where there are not so many."""
    chosen: list[StockSheet] = []
    for one in new:
        wanted = many - len(chosen)
        chosen += [one] * (wanted if one.count is None else min(one.count, wanted))
    return chosen if len(chosen) == many else None


def _fewest(task: Task, offcuts: Sequence[StockSheet], new: Sequence[StockSheet], least: int) -> Sheets | Shortage:
    """As few new sheets as are found beside the offcuts."""
    many, trial = least, None
    while (chosen := _chosen(new, many)) is not None:
        trial = task.run(task.empty([*offcuts, *chosen]), task.steps)
        if trial.complete:
            return trial
        many += 1
    if trial is None:
        # Fewer than the bound: as many as there are show what finds no place.
        there = [one for one in new for _ in range(min(one.count or 0, len(task.parts)))]
        trial = task.run(task.empty([*offcuts, *there]), task.steps)
    left = tuple(task.parts[int(at)].id for at in np.flatnonzero(trial.sheet_of == UNLAID))
    return Shortage(Lack.TOO_FEW, left, _largest([*offcuts, *new]))


def _bars_alone(task: Task, offcuts: Sequence[StockSheet], new: Sequence[StockSheet], least: int) -> Sheets | None:
    """Bars of one size, without offcuts; None where the parts are no such bars, or bars are short."""
    if offcuts or len(new) != 1:
        return None
    room = task.rooms(new)[0]
    grown = [(int(a), int(b)) for a, b in task.sides]
    lengths = as_bars(task.parts, grown, (int(room[0]), int(room[1])))
    if lengths is None:
        return None
    laid = lay_bars(lengths, int(room[0]), least=least, effort=task.effort, rng=task.rng)
    chosen = _chosen(new, len(laid))
    if chosen is None:
        return None
    found = task.empty(chosen)
    for index, bar in enumerate(laid):
        at = 0
        for part in bar:
            found.sheet_of[part] = index
            found.spots[part] = at, 0, 0
            at += lengths[part]
    return found
