"""A new shop: its row, and the carriers' rules, boards, wood, hardware and times it starts with."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from shop import adapter
from shop.models import BilledUnit, LengthUnit, RateRule, Shop, inch_plan_rules


def open_shop(name: str, **fields: Any) -> Shop:
    """Make a shop with the published carriers' rules, all to be checked before quoting, and usual stock to measure."""
    inch = fields.get("length_unit") == LengthUnit.INCH
    if inch:
        fields.setdefault("plan_rules", inch_plan_rules())
    # An estimate, no source: an hour at 30 and a kilogram at 2.50 of the same money come to five minutes.
    fields.setdefault("billed_minutes", Decimal("2.5") if inch else Decimal(5))
    fields.setdefault("billed_price_unit", BilledUnit.POUND if inch else BilledUnit.KILOGRAM)
    with transaction.atomic():
        shop = Shop.objects.create(name=name, **fields)
        RateRule.objects.bulk_create(RateRule(shop=shop, **row) for row in adapter.published_rules())
        for kind, rows in adapter.stock_to_start_with(inch=inch).items():
            kind._default_manager.bulk_create(kind(shop=shop, **row) for row in rows)
    return shop


def today(shop: Shop) -> dt.date:
    """The day it is in the shop's time zone."""
    return timezone.localdate(timezone=ZoneInfo(shop.timezone))


@contextmanager
def one_at_a_time(shop: Shop) -> Iterator[None]:
    """One transaction that others of the same shop wait for: what was looked up in it still holds when it stores."""
    with transaction.atomic():
        # Not its key: rows that point to the shop can still be added by those who look nothing up.
        Shop.objects.select_for_update(no_key=True).get(pk=shop.pk)
        yield
