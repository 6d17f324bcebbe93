"""Planning an order's parcels: asked for, done, checked and stored; and the papers of the plans."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from decimal import Decimal

import msgspec
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.formatting import Units, Wording, in_g
from shop.models import BoxPlan, Consignment, Job, JobKind, Order, Parcel, ParcelState
from shop.services import consignments, jobs
from shop.services.asked import PapersAsked, PlanAsked
from shop.services.consignments import Boxed
from shop.services.errors import CannotPlan, JobCancelled, TooHeavy

SECONDS_FEW, SECONDS_MANY, FEW_ITEMS = 2, 10, 6
"""Up to six items the search usually ends with a proof; beyond, a longer one finds smaller boxes."""
LEAST_SECONDS = 1.0
"""The least time that the search for one of several parcels has, if as much was asked for at all."""
MOST_SECONDS = 120
"""A job that is asked for more would keep the bench waiting behind it."""
GROSS_LIMIT = "max_gross_g"


def seconds_for(items: int) -> int:
    """The time of the search by default: 2 s up to six items, 10 s beyond."""
    return SECONDS_FEW if items <= FEW_ITEMS else SECONDS_MANY


def request_plan(order: Order, seconds: int | None = None) -> Job:
    """Ask for plans of an order's open boxes; NotReady, BadInput or CannotPlan at once where none can be made."""
    if not order.has_open_box:
        raise _closed(order)
    file = adapter.order_file(order)
    asked = PlanAsked(seconds or seconds_for(len(file.order.items)), file.input_hash, list(order.plan_keys))
    return jobs.enqueue(shop=order.shop, order=order, kind=JobKind.PLAN, payload=msgspec.to_builtins(asked))


def request_papers(order: Order, page_size: str = "", *, parcel: Parcel | None = None) -> Job:
    """Ask for the papers of an order's parcels, or of one alone. Refused when the order has changed since."""
    refuse_outdated(order)
    plans = list(order.plan_keys) if parcel is None else [parcel.plan_id]
    asked = PapersAsked(plans, page_size or order.shop.paper)
    return jobs.enqueue(shop=order.shop, order=order, kind=JobKind.PAPERS, payload=msgspec.to_builtins(asked))


def given_up(order: Order) -> list[str]:
    """Say what of an order's plans is lost when its boxes are planned again, a sentence each; empty for nothing."""
    sentences = []
    for parcel in order.parcels.filter(state=ParcelState.PLANNED).select_related("plan"):
        plan = parcel.plan
        if plan.chosen_from_id is not None:
            name = adapter.render(adapter.plan_of(plan).box.name)
            sentences.append(
                _("The box taken by hand (%(box)s) gives way to the one that the search chooses; take it again after.")
                % {"box": name}
            )
        printed = plan.documents.values("kind").distinct().count()
        if printed:
            sentences.append(
                ngettext(
                    "The paper of plan %(code)s is of use no more: it is printed again.",
                    "The %(count)d papers of plan %(code)s are of use no more: they are printed again.",
                    printed,
                )
                % {"count": printed, "code": plan.code}
            )
    return sentences


def refuse_outdated(order: Order) -> None:
    """Raise CannotPlan unless the order has plans, of what it is now."""
    if order.consignment_id is None:
        raise CannotPlan(_("Order %(number)d has no box plan yet.") % {"number": order.number})
    if order.has_open_box and not adapter.is_current(order):
        sentence = _("Order %(number)d has changed since its box was planned: plan it again.")
        raise CannotPlan(" ".join([sentence % {"number": order.number}, *adapter.changes_since(order)]))


def current_plan(parcel: Parcel) -> BoxPlan:
    """A parcel's plan, if its order is still what it was planned from; CannotPlan otherwise."""
    refuse_outdated(parcel.order)
    return parcel.plan


def plan_now(
    order: Order,
    seconds: float,
    *,
    progress: adapter.Report | None = None,
    stop: adapter.Stop | None = None,
    enough: adapter.Stop | None = None,
    and_then: Callable[[], None] | None = None,
) -> Consignment:
    """Plan an order's open boxes, check the plans and store them; `and_then` is done in the same transaction.

    Once the search has had the usual time for so many items, `enough` may end it with the best so far.

    Raises CannotPlan where there is no plan, the checker finds a broken rule, or the order changed or was given another
    box meanwhile; JobCancelled when `stop` cut the search short.
    """
    # The search takes seconds and holds no row: changes meanwhile are allowed, and found out before the plan is kept.
    began_with = order.plan_keys
    search = Search(order, seconds, progress=progress, stop=stop, enough=enough)
    again = list(order.parcels.filter(state=ParcelState.PLANNED).select_related("plan")) if not order.is_open else []
    if again:
        parts = [parcel.plan.item_sources.keys() for parcel in again]
        boxed = search.boxes(adapter.parcel_files(order, parts))
    else:
        boxed = search.consignment()
    with transaction.atomic():
        now = Order.objects.select_for_update().get(pk=order.pk)
        if now.plan_keys != began_with:
            raise consignments.planned_since(order)
        if again:
            consignments.store_again(order, dict(zip(again, boxed, strict=True)), instead_of=began_with)
        else:
            consignments.store(order, boxed, instead_of=began_with)
        if and_then is not None:
            and_then()
    if order.consignment is None:
        raise _closed(order)
    return order.consignment


class Search:
    """The search for the boxes of an order: its parcels one after another, within the time asked for.

    Parameters
    ----------
    order
        Whose parcels they are.
    seconds
        For all parcels together, from now on.
    progress, stop, enough
        As for `plan_now`.
    """

    def __init__(
        self,
        order: Order,
        seconds: float,
        *,
        progress: adapter.Report | None = None,
        stop: adapter.Stop | None = None,
        enough: adapter.Stop | None = None,
    ) -> None:
        self.order, self.seconds, self.until = order, seconds, time.monotonic() + seconds
        self.progress, self.stop, self.enough = progress, stop, enough

    def consignment(self) -> list[Boxed]:
        """Plan the whole order: in one parcel, or in as few as the shop's limit of weight allows.

        Raises CannotPlan where there is no plan, JobCancelled where the search was stopped.
        """
        whole = adapter.order_file(self.order)
        fault: CannotPlan | None = None
        for parts in adapter.proposed_parts(whole, list(self.order.lines.all())):
            try:
                return self.boxes(adapter.parcel_files(self.order, parts))
            except TooHeavy as heavy:
                fault = fault or heavy
        raise fault or CannotPlan(_("Order %(number)d has nothing to pack.") % {"number": self.order.number})

    def boxes(self, files: Sequence[adapter.OrderFile]) -> list[Boxed]:
        """Plan parcels, each in its items' share of the time that is left. Raises as `box` does."""
        found: list[Boxed] = []
        for at, file in enumerate(files):
            to_come = sum(len(one.order.items) for one in files[at:])
            share = (self.until - time.monotonic()) * len(file.order.items) / to_come
            # Boxes found too heavy have used up time: those tried after them still have some.
            found.append(self.box(file, max(share, min(self.seconds, LEAST_SECONDS))))
        return found

    def box(self, file: adapter.OrderFile, seconds: float) -> Boxed:
        """Plan one parcel. Raises CannotPlan where there is no plan, JobCancelled where the search was stopped."""
        terms = adapter.terms_for(self.order, file.stock)
        # Others who wait may shorten only what was asked for beyond the usual time.
        usual = time.monotonic() + seconds_for(len(file.order.items))
        planned = adapter.plan_with_offers(
            file,
            terms,
            seconds=seconds,
            progress=self.progress,
            stop=self.stop,
            enough=lambda: self.enough is not None and time.monotonic() >= usual and self.enough(),
        )
        if self.stop is not None and self.stop():
            raise JobCancelled
        if isinstance(planned.answer, adapter.Refusal):
            kind = TooHeavy if planned.answer.limit == GROSS_LIMIT else CannotPlan
            raise kind(_why_not(self.order, planned.answer))
        _refuse_broken(file, planned.answer)
        return Boxed(file, planned.answer, planned, planned.snapshot)


def take_offer(parcel: Parcel, plan: BoxPlan, index: int | None) -> BoxPlan:
    """Make a box that was offered with a plan the parcel's own.

    Parameters
    ----------
    parcel
        Still open.
    plan
        The plan that the person saw: it must still be the parcel's.
    index
        Of the offer, from 0; None for the box that the search had chosen.

    Raises
    ------
    CannotPlan
        The box is closed, the order has changed, the parcel has another plan by now, or there is no such offer;
        nothing changes.
    """
    order = parcel.order
    if parcel.state != ParcelState.PLANNED or not order.has_open_box:
        raise _closed(order)
    if current_plan(parcel) != plan:
        raise consignments.planned_since(order)
    if index is not None and not 0 <= index < len(plan.choices):
        raise CannotPlan(_("There is no such box among those offered."))
    first = plan.chosen_from or plan
    chosen = first if index is None else plan.choices[index]
    (file,) = adapter.parcel_files(order, [plan.item_sources.keys()])
    wanted, snapshot = adapter.plan_of(chosen), adapter.snapshot_of(chosen)
    # The offer was made from the order as it was then: the checker holds it against the order of now.
    _refuse_broken(file, wanted)
    changes = adapter.row_changes(order.shop, file.stock, snapshot)
    if changes:
        raise CannotPlan(
            " ".join([_("This box cannot be made any more as it was offered: plan the order again."), *changes])
        )
    boxed = {parcel: Boxed(file, wanted, None, snapshot)}
    # With the plan that was seen, not the one there is by now: who took another box meanwhile was first.
    keys = tuple(plan.pk if one.pk == parcel.pk else one.plan_id for one in order.parcels)
    consignments.store_again(order, boxed, instead_of=keys, chosen_from=first)
    return parcel.plan


def _refuse_broken(file: adapter.OrderFile, plan: adapter.Plan) -> None:
    problems = adapter.problems(file.content, adapter.plan_content(plan))
    if problems:
        raise CannotPlan(_("The plan breaks rules and was not kept: %(rules)s") % {"rules": " ".join(problems)})


def _closed(order: Order) -> CannotPlan:
    return CannotPlan(
        _("Order %(number)d is %(state)s: its box is not planned again.")
        % {"number": order.number, "state": order.get_state_display()}
    )


def _why_not(order: Order, refusal: adapter.Refusal) -> str:
    """Say why there is no plan, in the shop's units; of a box heavier than the shop allows, what to do about it."""
    write = Wording(Units(order.shop.length_unit, order.shop.weight_unit))
    if refusal.limit != GROSS_LIMIT or refusal.by_mg is None:
        return write.message(refusal.message)
    limit, by = Decimal(str(order.shop.plan_rules[GROSS_LIMIT])), in_g(refusal.by_mg)
    return _(
        "The lightest closed box found weighs %(gross)s, %(by)s more than the %(limit)s that the shop's settings "
        "allow: take lines out of this order and send them as another one."
    ) % {"gross": write.weight(limit + by), "by": write.weight(by), "limit": write.weight(limit)}
