"""Doing without sheets, taking smaller ones, and leaving the largest rest."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from packing.stock.cuts import cut_apart, largest_rests
from packing.stock.fill_kernel import Ints
from packing.stock.model import Cutting, LaidPart, LaidSheet, Part, StockSheet, area
from packing.stock.task import Sheets, Task

FEWER_SHARE, REST_SHARE = 12, 60
"""Shares of the effort: for each sheet that may be done without; for each way to leave a large rest."""
GATHER_SHARES = {Cutting.EDGE_TO_EDGE: 6, Cutting.FREE: 16}
"""Shares for fuller sheets beside emptier ones; a step of free filling takes longer."""
REST_TRIES = 24


def least_stock(task: Task, found: Sheets, new: Sequence[StockSheet]) -> Sheets:
    """Do without sheets and take smaller ones, as far as the parts still fit."""
    gathered = task.run(found, task.effort // GATHER_SHARES[task.cutting], gather=True)
    # The search ends where it is, which may be with a part left over for a moment: then what it began with stands.
    return _fewer(task, gathered if gathered.complete else found, new)


def _fewer(task: Task, found: Sheets, new: Sequence[StockSheet]) -> Sheets:
    steps = max(1, task.effort // FEWER_SHARE)
    index = 0
    # Offcuts stand first, the largest of them in front: small ones are used before large ones are.
    while index < len(found.stock):
        trial = task.without(found, index)
        if not trial.complete and _roomy(task, trial):
            trial = task.run(trial, steps)
        if trial.complete:
            found = trial
        else:
            found = _smaller(task, found, index, new, steps)
            index += 1
    return found


def _smaller(task: Task, found: Sheets, index: int, new: Sequence[StockSheet], steps: int) -> Sheets:
    """Take the least of the smaller new sheets for a new sheet that the parts still fit on."""
    one = found.stock[index]
    if one.offcut:
        return found
    for other in sorted((one for one in new), key=lambda one: one.area_um2):
        if other.area_um2 >= one.area_um2:
            break
        used = sum(1 for there in found.stock if there.id == other.id)
        if other.count is not None and used >= other.count:
            continue
        trial = task.without(found, index)
        trial.stock.insert(index, other)
        trial.sheet_of[trial.sheet_of >= index] += 1
        if _roomy(task, trial):
            trial = task.run(trial, steps)
            if trial.complete:
                return trial
    return found


def _roomy(task: Task, sheets: Sheets) -> bool:
    """Tell whether the parts could lie on the sheets by area."""
    return int(task.sides.prod(axis=1).sum()) <= int(task.rooms(sheets.stock).prod(axis=1).sum())


def finished(task: Task, found: Sheets, index: int) -> LaidSheet:
    """One sheet, laid again a few times: the way that leaves the largest rest."""
    chosen = [int(at) for at in np.flatnonzero(found.sheet_of == index)]
    stock, best = found.stock[index], as_found(task, found, index)
    if not chosen:
        return best
    alone = replace(task, parts=[task.parts[at] for at in chosen])
    for _ in range(REST_TRIES):
        trial = alone.run(alone.empty([stock]), task.effort // REST_SHARE)
        if not trial.complete:
            break
        other = _laid(task, stock, list(zip(alone.parts, trial.spots, strict=True)))
        if _rest(other) > _rest(best):
            best = other
    return best


def as_found(task: Task, found: Sheets, index: int) -> LaidSheet:
    """One sheet as the search left it."""
    chosen = np.flatnonzero(found.sheet_of == index)
    return _laid(task, found.stock[index], [(task.parts[int(at)], found.spots[at]) for at in chosen])


def _rest(laid: LaidSheet) -> tuple[int, int]:
    """Score a layout by what is left: the largest rest, then all of them; then few cuts."""
    return max((area(rest) for rest in laid.offcuts), default=0), -len(laid.cuts)


def _laid(task: Task, stock: StockSheet, placed: Sequence[tuple[Part, Ints]]) -> LaidSheet:
    trim = stock.trim_um
    parts = []
    for part, spot in placed:
        x, y, turned = (int(value) for value in spot)
        a, b = part.size_um[::-1] if turned else part.size_um
        parts.append(LaidPart(part, (x + trim, y + trim, x + trim + a, y + trim + b), bool(turned)))
    if task.cutting is Cutting.EDGE_TO_EDGE:
        return cut_apart(stock, parts, task.kerf_um, task.keeping)
    ordered = tuple(sorted(parts, key=lambda one: one.rect[:2]))
    return LaidSheet(stock, ordered, (), largest_rests(stock, parts, task.kerf_um, task.keeping))
