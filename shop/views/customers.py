"""The customers: a list of them, and one with name, address, units, orders and the numbers that are theirs."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from shop.access import permissions
from shop.forms import CustomerForm
from shop.models import Allocation, Customer, PieceState
from shop.papers.letters import sentence_of, unprintable
from shop.services.shops import one_at_a_time
from shop.views.page import Context, is_post, render

A_PAGE = 50


@login_required
@require_GET
def customers(request: HttpRequest) -> HttpResponse:
    """All customers by name, or those whose name has what is asked for in it."""
    shop, may = permissions.current_shop(request.user)
    rows, _may = permissions.queryset_for(request.user, Customer, require="see_orders")
    asked = request.GET.get("name", "").strip()
    if asked:
        rows = rows.filter(name__icontains=asked)
    counted = rows.annotate(count=Count("orders")).order_by("name", "pk")
    page = Paginator(counted, A_PAGE).get_page(request.GET.get("page"))
    return render(request, "screens/customers.html", shop, may, room="customers", page=page, asked=asked)


@login_required
@require_http_methods(["GET", "POST"])
def new_customer(request: HttpRequest) -> HttpResponse:
    """Enter a customer for the first time, in the shop's units unless others are chosen."""
    shop, may = permissions.current_shop(request.user)
    may.require("edit_orders")
    units = {"length_unit": shop.length_unit, "weight_unit": shop.weight_unit}
    form = CustomerForm(request.POST or None, shop=shop, initial=units)
    if is_post(request):
        with one_at_a_time(shop):
            made = form.save() if form.is_valid() else None
        if made is not None:
            messages.success(request, _("%(name)s is a customer now.") % {"name": made.name})
            _say_what_cannot_be_printed(request, made)
            return redirect("customer", pk=made.pk)
    status = 400 if form.errors else 200
    return render(request, "screens/customer.html", shop, may, room="customers", status=status, form=form)


@login_required
@require_http_methods(["GET", "POST"])
def customer(request: HttpRequest, pk: int) -> HttpResponse:
    """One customer; whoever may change orders may change it too."""
    found, may = permissions.get_object_or_404(request.user, Customer, require="see_orders", pk=pk)
    if is_post(request):
        may.require("edit_orders")
    form = CustomerForm(request.POST or None, instance=found, shop=found.shop) if may.edit_orders else None
    if is_post(request) and form is not None and form.is_valid():
        form.save()
        messages.success(
            request, _("Stored. Papers and plans of open orders that no longer fit say so on their order’s page.")
        )
        _say_what_cannot_be_printed(request, found)
        return redirect("customer", pk=found.pk)
    known = Customer.objects.get(pk=found.pk)
    gone = (PieceState.SENT, PieceState.REPAIR)
    theirs = Allocation.objects.live().filter(line__order__customer=known, piece__state__in=gone)
    numbers = theirs.select_related("piece__product", "line__order").order_by("piece__product__code", "piece__number")
    context: Context = {"customer": known, "form": form, "orders": known.orders.all(), "theirs": numbers}
    status = 400 if form is not None and form.errors else 200
    return render(request, "screens/customer.html", found.shop, may, room="customers", status=status, **context)


def _say_what_cannot_be_printed(request: HttpRequest, customer: Customer) -> None:
    sentence = sentence_of(unprintable([customer.name, customer.address]))
    if sentence:
        messages.warning(request, sentence)
