"""Orders laid on the same sheets of stock, for the screen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from shop import adapter
from shop.formatting import Wording
from shop.papers.from_stock import words_of
from shop.papers.measures import PlanWording
from shop.services.cut_together import Laid

SCALE = 5.0
"""Sheets are a metre or two long: on the screen they are drawn at a fifth, and scrolled where that is too wide."""


@dataclass(frozen=True, slots=True)
class ShownSheet:
    """A sheet of stock with what is cut from it: its picture, and what stands over that."""

    title: str
    words: str
    svg: SafeString
    width_mm: float


@dataclass(frozen=True, slots=True)
class ShownLaying:
    """All sheets; sentences for joints, and for what stock does not allow."""

    sheets: tuple[ShownSheet, ...]
    joints: tuple[str, ...]
    lacks: tuple[str, ...]


def shown_laying(laid: Laid, wording: Wording) -> ShownLaying:
    """Show orders laid on stock.

    Parameters
    ----------
    laid
        As `shop.services.cut_together.lay` gives it.
    wording
        The reader's.

    Returns
    -------
    ShownLaying
    """
    return ShownLaying(
        tuple(_sheets(laid, wording)),
        tuple(wording.message(joint) for cut in laid.cuts for joint in cut.joints),
        tuple(wording.message(cut.why) for cut in laid.cuts if cut.why is not None),
    )


def _sheets(laid: Laid, wording: Wording) -> Iterator[ShownSheet]:
    write = PlanWording(wording.units)
    by_row = {str(sheet.row): sheet for sheet in laid.sheets}
    for cut, named in zip(laid.cuts, laid.labels, strict=True):
        for sheet, labels in zip(() if cut.layout is None else cut.layout.sheets, named, strict=True):
            drawing = adapter.stock_sheet_drawing(sheet, labels=labels, scale=SCALE, unit=wording.units.length)
            row = by_row[sheet.stock.id]
            called = _("offcut %(label)s") % {"label": row.label} if row.label else _("whole sheet")
            what, size = write.stuff(cut.need.material, cut.need.thickness_um), write.size(sheet.stock.size_um)
            # Our own drawing, its texts escaped where it is made.
            svg = mark_safe(drawing.svg)
            yield ShownSheet(f"{what}: {called}, {size}", words_of(cut, sheet, labels, write), svg, drawing.width_mm)
