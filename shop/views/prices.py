"""Carriers' prices: the tables on file, a file looked through before it is stored, and the tables as a file."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from shop import adapter
from shop.access import permissions
from shop.forms.prices import PricesForm
from shop.models import PriceTable
from shop.services import prices as service
from shop.views.page import Context, is_post, render, told_in


@login_required
@require_http_methods(["GET", "POST"])
def prices(request: HttpRequest) -> HttpResponse:
    """The price tables on file; a file that is sent is looked through first, and stored when that is confirmed."""
    shop, may = permissions.current_shop(request.user)
    may.require("edit_settings" if is_post(request) else "see_prices")
    form = PricesForm(request.POST, request.FILES) if is_post(request) else PricesForm()
    context: Context = {"form": form, "columns": adapter.PRICE_COLUMNS}
    faulty = bool(form.errors)
    if is_post(request) and form.is_valid():
        text = form.cleaned_data["text"]
        found = service.preview(shop, text)
        context |= {"preview": found, "text": text}
        faulty = bool(found.faults)
        # What is confirmed is looked through once more: prices of others may have been stored meanwhile.
        if request.POST.get("store"):
            with told_in(form):
                count = len(service.store(shop, text).tables)
                said = ngettext("%(count)d price table is stored.", "%(count)d price tables are stored.", count)
                messages.success(request, said % {"count": count})
                return redirect("prices")
    tables = [(row, adapter.tariff_of(row)) for row in PriceTable.objects.filter(shop=shop)]
    context["tables"] = [(row, len({price.zone for price in one.prices}), one.prices) for row, one in tables]
    return render(request, "screens/prices.html", shop, may, status=400 if faulty else 200, room="settings", **context)


@login_required
@require_GET
def prices_file(request: HttpRequest) -> HttpResponse:
    """All price tables as a file, which can be changed in a spreadsheet and sent back."""
    rows, _may = permissions.queryset_for(request.user, PriceTable, require="see_prices")
    answer = HttpResponse(adapter.write_prices(rows), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="prices.csv"'
    return answer
