"""Lots of steel and the series made from them."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.db.models import Count, Prefetch, Q
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from shop.access import permissions
from shop.models import Lot, PieceState, Product, Series
from shop.views.page import render


@login_required
@require_GET
def steel(request: HttpRequest) -> HttpResponse:
    """Every lot with an estimate of what is left, its series, and their products with how many pieces."""
    shop, may = permissions.current_shop(request.user)
    lots, _may = permissions.queryset_for(request.user, Lot, require="see_pieces")
    products = Product.objects.select_related("pattern").annotate(
        made=Count("pieces"), on_rack=Count("pieces", filter=Q(pieces__state=PieceState.RACK))
    )
    series = Series.objects.prefetch_related(Prefetch("products", queryset=products))
    return render(
        request, "screens/steel.html", shop, may, room="steel", lots=lots.prefetch_related(Prefetch("series", series))
    )
