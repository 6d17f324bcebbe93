"""Lots of steel and the series made from them."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from shop.access import permissions
from shop.models import Lot
from shop.presenters.first_steps import first_steps
from shop.presenters.records import KINDS
from shop.presenters.steel import lots_of_steel
from shop.views.page import Context, render


@login_required
@require_GET
def steel(request: HttpRequest) -> HttpResponse:
    """Every lot with an estimate of what is left, its series, their products, and the way to all that is set up."""
    lots, may = permissions.queryset_for(request.user, Lot, require="see_pieces")
    shop, _may = permissions.current_shop(request.user)
    context: Context = {"lots": lots_of_steel(lots), "kinds": KINDS.items()}
    if may.edit_settings:
        context["first_steps"] = first_steps(shop)
    return render(request, "screens/steel.html", shop, may, room="steel", **context)
