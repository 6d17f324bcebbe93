"""The status of orders: what each wants and has, its box, and the next thing to do."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Count, Exists, OuterRef
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop.models import Allocation, Document, Order, OrderLine, OrderState, Parcel, ParcelState
from shop.services import outdated

SENDING = "sending"
"""The part of an order's page where it is packed, weighed in and sent."""


@dataclass(frozen=True)
class Step:
    """The next thing to do on an order: a sentence, where on the order's screen it is done, and on which parcel's."""

    text: str
    place: str = ""
    parcel: int | None = None


@dataclass(frozen=True)
class ParcelStatus:
    """One parcel as the list of orders shows it. Sizes and weights are its plan's, in mm and g."""

    pk: int
    number: int
    state: str
    outer_mm: Sequence[float]
    gross_g: float
    papers: bool = False
    weighed: bool = False

    @property
    def next(self) -> str:
        """The next thing to do with it; empty where there is nothing."""
        if self.state == ParcelState.PACKED:
            return _("Send the parcel") if self.weighed else _("Weigh the closed box")
        return _("Pack the box") if self.state == ParcelState.PLANNED else ""


@dataclass(frozen=True)
class OrderStatus:
    """One order as the list of orders shows it."""

    order: Order
    lines: int = 0
    wanted: int = 0
    given: int = 0
    unmeasured: int = 0
    fits: bool = False
    parcels: tuple[ParcelStatus, ...] = ()

    @property
    def gross_g(self) -> float | None:
        """The gross weight of all parcels; None before they are planned."""
        return sum(parcel.gross_g for parcel in self.parcels) if self.parcels else None

    @property
    def papers(self) -> bool:
        """True where every parcel has papers."""
        return all(parcel.papers for parcel in self.parcels)

    @property
    def next(self) -> Step:
        """The next thing to do; an empty text where there is none."""
        # In the order of the work: the first thing that is not done is the next.
        if not self.order.is_open:
            return self._to_do()
        if not self.lines:
            return Step(_("Add what is ordered"), "pieces")
        missing = self.wanted - self.given
        if missing > 0:
            return Step(ngettext("Choose %d piece", "Choose %d pieces", missing) % missing, "pieces")
        if self.unmeasured:
            return Step(ngettext("Measure %d piece", "Measure %d pieces", self.unmeasured) % self.unmeasured, "pieces")
        if not self.parcels:
            return Step(_("Plan the box"), "box")
        if not self.fits:
            return Step(_("Plan the box again"), "box")
        if not self.papers:
            return Step(_("Make the papers"), "papers")
        return self._to_do()

    def _to_do(self) -> Step:
        """The next step with the parcels, of closed boxes first: they may be waited for."""
        if self.order.has_open_box and not self.fits:
            return Step(_("Plan the open boxes again"), "box")
        if self.order.state in (OrderState.SENT, OrderState.CANCELLED):
            return Step("")
        left = sorted(self.parcels, key=lambda one: (one.state != ParcelState.PACKED, one.number))
        found = next((parcel for parcel in left if parcel.next), None)
        if found is None:
            return Step("")
        if len(self.parcels) == 1:
            return Step(found.next, SENDING)
        words = _("Parcel %(number)d: %(do)s") % {"number": found.number, "do": found.next[0].lower() + found.next[1:]}
        return Step(words, SENDING, found.number)


def order_statuses(orders: Sequence[Order]) -> list[OrderStatus]:
    """The status of each order; the same handful of queries however many orders."""
    ids = [order.pk for order in orders]
    lines, wanted = _wanted(ids)
    held, parcels = _held(ids), _parcels(ids)
    outdated.judge_marked([order for order in orders if order.has_open_box and order.consignment_id is not None])
    found = []
    for order in orders:
        allocations = held[order.pk]
        found.append(
            OrderStatus(
                order=order,
                lines=lines[order.pk],
                wanted=wanted[order.pk],
                given=len(allocations),
                unmeasured=sum(not allocation.piece.is_measured for allocation in allocations),
                fits=order.pk in parcels and not (order.has_open_box and order.plan_outdated),
                parcels=tuple(parcels.get(order.pk, ())),
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


def _parcels(ids: Sequence[int]) -> dict[int, list[ParcelStatus]]:
    """The parcels of each order, with the part of their plans that the list shows and not the whole of them."""
    rows = Parcel.objects.filter(consignment__current_of__in=ids).order_by("number")
    papered = Document.objects.filter(plan=OuterRef("plan"))
    found: dict[int, list[ParcelStatus]] = defaultdict(list)
    shown = rows.annotate(papered=Exists(papered)).values_list(
        "consignment__order",
        "pk",
        "number",
        "state",
        "plan__content__box__outer_mm",
        "plan__content__weight__gross_g",
        "papered",
        "weighed_g",
    )
    for order, key, number, state, outer_mm, gross_g, printed, weighed_g in shown:
        found[order].append(ParcelStatus(key, number, state, outer_mm, gross_g, printed, weighed_g is not None))
    return dict(found)
