"""Papers of the stock itself: what several orders are cut from, and labels for offcuts.

They are made when asked for and kept nowhere.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import TYPE_CHECKING

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from shop.formatting import Units, Wording
from shop.models import SheetRow, Shop
from shop.papers.cautions import for_cutting
from shop.papers.context import PaperContext
from shop.papers.from_stock import pages_of
from shop.services.cut_together import Laid
from shop.services.shops import today

if TYPE_CHECKING:
    from shop.papers.pdf import Print


def print_together(laid: Laid, shop: Shop) -> Print:
    """Print what several orders are cut from, sheet by sheet.

    Parameters
    ----------
    laid
        As `shop.services.cut_together.lay` gives it.
    shop
        Whose it is: its units, its paper.

    Returns
    -------
    Print
    """
    from shop.papers.pdf import print_html  # noqa: PLC0415 -- the PDF library is slow to load

    context = _context(laid, shop)
    pages = pages_of(list(zip(laid.cuts, laid.labels, strict=True)), context)
    drawings = [sheet.drawing for page in pages for sheet in page.sheets]
    html = render_to_string(
        "papers/together.html",
        {
            "language": translation.get_language() or "en",
            "title": _("Cut together"),
            "context": context,
            "page_class": context.page_size.lower(),
            "units": Wording(context.bench).note,
            "stock_pages": pages,
            "caution": for_cutting(foam=True, board=True, laser=True),
            "of_several": True,
        },
    )
    return print_html(html, {one.name: one.svg for one in drawings})


def _context(laid: Laid, shop: Shop) -> PaperContext:
    hashes = "".join(parcel.plan.content_hash for parcel in laid.parcels)
    return PaperContext(
        shop_name=shop.name,
        customer_name="",
        order_number=", ".join(parcel.plan.parcel_name for parcel in laid.parcels),
        date=today(shop),
        plan_hash=hashlib.sha256(hashes.encode()).hexdigest(),
        bench=Units(shop.length_unit, shop.weight_unit),
        page_size=shop.paper,
        demo=shop.is_demo,
        stock=laid.sheets,
    )


def print_labels(rows: Sequence[SheetRow], shop: Shop) -> Print:
    """Print a label for each offcut, to be cut out and taped on.

    Parameters
    ----------
    rows
        Offcuts of the shop.
    shop
        Its units, its paper.

    Returns
    -------
    Print
        With the number as large as it is read from across the shop.
    """
    from shop.papers.pdf import print_html  # noqa: PLC0415 -- as above

    write = Wording(Units(shop.length_unit, shop.weight_unit))
    labels = [
        {
            "label": row.label or "–",
            "material": row.material,
            "thickness": write.length(row.nominal_mm, fine=True),
            "size": write.size((row.length_mm, row.width_mm)),
        }
        for row in rows
    ]
    html = render_to_string(
        "papers/offcut_labels.html",
        {
            "language": translation.get_language() or "en",
            "title": _("Labels for offcuts"),
            "shop": shop,
            "day": today(shop).isoformat(),
            "page_class": shop.paper.lower(),
            "labels": labels,
        },
    )
    return print_html(html)
