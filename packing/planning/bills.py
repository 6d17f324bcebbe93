"""Carriers' bills for a candidate, and the cost of sending and making together."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from packing.boxes import BoxDesign
from packing.materials import (
    Rates,
)
from packing.plan import Message
from packing.planning.candidate import Candidate
from packing.planning.terms import Billed, Billing
from packing.planning.weight import Weights

MG_IN = {"kg": Fraction(10**6), "lb": Fraction(Decimal("453592.37")), "mg": Fraction(1)}
"""Milligrams in the units that weights are billed in; a pound is 453.59237 g by definition."""


EXPECTED_GROWTH_UM = 4_000
"""A filled, taped box grows 3 to 6 mm (common practice, no source): sizes this far under a step are preferred."""


def _bills(design: BoxDesign, weights: Weights, billing: Billing | None) -> tuple[Billed, Billed, Billed] | None:
    """The bill of the box as planned, of the thickest it may be, and of that grown; all limits count."""
    if billing is None:
        return None
    # Grown from the thickest: a box may be both.
    length, width, height = design.most_um
    grown_um = (length + EXPECTED_GROWTH_UM, width + EXPECTED_GROWTH_UM, height + EXPECTED_GROWTH_UM)
    billed, most, grown = (
        billing(outer_um, weights.gross_mg, design.packaging)
        for outer_um in (design.outer_um, design.most_um, grown_um)
    )
    # A box that a carrier refuses in the thickest stock may come back: it counts as refused.
    if most.over and not billed.over:
        over = tuple(Message("In the thickest stock allowed: {limit}", limit=limit) for limit in most.over)
        billed = replace(billed, over=over)
    return billed, most, grown


def with_bills(one: Candidate, rates: Rates, billing: Billing | None) -> Candidate:
    """The same box with its bill, and with what sending and making cost together, in money or in minutes."""
    bills = _bills(one.design, one.weights, billing)
    if bills is not None:
        one = replace(one, billed=bills[0], most_billed=bills[1], grown_billed=bills[2])
    billed = _billed_weight(one, rates.billed_in)
    if rates.billed_unit is not None:
        one = replace(one, cost=replace(one.cost, sending=billed * Fraction(rates.billed_unit)))
    if rates.in_money:
        return replace(one, money=(one.cost.sending or 0) + Fraction(one.cost.known), in_money=True)
    if rates.billed_minutes is not None:
        return replace(one, money=billed * Fraction(rates.billed_minutes) + Fraction(one.cost.minutes))
    return one


def compared_alike(candidates: Sequence[Candidate]) -> list[Candidate]:
    """The candidates with money that compares like with like.

    Parameters
    ----------
    candidates
        Of one order.

    Returns
    -------
    list of Candidate
        As they are where all that they are made of has a price. Else what the boxes themselves are made of is left out
        of the money of all: a box of which a price is missing would count as given away.
    """
    if all(one.cost.box_is_priced for one in candidates):
        return list(candidates)
    return [
        one
        if one.money is None or not one.in_money
        else replace(one, money=one.money - Fraction(one.cost.known) + Fraction(one.cost.known_without_box))
        for one in candidates
    ]


def _billed_weight(one: Candidate, unit: str) -> Fraction:
    """Billed weight in a unit; without a carrier the gross weight."""
    if one.billed is None:
        return Fraction(one.weights.gross_mg) / MG_IN[unit]
    return one.billed.amount * MG_IN[one.billed.unit] / MG_IN[unit]
