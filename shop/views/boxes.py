"""The box of an order: asked for, watched while it is planned; its papers, its packing, its weigh-in, its leaving."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from shop import adapter
from shop.access import permissions
from shop.forms import EmptyBoxForm, PackForm, WeighInForm
from shop.models import BoxPlan, Document, Job, JobKind, Order, PaperSize, Parcel, ParcelState
from shop.models.base import key_of
from shop.papers.context import context_from_plan
from shop.papers.full_size import FullSize, print_full_size
from shop.papers.storage import ALL_PAPERS, READABLE, in_one, make_again
from shop.services import dispatch, jobs, planning
from shop.services.errors import DomainError
from shop.services.stock import stock_for
from shop.views.order_page import (
    RefusedForms,
    back_to,
    box_context,
    cut_files_form,
    latest_job,
    order_context,
    order_page,
    parcel_of,
    usable_papers,
)
from shop.views.page import person, render, tells_refusals, wording_of


@login_required
@require_POST
@tells_refusals("box")
def plan_box(request: HttpRequest, number: int) -> HttpResponse:
    """Ask for a plan of the box; where that drops a box taken by hand or printed papers, once that is confirmed."""
    order, _may = permissions.get_object_or_404(request.user, Order, require="plan", number=number)
    dropped = planning.given_up(order)
    if dropped and not request.POST.get("sure"):
        messages.warning(request, " ".join([_("Nothing is planned yet: look first what that gives up."), *dropped]))
        return back_to(order, "box")
    planning.request_plan(order)
    return back_to(order, "box")


@login_required
@require_POST
@tells_refusals("box")
def take_offer(request: HttpRequest, number: int, parcel: int, index: int | None) -> HttpResponse:
    """Make one of the boxes offered, or the one the search had chosen, a parcel's plan, and ask for its papers."""
    order, _may = permissions.get_object_or_404(request.user, Order, require="plan", number=number)
    key = request.POST.get("plan", "")
    seen, _may = permissions.get_object_or_404(request.user, BoxPlan, order=order, pk=key_of(key))
    found = parcel_of(order, parcel)
    planning.take_offer(found, seen, index)
    planning.request_papers(order, parcel=found)
    messages.success(request, _("This box is the order’s plan now; its papers are being made."))
    return back_to(order, "box", found)


@login_required
@require_GET
def box_progress(request: HttpRequest, number: int) -> HttpResponse:
    """Show how planning or printing gets on: a line of its own while it runs; then the order anew or its papers."""
    order, may = permissions.get_object_or_404(request.user, Order, require="see_orders", number=number)
    kind = JobKind.PAPERS if request.GET.get("of") == JobKind.PAPERS else JobKind.PLAN
    job = latest_job(order, kind)
    asked = order.parcels.filter(number=key_of(request.GET.get("parcel", ""))).first()
    if job is not None and not job.is_over:
        return render(request, "screens/order/progress.html", order.shop, may, order=order, parcel=asked, job=job)
    if kind == JobKind.PLAN:
        context = order_context(request, order, may, parcel=asked)
        response = render(request, "screens/order/box_done.html", order.shop, may, **context)
        # A new plan changes nearly all of the screen, new papers their own part alone.
        response["HX-Retarget"], response["HX-Reswap"] = "#order", "innerHTML"
    else:
        context = box_context(request, order, asked)
        response = render(request, "screens/order/papers_done.html", order.shop, may, **context)
        response["HX-Retarget"], response["HX-Reswap"] = "#papers", "outerHTML"
    return response


@login_required
@require_POST
def cancel_job(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Cancel a job of an order that waits or runs, whoever asked for it."""
    job, may = permissions.get_object_or_404(request.user, Job, order__number=number, pk=pk)
    planned = job.kind == JobKind.PLAN
    may.require("plan" if planned else "print_papers")
    if not jobs.cancel(job):
        messages.warning(request, _("It is over already: there is nothing to cancel."))
    elif planned:
        messages.success(request, _("Planning is cancelled; nothing has changed."))
    else:
        messages.success(request, _("The papers are cancelled."))
    return back_to(job.order, "box" if planned else "papers")


@login_required
@require_POST
@tells_refusals("papers")
def print_papers(request: HttpRequest, number: int) -> HttpResponse:
    """Ask for the papers of every parcel, or of the one named, on one size of paper."""
    order, _may = permissions.get_object_or_404(request.user, Order, require="print_papers", number=number)
    size, parcel = request.POST.get("page_size", ""), request.POST.get("parcel", "")
    found = parcel_of(order, key_of(parcel)) if parcel else None
    planning.request_papers(order, size if size in PaperSize.values else "", parcel=found)
    return back_to(order, "papers", found)


@login_required
@require_GET
def paper(request: HttpRequest, pk: int) -> FileResponse:
    """One paper's file, under a name that says what it is."""
    document, _may = permissions.get_object_or_404(request.user, Document, require="print_papers", pk=pk)
    # Files of old papers are put away, and made again when somebody asks for one.
    if not document.path.is_file() and not make_again(document):
        raise Http404(_("The file of this paper is gone: make the papers again."))
    plan = document.plan
    name = f"{_file_name(plan)}-{READABLE[document.kind]}-{document.page_size}.pdf"
    return FileResponse(document.path.open("rb"), filename=name, content_type="application/pdf")


@login_required
@require_GET
def all_papers(request: HttpRequest, number: int, parcel: int, size: str) -> HttpResponse:
    """All papers of a parcel on one size of page as one file, to be printed in one go; 404 where one is missing."""
    order, _may = permissions.get_object_or_404(request.user, Order, require="print_papers", number=number)
    papers = usable_papers(_or_404(order, parcel), size)
    if not papers or not all(paper.path.is_file() or make_again(paper) for paper in papers):
        raise Http404(_("Not all papers of order %(number)d are there: make them first.") % {"number": number})
    name = f"{_file_name(papers[0].plan)}-{ALL_PAPERS}-{size}.pdf"
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(in_one(papers), content_type="application/pdf", headers=headers)


@login_required
@require_GET
@tells_refusals("papers")
def cut_files(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """A box's cutting files for a tool, SVG and DXF, in one archive; 404 where there is no plan they fit."""
    order, _may = permissions.get_object_or_404(request.user, Order, require="print_papers", number=number)
    row = _plan_or_404(order, parcel)
    form = cut_files_form(request, order, request.GET or {"tool": adapter.FOLLOWERS[0].value})
    if not form.is_valid():
        for field, faults in form.errors.items():
            messages.error(request, f"{form.fields[field].label}: {' '.join(map(str, faults))}")
        return back_to(order, "papers", parcel_of(order, parcel))
    archive = adapter.cut_archive(adapter.plan_of(row), form.way, stock_for(row), row.parcel_name)
    headers = {"Content-Disposition": f'attachment; filename="{_file_name(row, code=False)}-cut-files.zip"'}
    return HttpResponse(archive, content_type="application/zip", headers=headers)


@login_required
@require_GET
def full_size(request: HttpRequest, number: int, parcel: int, how: str) -> HttpResponse:
    """The insert's sheets in full size as one PDF; 404 where there is no plan they fit, or none with pockets."""
    order, _may = permissions.get_object_or_404(request.user, Order, require="print_papers", number=number)
    if how not in list(FullSize):
        raise Http404
    row = _plan_or_404(order, parcel)
    plan = adapter.plan_of(row)
    if not any(sheet.pockets for sheet in plan.insert.sheets):
        raise Http404(_("Nothing is cut into the sheets of order %(number)d.") % {"number": number})
    size = request.GET.get("page_size", "")
    context = context_from_plan(row, page_size=size if size in PaperSize.values else None)
    printed = print_full_size(FullSize(how), plan, context)
    name = f"{_file_name(row)}-full-size-{how}.pdf"
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(printed.pdf, content_type="application/pdf", headers=headers)


def _or_404(order: Order, number: int) -> Parcel:
    try:
        return parcel_of(order, number)
    except DomainError as fault:
        raise Http404(str(fault)) from fault


def _plan_or_404(order: Order, number: int) -> BoxPlan:
    """The plan of a parcel, where it is of what the order is now."""
    parcel = _or_404(order, number)
    try:
        return planning.current_plan(parcel)
    except DomainError as fault:
        raise Http404(str(fault)) from fault


def _file_name(plan: BoxPlan, *, code: bool = True) -> str:
    """The first part of a file's name: which order, which parcel where there are several, which plan."""
    parcel = f"-parcel-{plan.parcel_number}" if plan.parcel_count > 1 else ""
    return f"order-{plan.order.number}{parcel}" + (f"-plan-{plan.code}" if code else "")


@login_required
@require_POST
@tells_refusals("sending")
def pack(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """Mark a parcel packed, once every number typed is the one the plan has in its pocket."""
    order, may = permissions.get_object_or_404(request.user, Order, require="send", number=number)
    found = parcel_of(order, parcel)
    form = PackForm(request.POST, plan=found.plan)
    if not form.is_valid():
        return order_page(request, order, may, RefusedForms(packing=form), found)
    dispatch.pack(found, form.packed_plan)
    messages.success(request, _("Every number is right: %(parcel)s is packed.") % {"parcel": found.called})
    return back_to(order, "sending", found)


@login_required
@require_POST
@tells_refusals("sending")
def weigh_empty(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """Record what the empty box weighs with its insert, before anything goes in."""
    order, may = permissions.get_object_or_404(request.user, Order, require="weigh_in", number=number)
    found = parcel_of(order, parcel)
    if found.state != ParcelState.PLANNED:
        messages.error(request, _("%(parcel)s has no empty box to weigh.") % {"parcel": found.title})
        return back_to(order, "sending", found)
    form = EmptyBoxForm(request.POST, parcel=found, wording=wording_of(request, order.shop), prefix="empty")
    if not form.is_valid():
        return order_page(request, order, may, RefusedForms(empty_box=form), found)
    dispatch.weigh_empty(found, form.weighed_g)
    written = wording_of(request, order.shop).weight(form.weighed_g)
    messages.success(request, _("The empty box weighs %(weight)s.") % {"weight": written})
    return back_to(order, "sending", found)


@login_required
@require_POST
@tells_refusals("sending")
def weigh_in(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """Record the scale reading of the closed box, held against the plan; one refused takes back an earlier one."""
    order, may = permissions.get_object_or_404(request.user, Order, require="weigh_in", number=number)
    found = parcel_of(order, parcel)
    if found.state != ParcelState.PACKED:
        messages.error(request, _("%(parcel)s is not packed: there is nothing to weigh.") % {"parcel": found.title})
        return back_to(order, "sending", found)
    form = WeighInForm(request.POST, parcel=found, wording=wording_of(request, order.shop))
    if not form.is_valid():
        if form.off:
            dispatch.stop_weigh_in(found, form.reading, by=person(request))
        return order_page(request, order, may, RefusedForms(weighing=form), found)
    dispatch.take_weigh_in(found, form.reading, by=person(request))
    written = wording_of(request, order.shop).weight(form.weighed_g)
    messages.success(request, _("The weigh-in is recorded: %(weight)s.") % {"weight": written})
    return back_to(order, "sending", found)


@login_required
@require_POST
@tells_refusals("sending")
def unpack(request: HttpRequest, number: int, parcel: int) -> HttpResponse:
    """Open a packed parcel again."""
    order, _may = permissions.get_object_or_404(request.user, Order, require="send", number=number)
    found = parcel_of(order, parcel)
    dispatch.unpack(found)
    messages.success(request, _("%(parcel)s is open again.") % {"parcel": found.title})
    return back_to(order, "sending", found)


@login_required
@require_POST
@tells_refusals("sending")
def cancel_order(request: HttpRequest, number: int) -> HttpResponse:
    """Cancel an open order."""
    order, _may = permissions.get_object_or_404(request.user, Order, require="edit_orders", number=number)
    dispatch.cancel(order)
    messages.success(
        request, _("Order %(number)d is cancelled; its pieces are back on the rack.") % {"number": order.number}
    )
    return back_to(order, "sending")
