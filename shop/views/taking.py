"""Taking an order's parts from stock, and giving them back."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from shop.access import permissions
from shop.models import BoxPlan, Order
from shop.models.base import key_of
from shop.services import stock
from shop.views.order_page import back_to, parcel_of
from shop.views.page import person, tells_refusals


@login_required
@require_POST
@tells_refusals("papers")
def take_stock(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """Count down the sheets and offcuts that a parcel's papers show, and put its new offcuts in."""
    order, _may = permissions.get_object_or_404(request.user, Order, require="take_stock", number=number)
    key = request.POST.get("plan", "")
    seen, _may = permissions.get_object_or_404(request.user, BoxPlan, order=order, pk=key_of(key))
    found = parcel_of(order, parcel)
    stock.take(found, seen, person(request))
    messages.success(request, _("Taken from stock. Write on each offcut the number its paper gives it."))
    return back_to(order, "papers", found)


@login_required
@require_POST
@tells_refusals("papers")
def give_stock_back(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """Undo that: the sheets are whole again, the offcuts are gone."""
    order, _may = permissions.get_object_or_404(request.user, Order, require="take_stock", number=number)
    stock.give_back(order, parcel, person(request))
    messages.success(request, _("Given back: the stock is as it was."))
    return back_to(order, "papers", order.parcels.filter(number=parcel).first())
