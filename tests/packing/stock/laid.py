"""Judges layouts by rectangles alone: nothing here is shared with what made them."""

from collections import Counter

from packing.stock import Axis, LaidSheet, Layout, Part, Rect


def faults(layout: Layout, parts: list[Part]) -> list[str]:
    """What is wrong with a layout, a sentence each."""
    found = []
    laid = Counter(one.part.id for sheet in layout.sheets for one in sheet.parts)
    if laid != Counter(part.id for part in parts):
        found.append(f"cut are {laid}")
    for sheet in layout.sheets:
        found += _of_sheet(sheet, layout.kerf_um)
    return found


def _of_sheet(sheet: LaidSheet, kerf: int) -> list[str]:
    found = []
    trim, (length, width) = sheet.stock.trim_um, sheet.stock.size_um
    for one in sheet.parts:
        sides = (one.rect[2] - one.rect[0], one.rect[3] - one.rect[1])
        if sides != (one.part.size_um[::-1] if one.turned else one.part.size_um):
            found.append(f"{one} has other sides")
        if one.turned and not one.part.turns:
            found.append(f"{one} is turned")
    there = [one.rect for one in sheet.parts] + list(sheet.offcuts)
    for at, rect in enumerate(there):
        if min(rect[:2]) < trim or rect[2] > length - trim or rect[3] > width - trim:
            found.append(f"{rect} leaves the sheet")
        found += [f"{rect} and {other} are too near" for other in there[:at] if _near(rect, other, kerf)]
    return found


def _near(one: Rect, other: Rect, kerf: int) -> bool:
    return all(one[axis] < other[axis + 2] + kerf and other[axis] < one[axis + 2] + kerf for axis in (0, 1))


def cut_up(sheet: LaidSheet, kerf: int) -> list[Rect]:
    """Do the cuts of a sheet one after the other, each right across one piece in hand; the pieces there are then."""
    trim, (length, width) = sheet.stock.trim_um, sheet.stock.size_um
    in_hand: list[Rect] = [(0, 0, length, width)]
    for number, cut in enumerate(sheet.cuts):
        axis = 0 if cut.axis is Axis.ACROSS else 1
        other = 1 - axis
        # Trim at the left and the lower edge is taken off before the line, everything else is sawn behind it.
        before = trim > 0 and number in (0, 2)
        mine = [
            piece
            for piece in in_hand
            if piece[axis] < cut.at_um < piece[axis + 2]
            and (piece[other], piece[other + 2]) == (cut.from_um, cut.to_um)
        ]
        assert len(mine) == 1, f"cut {number + 1} goes right across no piece in hand"
        piece = mine[0]
        in_hand.remove(piece)
        low, high = list(piece), list(piece)
        low[axis + 2] = cut.at_um - (min(kerf, cut.at_um) if before else 0)
        high[axis] = cut.at_um + (0 if before else kerf)
        in_hand += [(one[0], one[1], one[2], one[3]) for one in (low, high) if one[axis] < one[axis + 2]]
    return in_hand
