"""The quote of a mix: asked on the front page, stored, printed, and made an order."""

from __future__ import annotations

import hashlib
import json

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop import adapter
from shop.access import permissions
from shop.countries import country_name
from shop.forms.quotes import HoldForm, QuoteForm, customer_form
from shop.models import Quote
from shop.papers.quote import print_quote
from shop.quoted import shown_quote
from shop.services import quotes
from shop.services.shops import one_at_a_time
from shop.views.page import Context, is_post, person, render, tells_refusals, told_in, wording_of

A_PAGE = 50


@login_required
@require_GET
def ask(request: HttpRequest) -> HttpResponse:
    """Quote a mix with each service, as the front page's form asks; nothing is stored."""
    shop, may = permissions.current_shop(request.user)
    may.require("see_orders")
    form = QuoteForm(request.GET or None, shop=shop)
    context: Context = {"form": form}
    if form.is_bound and form.is_valid():
        with told_in(form):
            content = quotes.answer(form.asked())
            hold = HoldForm(shop=shop, initial={"good_until": quotes.usual_end(shop, content), "seen": _seen(content)})
            context |= {"shown": shown_quote(content, wording_of(request, shop)), "hold": hold}
    status = 400 if form.errors else 200
    return render(request, "screens/quote_ask.html", shop, may, status=status, room="quotes", **context)


@login_required
@require_http_methods(["GET", "POST"])
def all_quotes(request: HttpRequest) -> HttpResponse:
    """The quotes, newest first; a new one is stored here."""
    shop, may = permissions.current_shop(request.user)
    if is_post(request):
        return _store(request)
    rows, may = permissions.queryset_for(request.user, Quote, require="see_orders")
    page = Paginator(rows.select_related("order__customer"), A_PAGE).get_page(request.GET.get("page"))
    listed = [(row, quotes.is_past(row)) for row in page]
    return render(request, "screens/quotes.html", shop, may, room="quotes", page=page, listed=listed)


@login_required
@require_GET
def quote(request: HttpRequest, number: int) -> HttpResponse:
    """One stored quote."""
    found, may = permissions.get_object_or_404(request.user, Quote, require="see_orders", number=number)
    return _page(request, found, may)


@login_required
@require_GET
def printed(request: HttpRequest, number: int) -> HttpResponse:
    """A stored quote as one page for the customer, without anything that the shop alone is to know."""
    found, may = permissions.get_object_or_404(request.user, Quote, require="see_prices", number=number)
    may.require("print_papers")
    answer = HttpResponse(print_quote(found), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="quote-{found.number}.pdf"'
    return answer


@login_required
@require_POST
@tells_refusals()
def order_quote(request: HttpRequest, number: int) -> HttpResponse:
    """Open an order of what was quoted, for a known customer or a new one."""
    found, may = permissions.get_object_or_404(request.user, Quote, require="edit_orders", number=number)
    form = customer_form(found, request.POST)
    with one_at_a_time(found.shop):
        if not form.is_valid():
            return _page(request, found, may, customer=form)
        order = quotes.make_order(found, form.who(), by=person(request))
    messages.success(request, _("Order %(number)d is opened.") % {"number": order.number})
    return redirect("order", number=order.number)


def _store(request: HttpRequest) -> HttpResponse:
    """Store what was told, unless it would be told otherwise by now."""
    shop, may = permissions.current_shop(request.user)
    may.require("edit_orders")
    form, hold = QuoteForm(request.POST, shop=shop), HoldForm(request.POST, shop=shop)
    context: Context = {"form": form, "hold": hold}
    if form.is_valid():
        with told_in(form):
            content = quotes.answer(form.asked())
            context["shown"] = shown_quote(content, wording_of(request, shop))
            if hold.is_valid() and not hold.tell_changed(_seen(content)):
                until = hold.cleaned_data["good_until"]
                stored = quotes.store(form.asked(), content, good_until=until, by=person(request))
                messages.success(request, _("Quote %(number)d is stored.") % {"number": stored.number})
                return redirect("print-quote" if request.POST.get("print") else "quote", number=stored.number)
    return render(request, "screens/quote_ask.html", shop, may, status=400, room="quotes", **context)


def _page(request: HttpRequest, found: Quote, may: permissions.Permissions, customer: object = None) -> HttpResponse:
    wording = wording_of(request, found.shop)
    past = quotes.is_past(found)
    context = {
        "quote": found,
        "lines": found.lines.select_related("product", "product_set", "block", "piece__product"),
        "shown": shown_quote(adapter.read_quote(found.content), wording),
        "past": quotes.past_words(found) if past else "",
        "again": quotes.typed(found),
        "country": country_name(found.country),
        "customer": customer or (None if past or found.order_id else customer_form(found)),
    }
    status = 400 if customer is not None else 200
    return render(request, "screens/quote.html", found.shop, may, status=status, room="quotes", **context)


def _seen(content: adapter.QuoteContent) -> str:
    """A name for what was told, so that nothing else is stored than what was seen."""
    return hashlib.sha256(json.dumps(content.content(), sort_keys=True).encode()).hexdigest()[:16]
