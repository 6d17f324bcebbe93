"""The weigh-in of a closed box: what is expected, what may be wrong, what no scale shows, what is kept of it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.adapter import kinds
from shop.formatting import Wording, in_g
from shop.models import Parcel, Piece, PieceState, RateRule, User, WeighIn, WeighVerdict
from shop.models.weighing import MOST_TOLD
from shop.services import consignments
from shop.services.shops import today

NOT_HERE = (PieceState.SENT, PieceState.SCRAPPED, PieceState.MIS_STAMPED)
"""States of pieces that cannot lie about to be put in by mistake."""
MOST_NAMED = 4
"""Pieces named on a line of the screen; the rest are counted."""


@dataclass(frozen=True)
class UnseenLine:
    """A piece of the box, what the scale does not tell it from, and how many more there are."""

    name: str
    others: str
    more: int


@dataclass(frozen=True)
class Expected:
    """Gross weight of the closed box and its tolerance, in g, by the empty box's own weight where it was weighed.

    Parameters
    ----------
    gross_g, tolerance_g
        What the scale should read, and how far it may be off.
    lightest_g
        The lightest piece of the box.
    empty_g
        The empty box and insert as weighed; None where they were not.
    """

    gross_g: Decimal
    tolerance_g: Decimal
    lightest_g: Decimal
    empty_g: Decimal | None

    @property
    def blind(self) -> bool:
        """True where the tolerance is wider than half the lightest piece, so that one could be missing unnoticed."""
        return 2 * self.tolerance_g > self.lightest_g

    def sentence(self, wording: Wording) -> str:
        """Say why the weigh-in of a blind box proves little, and what helps."""
        named = {"tolerance": wording.weight(self.tolerance_g), "lightest": wording.weight(self.lightest_g)}
        text = _(
            "The closed box may be off by ± %(tolerance)s, more than half of its lightest piece (%(lightest)s): the "
            "scale alone does not show that one is missing."
        )
        if self.empty_g is None:
            text += " " + _("Weigh the empty box with its insert, lid and screws once, before anything goes in.")
        return text % named


def expected_of(parcel: Parcel) -> Expected:
    """The expected weight of a parcel's closed box."""
    plan = adapter.plan_of(parcel.plan)
    found = adapter.expected_reading(plan, parcel.empty_g, parcel.shop.scale_step_g)
    # Tools first: a packet may weigh next to nothing, and every box with one would count as blind.
    tools = [item.weight_mg for item in plan.items if item.kind is kinds.ItemKind.TOOL]
    lightest = min(tools or [item.weight_mg for item in plan.items])
    return Expected(in_g(found.gross_mg), in_g(found.tolerance_mg), in_g(lightest), parcel.empty_g)


def lying_about(parcel: Parcel) -> list[adapter.Weighed]:
    """The pieces that could be in a box by mistake: all of the shop that are here, its own left out."""
    inside = consignments.pieces_in(parcel)
    here = Piece.objects.filter(shop=parcel.shop_id, weight_g__isnull=False).exclude(state__in=NOT_HERE)
    rows = here.exclude(pk__in=inside).select_related("product").order_by("product__code", "number")
    return [adapter.Weighed(one.label, int((one.weight_g or 0) * 1000), one.product.code) for one in rows]


def causes_of(parcel: Parcel, reading_g: Decimal, wording: Wording) -> list[str]:
    """Sentences on what may be wrong with a box whose reading is off, likeliest first; empty where it fits."""
    plan = adapter.plan_of(parcel.plan)
    expected = adapter.expected_reading(plan, parcel.empty_g, parcel.shop.scale_step_g)
    rack = lying_about(parcel)
    found = adapter.reading_findings(reading_g, expected, plan, adapter.sources_of(parcel.plan), rack)
    told = [wording.message(cause.message) for cause in found.causes]
    if found.more:
        told.append(
            ngettext("%(count)d more would fit.", "%(count)d more would fit.", found.more) % {"count": found.more}
        )
    return told


def unseen_swaps_of(parcel: Parcel) -> list[UnseenLine]:
    """The swaps that the scale does not show for a box: each of its pieces with what it could be taken for."""
    plan = adapter.plan_of(parcel.plan)
    expected = adapter.expected_reading(plan, parcel.empty_g, parcel.shop.scale_step_g)
    swaps = adapter.unseen_in(plan, adapter.sources_of(parcel.plan), lying_about(parcel), expected)
    return [
        UnseenLine(
            swap.item.name,
            ", ".join(other.name for other in swap.others[:MOST_NAMED]),
            max(0, len(swap.others) - MOST_NAMED),
        )
        for swap in swaps
    ]


def taped_of(parcel: Parcel) -> tuple[Decimal, Decimal, Decimal] | None:
    """The outside of a closed box as taped with the weigh-in that counts; None where it was not, or none counts."""
    if parcel.weighed_g is None:
        return None
    latest = WeighIn.objects.filter(parcel=parcel, plan=parcel.plan_id).exclude(verdict=WeighVerdict.STOPPED).last()
    return None if latest is None else latest.taped_mm


def closed_bills_of(parcel: Parcel, wording: Wording) -> list[str]:
    """Sentences on what a carrier bills otherwise for the box as weighed and taped than as planned."""
    if parcel.weighed_g is None:
        return []
    shop, customer = parcel.shop, parcel.order.customer
    rules = adapter.rules_on_the_way(RateRule.objects.filter(shop=shop), shop.country, customer.country)
    plan, on = adapter.plan_of(parcel.plan), today(shop)
    changed = adapter.closed_bills(plan, rules, on, weighed_g=parcel.weighed_g, taped_mm=taped_of(parcel))
    return [wording.message(one.sentence) for one in changed]


@dataclass(frozen=True)
class Reading:
    """One reading of a closed box as it was typed and read, to be kept.

    Parameters
    ----------
    weighed_g, taped_mm
        What the scale reads; the outside as taped, or None.
    told
        What the screen asked about; "" where all was as expected.
    why
        Why it is taken all the same.
    """

    weighed_g: Decimal
    taped_mm: tuple[Decimal, Decimal, Decimal] | None = None
    told: str = ""
    why: str = ""


def keep_reading(parcel: Parcel, reading: Reading, verdict: WeighVerdict, by: User | None) -> WeighIn:
    """Write a reading into the record, whatever was decided."""
    wait = expected_of(parcel)
    length, width, height = reading.taped_mm or (None, None, None)
    return WeighIn.objects.create(
        parcel=parcel,
        plan=parcel.plan,
        reading_g=reading.weighed_g,
        expected_g=wait.gross_g,
        tolerance_g=wait.tolerance_g,
        verdict=verdict,
        told=reading.told[:MOST_TOLD],
        why=reading.why[:200],
        length_mm=length,
        width_mm=width,
        height_mm=height,
        by=by,
    )
