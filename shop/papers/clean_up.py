"""Puts away what is old and out of date: boxes offered with old plans, and papers that are of use no more.

Nothing is lost: offers are compressed, and the file of a paper is made again when somebody asks for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Q, QuerySet
from django.utils import timezone

from shop.models import WITH_OPEN_BOXES, BoxPlan, Document, PackedOffers, Parcel, Shop


@dataclass(frozen=True)
class PutAway:
    """The numbers of plans whose offers, and of papers that, were put away."""

    plans: int = 0
    papers: int = 0


def clean_up() -> PutAway:
    """Put away what is older than its shop's owner wants it kept at hand; safe to repeat and to break off."""
    plans = papers = 0
    for shop in Shop.objects.all():
        plans += _put_offers_away(shop)
        papers += _put_papers_away(shop)
    return PutAway(plans, papers)


def _put_offers_away(shop: Shop) -> int:
    """Of old plans, but those that a parcel of an open order goes by."""
    old = BoxPlan.objects.filter(shop=shop, created__lt=_before(shop), offers__isnull=False)
    planned = Parcel.objects.filter(consignment__current_of__state__in=WITH_OPEN_BOXES).values("plan")
    in_use = Q(pk__in=planned) | Q(chosen__in=planned)
    # A plan's own large columns are not put away, so they are not read.
    rows = list(old.exclude(in_use).defer("content", "order_content", "snapshot").order_by("pk").distinct())
    for plan in rows:
        PackedOffers.pack(plan)
    return len(rows)


def _put_papers_away(shop: Shop) -> int:
    """Of plans that are no order's any more, where the paper can be made again; its row stays."""
    old = Document.objects.filter(shop=shop, created__lt=_before(shop)).exclude(plan__in=_current())
    count = 0
    for paper in old.exclude(context={}).only("sha256"):
        if paper.path.is_file() and not _in_use(paper):
            # Another worker may be cleaning up at the same time.
            paper.path.unlink(missing_ok=True)
            count += 1
    return count


def _in_use(paper: Document) -> bool:
    """Tell whether the same file is a paper of some order's plan, or one that is not old."""
    same = Document.objects.filter(sha256=paper.sha256).exclude(pk=paper.pk)
    return same.filter(Q(plan__in=_current()) | Q(context={})).exists()


def _current() -> QuerySet[Parcel, int]:
    """The plans of orders' parcels as they are now."""
    return Parcel.objects.filter(consignment__current_of__isnull=False).values_list("plan", flat=True)


def _before(shop: Shop) -> datetime:
    return timezone.now() - timedelta(days=shop.keep_days)
