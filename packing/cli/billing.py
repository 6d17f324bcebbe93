"""Bills of the published carrier rules for a plan's box, for the command line."""

import datetime as dt
from typing import TYPE_CHECKING

from packing.measure import BadInput
from packing.plan import BillPlan, Plan

if TYPE_CHECKING:
    from packing.planning import Billing


def bills_of(plan: Plan, on: dt.date) -> tuple[BillPlan, ...]:
    """Bill the plan's box by each published carrier rule in force on a day: dated values, to be checked."""
    from packing.carry import SERVICES, bill, bill_plan, services_on

    box, gross_mg = plan.box, plan.weight.gross_mg
    bills = [bill(box.outer_um, gross_mg, service, most_um=box.most_um) for service in services_on(SERVICES, on)]
    return tuple(bill_plan(one) for one in bills)


def billing_of(name: str, on: dt.date) -> "Billing":
    """Billing by the published rule whose carrier and service hold this name; refused unless just one does."""
    from packing.carry import SERVICES, services_on
    from packing.planning import billing_by

    known = services_on(SERVICES, on)
    names = [f"{service.carrier} {service.service}" for service in known]
    found = [service for service, full in zip(known, names, strict=True) if name.casefold() in full.casefold()]
    if len(found) != 1:
        raise BadInput("--service", f"must name one of {'; '.join(names)}; “{name}” names {len(found)} of them.")
    return billing_by(found[0], on=on)
