"""The quote that goes to a customer: one page, without anything that the shop alone is to know."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from shop import adapter
from shop.countries import country_name
from shop.formatting import Units, Wording
from shop.models import Quote
from shop.quoted import shown_quote
from shop.services.quotes import is_past, past_words


def quote_html(quote: Quote) -> str:
    """Set a stored quote as a whole HTML document.

    Parameters
    ----------
    quote
        Its services with a price are listed, or all that take it where none has one.

    Returns
    -------
    str
        Of one page, in the shop's units and the language that is active.
    """
    shop = quote.shop
    wording = Wording(Units(shop.length_unit, shop.weight_unit))
    shown = shown_quote(adapter.read_quote(quote.content), wording)
    taken = [row for row in shown.services if row.taken]
    return render_to_string(
        "papers/quote.html",
        {
            "language": translation.get_language() or "en",
            "title": _("Quote %(number)d") % {"number": quote.number},
            "shop": shop,
            "demo": shop.is_demo,
            "quote": quote,
            "day": quote.made_at.astimezone(ZoneInfo(shop.timezone)).date().isoformat(),
            "page_class": shop.paper.lower(),
            "units": wording.note,
            "country": country_name(quote.country),
            "lines": quote.lines.select_related("product", "product_set", "block", "piece__product"),
            "shown": shown,
            "services": [row for row in taken if row.price] or taken,
            "past": past_words(quote) if is_past(quote) else "",
        },
    )


def print_quote(quote: Quote) -> bytes:
    """Print a stored quote as PDF.

    Parameters
    ----------
    quote
        See `quote_html`.

    Returns
    -------
    bytes
        The same quote on the same side of its date gives the same bytes.
    """
    from shop.papers.pdf import print_html  # noqa: PLC0415 -- the PDF library is slow to load; HTML alone needs none

    return print_html(quote_html(quote)).pdf
