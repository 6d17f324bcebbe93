"""The sums that orders come to, for whoever sees prices: by day and customer, with sums, as a page and as a file."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from shop.access import permissions
from shop.forms.accounts import AccountsForm
from shop.models import Order, Shop
from shop.presenters.accounts import account_rows, as_csv, asked_orders, sums
from shop.views.page import Context, render

A_PAGE = 50


def _asked(request: HttpRequest, shop: Shop, rows: QuerySet[Order]) -> tuple[AccountsForm, QuerySet[Order]]:
    form = AccountsForm(request.GET)
    return form, asked_orders(rows, shop, **form.cleaned_data) if form.is_valid() else rows.none()


@login_required
@require_GET
def accounts(request: HttpRequest) -> HttpResponse:
    """Orders with their amounts, and the sums of all that were asked for."""
    rows, may = permissions.queryset_for(request.user, Order, require="see_prices")
    shop, _may = permissions.current_shop(request.user)
    form, found = _asked(request, shop, rows)
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    onward = request.GET.copy()
    onward.pop("page", None)
    context: Context = {"form": form, "page": page, "rows": list(account_rows(page, shop)), "sums": sums(found)}
    status = 200 if form.is_valid() else 400
    return render(
        request, "screens/accounts.html", shop, may, room="orders", status=status, onward=onward.urlencode(), **context
    )


@login_required
@require_GET
def accounts_file(request: HttpRequest) -> HttpResponse:
    """The same as a file for a spreadsheet."""
    rows, _may = permissions.queryset_for(request.user, Order, require="see_prices")
    shop, _may = permissions.current_shop(request.user)
    form, found = _asked(request, shop, rows)
    if not form.is_valid():
        return accounts(request)
    answer = HttpResponse(as_csv(account_rows(found.iterator(500), shop)), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="orders.csv"'
    return answer
