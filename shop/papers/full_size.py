"""Sheets of an insert in full size, to be stuck on the foam and cut through: asked for when wanted, kept nowhere."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from shop import adapter
from shop.adapter import Plan
from shop.formatting import Wording
from shop.models import LengthUnit
from shop.papers.context import PaperContext
from shop.papers.drawings import Placed, page_room, placed
from shop.papers.render import Sheets

if TYPE_CHECKING:
    from shop.papers.pdf import Print

WORDS_MM = 16.0
"""Two lines over each part of a sheet: how the pages are put together."""
EDGE_MM = 8.0
"""White round a sheet on one large page: printers of plans leave so much unprinted (common practice, no source)."""


class FullSize(StrEnum):
    """The printing of sheets in full size."""

    PAGES = "pages"
    ONE_PAGE = "one-page"


def full_size_html(how: FullSize, plan: Plan, context: PaperContext) -> Sheets:
    """Set the sheets with pockets in full size, in the language that is active.

    Parameters
    ----------
    how
        On pages of the context's paper to be stuck together, or each sheet on one page as large as it is.
    plan
        In layers.
    context
        What the plan does not know.

    Returns
    -------
    Sheets
        The HTML refers to each drawing by its name; without a page where the plan has no pockets.
    """
    wide = page_room(context.page_size, wide=True)
    unit = LengthUnit(context.bench.length).value
    if how is FullSize.PAGES:
        room = (wide.width, wide.height - WORDS_MM)
        pages = adapter.full_size_pages(plan, paper=room, unit=unit, stretch=context.stretch)
    else:
        pages = adapter.whole_sheets(plan, unit=unit, stretch=context.stretch)
    drawings = [placed(page.drawing) for page in pages]
    shown = [{"name": page.name, "drawing": drawing} for page, drawing in zip(pages, drawings, strict=True)]
    html = render_to_string(
        f"papers/full_size_{how.name.lower()}.html",
        {
            "language": translation.get_language() or "en",
            "title": _("Sheets in full size"),
            "context": context,
            "page_class": context.page_size.lower(),
            "units": Wording(context.bench).note,
            "pages": shown,
            "width_mm": round(max((page.drawing.width_mm for page in pages), default=0.0) + 2 * EDGE_MM, 1),
            "height_mm": round(max((page.drawing.height_mm for page in pages), default=0.0) + 3 * EDGE_MM, 1),
        },
    )
    return Sheets(html, {one.name: one.svg for one in drawings if isinstance(one, Placed)})


def print_full_size(how: FullSize, plan: Plan, context: PaperContext) -> Print:
    """Print the sheets with pockets in full size as PDF; see `full_size_html`."""
    from shop.papers.pdf import print_html  # noqa: PLC0415 -- the PDF library is slow to load

    sheets = full_size_html(how, plan, context)
    return print_html(sheets.html, sheets.drawings)
