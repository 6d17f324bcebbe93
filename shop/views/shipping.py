"""An order leaves the shop: asked about before it is marked sent, and taken back where that was a slip."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from shop import adapter
from shop.access import permissions
from shop.models import Allocation, Order
from shop.services import dispatch
from shop.views.order_page import RefusedForms, back_to, order_page, taking_back_form
from shop.views.page import Context, is_post, person, render, tells_refusals


@login_required
@require_http_methods(["GET", "POST"])
@tells_refusals()
def send(request: HttpRequest, number: int) -> HttpResponse:
    """Say what is final once an order is marked sent, and mark it when that is confirmed."""
    order, may = permissions.get_object_or_404(request.user, Order, require="send", number=number)
    if is_post(request):
        dispatch.send(order, by=person(request))
        messages.success(request, _("Order %(number)d is sent.") % {"number": order.number})
        return back_to(order, "sending")
    dispatch.ready_to_send(order)
    held = Allocation.objects.live().filter(line__order=order).select_related("piece__product")
    context: Context = {
        "order": order,
        "box": adapter.plan_of(order.current_plan).box if order.current_plan else None,
        "pieces": [allocation.piece for allocation in held],
        "blocks": order.lines.filter(block__isnull=False).select_related("block"),
        "parcel": order.parcels.filter(plan=order.current_plan_id).order_by("number").first(),
    }
    return render(request, "screens/send.html", order.shop, may, room="orders", **context)


@login_required
@require_POST
@tells_refusals("sending")
def take_sent_back(request: HttpRequest, number: int) -> HttpResponse:
    """Make an order packed again that was marked sent by mistake, with the reason."""
    order, may = permissions.get_object_or_404(request.user, Order, require="take_sent_back", number=number)
    form = taking_back_form(request.POST)
    if not form.is_valid():
        return order_page(request, order, may, RefusedForms(taking_back=form))
    dispatch.take_back(order, form.cleaned_data["why"], by=person(request))
    messages.success(request, _("Order %(number)d is packed, not sent.") % {"number": order.number})
    return back_to(order, "sending")
