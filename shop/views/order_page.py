"""The screen of one order, put together from its parts; a refused form is shown again in its place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from shop import adapter
from shop.access.permissions import Permissions
from shop.formatting import Wording, in_g, in_mm
from shop.forms import CutFilesForm, EmptyBoxForm, LineForm, PackForm, PlacesForm, WeighInForm, WhyForm
from shop.models import (
    Document,
    DocumentKind,
    Job,
    JobKind,
    Order,
    OrderState,
    PaperSize,
    Parcel,
    ParcelState,
    SheetRow,
)
from shop.money import order_totals
from shop.papers.cautions import for_laser, lifting_limit, outside_mark
from shop.papers.context import PaperContext, context_from_plan
from shop.papers.letters import sentence_of, unprintable
from shop.papers.storage import made_from
from shop.presenters.offers import offered_boxes, refused_styles
from shop.presenters.order_lines import order_lines
from shop.presenters.order_status import SENDING, OrderStatus, order_statuses
from shop.presenters.parcels import parcel_rows
from shop.presenters.plan import PlanPresenter
from shop.services import outdated
from shop.services.errors import CannotPlan
from shop.services.planning import given_up
from shop.services.stock import cut_with, held
from shop.services.weighing import closed_bills_of, expected_of, taped_of, unseen_swaps_of
from shop.views.page import Context, render, wording_of


@dataclass(frozen=True)
class RefusedForms:
    """A form that was refused, to be shown again in its place on the order's screen."""

    places: PlacesForm | None = None
    line: LineForm | None = None
    packing: PackForm | None = None
    empty_box: EmptyBoxForm | None = None
    weighing: WeighInForm | None = None
    taking_back: WhyForm | None = None


ALL_WELL = RefusedForms()


@dataclass(frozen=True)
class PaperRow:
    """A paper, and why it is not to be used any more; an empty text where it is."""

    paper: Document
    stale: str = ""

    def concerns(self, parcel: Parcel, parcels: Sequence[Parcel]) -> bool:
        """True for a parcel's own papers and those of older plans, false for those of another parcel."""
        return self.paper.plan_id == parcel.plan_id or self.paper.plan_id not in {one.plan_id for one in parcels}


def order_page(
    request: HttpRequest,
    order: Order,
    may: Permissions,
    refused: RefusedForms = ALL_WELL,
    parcel: Parcel | None = None,
) -> HttpResponse:
    """The whole screen of an order, on one of its parcels or its only one; with a refused form the answer is 400."""
    context = order_context(request, order, may, refused, parcel)
    status = 200 if refused == ALL_WELL else 400
    return render(request, "screens/order.html", order.shop, may, status=status, room="orders", **context)


def order_context(
    request: HttpRequest,
    order: Order,
    may: Permissions,
    refused: RefusedForms = ALL_WELL,
    parcel: Parcel | None = None,
) -> Context:
    """Everything an order's screen shows to someone who may so much."""
    line_form = refused.line
    if may.edit_orders and order.is_open:
        line_form = line_form or LineForm(shop=order.shop, may_price=may.edit_prices, prefix="line")
    context = box_context(request, order, parcel)
    plan = None if context["parcel"] is None else context["parcel"].plan
    context |= {
        "offers": offered_boxes(plan, wording_of(request, order.shop)),
        "refused_styles": refused_styles(plan, wording_of(request, order.shop)),
        "pieces": order_lines(order, form=refused.places, propose=may.allocate),
        "line_form": line_form,
        "totals": order_totals(order) if may.see_prices else [],
        "happened": order.events.filter(piece=None).select_related("by", "parcel__plan"),
    }
    return context | _sending_context(request, order, may, context, refused)


def box_context(request: HttpRequest, order: Order, parcel: Parcel | None = None) -> Context:
    """The boxes and the papers of an order: plans, running jobs, papers, the next step.

    Of the parcel that is asked for, or the only one, everything is shown; of several in one table what tells them
    apart.
    """
    shop = order.shop
    outdated.judge([order])
    order_status = order_statuses([order])[0]
    parcels = list(order.parcels.select_related("plan", "weighed_by"))
    for one in parcels:
        # Both are read already, and the forms of the page ask for them.
        one.plan.order = order
        if order.consignment is not None:
            one.consignment = order.consignment
            one.consignment.order = order
    chosen = shown_parcel(parcels, parcel)
    plan = None if chosen is None else chosen.plan
    today = timezone.localdate(timezone=ZoneInfo(shop.timezone))
    wording = wording_of(request, shop)
    moves = [] if chosen is None else held(order, chosen.number)
    rows = _papers(order, parcels, order_status.fits)
    papers = [] if chosen is None else [row for row in rows if row.concerns(chosen, parcels)]
    status = with_papers(order_status, parcels, rows)
    return {
        "order": order,
        "order_status": status,
        "parcels": parcels,
        "parcel_rows": parcel_rows(parcels, status) if len(parcels) > 1 else [],
        "packing_first": status.next.place == SENDING,
        "sheet": None
        if plan is None or chosen is None
        else PlanPresenter(plan, wording, today, chosen.weighed_g, taped_of(chosen)),
        "fits": order_status.fits,
        "given_up": given_up(order),
        "changes": [] if order_status.fits else adapter.changes_since(order),
        "parcel": chosen,
        "planning": latest_job(order, JobKind.PLAN),
        "printing": latest_job(order, JobKind.PAPERS),
        "papers": papers,
        "stock_moves": moves,
        "cut_with": "" if plan is None else ", ".join(cut_with(plan)),
        "kept_rows": "&".join(f"sheet={move.sheet_id}" for move in moves if move.change > 0),
        "keeps_sheets": SheetRow.objects.filter(shop=shop, count__gt=0).exists(),
        "whole_sizes": [(size, name) for size, name in PaperSize.choices if whole_set(papers, size)],
        "page_sizes": PaperSize.choices,
        "has_pockets": plan is not None and any(one.pockets for one in adapter.plan_of(plan).insert.sheets),
        "cut_files_form": cut_files_form(request, order),
        "laser": for_laser(),
        "unprintable": sentence_of(unprintable(_printed(order))),
    }


def cut_files_form(request: HttpRequest, order: Order, asked: Mapping[str, Any] | None = None) -> CutFilesForm:
    """The form that asks what cuts, in the reader's units."""
    return CutFilesForm(asked, unit=wording_of(request, order.shop).units.length)


def shown_parcel(parcels: Sequence[Parcel], asked: Parcel | None) -> Parcel | None:
    """The parcel of which everything is shown: the one asked for, or the only one."""
    if asked is not None:
        return next((one for one in parcels if one.pk == asked.pk), None)
    return parcels[0] if len(parcels) == 1 else None


def with_papers(status: OrderStatus, parcels: Sequence[Parcel], rows: Sequence[PaperRow]) -> OrderStatus:
    """The status of an order whose papers were looked at: out of date they are none."""
    good = {row.paper.plan_id for row in rows if not row.stale}
    plans = {parcel.pk: parcel.plan_id for parcel in parcels}
    told = tuple(replace(one, papers=plans.get(one.pk) in good) for one in status.parcels)
    return replace(status, parcels=told)


def _sending_context(
    request: HttpRequest, order: Order, may: Permissions, context: Context, refused: RefusedForms
) -> Context:
    """Packing by number and the weigh-in, as far as the parcel is and the reader may."""
    sheet, parcel = context["sheet"], context["parcel"]
    if parcel is None:
        return {}
    packing, empty_box, weighing = refused.packing, refused.empty_box, refused.weighing
    wording = wording_of(request, order.shop)
    if parcel.state == ParcelState.PLANNED and order.has_open_box and context["fits"]:
        packing = packing or (PackForm(plan=parcel.plan) if may.send else None)
        if may.weigh_in:
            empty_box = empty_box or EmptyBoxForm(parcel=parcel, wording=wording, prefix="empty")
    if parcel.state == ParcelState.PACKED and may.weigh_in:
        weighing = weighing or WeighInForm(parcel=parcel, wording=wording)
    expected = expected_of(parcel)
    taking_back = refused.taking_back
    if parcel.state == ParcelState.SENT and may.take_sent_back:
        taking_back = taking_back or taking_back_form()
    return {
        "pack_form": packing,
        "pack_rows": _pack_rows(packing, sheet) if packing is not None else [],
        "empty_form": empty_box,
        "expected": expected,
        "blind": expected.sentence(wording) if expected.blind else "",
        "weigh_form": weighing,
        "mark": _outside_mark(parcel, wording),
        "planned_outside": wording.size([in_mm(side) for side in adapter.plan_of(parcel.plan).box.outer_um]),
        "closed_bills": closed_bills_of(parcel, wording) if weighing is not None else [],
        "unseen": unseen_swaps_of(parcel) if weighing is not None or packing is not None else [],
        "weigh_ins": parcel.weigh_ins.select_related("by"),
        "lifting": lifting_limit(),
        "taking_back_form": taking_back,
    }


def _outside_mark(parcel: Parcel, wording: Wording) -> str:
    """The words for the outside of a heavy box, by its weigh-in where there is one."""
    gross_g = parcel.weighed_g or in_g(adapter.plan_of(parcel.plan).weight.gross_mg)
    return outside_mark(int(gross_g * 1000), wording.both(gross_g))


def taking_back_form(data: Any = None) -> WhyForm:
    """The form that asks why “sent” is taken back."""
    return WhyForm(data, label=_("Why it is taken back"))


def back_to(order: Order, place: str = "", parcel: Parcel | None = None) -> HttpResponse:
    """Back to the order's screen after a change, or to that of one of its parcels."""
    address = reverse("order", args=[order.number])
    if parcel is not None and parcel.plan.parcel_count > 1:
        address = reverse("parcel", args=[order.number, parcel.number])
    return redirect(f"{address}#{place}" if place else address)


def parcel_of(order: Order, number: int) -> Parcel:
    """The parcel of that number of an order; CannotPlan where it has none."""
    parcel = order.parcels.select_related("plan", "consignment__order").filter(number=number).first()
    if parcel is not None:
        return parcel
    if order.consignment_id is None:
        raise CannotPlan(_("Order %(number)d has no box plan yet.") % {"number": order.number})
    raise CannotPlan(
        _("Order %(number)d has no parcel %(parcel)d: it has been planned again.")
        % {"number": order.number, "parcel": number}
    )


def latest_job(order: Order, kind: JobKind) -> Job | None:
    """The latest job of a kind, whatever became of it."""
    return Job.objects.filter(order=order, kind=kind).order_by("-pk").first()


def _pack_rows(form: PackForm, sheet: PlanPresenter) -> list[Context]:
    """The fields of packing in the order the pieces go in, each with its letter, layer and weight."""
    return [
        {
            "letter": item.letter,
            "place": sheet.layer_name(item.layer),
            "weight_mg": item.weight_mg,
            "field": form[form.name_of(item)],
            "picture": sheet.pocket(item.id),
        }
        for item in form.items
    ]


def _printed(order: Order) -> list[str]:
    """The typed texts that stand on the papers of an order."""
    shop, customer = order.shop, order.customer
    names = [str(line.what) for line in order.lines.select_related("product", "product_set", "block")]
    return [customer.name, customer.address, shop.name, shop.address, *names]


def usable_papers(parcel: Parcel, size: str) -> list[Document]:
    """The papers of a parcel on one size of page that may be used, in the order they are; none where one is missing."""
    order = parcel.order
    outdated.judge([order])
    rows = _papers(order, [parcel], order_statuses([order])[0].fits)
    return whole_set([row for row in rows if row.paper.plan_id == parcel.plan_id], size)


def whole_set(papers: Sequence[PaperRow], size: str) -> list[Document]:
    """The newest paper of each kind on one size of page that may be used; none where one is missing."""
    newest = {row.paper.kind: row.paper for row in papers if row.paper.page_size == size and not row.stale}
    return [newest[kind] for kind in DocumentKind.values] if len(newest) == len(DocumentKind.values) else []


def _papers(order: Order, parcels: Sequence[Parcel], fits: bool) -> list[PaperRow]:
    """Papers of the parcels' plans first, then those of earlier plans, newest first.

    Once a parcel is sent its papers are what went with it, whatever has changed since.
    """
    plans = {parcel.plan_id: parcel for parcel in parcels}
    papers = Document.objects.filter(plan__order=order).select_related("plan__order").defer("plan__content")
    ordered = sorted(papers, key=lambda paper: (paper.plan_id not in plans, -paper.plan_id, paper.pk))
    contexts: dict[tuple[int, str], PaperContext] = {}
    rows = []
    for paper in ordered:
        parcel = plans.get(paper.plan_id)
        if parcel is None or (not fits and parcel.state == ParcelState.PLANNED):
            rows.append(PaperRow(paper, _("of an older plan")))
            continue
        if parcel.state == ParcelState.SENT or order.state == OrderState.CANCELLED:
            rows.append(PaperRow(paper))
            continue
        # Once for each size of page: gathering a context asks the database.
        key = (paper.plan_id, paper.page_size)
        if key not in contexts:
            contexts[key] = context_from_plan(parcel.plan, page_size=paper.page_size)
        right = paper.made_from_hash == made_from(paper.kind, contexts[key])
        rows.append(PaperRow(paper, "" if right else _("names, addresses or units have changed since")))
    return rows
