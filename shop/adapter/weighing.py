"""The weigh-in of a parcel: the expected reading, what may be wrong, swaps that no scale shows, the bill as closed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from packing.materials import PE_FOAM
from packing.plan import BillPlan, InsertPlan, Message, Plan, SheetPlan, render
from packing.weighing import (
    Expectation,
    Findings,
    UnseenSwap,
    Weighed,
    expectation,
    likely_causes,
    unseen_swaps,
)
from shop.adapter.billing import bill_of, in_force
from shop.adapter.made_from import ItemSource
from shop.models import RateRule

MOST_GROWN_UM, MOST_SHRUNK_UM = 12_000, 5_000
"""A filled, taped box grows 3 to 6 mm (common practice, no source): twice that, or less, is asked about."""
UM3_MG = 10**15


def expected_reading(plan: Plan, empty_g: Decimal | None, step_g: Decimal) -> Expectation:
    """The reading that is expected under a closed box.

    Parameters
    ----------
    plan
        Of the parcel.
    empty_g
        The empty box as weighed, in grams; None where it was not.
    step_g
        Step of the shop's scale, in grams.

    Returns
    -------
    Expectation
    """
    empty_mg = None if empty_g is None else int(empty_g * 1000)
    return expectation(plan.weight, empty_mg=empty_mg, step_mg=int(step_g * 1000))


def packed_things(plan: Plan, sources: dict[str, ItemSource]) -> list[Weighed]:
    """The pieces and blocks of a plan by the names people call them by.

    Parameters
    ----------
    plan
        Of the parcel.
    sources
        By item.

    Returns
    -------
    list of Weighed
    """
    found = []
    for item in plan.items:
        source = sources[item.id]
        name, kind = (item.id, source.code) if source.is_piece else (source.name, source.name)
        found.append(Weighed(name, item.weight_mg, kind))
    return found


def loose_parts(plan: Plan) -> list[Weighed]:
    """The parts of a box that can be left out of it: its insert, whole sheets laid on last, papers, wraps, tape.

    Parameters
    ----------
    plan
        Of the parcel.

    Returns
    -------
    list of Weighed
        Named in English; what weighs nothing is left out.
    """
    named = [("the whole insert", plan.weight.insert_mg)]
    named += [(f"sheet {sheet.id}", _sheet_mg(sheet, plan.insert)) for sheet in plan.insert.sheets if not sheet.pockets]
    named += [(render(row.what), row.weight_mg) for row in plan.weight.sundries]
    return [Weighed(name, mg) for name, mg in named if mg > 0]


def _sheet_mg(sheet: SheetPlan, insert: InsertPlan) -> int:
    density = sheet.density_g_m3 or insert.density_g_m3 or PE_FOAM.density_g_m3
    return sheet.size_um[0] * sheet.size_um[1] * sheet.thickness_um * density // UM3_MG


def reading_findings(
    reading_g: Decimal, expected: Expectation, plan: Plan, sources: dict[str, ItemSource], rack: Sequence[Weighed]
) -> Findings:
    """Name what may be wrong with a box whose reading is off.

    Parameters
    ----------
    reading_g
        What the scale reads, in grams.
    expected
        As `expected_reading` gives it.
    plan, sources
        Of the parcel.
    rack
        What else could be in it.

    Returns
    -------
    Findings
    """
    items = packed_things(plan, sources)
    return likely_causes(int(reading_g * 1000), expected, items, parts=loose_parts(plan), rack=rack)


def unseen_in(
    plan: Plan, sources: dict[str, ItemSource], rack: Sequence[Weighed], expected: Expectation
) -> tuple[UnseenSwap, ...]:
    """Find the swaps with its like that the scale does not show for a box.

    Parameters
    ----------
    plan, sources
        Of the parcel.
    rack
        What else could be in it.
    expected
        As `expected_reading` gives it.

    Returns
    -------
    tuple of UnseenSwap
    """
    return unseen_swaps(packed_things(plan, sources), rack, expected.tolerance_mg)


@dataclass(frozen=True)
class ClosedBill:
    """A service's bill as planned and of the closed box, as weighed and taped, which is another."""

    planned: BillPlan
    closed: BillPlan

    @property
    def sentence(self) -> Message:
        """The change in a sentence."""
        named = {"carrier": self.closed.carrier, "service": self.closed.service}
        if self.closed.over:
            return Message("{carrier}: {service} does not take the closed box.", **named)
        return Message(
            "{carrier}: {service} bills {closed}, not {planned} as planned.",
            closed=f"{self.closed.billed} {self.closed.weight_unit}",
            planned=f"{self.planned.billed} {self.planned.weight_unit}",
            **named,
        )


def closed_bills(
    plan: Plan,
    rules: Iterable[RateRule],
    on: dt.date,
    *,
    weighed_g: Decimal,
    taped_mm: tuple[Decimal, Decimal, Decimal] | None,
) -> list[ClosedBill]:
    """The bills that are another for the closed box than for the planned one.

    Parameters
    ----------
    plan
        Of the parcel.
    rules
        The shop's rows that go there.
    on
        The day of sending.
    weighed_g
        As the scale reads.
    taped_mm
        Outside, largest first or not; None where nobody taped it: then the planned sides count.

    Returns
    -------
    list of ClosedBill
    """
    box = plan.box
    sides, most = box.outer_um, box.most_um
    if taped_mm is not None:
        length, width, height = (int(side * 1000) for side in taped_mm)
        sides = most = (length, width, height)
    found = []
    for rule in rules:
        if not in_force(rule, on):
            continue
        planned = bill_of(rule, box.outer_um, plan.weight.gross_mg, box.packaging, box.most_um)
        closed = bill_of(rule, sides, int(weighed_g * 1000), box.packaging, most)
        if planned is None or closed is None:
            continue
        if (planned.billed, bool(planned.over)) != (closed.billed, bool(closed.over)):
            found.append(ClosedBill(planned, closed))
    return found


def taped_off(plan: Plan, taped_mm: tuple[Decimal, Decimal, Decimal]) -> tuple[int, int] | None:
    """The side that is taped much longer or shorter than planned: planned and taped, in micrometres.

    Parameters
    ----------
    plan
        Of the parcel.
    taped_mm
        Three sides in any order, in mm.

    Returns
    -------
    tuple of int or None
        None where all are as a closed box grows.
    """
    planned = sorted(plan.box.outer_um)
    taped = sorted(int(side * 1000) for side in taped_mm)
    for side, measured in zip(planned, taped, strict=True):
        if not -MOST_SHRUNK_UM <= measured - side <= MOST_GROWN_UM:
            return side, measured
    return None
