"""A bill as a part of the plan."""

from fractions import Fraction

from packing.carry.billing import Bill
from packing.carry.surcharges import Flag
from packing.plan import BillPlan, ReasonPlan, SurchargePlan


def bill_plan(answer: Bill) -> BillPlan:
    """Turn a bill into a part of the plan, in the service's units, for a plan's `carry` and for screens.

    Parameters
    ----------
    answer
        As `bill` gives it.

    Returns
    -------
    BillPlan
        Numbers are whole where they are whole, else to four decimals.
    """
    service = answer.service
    length_unit, weight_unit = service.units
    return BillPlan(
        carrier=service.carrier,
        service=service.service,
        valid_from=service.valid_from,
        valid_to=service.valid_to,
        as_of=service.as_of,
        length_unit=length_unit,
        weight_unit=weight_unit,
        divisor=None if service.divisor is None else _plain(Fraction(service.divisor)),
        side_rounding=str(service.side_rounding),
        weight_step=_plain(Fraction(service.weight_step)),
        sides=tuple(_plain(side) for side in answer.sides),
        length_plus_girth=_plain(answer.length_plus_girth),
        volume=_plain(answer.volume),
        actual=_plain(answer.actual),
        actual_rounded=_plain(answer.actual_rounded),
        dimensional_exact=None if answer.dimensional_exact is None else _plain(answer.dimensional_exact),
        dimensional=None if answer.dimensional is None else _plain(answer.dimensional),
        billed=_plain(answer.billed),
        flags=tuple(flag.sentence for flag in answer.flags),
        over=answer.over,
        surcharges=tuple(_surcharge(flag) for flag in answer.flags),
        notes=answer.notes,
        hint=answer.hint,
        published=answer.published,
        source=service.source,
        sureness=service.sureness.value,
        note=service.note,
    )


def _surcharge(flag: Flag) -> SurchargePlan:
    """A surcharge with the mark of each of its limits."""
    reasons = tuple(
        ReasonPlan(reason.text, reason.source, reason.as_of, reason.sureness.value) for reason in flag.reasons
    )
    return SurchargePlan(flag.name, flag.sentence, reasons, flag.sureness.value)


def _plain(value: Fraction) -> int | float:
    return int(value) if value.denominator == 1 else round(float(value), 4)
