"""The cost of sending a request's parcels with each service that goes there: billed weight and price at either end."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from packing.carry import Service, Tariff, bill, bill_plan, charge, tariff_on
from packing.measure import BadInput
from packing.plan import BillPlan, ChargePlan, Row, read_row, to_json
from shop.adapter.answers import ParcelAnswer, ParcelEnd
from shop.adapter.billing import in_force, rules_on_the_way, service_of
from shop.adapter.spread import Ground
from shop.models import RateRule


class ServiceEnd(Row, frozen=True):
    """All parcels with one service, at one end: the bill of each, and its price where there is a price table."""

    bills: tuple[BillPlan, ...]
    charges: tuple[ChargePlan, ...] = ()

    @property
    def billed(self) -> Decimal:
        """Billed weight of all parcels, in the service's unit."""
        return sum((Decimal(str(one.billed)) for one in self.bills), Decimal(0))

    @property
    def price(self) -> Decimal | None:
        """Price of all parcels; None where one has none."""
        totals = [one.total for one in self.charges if one.total is not None]
        return sum(totals, Decimal(0)) if totals and len(totals) == len(self.bills) else None

    @property
    def taken(self) -> bool:
        """True where the service takes every parcel."""
        return not any(one.over for one in self.bills)


class ServiceQuote(Row, frozen=True):
    """One service at both ends; `fault` says why its rule cannot be used."""

    carrier: str
    service: str
    least: ServiceEnd
    most: ServiceEnd
    fault: str = ""

    @property
    def taken(self) -> bool:
        """True where the service takes every parcel, whichever pieces are chosen."""
        return not self.fault and self.least.taken and self.most.taken

    @property
    def unit(self) -> str:
        """Unit of its billed weight."""
        return self.most.bills[0].weight_unit if self.most.bills else ""

    @property
    def currency(self) -> str:
        """Of its price table; "" where it has none."""
        return self.most.charges[0].currency if self.most.charges else ""


class QuoteContent(Row, frozen=True):
    """The content of a quote on one day: the parcels, every service, and what it rests on.

    Parameters
    ----------
    parcels, services
        The services that go there, cheapest first.
    names
        Of the items, by the places that the parcels name.
    grounds, own_scatter
        What the items' measures rest on; whether the scatter of what is not made yet is the shop's own.
    firm
        Whether every piece is chosen.
    day
        The day whose rules and prices it stands on.
    """

    parcels: tuple[ParcelAnswer, ...]
    services: tuple[ServiceQuote, ...]
    names: tuple[str, ...]
    grounds: tuple[Ground, ...]
    own_scatter: bool
    firm: bool
    day: dt.date

    def content(self) -> dict[str, object]:
        """As it is stored with a quote."""
        return to_json(self)


def read_quote(content: Mapping[str, object]) -> QuoteContent:
    """Read what a stored quote says.

    Parameters
    ----------
    content
        As `QuoteContent.content` writes it.

    Returns
    -------
    QuoteContent

    Raises
    ------
    BadPlanFile
        It cannot be read.
    """
    return read_row(content, QuoteContent)


def service_quotes(
    parcels: Sequence[ParcelAnswer],
    rules: Iterable[RateRule],
    tariffs: Sequence[Tariff],
    on: dt.date,
    *,
    sent_from: str,
    to: str,
    postcode: str = "",
) -> tuple[ServiceQuote, ...]:
    """Bill and price parcels with each of the shop's services that goes there on a day.

    Parameters
    ----------
    parcels
        At least one.
    rules, tariffs
        The shop's; those not in force on the day are passed over.
    on
        The day of sending.
    sent_from, to, postcode
        Countries of two letters each; the customer's postcode.

    Returns
    -------
    tuple of ServiceQuote
        Those with a price first, the cheapest before the dearer, then those without one by name; last what does not
        take the parcels.
    """
    found = []
    for rule in rules_on_the_way(rules, sent_from, to):
        if not in_force(rule, on):
            continue
        tariff = tariff_on(tariffs, rule.carrier, rule.service, on)
        try:
            service = service_of(rule)
        except BadInput as fault:
            nothing = ServiceEnd(())
            found.append(ServiceQuote(rule.carrier, rule.service, nothing, nothing, str(fault)))
            continue
        least = _end([one.least for one in parcels], service, tariff, to, postcode)
        most = _end([one.most for one in parcels], service, tariff, to, postcode)
        found.append(ServiceQuote(rule.carrier, rule.service, least, most))
    return tuple(sorted(found, key=_place))


def _end(boxes: Sequence[ParcelEnd], service: Service, tariff: Tariff | None, to: str, postcode: str) -> ServiceEnd:
    bills = [bill(box.outer_um, box.gross_mg, service, packaging=box.packaging, most_um=box.most_um) for box in boxes]
    charges = () if tariff is None else tuple(charge(one, tariff, to, postcode) for one in bills)
    return ServiceEnd(tuple(bill_plan(one) for one in bills), charges)


def _place(one: ServiceQuote) -> tuple[bool, bool, Decimal, str, str]:
    price = one.most.price
    return not one.taken, price is None, price or Decimal(0), one.carrier, one.service
