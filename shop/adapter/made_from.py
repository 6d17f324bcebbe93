"""Everything that a plan is made from beside its order file: stock for boxes, and the row behind each item."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import msgspec

from packing.cushion import CurvePoint
from packing.measure import Order as OrderRead
from shop.models import BoxPlan


class FoamStock(msgspec.Struct, frozen=True):
    """The shop's foam: name, density, room cut around a part, the pressure it is meant for in kPa.

    Parameters
    ----------
    snug_mm
        Room cut around an outline; unset where it is what the library has, as in plans of before it was kept.
    curve
        The points of its maker's curve; unset where there is none.
    """

    name: str
    density_kg_m3: int | float
    fit_mm: int | float
    meant_for_kpa: tuple[int | float, int | float] | None = None
    snug_mm: int | float | msgspec.UnsetType = msgspec.UNSET
    curve: tuple[CurvePoint, ...] | msgspec.UnsetType = msgspec.UNSET


class Prices(msgspec.Struct, frozen=True, omit_defaults=True):
    """The settings' prices, which boxes are ranked by; amounts as plain decimals, None where not known."""

    currency: str
    hour: str
    billed: str
    billed_in: str
    fastener: str | None = None
    foam_m3: str | None = None
    sheet_m2: dict[str, str] = {}


class Making(msgspec.Struct, frozen=True, omit_defaults=True):
    """Settings that decide which box is made and taken, beside materials and rules.

    Parameters
    ----------
    feet, rope_handles
        Of wooden boxes.
    minutes
        The shop's own times of work, by kind.
    prices
        None where boxes are not ranked by money: then no price decides anything.
    billed_minutes
        Minutes that billed weight is worth and its unit, where they decide; "" else.
    """

    feet: bool = False
    rope_handles: bool = False
    minutes: dict[str, str] = {}
    prices: Prices | None = None
    billed_minutes: str = ""


class Stock(msgspec.Struct, frozen=True, omit_defaults=True):
    """Stock of an order's box, and the rules it is chosen by.

    Parameters
    ----------
    foam
        The shop's foam.
    board
        The name of the board that the shop has chosen; "" where it has chosen none.
    priced_by
        The columns of the carrier's rule that boxes are chosen by; None where they are chosen by volume.
    priced_abroad_by
        The same for a parcel that crosses a border, before it is known where an order goes; None from then on.
    abroad
        Whether the parcel crosses a border.
    making
        None in plans of before it was kept.
    """

    foam: FoamStock
    board: str
    priced_by: dict[str, object] | None = None
    priced_abroad_by: dict[str, object] | None = None
    abroad: bool = False
    making: Making | None = None


class SourceKind(StrEnum):
    """The kind of row that an item is."""

    PIECE = "piece"
    BLOCK = "block"


class ItemSource(msgspec.Struct, frozen=True, omit_defaults=True):
    """The row that an item of an order file is, as it was when the file was written.

    Parameters
    ----------
    kind, pk
        A piece or a block, and the key of its row.
    line
        The key of the order's line it is on.
    name
        What it is called.
    code, number, edge_guard_on
        Of a piece: its product's code, the number stamped on it, whether it was measured with its edge guard on.
    """

    kind: SourceKind
    pk: int
    name: str
    line: int = 0
    code: str = ""
    number: int | None = None
    edge_guard_on: bool | None = None

    @property
    def is_piece(self) -> bool:
        """True for a tool with a number, false for a block."""
        return self.kind is SourceKind.PIECE


@dataclass(frozen=True)
class OrderFile:
    """The order file that an order is planned from, and what belongs to it.

    Parameters
    ----------
    order
        The order as the library reads it.
    content
        The same as an order file, which is kept with the plan; nothing is planned from it.
    item_sources
        The row of each item, by the item's id.
    stock
        What the box is built of.
    input_hash
        Of all that decides the plan.
    """

    order: OrderRead
    content: dict[str, object]
    item_sources: dict[str, ItemSource]
    stock: Stock
    input_hash: str


def sources_of(plan: BoxPlan) -> dict[str, ItemSource]:
    """Read which row each item of a stored plan was.

    Parameters
    ----------
    plan
        A stored plan.

    Returns
    -------
    dict of ItemSource
        By the item's id in the plan.
    """
    return msgspec.convert(plan.item_sources, dict[str, ItemSource])


def stock_of_plan(plan: BoxPlan) -> Stock:
    """The stock that a stored plan's box was built of and chosen by; its rules stand beside that."""
    return msgspec.convert(plan.rules, Stock)


def kept(value: Mapping[str, msgspec.Struct] | msgspec.Struct) -> dict[str, object]:
    """Write a value of this module, or a snapshot, as the JSON that is stored with a plan.

    Parameters
    ----------
    value
        One struct, or structs by name.

    Returns
    -------
    dict
        Of plain JSON values; `sources_of`, `stock_of_plan` and `snapshot_of` read it again.
    """
    content: dict[str, object] = msgspec.to_builtins(value)
    return content
