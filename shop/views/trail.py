"""The record of changes, for the owner to read; and who is at work, for what writes it."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from shop.access import permissions
from shop.models import AuditEntry, User
from shop.services.audit import actor
from shop.views.page import render

A_PAGE = 100
"""The record is read by the day, and a busy day has less than a hundred changes."""


@login_required
@require_GET
def trail(request: HttpRequest) -> HttpResponse:
    """Every change on record, the newest first."""
    shop, may = permissions.current_shop(request.user)
    may.require("edit_members")
    page = Paginator(AuditEntry.objects.filter(shop=shop), A_PAGE).get_page(request.GET.get("page"))
    return render(request, "screens/trail.html", shop, may, room="settings", page=page)


def at_work(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware: what is changed during a request is recorded as done by who is logged in."""

    def answer(request: HttpRequest) -> HttpResponse:
        token = actor.set(request.user if isinstance(request.user, User) else None)
        try:
            return get_response(request)
        finally:
            actor.reset(token)

    return answer
