"""The rack of pieces, and one piece: its measures, its hardness readings, its state."""

from __future__ import annotations

from dataclasses import asdict, fields, replace
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.access import permissions
from shop.forms import CorrectNumberForm, MeasureForm, NewPieceForm, ReadingForm, RetireForm, WhyForm, units_of
from shop.models import (
    MEASURES,
    STATES_WITH_REASON,
    Form,
    Pattern,
    Piece,
    PieceState,
    Product,
    Reading,
    Series,
    Sharp,
    Shop,
)
from shop.models.base import key_of
from shop.presenters.rack import RackQuery, rack_page
from shop.services import audit, returns
from shop.services import pieces as piece_service
from shop.services.numbering import gaps_of, next_number, stamped_in, written
from shop.views.page import Context, is_post, person, render, tells_refusals, told_in

LETTERS = dict(zip(MEASURES, "ABCDEFG", strict=True))
COME_BACK_FOR = gettext_lazy("What it has come back for")
COME_BACK_WHY = gettext_lazy("Why it has come back")
SHAPES = {Form.AXE: "axe", Form.ADZE: "adze", Form.MALLET: "mallet"}


@login_required
@require_GET
def pieces(request: HttpRequest) -> HttpResponse:
    """The rack: pieces by product, by state and by number, and who holds each."""
    shop, may = permissions.current_shop(request.user)
    rows, _may = permissions.queryset_for(request.user, Piece, require="see_pieces")
    asked = RackQuery(**{one.name: request.GET.get(one.name, "") for one in fields(RackQuery)})
    products = Product.objects.filter(shop=shop).select_related("series", "pattern")
    context: Context = {
        "page": rack_page(shop, rows, asked),
        "products": products,
        "series": Series.objects.filter(shop=shop),
        "patterns": Pattern.objects.filter(shop=shop),
        "states": PieceState.choices,
        "asked": asked,
        "onward": urlencode({key: value for key, value in asdict(replace(asked, after="")).items() if value}),
    }
    return render(request, "screens/rack.html", shop, may, room="rack", **context)


@login_required
@require_GET
def piece(request: HttpRequest, pk: int) -> HttpResponse:
    """One piece."""
    found, may = permissions.get_object_or_404(request.user, Piece, require="see_pieces", pk=pk)
    return piece_page(request, found, may)


@login_required
@require_http_methods(["GET", "POST"])
def new_piece(request: HttpRequest) -> HttpResponse:
    """Enter a piece for the first time: its number as stamped, and its measures."""
    shop, may = permissions.current_shop(request.user)
    may.require("measure")
    chosen = _asked_product(request, shop)
    like = Piece.objects.filter(shop=shop, product=chosen, pk=key_of(request.GET.get("like", ""))).first()
    form = NewPieceForm(
        request.POST or None,
        shop=shop,
        units=units_of(request.user, shop),
        begun_like=like,
        initial={} if chosen is None else {"product": chosen.pk, "number": next_number(chosen.pk)},
    )
    if is_post(request) and form.is_valid():
        made = form.save()
        messages.success(request, _("%(piece)s is measured and on the rack.") % {"piece": made.label})
        if request.POST.get("next"):
            return redirect(f"{reverse('new-piece')}?product={made.product_id}")
        return redirect("piece", pk=made.pk)
    context = _bench(form, _chosen_product(form), may_go_on=True)
    return render(request, "screens/measure.html", shop, may, room="rack", status=_status(form), **context)


@login_required
@require_http_methods(["GET", "POST"])
def measure(request: HttpRequest, pk: int) -> HttpResponse:
    """Measure a known piece again."""
    found, may = permissions.get_object_or_404(request.user, Piece, require="measure", pk=pk)
    form = MeasureForm(request.POST or None, piece=found, units=units_of(request.user, found.shop))
    if is_post(request) and form.is_valid():
        form.save()
        messages.success(request, _("The measures of %(piece)s are recorded.") % {"piece": found.label})
        return redirect("piece", pk=found.pk)
    context = {"piece": found, **_bench(form, found.product)}
    return render(request, "screens/measure.html", found.shop, may, room="rack", status=_status(form), **context)


@login_required
@require_POST
def add_reading(request: HttpRequest, pk: int) -> HttpResponse:
    """Add a hardness reading to a piece."""
    found, may = permissions.get_object_or_404(request.user, Piece, require="measure", pk=pk)
    form = ReadingForm(request.POST, piece=found, by=person(request))
    if not form.is_valid():
        return piece_page(request, found, may, reading_form=form)
    form.save()
    messages.success(request, _("Noted: %(reading)s.") % {"reading": form.instance})
    return redirect("piece", pk=found.pk)


@login_required
@require_POST
def strike_reading(request: HttpRequest, pk: int, reading: int) -> HttpResponse:
    """Take a hardness reading off again that was noted by mistake."""
    found, _may = permissions.get_object_or_404(request.user, Reading, require="measure", pk=reading, piece=pk)
    named = str(found)
    found.delete()
    messages.success(request, _("Struck out: %(reading)s.") % {"reading": named})
    return redirect("piece", pk=pk)


@login_required
@require_POST
def retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Mark a piece scrapped, mis-stamped or kept back, with the reason."""
    found, may = permissions.get_object_or_404(request.user, Piece, require="retire_pieces", pk=pk)
    form = RetireForm(request.POST)
    if form.is_valid():
        with told_in(form):
            piece_service.retire(found, form.cleaned_data["state"], form.cleaned_data["reason"])
            messages.success(request, _("%(piece)s: %(state)s.") % _state(found))
            return redirect("piece", pk=found.pk)
    return piece_page(request, found, may, retire_form=form)


@login_required
@require_POST
@tells_refusals()
def bring_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a retired piece on the rack again."""
    found, _may = permissions.get_object_or_404(request.user, Piece, require="retire_pieces", pk=pk)
    piece_service.bring_back(found)
    messages.success(request, _("%(piece)s: %(state)s.") % _state(found))
    return redirect("piece", pk=found.pk)


@login_required
@require_POST
def correct_number(request: HttpRequest, pk: int) -> HttpResponse:
    """Give a piece the number stamped on it, where another had been typed."""
    found, may = permissions.get_object_or_404(request.user, Piece, require="measure", pk=pk)
    form = CorrectNumberForm(request.POST, piece=found)
    before = found.label
    if form.is_valid():
        with told_in(form):
            piece_service.correct_number(found, form.cleaned_data["number"], form.cleaned_data["why"])
            messages.success(request, _("%(before)s is %(piece)s now.") % {"before": before, "piece": found.label})
            return redirect("piece", pk=found.pk)
    return piece_page(request, found, may, number_form=form)


@login_required
@require_POST
@tells_refusals()
def take_in_for_repair(request: HttpRequest, pk: int) -> HttpResponse:
    """Note that a sent piece has come back from its holder for repair, and why."""
    found, may = permissions.get_object_or_404(request.user, Piece, require="repair", pk=pk)
    form = WhyForm(request.POST, label=COME_BACK_FOR)
    if form.is_valid():
        piece_service.take_in_for_repair(found, form.cleaned_data["why"], by=person(request))
        messages.success(request, _("%(piece)s: %(state)s.") % _state(found))
        return redirect("piece", pk=found.pk)
    return piece_page(request, found, may, repair_form=form)


@login_required
@require_POST
@tells_refusals()
def give_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Note that a repaired piece has gone back to its holder."""
    found, _may = permissions.get_object_or_404(request.user, Piece, require="repair", pk=pk)
    piece_service.give_back(found, request.POST.get("why", ""), by=person(request))
    messages.success(request, _("%(piece)s has gone back to its holder.") % {"piece": found.label})
    return redirect("piece", pk=found.pk)


@login_required
@require_POST
@tells_refusals()
def take_return(request: HttpRequest, pk: int) -> HttpResponse:
    """Note that a sent piece has come back for good: nobody holds it any more, and it is inspected."""
    found, may = permissions.get_object_or_404(request.user, Piece, require="repair", pk=pk)
    form = _return_form(request.POST)
    if form.is_valid():
        returns.take_return(found, form.cleaned_data["why"], by=person(request))
        messages.success(
            request,
            _("%(piece)s is back and nobody’s: look it over and measure it before it goes on the rack.")
            % {"piece": found.label},
        )
        return redirect("piece", pk=found.pk)
    return piece_page(request, found, may, return_form=form)


def piece_page(
    request: HttpRequest,
    found: Piece,
    may: permissions.Permissions,
    *,
    reading_form: ReadingForm | None = None,
    retire_form: RetireForm | None = None,
    repair_form: WhyForm | None = None,
    return_form: WhyForm | None = None,
    number_form: CorrectNumberForm | None = None,
) -> HttpResponse:
    """The screen of one piece; with a refused form the answer is 400."""
    forms = (reading_form, retire_form, repair_form, return_form, number_form)
    refused = any(form is not None and form.errors for form in forms)
    gone = found.state in (PieceState.SENT, PieceState.REPAIR)
    history = found.allocations.select_related("line__order__customer").order_by("-made_at")
    context: Context = {
        "piece": found,
        "measures": [(LETTERS[name], Piece._meta.get_field(name), getattr(found, name)) for name in MEASURES],
        "shape": _shape(found.product),
        "history": history,
        "holder": next((row for row in history if row.released_at is None), None),
        "readings": found.readings.all(),
        "reading_form": reading_form or (ReadingForm(piece=found, by=person(request)) if may.measure else None),
        "retire_form": retire_form or (RetireForm() if may.retire_pieces else None),
        "retired": found.state in STATES_WITH_REASON,
        "on_rack": found.state == PieceState.RACK,
        "gone": gone,
        "number_form": number_form or (CorrectNumberForm(piece=found) if may.measure and not gone else None),
        "on_record": audit.of_piece(found),
        "happened": found.events.select_related("by", "order__customer"),
        "repair_form": repair_form or _repair_form(found, may),
        "return_form": return_form or (_return_form() if may.repair and found.state == PieceState.SENT else None),
    }
    return render(
        request, "screens/piece.html", found.shop, may, room="rack", status=400 if refused else 200, **context
    )


def _repair_form(found: Piece, may: permissions.Permissions) -> WhyForm | None:
    """Ask when a sent piece comes back for repair, or goes back to its holder."""
    if not may.repair or found.state not in (PieceState.SENT, PieceState.REPAIR):
        return None
    if found.state == PieceState.SENT:
        return WhyForm(label=COME_BACK_FOR)
    return WhyForm(label=_("What was done"), optional=True)


def _return_form(data: Any = None) -> WhyForm:
    """Ask why a piece has come back for good; a form of its own beside that of a repair."""
    return WhyForm(data, label=COME_BACK_WHY, prefix="return")


def _bench(form: MeasureForm, product: Product | None, *, may_go_on: bool = False) -> Context:
    """The measuring screen beside the form: the drawing, its letters, what is sharp, the numbers so far."""
    gaps = gaps_of([product.pk])[product.pk] if product is not None and may_go_on else []
    numbers = stamped_in(product.pk, gaps) if product is not None and may_go_on else []
    return {
        "form": form,
        "product": product,
        "fields": [(LETTERS[name], form[name]) for name in MEASURES],
        "shape": _shape(product),
        "sharp": product is not None and product.pattern.sharp != Sharp.NONE,
        "numbers": written(numbers),
        "gaps": written(gaps),
        "following": next_number(product.pk) if product is not None and may_go_on else 0,
        "brother": _last_measured(product) if product is not None and may_go_on else None,
    }


def _last_measured(product: Product) -> Piece | None:
    """The piece of a product that was measured last: the next one is much like it."""
    return Piece.objects.measured().filter(product=product).order_by("-measured_at", "-number").first()


def _asked_product(request: HttpRequest, shop: Shop) -> Product | None:
    return Product.objects.filter(shop=shop, pk=key_of(request.GET.get("product", ""))).first()


def _chosen_product(form: NewPieceForm) -> Product | None:
    chosen = key_of(str(form["product"].value() or ""))
    return Product.objects.filter(shop=form.piece.shop, pk=chosen).select_related("pattern").first()


def _shape(product: Product | None) -> str:
    """The outline that the drawing of the measures has."""
    return SHAPES.get(product.pattern.form, "hammer") if product is not None else "hammer"  # type: ignore[call-overload]


def _state(found: Piece) -> dict[str, str]:
    return {"piece": found.label, "state": found.get_state_display()}


def _status(form: MeasureForm) -> int:
    return 400 if form.errors else 200
