"""Price tables: rows of the shop as the library's tariffs, and files of prices in and out."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import msgspec

from packing.carry import (
    SurchargePrice,
    Tariff,
    WeightPrice,
    Zone,
    faults_of,
    write_tariffs,
)
from packing.plan import Message
from packing.sureness import Sureness
from shop.models import PriceTable

COLUMNS = ("carrier", "service", "valid_from", "valid_to", "currency", "source", "sureness", "as_of", "note")
"""Of a table, by the same names in its row and in the library."""


class Rows(msgspec.Struct, frozen=True):
    """The rows of a price table as its row keeps them in JSON."""

    prices: tuple[WeightPrice, ...]
    zones: tuple[Zone, ...] = ()
    surcharges: tuple[SurchargePrice, ...] = ()


def tariff_of(row: PriceTable) -> Tariff:
    """A stored price table as the library reads it.

    Parameters
    ----------
    row
        Of the shop's.

    Returns
    -------
    Tariff
    """
    rows = msgspec.convert(row.rows, Rows)
    values = {name: getattr(row, name) for name in COLUMNS}
    values["sureness"] = Sureness(row.sureness)
    return Tariff(**values, prices=rows.prices, zones=rows.zones, surcharges=rows.surcharges)


def table_values(tariff: Tariff) -> dict[str, Any]:
    """The columns of a price table's row.

    Parameters
    ----------
    tariff
        As the library read it.

    Returns
    -------
    dict
        By the names of PriceTable's columns.
    """
    rows = Rows(tariff.prices, tariff.zones, tariff.surcharges)
    values = {name: getattr(tariff, name) for name in COLUMNS}
    return {**values, "sureness": tariff.sureness.value, "rows": msgspec.to_builtins(rows)}


def price_faults(tariffs: Iterable[Tariff]) -> list[Message]:
    """List what is wrong with price tables beside each other.

    Parameters
    ----------
    tariffs
        All of a shop's.

    Returns
    -------
    list of Message
        See `packing.carry.faults_of`.
    """
    return faults_of(list(tariffs))


def write_prices(tables: Iterable[PriceTable]) -> str:
    """Write stored price tables as a file of prices.

    Parameters
    ----------
    tables
        Of the shop's.

    Returns
    -------
    str
        `packing.carry.read_tariffs` reads it again.
    """
    return write_tariffs(tariff_of(row) for row in tables)
