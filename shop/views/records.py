"""Records that the shop sets up, on screens of its own: lots, series, patterns, products, sets, blocks, stock."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.db.models import ProtectedError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.text import get_text_list
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.access import permissions
from shop.forms import units_of
from shop.models import Shop, ShopOwned
from shop.models.base import key_of
from shop.presenters.records import KINDS, Kind
from shop.views.page import Context, is_post, render, wording_of

A_PAGE = 100
ITS_OWN = frozenset({"name", "code", "label"})
"""A value that no other row has: it is not taken over from the row that a new one is like."""
PREFILLED = ("lot", "series", "pattern")
"""Choices that a link to a new row may make beforehand, as `?series=3` does."""


def _kind(name: str) -> Kind:
    kind = KINDS.get(name)
    if kind is None:
        raise Http404(_("There is no such kind of record."))
    return kind


@login_required
@require_GET
def records(request: HttpRequest, kind: str) -> HttpResponse:
    """The shop's rows of one kind."""
    what = _kind(kind)
    rows, may = permissions.queryset_for(request.user, what.model, require="see_pieces")
    shop, _may = permissions.current_shop(request.user)
    page = Paginator(rows.select_related(*what.related), A_PAGE).get_page(request.GET.get("page"))
    wording = wording_of(request, shop)
    listed = [(row.pk, what.name(row), what.cells(row, wording, prices=may.see_prices)) for row in page]
    context: Context = {
        "kind": kind,
        "what": what,
        "page": page,
        "rows": listed,
        "headings": what.shown(may.see_prices),
    }
    return render(request, "screens/records.html", shop, may, room="steel", **context)


@login_required
@require_http_methods(["GET", "POST"])
def new_record(request: HttpRequest, kind: str) -> HttpResponse:
    """A new row: empty, or begun like the one that `?like=` names."""
    what = _kind(kind)
    shop, may = permissions.current_shop(request.user)
    may.require("edit_settings")
    if not what.adds:
        raise Http404(_("Rows of this kind are not added."))
    return _page(request, shop, may, kind, None, _begun(request, what, shop))


@login_required
@require_http_methods(["GET", "POST"])
def record(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """One row, to look at and to change."""
    what = _kind(kind)
    row, may = permissions.get_object_or_404(request.user, what.model, require="edit_settings", pk=pk)
    return _page(request, row.shop, may, kind, row, {})


@login_required
@require_POST
def delete_record(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Delete a row that nothing uses."""
    what = _kind(kind)
    row, _may = permissions.get_object_or_404(request.user, what.model, require="edit_settings", pk=pk)
    name = what.name(row)
    try:
        if not what.adds:
            raise Http404(_("Rows of this kind are not deleted."))
        row.delete()
    except ProtectedError as used:
        by = sorted({str(one) for one in used.protected_objects})
        shown = [*by[:3], _("%(count)d more") % {"count": len(by) - 3}] if len(by) > 4 else by
        named = {"name": name, "by": get_text_list(shown, _("and"))}
        messages.error(request, _("%(name)s stays: it is used by %(by)s.") % named)
        return redirect("record", kind=kind, pk=pk)
    messages.success(request, _("%(name)s is deleted; the record of changes keeps what it was.") % {"name": name})
    return redirect("records", kind=kind)


def _begun(request: HttpRequest, what: Kind, shop: Shop) -> dict[str, object]:
    """The values that a new row begins with: those of a row it is like, or a choice that the link makes."""
    chosen: dict[str, object] = {name: request.GET[name] for name in PREFILLED if name in request.GET}
    like = what.model._default_manager.filter(shop=shop, pk=key_of(request.GET.get("like", ""))).first()
    if like is None:
        return chosen
    fields = {field.name: field for field in like._meta.concrete_fields}
    alike = [name for name in what.form.base_fields if name in fields and name not in ITS_OWN]
    return {name: fields[name].value_from_object(like) for name in alike} | chosen


def _page(
    request: HttpRequest,
    shop: Shop,
    may: permissions.Permissions,
    kind: str,
    row: ShopOwned | None,
    initial: dict[str, object],
) -> HttpResponse:
    """A row's form; what was typed is stored, or stays with a sentence beside each fault."""
    what = _kind(kind)
    form = what.form(
        request.POST if is_post(request) else None,
        request.FILES if is_post(request) else None,
        instance=row,
        initial=initial,
        shop=shop,
        units=units_of(request.user, shop),
    )
    if is_post(request) and form.is_valid():
        made = form.save()
        messages.success(request, _("%(name)s is stored.") % {"name": what.name(made)})
        return redirect("new-record", kind=kind) if request.POST.get("next") else redirect("records", kind=kind)
    name = what.one if row is None else what.name(what.model._default_manager.get(pk=row.pk))
    context = {"kind": kind, "what": what, "row": row, "form": form, "name": name}
    return render(
        request, "screens/record.html", shop, may, room="steel", status=400 if form.errors else 200, **context
    )
