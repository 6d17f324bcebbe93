"""The cut list of an insert: what is cut from which stock, alike pieces together."""

from collections.abc import Sequence

from packing.insert.model import CutRow, Loose, Sheet, StandingPlate
from packing.materials import STIFF_SHEET, Foam
from packing.plan import Length, Message
from packing.plan.kinds import LooseKind

_STOCK = "{material}, {thickness}"
_EXTRA_STOCK = "{material}, {thickness}, extra stock line"
"""Of a thickness that none of the order's stock sheets has: it is bought beside them."""
_SLICED_WASTE = "waste of its own pocket in {sheet}, sliced"
"""Foam that falls out of a pocket goes back into it: it has the right outline and costs no foam."""


def cut_list_of(
    sheets: Sequence[Sheet],
    loose: Sequence[Loose],
    size_um: tuple[int, int],
    foam: Foam,
    plates: Sequence[StandingPlate] = (),
) -> tuple[CutRow, ...]:
    """The rows of a cut list: sheets of one thickness together, loose pieces that are cut alike, plates."""
    rows: dict[tuple[LooseKind, int, tuple[int, int], Message], list[str]] = {}
    for sheet in sheets:
        template = _STOCK if sheet.stock else _EXTRA_STOCK
        source = Message(template, material=(sheet.material or foam).name, thickness=Length(sheet.thickness_um))
        rows.setdefault((LooseKind.SHEET, sheet.thickness_um, size_um, source), []).append(sheet.id)
    for piece in loose:
        x0, y0, x1, y1 = piece.rect
        size = (max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0))
        for thickness in piece.thicknesses_um:
            if piece.sheet is None:
                source = Message(_STOCK, material=foam.name, thickness=Length(thickness))
            else:
                source = Message(_SLICED_WASTE, sheet=piece.sheet)
            rows.setdefault((piece.kind, thickness, size, source), []).append(piece.id)
    for plate in plates:
        source = Message(_STOCK, material=STIFF_SHEET.name, thickness=Length(plate.thickness_um))
        # The longer side first, whichever stands up in the box: a plate is sawn lying down.
        size = (max(plate.face_um), min(plate.face_um))
        rows.setdefault((LooseKind.PLATE, plate.thickness_um, size, source), []).append(plate.id)
    return tuple(
        CutRow(what, tuple(ids), thickness, size, len(ids), source)
        for (what, thickness, size, source), ids in rows.items()
    )
