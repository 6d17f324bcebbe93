"""Setting a paper: plan and context into the HTML of one document, and that into print."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from shop.adapter import Plan
from shop.formatting import Units, Wording
from shop.models import DocumentKind
from shop.papers.box_plan import box_plan
from shop.papers.context import PaperContext
from shop.papers.drawings import Placed
from shop.papers.from_stock import ShownSheet, StockPage
from shop.papers.insert_plan import SheetPage, insert_plan
from shop.papers.slip import slip

if TYPE_CHECKING:
    from shop.papers.pdf import Print


@dataclass(frozen=True, slots=True)
class Sheets:
    """A paper before it is printed: its HTML and the SVG of its drawings by name."""

    html: str
    drawings: dict[str, str]


def render_html(kind: str, plan: Plan, context: PaperContext) -> Sheets:
    """Set one paper as a whole HTML document with its drawings, in the language that is active.

    Parameters
    ----------
    kind
        "slip", "insert" or "box".
    plan
        What the library answered.
    context
        What the plan does not know.

    Returns
    -------
    Sheets
        The HTML refers to each drawing by its name.

    Raises
    ------
    KeyError
        There is no such kind.
    """
    make, units = _PAPERS[kind]
    shown: dict[str, object] = {
        "language": translation.get_language() or "en",
        "title": titles()[kind],
        "context": context,
        "page_class": context.page_size.lower(),
        "units": Wording(units(context)).note,
        "layers": len(plan.layers),
        **make(plan, context),
    }
    html = render_to_string(f"papers/{kind}.html", shown)
    return Sheets(html, {drawing.name: drawing.svg for drawing in _placed_in(shown)})


def _placed_in(shown: object) -> Iterator[Placed]:
    """Every picture in what a template is given, however deep it lies."""
    if isinstance(shown, Placed):
        yield shown
    elif isinstance(shown, Mapping | list | tuple):
        for part in shown.values() if isinstance(shown, Mapping) else shown:
            yield from _placed_in(part)
    elif isinstance(shown, StockPage):
        yield from _placed_in(shown.sheets)
    elif isinstance(shown, SheetPage | ShownSheet):
        yield shown.drawing


def print_paper(kind: str, plan: Plan, context: PaperContext) -> Print:
    """Print one paper as PDF.

    Parameters
    ----------
    kind, plan, context
        See `render_html`.

    Returns
    -------
    Print
        The PDF and how many sheets it has; the same plan, context and language give the same bytes.

    Raises
    ------
    KeyError
        There is no such kind.
    ForeignAddress
        The paper asks for anything but our own assets.
    Misprint
        Something of it could not be set, such as a drawing.
    """
    from shop.papers.pdf import print_html  # noqa: PLC0415 -- the PDF library is slow to load; HTML alone needs none

    sheets = render_html(kind, plan, context)
    return print_html(sheets.html, sheets.drawings)


def titles() -> dict[str, str]:
    """Name the papers in the language that is active.

    Returns
    -------
    dict of str
        Titles by kind, in the order the papers are used.
    """
    return {
        DocumentKind.SLIP.value: _("Packing slip"),
        DocumentKind.INSERT.value: _("Insert cut plan"),
        DocumentKind.BOX.value: _("Box cut plan"),
    }


def _reader(context: PaperContext) -> Units:
    return context.reader


def _bench(context: PaperContext) -> Units:
    return context.bench


_PAPERS: dict[str, tuple[Callable[[Plan, PaperContext], dict[str, object]], Callable[[PaperContext], Units]]] = {
    DocumentKind.SLIP.value: (slip, _reader),
    DocumentKind.INSERT.value: (insert_plan, _bench),
    DocumentKind.BOX.value: (box_plan, _bench),
}
