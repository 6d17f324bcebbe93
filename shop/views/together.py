"""Orders cut together: laid on the same sheets, taken from stock in one go, given back in one go."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from shop.access import permissions
from shop.models import BoxPlan, CutTogether, Parcel, SheetRow
from shop.models.base import key_of
from shop.papers.together import print_labels, print_together
from shop.presenters.cut_together import shown_laying
from shop.services import cut_together as services
from shop.services import stock
from shop.services.errors import DomainError
from shop.views.order_page import parcel_of
from shop.views.page import Context, person, render, wording_of


@login_required
@require_GET
def cut_together(request: HttpRequest) -> HttpResponse:
    """Choose among the planned orders; those chosen are shown laid on stock, to be taken from it."""
    shop, may = permissions.current_shop(request.user)
    may.require("take_stock")
    ready = services.ready_to_cut(shop)
    asked = set(request.GET.getlist("order"))
    chosen = [parcel for parcel in ready if parcel.plan.parcel_name in asked]
    laid = shown = None
    if chosen:
        try:
            laid = services.lay(chosen)
            shown = shown_laying(laid, wording_of(request, shop))
        except DomainError as refusal:
            messages.error(request, str(refusal))
    context: Context = {
        "ready": [(parcel, parcel in chosen) for parcel in ready],
        "laid": laid,
        "shown": shown,
        "numbers": urlencode([("order", parcel.plan.parcel_name) for parcel in chosen]),
        "groups": [(group, _moves(group)) for group in services.taken_together(shop)],
        "offcuts": SheetRow.objects.filter(shop=shop, offcut=True, count__gt=0),
    }
    return render(request, "screens/cut_together.html", shop, may, room="orders", **context)


def _moves(group: CutTogether) -> list[object]:
    """List the sheets that a group has taken and left."""
    first = group.takings.order_by("pk").first()
    return [] if first is None else list(stock.moves_of(first))


@login_required
@require_POST
def take_together(request: HttpRequest) -> HttpResponse:
    """Count down the sheets that were shown, and put the new offcuts in."""
    try:
        parcels, plans = _seen(request)
        services.take_together(parcels, plans, person(request))
    except DomainError as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, _("Taken from stock. Write on each offcut the number its label gives it."))
    return redirect("cut-together")


def _seen(request: HttpRequest) -> tuple[list[Parcel], list[BoxPlan]]:
    """The parcels that were looked at, and the plan of each that was; 404 where one is not the shop's."""
    plans = [
        permissions.get_object_or_404(request.user, BoxPlan, require="take_stock", pk=key_of(key))[0]
        for key in request.POST.getlist("plan")
    ]
    plans.sort(key=lambda plan: (plan.order.number, plan.parcel_number))
    return [parcel_of(plan.order, plan.parcel_number) for plan in plans], plans


@login_required
@require_POST
def give_back_together(request: HttpRequest, pk: int) -> HttpResponse:
    """Undo what several orders took together."""
    group, _may = permissions.get_object_or_404(request.user, CutTogether, require="take_stock", pk=pk)
    try:
        stock.give_back_group(group, person(request))
    except DomainError as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, _("Given back: the stock is as it was."))
    return redirect("cut-together")


@login_required
@require_GET
def paper_of_several(request: HttpRequest) -> HttpResponse:
    """Print the sheets and cuts of several orders as one PDF."""
    shop, may = permissions.current_shop(request.user)
    may.require("print_papers")
    asked = set(request.GET.getlist("order"))
    parcels = [parcel for parcel in services.ready_to_cut(shop) if parcel.plan.parcel_name in asked]
    try:
        printed = print_together(services.lay(parcels), shop)
    except DomainError as refusal:
        messages.error(request, str(refusal))
        return redirect("cut-together")
    headers = {"Content-Disposition": 'inline; filename="cut-together.pdf"'}
    return HttpResponse(printed.pdf, content_type="application/pdf", headers=headers)


@login_required
@require_GET
def offcut_labels(request: HttpRequest) -> HttpResponse:
    """A label for each offcut named, or for all there are, to be cut out and taped on."""
    rows, _may = permissions.queryset_for(request.user, SheetRow, require="print_papers")
    shop, _may = permissions.current_shop(request.user)
    rows = rows.filter(offcut=True, count__gt=0).order_by("pk")
    if asked := [key_of(key) for key in request.GET.getlist("sheet")]:
        rows = rows.filter(pk__in=asked)
    if not rows:
        messages.error(request, _("There is no offcut to label."))
        return redirect("cut-together")
    headers = {"Content-Disposition": 'inline; filename="offcut-labels.pdf"'}
    return HttpResponse(print_labels(list(rows), shop).pdf, content_type="application/pdf", headers=headers)
