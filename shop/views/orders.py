"""The list of orders, a new order, and one order: what is ordered and which numbers go into it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.forms import BaseFormSet, formset_factory
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.access import permissions
from shop.forms import LineForm, NewOrderForm, PlacesForm
from shop.forms.orders import things_to_order
from shop.forms.quotes import QuoteForm
from shop.models import Allocation, Order, OrderLine, OrderState, Shop
from shop.presenters.first_steps import first_steps
from shop.presenters.order_lines import open_places
from shop.presenters.order_status import order_statuses
from shop.services import allocation
from shop.services.orders import open_order, take_off
from shop.services.shops import one_at_a_time
from shop.views.order_page import RefusedForms, back_to, order_page, parcel_of
from shop.views.page import is_post, person, render, tells_refusals, told_in

A_PAGE = 50
BLANK_LINES = 3
"""Few orders have more lines; another can be added once the order is open."""


@login_required
@require_GET
def orders(request: HttpRequest) -> HttpResponse:
    """Orders still open, or all of them, with the next thing to do on each."""
    shop, may = permissions.current_shop(request.user)
    rows, _may = permissions.queryset_for(request.user, Order, require="see_orders")
    everything = bool(request.GET.get("all"))
    if not everything:
        rows = rows.exclude(state__in=(OrderState.SENT, OrderState.CANCELLED))
    page = Paginator(rows.select_related("customer"), A_PAGE).get_page(request.GET.get("page"))
    return render(
        request, "screens/orders.html", shop, may,
        room="orders", order_statuses=order_statuses(list(page)), page=page, everything=everything,
        ask=QuoteForm(shop=shop), first_steps=first_steps(shop) if may.edit_settings else [],
    )  # fmt: skip


@login_required
@require_http_methods(["GET", "POST"])
def new_order(request: HttpRequest) -> HttpResponse:
    """Open an order: for whom, and its first lines."""
    shop, may = permissions.current_shop(request.user)
    may.require("edit_orders")
    form = NewOrderForm(request.POST or None, shop=shop, initial={"customer": request.GET.get("customer")})
    lines = _line_forms(shop, may, request.POST or None)
    order = None
    if is_post(request):
        with one_at_a_time(shop):
            if all([form.is_valid(), lines.is_valid()]):
                order = open_order(form.who(), notes=form.cleaned_data["notes"])
                for line in lines:
                    if line.has_changed():
                        line.save(order)
    if order is not None:
        messages.success(request, _("Order %(number)d is opened.") % {"number": order.number})
        return redirect("order", number=order.number)
    refused = bool(form.errors or any(lines.errors))
    context = {"form": form, "lines": lines, "refused": refused}
    return render(
        request, "screens/new_order.html", shop, may, room="orders", status=400 if refused else 200, **context
    )


@login_required
@require_GET
def order(request: HttpRequest, number: int) -> HttpResponse:
    """One order: its pieces, its box, its papers, its parcel."""
    found, may = permissions.get_object_or_404(request.user, Order, require="see_orders", number=number)
    return order_page(request, found, may)


@login_required
@require_GET
@tells_refusals()
def parcel(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """One order, on one of its parcels."""
    found, may = permissions.get_object_or_404(request.user, Order, require="see_orders", number=number)
    return order_page(request, found, may, parcel=parcel_of(found, parcel))


@login_required
@require_POST
@tells_refusals("pieces")
def add_line(request: HttpRequest, number: int) -> HttpResponse:
    """Add a line to an open order."""
    found, may = permissions.get_object_or_404(request.user, Order, require="edit_orders", number=number)
    form = LineForm(request.POST, shop=found.shop, may_price=may.edit_prices, prefix="line")
    if not found.is_open:
        return _refuse(request, found, _("Order %(number)d is %(state)s: its lines stay as they are."))
    if not form.is_valid():
        return order_page(request, found, may, RefusedForms(line=form))
    line = form.save(found)
    messages.success(request, _("Added: %(line)s.") % {"line": line})
    return back_to(found, "pieces")


@login_required
@require_POST
@tells_refusals("pieces")
def remove_line(request: HttpRequest, number: int, line: int) -> HttpResponse:
    """Take a line off an open order."""
    row, _may = permissions.get_object_or_404(
        request.user, OrderLine, require="edit_orders", pk=line, order__number=number
    )
    name = str(row)
    take_off(row)
    messages.success(request, _("Taken off: %(line)s.") % {"line": name})
    return back_to(row.order, "pieces")


@login_required
@require_POST
def take_from_rack(request: HttpRequest, number: int) -> HttpResponse:
    """Give the numbers typed to the open places of the order, all or none."""
    found, may = permissions.get_object_or_404(request.user, Order, require="allocate", number=number)
    places, _notes = open_places(found)
    form = PlacesForm(request.POST, order=found, places=places)
    if form.is_valid():
        with told_in(form):
            given = allocation.allocate(found, form.choices, by=person(request))
            labels = ", ".join(row.piece.label for row in given)
            messages.success(request, _("Taken from the rack for this order: %(pieces)s.") % {"pieces": labels})
            return back_to(found, "pieces")
    return order_page(request, found, may, RefusedForms(places=form))


@login_required
@require_POST
@tells_refusals("pieces")
def release(request: HttpRequest, number: int, allocation_id: int) -> HttpResponse:
    """Put one piece of the order back on the rack."""
    row, _may = permissions.get_object_or_404(
        request.user, Allocation, require="allocate", pk=allocation_id, line__order__number=number
    )
    allocation.release(row, _("put back by %(name)s") % {"name": request.user})
    messages.success(request, _("%(piece)s is back on the rack.") % {"piece": row.piece.label})
    return back_to(row.line.order, "pieces")


def _line_forms(shop: Shop, may: permissions.Permissions, data: Any) -> BaseFormSet[LineForm]:
    forms = formset_factory(LineForm, extra=BLANK_LINES, max_num=20)
    known = {"shop": shop, "may_price": may.edit_prices, "things": things_to_order(shop)}
    return forms(data, prefix="lines", form_kwargs=known)


def _refuse(request: HttpRequest, found: Order, sentence: str, **named: Any) -> HttpResponse:
    messages.error(request, sentence % {"number": found.number, "state": found.get_state_display(), **named})
    return back_to(found, "pieces")
