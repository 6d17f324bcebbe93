"""Invented price tables for the demonstration: no carrier charges these prices, and each table says so."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from shop.adapter import PRICE_COLUMNS

INVENTED = {"source": "Invented for demonstration", "sureness": "practice", "note": "No carrier charges these prices."}


@dataclass(frozen=True)
class InventedService:
    """A service's invented prices: so much for a zone, so much more for each step of weight.

    `zones` are a name, a country, postcodes, the price of the first step and of each further one.
    """

    carrier: str
    service: str
    step: Decimal
    top: int
    zones: tuple[tuple[str, str, str, str, str], ...]
    surcharges: tuple[tuple[str, str], ...] = ()


AT_HOME = (
    ("2", "US", "0", "9.40", "0.52"),
    ("4", "US", "1..3", "10.80", "0.74"),
    ("6", "US", "4..7", "12.10", "0.97"),
    ("8", "US", "8..9", "14.20", "1.31"),
)
SERVICES = (
    InventedService(
        "UPS", "Ground, United States", Decimal(1), 150, AT_HOME,
        (("additional handling", "19.50"), ("large package", "96")),
    ),
    InventedService(
        "USPS", "Ground Advantage", Decimal(1), 70,
        tuple((zone, country, codes, str(Decimal(first) - 2), more) for zone, country, codes, first, more in AT_HOME),
        (("nonstandard length", "4.10"), ("nonstandard length over 30 in", "8.30"), ("nonstandard volume", "16")),
    ),
    InventedService(
        "DHL", "Express", Decimal("0.5"), 60,
        (("A", "SE", "", "41", "4.15"), ("B", "PL", "", "44", "4.60"), ("C", "", "", "58", "6.90")),
    ),
)  # fmt: skip


def prices_text(start: dt.date, currency: str) -> str:
    """The invented price tables as a file of prices."""
    out = io.StringIO()
    writer = csv.DictWriter(out, PRICE_COLUMNS, restval="")
    writer.writeheader()
    for one in SERVICES:
        head = {"carrier": one.carrier, "service": one.service, "valid_from": start.isoformat(), "currency": currency}
        for row in _rows(one):
            writer.writerow({**head, **INVENTED, "as_of": start.isoformat(), **row})
    return out.getvalue()


def _rows(one: InventedService) -> Iterator[dict[str, str]]:
    for zone, country, codes, first, more in one.zones:
        yield {"row": "zone", "zone": zone, "country": country, "postcodes": codes}
        for count in range(int(one.top / one.step)):
            price = str(Decimal(first) + count * Decimal(more))
            yield {"row": "price", "zone": zone, "up_to": str((count + 1) * one.step), "price": price}
    for name, amount in one.surcharges:
        yield {"row": "surcharge", "surcharge": name, "price": amount}
