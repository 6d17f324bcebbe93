"""Bills of a planned box under the shop's dated rows of carriers' rules."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from packing.carry import SERVICES, Service, bill, bill_plan, goes, read_service, service_row
from packing.measure import BadInput
from packing.plan import BillPlan, Plan, Size, kinds
from shop.models import RateRule

NO_SIZE_UM = 1000
RATE_COLUMNS = tuple(service_row(SERVICES[0]))
"""Columns of a carrier's rule by the names of the library, which the columns of its row bear too."""


@dataclass(frozen=True)
class RuleBill:
    """The bill of a box by one of the shop's rules.

    Parameters
    ----------
    rule
        The row's key.
    carrier, service
        As the row names them.
    bill
        None where the row cannot be used; `fault` is then the sentence why.
    """

    rule: int
    carrier: str
    service: str
    bill: BillPlan | None
    fault: str = ""


def bills(
    plan: Plan,
    rules: Iterable[RateRule],
    on: dt.date,
    *,
    carton: bool = False,
    weighed_g: Decimal | None = None,
    taped_mm: tuple[Decimal, Decimal, Decimal] | None = None,
) -> list[RuleBill]:
    """Bill a plan's box under each rule in force on a day.

    Parameters
    ----------
    plan
        Its box, outer sides and predicted gross weight count.
    rules
        The shop's rows; those not in force on the day are passed over.
    on
        The day.
    carton
        Take the plan's stock carton instead of its own box; there is no bill where it has none.
    weighed_g
        The weigh-in in grams, where there is one; the predicted gross weight otherwise.
    taped_mm
        The outside of the closed box as measured, where it was; the planned one otherwise.

    Returns
    -------
    list of RuleBill
        In the order of the rules.
    """
    box = plan.box
    sides, most, packaging, gross_mg = box.outer_um, box.most_um, box.packaging, plan.weight.gross_mg
    if carton:
        if plan.carton is None:
            return []
        sides, gross_mg = plan.carton.outer_um, plan.carton.gross_mg
        most, packaging = sides, kinds.Packaging.CORRUGATED
    if weighed_g is not None:
        gross_mg = int(weighed_g * 1000)
    if taped_mm is not None and not carton:
        length, width, height = (int(side * 1000) for side in taped_mm)
        sides = most = (length, width, height)
    return [_bill(rule, sides, gross_mg, packaging, most) for rule in rules if in_force(rule, on)]


def least_billed(plan: Plan, rule: RateRule) -> BillPlan | None:
    """Bill a plan's pieces alone, in a box without size or weight: no box of theirs is billed less.

    Parameters
    ----------
    plan
        Whose pieces they are; of the plan only their weight counts.
    rule
        A row of the shop's, whether it is in force or not.

    Returns
    -------
    BillPlan or None
        None where the row cannot be used.
    """
    point = (NO_SIZE_UM, NO_SIZE_UM, NO_SIZE_UM)
    return _bill(rule, point, plan.weight.pieces_mg, kinds.Packaging.CORRUGATED, point).bill


def rules_on_the_way(rules: Iterable[RateRule], sent_from: str, to: str) -> list[RateRule]:
    """Pick the rules whose service takes a parcel from one country to another.

    Parameters
    ----------
    rules
        The shop's rows.
    sent_from, to
        Countries, two letters each; they may be the same.

    Returns
    -------
    list of RateRule
        In the order of `rules`.
    """
    return [rule for rule in rules if goes(rule.reach, rule.sent_from, rule.only_to, sent_from, to)]


def check_rate_rule(values: Mapping[str, object]) -> None:
    """Check that values can serve as a carrier's rule.

    Parameters
    ----------
    values
        By the names of RateRule's columns; what is None counts as left out, other names are passed over.

    Raises
    ------
    BadInput
        They cannot; it names the field, the rule and the value.
    """
    read_service(_columns(values))


def published_rules() -> list[Mapping[str, object]]:
    """List the rules that a new shop starts with: dated examples, to be checked and replaced.

    Returns
    -------
    list of Mapping
        A rule each, as RateRule's fields.
    """
    return [service_row(service) for service in SERVICES]


def bill_of(
    rule: RateRule, outer_um: Size, gross_mg: int, packaging: kinds.Packaging, most_um: Size
) -> BillPlan | None:
    """The bill of a box by one row; None where the row cannot be used."""
    return _bill(rule, outer_um, gross_mg, packaging, most_um).bill


def _bill(rule: RateRule, outer_um: Size, gross_mg: int, packaging: kinds.Packaging, most_um: Size) -> RuleBill:
    try:
        answer = bill(outer_um, gross_mg, service_of(rule), packaging=packaging, most_um=most_um)
    except BadInput as fault:
        return RuleBill(rule.pk, rule.carrier, rule.service, None, str(fault))
    return RuleBill(rule.pk, rule.carrier, rule.service, bill_plan(answer))


def service_of(rule: RateRule) -> Service:
    """A row as the library reads it. Raises BadInput where it cannot be used."""
    return read_service(_columns({name: getattr(rule, name) for name in RATE_COLUMNS}))


def _columns(values: Mapping[str, object]) -> dict[str, object]:
    return {name: values[name] for name in RATE_COLUMNS if values.get(name) is not None}


def in_force(rule: RateRule, on: dt.date) -> bool:
    """Tell whether a rule holds on a day, first and last day included."""
    return rule.valid_from <= on and (rule.valid_to is None or on <= rule.valid_to)
