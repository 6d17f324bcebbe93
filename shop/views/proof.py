"""The way a parcel went and what proves it: record, receipts and photographs, claim file; paid against quoted."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.db.models import Sum
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.access import permissions
from shop.forms.proof import ProofForm, SentForm
from shop.models import Order, Parcel, ProofFile, ProofKind, SentRecord
from shop.money import Money, totals
from shop.papers.storage import make_again
from shop.services import claims, proof
from shop.services.errors import DomainError
from shop.views.order_page import parcel_of
from shop.views.page import is_post, person, render, tells_refusals, told_in

A_PAGE = 50


@login_required
@require_http_methods(["GET", "POST"])
@tells_refusals()
def record(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """The way a parcel went: carrier, number, amounts, claim deadline; its files and the words for the customer."""
    require = "send" if is_post(request) else "print_papers"
    order, may = permissions.get_object_or_404(request.user, Order, require=require, number=number)
    found = parcel_of(order, parcel)
    form = SentForm(request.POST if is_post(request) else None, parcel=found)
    if is_post(request) and form.is_valid():
        with told_in(form):
            proof.keep_record(form.instance, form.save)
            messages.success(request, _("The record of %(parcel)s is stored.") % {"parcel": found.title})
            return redirect("sent-record", number=number, parcel=parcel)
    return _page(request, found, may, form, ProofForm())


@login_required
@require_POST
@tells_refusals()
def add_proof(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """Keep a receipt or a photograph with a parcel."""
    order, may = permissions.get_object_or_404(request.user, Order, require="send", number=number)
    found = parcel_of(order, parcel)
    form = ProofForm(request.POST, request.FILES)
    if form.is_valid():
        with told_in(form):
            kind = ProofKind(form.cleaned_data["kind"])
            proof.keep_file(found, form.cleaned_data["file"], kind, form.cleaned_data["note"], by=person(request))
            messages.success(request, _("The file is kept with %(parcel)s.") % {"parcel": found.title})
            return redirect("sent-record", number=number, parcel=parcel)
    return _page(request, found, may, SentForm(parcel=found), form)


@login_required
@require_GET
def proof_file(request: HttpRequest, pk: int) -> FileResponse:
    """A receipt or a photograph, handed out under a name of ours and never run in a page."""
    row, _may = permissions.get_object_or_404(request.user, ProofFile, require="print_papers", pk=pk)
    if not row.path.is_file():
        raise Http404(_("The file of this receipt or photograph is gone."))
    name = f"{row.kind}-{row.sha256[:8]}.{row.media}"
    answer = FileResponse(row.path.open("rb"), filename=name, as_attachment=not row.is_picture)
    answer["Content-Type"] = row.content_type
    answer["X-Content-Type-Options"] = "nosniff"
    return answer


@login_required
@require_GET
def claim_file(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """Everything that a claim for a parcel needs, as one archive."""
    order, may = permissions.get_object_or_404(request.user, Order, require="print_papers", number=number)
    may.require("see_prices")
    try:
        found = parcel_of(order, parcel)
    except DomainError as fault:
        raise Http404(str(fault)) from fault
    answer = HttpResponse(claims.claim_file(found, make_again), content_type="application/zip")
    answer["Content-Disposition"] = f'attachment; filename="claim-order-{number}-parcel-{parcel}.zip"'
    return answer


@login_required
@require_GET
def paid(request: HttpRequest) -> HttpResponse:
    """Amounts paid for sending against what was quoted, newest first."""
    rows, may = permissions.queryset_for(request.user, SentRecord, require="see_prices")
    known = rows.select_related(
        "parcel__plan__order", "parcel__consignment__order__quote", "parcel__consignment__order__customer"
    )
    page = Paginator(known.defer("parcel__plan__content"), A_PAGE).get_page(request.GET.get("page"))
    listed = [(row, claims.beside_quote(row)) for row in page]
    shop, _may = permissions.current_shop(request.user)
    by_currency = rows.filter(paid__isnull=False).order_by("currency").values_list("currency").annotate(Sum("paid"))
    sums = totals(Money(amount, currency) for currency, amount in by_currency)
    return render(request, "screens/paid.html", shop, may, room="orders", page=page, listed=listed, sums=sums)


def _page(
    request: HttpRequest, parcel: Parcel, may: permissions.Permissions, form: SentForm, files: ProofForm
) -> HttpResponse:
    kept = SentRecord.objects.filter(parcel=parcel).first()
    context = {
        "order": parcel.order,
        "parcel": parcel,
        "form": form,
        "file_form": files,
        "kept": kept,
        "proof": ProofFile.objects.filter(parcel=parcel).select_related("by"),
        "text": "" if kept is None else claims.message_for(kept),
        "amounts": may.see_prices or may.send,
        "rule": None if kept is None else claims.claim_rule_of(kept),
    }
    status = 400 if form.errors or files.errors else 200
    return render(request, "screens/sent_record.html", parcel.shop, may, status=status, room="orders", **context)
