"""The status of orders: what each wants and has, its box, and the next thing to do."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from django.db.models import Count
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop.models import Allocation, BoxPlan, Document, Order, OrderLine, OrderState, Parcel
from shop.services import outdated

SENDING = "sending"
"""The part of an order's page where it is packed, weighed in and sent."""


@dataclass(frozen=True)
class Step:
    """The next thing to do on an order: a sentence, and where on the order's screen it is done."""

    text: str
    place: str = ""


@dataclass(frozen=True)
class OrderStatus:
    """One order as the list of orders shows it. Sizes and weights are the current plan's, in mm and g."""

    order: Order
    lines: int = 0
    wanted: int = 0
    given: int = 0
    unmeasured: int = 0
    outer_mm: Sequence[float] | None = None
    gross_g: float | None = None
    fits: bool = False
    papers: bool = False
    weighed: bool = False

    @property
    def next(self) -> Step:
        """The next thing to do; an empty text where there is none."""
        # In the order of the work: the first thing that is not done is the next.
        if self.order.state == OrderState.PACKED:
            return Step(_("Send the parcel"), SENDING) if self.weighed else Step(_("Weigh the closed box"), SENDING)
        if not self.order.is_open:
            return Step("")
        if not self.lines:
            return Step(_("Add what is ordered"), "pieces")
        missing = self.wanted - self.given
        if missing > 0:
            return Step(ngettext("Choose %d piece", "Choose %d pieces", missing) % missing, "pieces")
        if self.unmeasured:
            return Step(ngettext("Measure %d piece", "Measure %d pieces", self.unmeasured) % self.unmeasured, "pieces")
        if self.order.current_plan_id is None:
            return Step(_("Plan the box"), "box")
        if not self.fits:
            return Step(_("Plan the box again"), "box")
        if not self.papers:
            return Step(_("Make the papers"), "papers")
        return Step(_("Pack the box"), SENDING)


def order_statuses(orders: Sequence[Order]) -> list[OrderStatus]:
    """The status of each order; the same handful of queries however many orders."""
    ids = [order.pk for order in orders]
    lines, wanted = _wanted(ids)
    held = _held(ids)
    plans = _plans([order.current_plan_id for order in orders if order.current_plan_id])
    papered = set(Document.objects.filter(plan__in=list(plans)).values_list("plan_id", flat=True))
    weighed = set(
        Parcel.objects.filter(plan__in=list(plans), weighed_g__isnull=False).values_list("plan_id", flat=True)
    )
    outdated.judge_marked([order for order in orders if order.is_open and order.current_plan_id is not None])
    found = []
    for order in orders:
        allocations, plan = held[order.pk], plans.get(order.current_plan_id or 0)
        found.append(
            OrderStatus(
                order=order,
                lines=lines[order.pk],
                wanted=wanted[order.pk],
                given=len(allocations),
                unmeasured=sum(not allocation.piece.is_measured for allocation in allocations),
                outer_mm=plan.outer_mm if plan else None,
                gross_g=plan.gross_g if plan else None,
                fits=plan is not None and not (order.is_open and order.plan_outdated),
                papers=order.current_plan_id in papered,
                weighed=order.current_plan_id in weighed,
            )
        )
    return found


def _wanted(ids: Sequence[int]) -> tuple[dict[int, int], dict[int, int]]:
    """For each order how many lines it has, and how many pieces they want."""
    lines: dict[int, int] = defaultdict(int)
    wanted: dict[int, int] = defaultdict(int)
    rows = OrderLine.objects.filter(order__in=ids).annotate(members=Count("product_set__members"))
    for line in rows.order_by():
        lines[line.order_id] += 1
        each = 1 if line.product_id else line.members
        wanted[line.order_id] += each * line.quantity
    return lines, wanted


def _held(ids: Sequence[int]) -> dict[int, list[Allocation]]:
    held: dict[int, list[Allocation]] = defaultdict(list)
    live = Allocation.objects.live().filter(line__order__in=ids).select_related("piece", "line")
    for allocation in live.order_by():
        held[allocation.line.order_id].append(allocation)
    return held


class _Shown(NamedTuple):
    """The part of a plan that the list shows."""

    pk: int
    outer_mm: list[float]
    gross_g: float


def _plans(ids: Sequence[int]) -> dict[int, _Shown]:
    """Read the part of each plan that the list shows, not the whole of it."""
    rows = BoxPlan.objects.filter(pk__in=ids).order_by()
    shown = rows.values_list("pk", "content__box__outer_mm", "content__weight__gross_g")
    return {row[0]: _Shown(*row) for row in shown}
