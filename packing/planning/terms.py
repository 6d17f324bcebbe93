"""Terms of a shop's boxes: materials, rules, and a carrier's billing."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from packing.carry import Service, bill
from packing.materials import (
    ShopMaterials,
    WoodPart,
)
from packing.plan import Message
from packing.strength import Tables

Size = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Billed:
    """A carrier's bill for a box.

    Parameters
    ----------
    amount, unit
        Billed weight in the service's unit.
    flags, over
        Sentences: surcharges that apply; limits that are passed.
    published
        How old the rule is, and that it is to be checked.
    """

    amount: Fraction
    unit: str
    flags: tuple[Message, ...] = ()
    over: tuple[Message, ...] = ()
    published: Message | None = None


Billing = Callable[[Size, int, str], Billed]
"""Outside in micrometres, gross weight in milligrams, packaging ("corrugated", "wood") to a bill."""


def billing_by(service: Service, *, on: dt.date | None = None) -> Billing:
    """Billing by one service's rules.

    Parameters
    ----------
    service
        The row in force.
    on
        Day of sending; see `packing.carry.bill`.

    Returns
    -------
    Billing
        Raises `BadInput` where `packing.carry.bill` does.
    """

    def billed(outer_um: Size, gross_mg: int, packaging: str) -> Billed:
        answer = bill(outer_um, gross_mg, service, packaging=packaging, on=on)
        sentences = tuple(flag.sentence for flag in answer.flags)
        return Billed(answer.billed, service.units[1], sentences, answer.over, answer.published)

    return billed


@dataclass(frozen=True)
class Terms:
    """Terms of a choice of box: materials, rules for board, the way it goes.

    `ShopMaterials` is what a shop has, wherever a parcel goes, and inserts take it too; the rest here is of one parcel.

    Parameters
    ----------
    materials
        What the shop has.
    tables
        The rows of the rules for board.
    rules
        Names from `packing.strength.RULES` that a board must pass; None for all.
    stack_um, days, humidity
        See `packing.strength.Load`.
    abroad
        Whether the parcel crosses a border.
    inside_wood
        Bearers and cleats of wood that lie in the box whatever its style; stiff sheets are known from the insert.
    """

    materials: ShopMaterials = field(default_factory=ShopMaterials)
    tables: Tables = field(default_factory=Tables)
    rules: tuple[str, ...] | None = None
    stack_um: int | None = 2_400_000
    days: int = 30
    humidity: int = 70
    abroad: bool = False
    inside_wood: tuple[WoodPart, ...] = ()
