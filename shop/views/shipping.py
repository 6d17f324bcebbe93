"""A parcel leaves the shop: asked about before it is marked sent, and taken back where that was a slip."""

from __future__ import annotations

from collections import Counter

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from shop import adapter
from shop.access import permissions
from shop.models import Order, Piece
from shop.services import dispatch
from shop.services.consignments import pieces_in
from shop.views.order_page import RefusedForms, back_to, order_page, parcel_of, taking_back_form
from shop.views.page import Context, is_post, person, render, tells_refusals


@login_required
@require_http_methods(["GET", "POST"])
@tells_refusals()
def send(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """Say what is final once a parcel is marked sent, and mark it when that is confirmed."""
    order, may = permissions.get_object_or_404(request.user, Order, require="send", number=number)
    found = parcel_of(order, parcel)
    if is_post(request):
        dispatch.send(found, by=person(request))
        messages.success(request, _("%(parcel)s is sent.") % {"parcel": found.title})
        return back_to(order, "sending", found)
    dispatch.ready_to_send(found)
    blocks = Counter(source.name for source in adapter.sources_of(found.plan).values() if not source.is_piece)
    context: Context = {
        "order": order,
        "parcel": found,
        "box": adapter.plan_of(found.plan).box,
        "pieces": Piece.objects.filter(pk__in=pieces_in(found)).select_related("product"),
        "blocks": [f"{count} × {name}" for name, count in blocks.items()],
    }
    return render(request, "screens/send.html", order.shop, may, room="orders", **context)


@login_required
@require_POST
@tells_refusals("sending")
def take_sent_back(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """Make a parcel packed again that was marked sent by mistake, with the reason."""
    order, may = permissions.get_object_or_404(request.user, Order, require="take_sent_back", number=number)
    found, form = parcel_of(order, parcel), taking_back_form(request.POST)
    if not form.is_valid():
        return order_page(request, order, may, RefusedForms(taking_back=form), found)
    dispatch.take_back(found, form.cleaned_data["why"], by=person(request))
    messages.success(request, _("%(parcel)s is packed, not sent.") % {"parcel": found.title})
    return back_to(order, "sending", found)
