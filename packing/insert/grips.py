"""Grips: whatever is lifted out before the last piece is, fingers get hold of."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from packing.insert.butt import FLAP_UM
from packing.insert.model import CORNER_CUT_OFF_UM, Rect, Sheet
from packing.measure import Rules
from packing.plan import Length, Message, Name, Series
from packing.plan.kinds import Grip, SheetRole


def with_grips(sheets: Iterable[Sheet], rules: Rules, size_um: tuple[int, int]) -> list[Sheet]:
    """Sheets with what each is lifted out by.

    Parameters
    ----------
    sheets
        The stack.
    rules
        Without thin stock named, nothing is cut off.
    size_um
        Length and width of every sheet.

    Returns
    -------
    list of Sheet
        Base pad and cut sheets of the lowest layer stay in the box. Every other has two opposite corners cut off by
        `CORNER_CUT_OFF_UM`, the least work, not the one that rods and dimensions start from; where that would leave
        less foam before a pocket than `FLAP_UM`, or than the wall where that is less, a tab of tape.
    """
    if rules.thin_um is None:
        return list(sheets)
    return [replace(sheet, grip=_grip(sheet, rules, size_um) if _is_lifted(sheet) else None) for sheet in sheets]


def _is_lifted(sheet: Sheet) -> bool:
    return sheet.role is not SheetRole.BASE and not (sheet.role is SheetRole.LAYER and sheet.layer == 0)


def _grip(sheet: Sheet, rules: Rules, size_um: tuple[int, int]) -> Grip:
    length, width = size_um
    keep = min(rules.wall_um, FLAP_UM)

    def clear(rect: Rect) -> bool:
        # From the cut, which runs at 45 degrees, to the nearest corner of the pocket: exactly, by squares.
        near = (rect[0] + width - rect[3] - CORNER_CUT_OFF_UM, length - rect[2] + rect[1] - CORNER_CUT_OFF_UM)
        return all(one > 0 and one * one >= 2 * keep * keep for one in near)

    return Grip.CORNERS if keep and all(clear(pocket.rect) for pocket in sheet.pockets) else Grip.TAPE


def grip_notes(sheets: Sequence[Sheet], *, fills: bool) -> list[Message]:
    """Say which corners are cut off, and where a tab of tape does instead."""
    notes = []
    cut = tuple(Name(sheet.id) for sheet in sheets if sheet.grip is Grip.CORNERS)
    if cut:
        words = (
            "Cut the upper left and the lower right corner off {sheets} by {grip}, and one corner off each fill: there "
            "fingers take hold."
            if fills
            else "Cut the upper left and the lower right corner off {sheets} by {grip}: there fingers take hold."
        )
        notes.append(Message(words, sheets=Series(cut), grip=Length(CORNER_CUT_OFF_UM)))
    taped = tuple(Name(sheet.id) for sheet in sheets if sheet.grip is Grip.TAPE)
    if taped:
        notes.append(Message("Stick a tab of tape to {sheets} to lift by.", sheets=Series(taped)))
    return notes
