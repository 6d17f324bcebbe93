"""What the published carrier rules bill for a plan's box, for the command line."""

import datetime as dt
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from packing.measure import BadInput


def billed(content: dict[str, Any], on: dt.date) -> list[dict[str, Any]]:
    """What each published carrier rule in force on a day bills for the plan's box: dated values, to be checked."""
    from packing.carry import SERVICES, bill, bill_content, services_on

    sides, most = ([round(side * 1000) for side in content["box"][key]] for key in ("outer_mm", "most_mm"))
    gross_mg = round(content["weight"]["gross_g"] * 1000)
    services = services_on(SERVICES, on)
    return [bill_content(bill(tuple(sides), gross_mg, service, most_um=tuple(most))) for service in services]


def price_of(name: str, on: dt.date) -> Callable[[tuple[int, int, int], int], Fraction]:
    """The billed weight under the published rule whose carrier and service hold this name; refused unless just one."""
    from packing.carry import SERVICES, bill, services_on

    known = services_on(SERVICES, on)
    names = [f"{service.carrier} {service.service}" for service in known]
    found = [service for service, full in zip(known, names, strict=True) if name.casefold() in full.casefold()]
    if len(found) != 1:
        raise BadInput("--service", f"must name one of {'; '.join(names)}; “{name}” names {len(found)} of them.")
    return lambda outer_um, gross_mg: Fraction(bill(outer_um, gross_mg, found[0]).billed)
