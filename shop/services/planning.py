"""Planning an order: asked for, done, checked and stored; and the papers of the plan."""

from __future__ import annotations

import time
from collections.abc import Callable
from decimal import Decimal

import msgspec
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.formatting import Units, Wording, in_g
from shop.models import OPEN_STATES, BoxPlan, Job, JobKind, Offer, Order, OrderState, Parcel
from shop.services import jobs
from shop.services.asked import PapersAsked, PlanAsked
from shop.services.errors import CannotPlan, JobCancelled
from shop.services.shops import today

SECONDS_FEW, SECONDS_MANY, FEW_ITEMS = 2, 10, 6
"""Up to six items the search usually ends with a proof; beyond, a longer one finds smaller boxes."""
MOST_SECONDS = 120
"""A job that is asked for more would keep the bench waiting behind it."""
GROSS_LIMIT = "max_gross_g"


def seconds_for(items: int) -> int:
    """The time of the search by default: 2 s up to six items, 10 s beyond."""
    return SECONDS_FEW if items <= FEW_ITEMS else SECONDS_MANY


def request_plan(order: Order, seconds: int | None = None) -> Job:
    """Ask for a plan of an open order; NotReady, BadInput or CannotPlan at once where none can be made."""
    if not order.is_open:
        raise _closed(order)
    file = adapter.order_file(order)
    asked = PlanAsked(seconds or seconds_for(len(file.order.items)), file.input_hash, order.current_plan_id)
    return jobs.enqueue(shop=order.shop, order=order, kind=JobKind.PLAN, payload=msgspec.to_builtins(asked))


def request_papers(order: Order, page_size: str = "") -> Job:
    """Ask for the papers of an order's current plan. Refused when the order has changed since."""
    plan = current_plan(order)
    asked = PapersAsked(plan.pk, page_size or order.shop.paper)
    return jobs.enqueue(shop=order.shop, order=order, kind=JobKind.PAPERS, payload=msgspec.to_builtins(asked))


def given_up(order: Order) -> list[str]:
    """Say what of an order's plan is lost when its box is planned again, a sentence each; empty where nothing is."""
    plan = order.current_plan
    if plan is None:
        return []
    sentences = []
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


def current_plan(order: Order) -> BoxPlan:
    """The order's plan, if it was made from what the order is now; CannotPlan otherwise."""
    if order.current_plan is None:
        raise CannotPlan(_("Order %(number)d has no box plan yet.") % {"number": order.number})
    if order.state in OPEN_STATES and not adapter.is_current(order):
        sentence = _("Order %(number)d has changed since its box was planned: plan it again.")
        raise CannotPlan(" ".join([sentence % {"number": order.number}, *adapter.changes_since(order)]))
    return order.current_plan


def plan_now(
    order: Order,
    seconds: float,
    *,
    progress: adapter.Report | None = None,
    stop: adapter.Stop | None = None,
    enough: adapter.Stop | None = None,
    and_then: Callable[[BoxPlan], None] | None = None,
) -> BoxPlan:
    """Plan an order, check the plan and store it; `and_then` is done in the same transaction, all of it or nothing.

    Once the search has had the usual time for so many items, `enough` may end it with the best so far.

    Raises CannotPlan where there is no plan, the checker finds a broken rule, or the order changed or was given another
    box meanwhile; JobCancelled when `stop` cut the search short.
    """
    # The search takes seconds and holds no row: changes meanwhile are allowed, and found out before the plan is kept.
    began_with = order.current_plan_id
    file = adapter.order_file(order)
    terms = adapter.terms_for(order, file.stock)
    # Others who wait may shorten only what was asked for beyond the usual time.
    usual = time.monotonic() + seconds_for(len(file.order.items))
    planned = adapter.plan_with_offers(
        file,
        terms,
        seconds=seconds,
        progress=progress,
        stop=stop,
        enough=lambda: enough is not None and time.monotonic() >= usual and enough(),
    )
    found = planned.answer
    if stop is not None and stop():
        raise JobCancelled
    if isinstance(found, adapter.Refusal):
        raise CannotPlan(_why_not(order, found))
    _refuse_broken(file, found)
    with transaction.atomic():
        now = Order.objects.select_for_update().values_list("current_plan", flat=True).get(pk=order.pk)
        if now != began_with:
            raise _planned_since(order)
        plan = store(order, file, found, planned=planned)
        if and_then is not None:
            and_then(plan)
    return plan


def take_offer(order: Order, plan: BoxPlan, index: int | None) -> BoxPlan:
    """Make a box that was offered with a plan the order's own.

    Parameters
    ----------
    order
        Open.
    plan
        The plan that the person saw: it must still be the order's current one.
    index
        Of the offer, from 0; None for the box that the search had chosen.

    Raises
    ------
    CannotPlan
        The order is closed, has changed, has another plan by now, or there is no such offer; nothing changes.
    """
    if not order.is_open:
        raise _closed(order)
    if current_plan(order) != plan:
        raise _planned_since(order)
    if index is not None and not 0 <= index < len(plan.choices):
        raise CannotPlan(_("There is no such box among those offered."))
    chosen = (plan.chosen_from or plan) if index is None else plan.choices[index]
    file, wanted, snapshot = adapter.order_file(order), adapter.plan_of(chosen), adapter.snapshot_of(chosen)
    # The offer was made from the order as it was then: the checker holds it against the order of now.
    _refuse_broken(file, wanted)
    changes = adapter.row_changes(order.shop, file.stock, snapshot)
    if changes:
        raise CannotPlan(
            " ".join([_("This box cannot be made any more as it was offered: plan the order again."), *changes])
        )
    return store(order, file, wanted, instead_of=plan, snapshot=snapshot)


def _refuse_broken(file: adapter.OrderFile, plan: adapter.Plan) -> None:
    problems = adapter.problems(file.content, adapter.plan_content(plan))
    if problems:
        raise CannotPlan(_("The plan breaks rules and was not kept: %(rules)s") % {"rules": " ".join(problems)})


def store(
    order: Order,
    file: adapter.OrderFile,
    found: adapter.Plan,
    *,
    planned: adapter.Planned | None = None,
    instead_of: BoxPlan | None = None,
    snapshot: adapter.Snapshot | None = None,
) -> BoxPlan:
    """Keep a checked plan and make it the order's current one, unless the order has changed since it was read.

    `planned` has the boxes offered with it and the rows that its box was made from. `instead_of` is the plan among
    whose offers it was chosen, with its rows in `snapshot`: CannotPlan unless that is still the current one.
    """
    made_from = snapshot or adapter.Snapshot()
    if planned is not None:
        made_from = planned.snapshot
    with transaction.atomic():
        # Held until the plan is stored: nobody changes the order between the comparison and that. Only the order's own
        # row, so that others in the shop need not wait.
        locked = Order.objects.select_for_update(of=("self",)).select_related("shop").get(pk=order.pk)
        changes = adapter.row_changes(locked.shop, file.stock, made_from)
        if not locked.is_open or _hash_now(locked) != file.input_hash or changes:
            sentence = _("Order %(number)d changed while its box was planned: plan it again.")
            raise CannotPlan(" ".join([sentence % {"number": order.number}, *changes]))
        if instead_of is not None and locked.current_plan_id != instead_of.pk:
            raise _planned_since(order)
        plan = BoxPlan.objects.create(
            order=locked,
            content=adapter.plan_content(found),
            refused_styles=adapter.refused_rows(planned.refused_styles if planned is not None else ()),
            chosen_from=None if instead_of is None else instead_of.chosen_from or instead_of,
            order_content=file.content,
            rules={**adapter.rules_content(file.order.rules), **adapter.kept(file.stock)},
            item_sources=adapter.kept(file.item_sources),
            code_version=adapter.code_version(),
            input_hash=file.input_hash,
            snapshot=adapter.kept(made_from),
        )
        for place, offered in enumerate(planned.offers if planned is not None else ()):
            content, rows = adapter.plan_content(offered.plan), adapter.kept(offered.snapshot)
            Offer.of_content(plan, place, content, beside=adapter.kept_sentence(offered.beside), snapshot=rows).save()
        Parcel.objects.create(order=locked, plan=plan)
        Order.objects.filter(pk=order.pk, state__in=OPEN_STATES).update(
            current_plan=plan,
            state=OrderState.PLANNED,
            plan_outdated=False,
            plan_outdated_why="",
            plan_judged_on=today(locked.shop),
        )
    order.refresh_from_db()
    return plan


def _hash_now(order: Order) -> str:
    try:
        return adapter.order_file(order).input_hash
    except (adapter.NotReady, adapter.BadInput):
        # No hash is empty: an order that cannot be planned any more counts as changed.
        return ""


def _closed(order: Order) -> CannotPlan:
    return CannotPlan(
        _("Order %(number)d is %(state)s: its box is not planned again.")
        % {"number": order.number, "state": order.get_state_display()}
    )


def _planned_since(order: Order) -> CannotPlan:
    return CannotPlan(
        _("The box of order %(number)d has been planned again meanwhile: choose among the boxes offered now.")
        % {"number": order.number}
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
