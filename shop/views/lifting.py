"""The NIOSH lifting equation on demand: one lift, its limit at either end, and the multipliers it comes from."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from shop.access import permissions
from shop.forms.lifting import LiftForm
from shop.papers.cautions import closing_words, lifting_limit
from shop.views.page import render, wording_of


@login_required
@require_GET
def lifting(request: HttpRequest) -> HttpResponse:
    """Work out the recommended weight limit of a lift as it is typed; nothing is stored."""
    shop, may = permissions.current_shop(request.user)
    may.require("see_orders")
    units = wording_of(request, shop).units
    typed = request.GET if "away" in request.GET else None
    form = LiftForm(typed, units=units, weight=request.GET.get("weight", "")[:40])
    ends = form.ends() if form.is_bound and form.is_valid() else []
    context = {"form": form, "ends": ends, "limit": lifting_limit(), "closing": closing_words()}
    status = 400 if form.errors else 200
    return render(request, "screens/lifting.html", shop, may, status=status, room="orders", **context)
