"""Carriers' prices from a file: looked through before anything is stored, and stored all or not at all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.db import transaction
from django.utils.translation import gettext as _

from shop import adapter
from shop.formatting import Units, Wording
from shop.models import PriceTable, RateRule, Shop
from shop.services.errors import PricesRefused

MOST_TEXT = 2_000_000


@dataclass(frozen=True)
class Fault:
    """A fault of one line of a file; line 0 is the file as a whole."""

    line: int
    column: str
    sentence: str


@dataclass(frozen=True)
class NewTable:
    """A table of the file: what it holds, what it replaces, and which one it ends."""

    tariff: adapter.Tariff
    replaces: PriceTable | None
    ends: PriceTable | None

    @property
    def zones(self) -> int:
        """The number of zones with prices."""
        return len({row.zone for row in self.tariff.prices})

    @property
    def last_day(self) -> dt.date:
        """The last day of the table that it ends."""
        return self.tariff.valid_from - dt.timedelta(days=1)


@dataclass(frozen=True)
class Preview:
    """The effect of storing a file of prices; with any fault nothing is stored."""

    tables: tuple[NewTable, ...]
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]


def preview(shop: Shop, text: str) -> Preview:
    """Look through a file of prices, beside the tables and carriers' rules of the shop; nothing is stored.

    Parameters
    ----------
    shop
        Whose prices they would be.
    text
        The file.

    Returns
    -------
    Preview
    """
    if len(text) > MOST_TEXT:
        too_long = _("The file is too long: %(most)d signs at most.") % {"most": MOST_TEXT}
        return Preview((), (Fault(0, "", too_long),), ())
    say = Wording(Units(shop.length_unit, shop.weight_unit)).message
    found = adapter.read_tariffs(text)
    faults = [Fault(one.line, one.column, say(one.message)) for one in found.faults]
    known = list(PriceTable.objects.filter(shop=shop))
    tables = tuple(_new(tariff, known) for tariff in found.tariffs)
    if not faults:
        # Once all lines can be read: a table that lacks some would show gaps that are none.
        faults += [Fault(0, "", say(sentence)) for sentence in adapter.price_faults(_together(tables, known))]
    rules = list(RateRule.objects.filter(shop=shop))
    faults += [Fault(0, "service", sentence) for table in tables for sentence in _unknown(table.tariff, rules)]
    notes = tuple(sentence for table in tables for sentence in _notes(table.tariff, rules))
    return Preview(tables, tuple(faults), notes)


def store(shop: Shop, text: str) -> Preview:
    """Store a file of prices.

    Parameters
    ----------
    shop
        Whose prices they are.
    text
        The file.

    Returns
    -------
    Preview
        What was done.

    Raises
    ------
    PricesRefused
        The file has a fault; what was in force stays.
    """
    with transaction.atomic():
        Shop.objects.select_for_update(no_key=True).get(pk=shop.pk)  # two files at once would each end the other's
        found = preview(shop, text)
        if found.faults:
            raise PricesRefused(_("The prices have faults: nothing is stored, what was in force stays."))
        for table in found.tables:
            if table.ends is not None:
                table.ends.valid_to = table.last_day
                table.ends.save(update_fields=["valid_to"])
            row = table.replaces or PriceTable(shop=shop)
            for name, value in adapter.table_values(table.tariff).items():
                setattr(row, name, value)
            row.save()
    return found


def _new(tariff: adapter.Tariff, known: Sequence[PriceTable]) -> NewTable:
    same = [row for row in known if (row.carrier, row.service) == (tariff.carrier, tariff.service)]
    start = tariff.valid_from
    replaces = next((row for row in same if row.valid_from == start), None)
    running = (row for row in same if row.valid_from < start and (row.valid_to is None or row.valid_to >= start))
    return NewTable(tariff, replaces, next(running, None))


def _together(tables: Sequence[NewTable], known: Sequence[PriceTable]) -> list[adapter.Tariff]:
    """All tables as they would be once the new ones are stored."""
    replaced = {table.replaces.pk for table in tables if table.replaces is not None}
    ended = {table.ends.pk: table.last_day for table in tables if table.ends is not None}
    kept = [row for row in known if row.pk not in replaced]
    old = [(row.pk, adapter.tariff_of(row)) for row in kept]
    shortened = [replace(one, valid_to=ended[pk]) if pk in ended else one for pk, one in old]
    return [*shortened, *(table.tariff for table in tables)]


def _unknown(tariff: adapter.Tariff, rules: Sequence[RateRule]) -> list[str]:
    """That a table is of a service without a rule: nothing would ever be priced by it."""
    named = {(rule.carrier, rule.service) for rule in rules}
    if (tariff.carrier, tariff.service) in named:
        return []
    sentence = _("The shop has no carrier’s rule “%(service)s” of %(carrier)s: its prices would match nothing.")
    return [sentence % {"service": tariff.service, "carrier": tariff.carrier}]


def _notes(tariff: adapter.Tariff, rules: Sequence[RateRule]) -> list[str]:
    """Notes on what looks like an oversight: prices that end below the service's limit, surcharges of no rule."""
    own = [rule for rule in rules if (rule.carrier, rule.service) == (tariff.carrier, tariff.service)]
    name, notes = f"{tariff.carrier} {tariff.service}", []
    top = max((row.up_to for row in tariff.prices), default=None)
    limit = max((rule.max_weight for rule in own if rule.max_weight is not None), default=None)
    if top is not None and limit is not None and top < limit:
        named = {"table": name, "top": f"{top.normalize():f}", "limit": f"{limit.normalize():f}"}
        notes.append(_("%(table)s: prices end at %(top)s, the service takes %(limit)s.") % named)
    triggers = {str(trigger.get("name")) for rule in own for trigger in rule.triggers}
    strange = sorted({row.name for row in tariff.surcharges} - triggers)
    notes += [_("%(table)s: “%(name)s” is no surcharge of its rule.") % {"table": name, "name": one} for one in strange]
    return notes
