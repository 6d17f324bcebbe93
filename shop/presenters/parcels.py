"""The parcels of an order that has several, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shop import adapter
from shop.models import Parcel
from shop.presenters.order_status import OrderStatus, ParcelStatus


@dataclass(frozen=True)
class Inside:
    """One item of a parcel: its id in the order, its letter, what it is called and its weight."""

    item: str
    letter: str
    name: str
    weight_mg: int


@dataclass(frozen=True)
class ParcelRow:
    """One of several parcels: what is in it and how far it is."""

    parcel: Parcel
    status: ParcelStatus
    inside: tuple[Inside, ...]


def parcel_rows(parcels: Sequence[Parcel], status: OrderStatus) -> list[ParcelRow]:
    """The parcels of an order with what is in each, in the order of its letters."""
    told = {one.pk: one for one in status.parcels}
    rows = []
    for parcel in parcels:
        sources = adapter.sources_of(parcel.plan)
        names = {item: item if source.is_piece else source.name for item, source in sources.items()}
        items = sorted(adapter.plan_of(parcel.plan).items, key=lambda item: (len(item.letter), item.letter))
        inside = tuple(Inside(item.id, item.letter, names[item.id], item.weight_mg) for item in items)
        rows.append(ParcelRow(parcel, told[parcel.pk], inside))
    return rows
