"""The settings that decide which box is made and taken, as they are kept with a plan."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from django.utils.translation import gettext as _

from shop.adapter.made_from import Making, Prices
from shop.adapter.stock import sheet_prices
from shop.models import LabourTime, Shop


def making_of(shop: Shop) -> Making:
    """Gather the settings that decide which box is made and taken, beside materials and rules.

    Parameters
    ----------
    shop
        Whose settings and times of work they are; the library's times are left out, as all that a new version brings.

    Returns
    -------
    Making
        As it is kept with a plan.
    """
    rows = LabourTime.objects.filter(shop=shop)
    return Making(
        feet=shop.feet,
        rope_handles=shop.rope_handles,
        minutes={row.what: _plain(row.minutes) for row in rows},
        prices=_prices(shop),
        billed_minutes=_billed_minutes(shop),
    )


def making_changes(before: Making | None, now: Making | None) -> list[str]:
    """Say what of these settings has changed, a sentence each; nothing of a plan of before they were kept."""
    if before is None or now is None:
        return []
    changed = {
        _("Feet under wooden boxes are chosen now, or no longer."): before.feet != now.feet,
        _("Rope handles on wooden boxes are chosen now, or no longer."): before.rope_handles != now.rope_handles,
    }
    sentences = [sentence for sentence, is_so in changed.items() if is_so]
    names = dict.fromkeys((*before.minutes, *now.minutes))
    if before.billed_minutes != now.billed_minutes:
        sentences.append(_("How many minutes billed weight is worth has changed."))
    sentences += [
        _("The time of work “%(what)s” has changed.") % {"what": _(name)}
        for name in names
        if before.minutes.get(name) != now.minutes.get(name)
    ]
    return [*sentences, *_price_changes(before.prices, now.prices)]


def _price_changes(before: Prices | None, now: Prices | None) -> Iterator[str]:
    if before is None or now is None:
        if before != now:
            yield _("Boxes are ranked by money now, or no longer: it takes the worth of billed weight and of an hour.")
        return
    changed = {
        _("What billed weight is worth has changed."): (before.billed, before.billed_in) != (now.billed, now.billed_in),
        _("The price of an hour of work has changed."): before.hour != now.hour,
        _("The price of a screw or nail has changed."): before.fastener != now.fastener,
        _("The price of foam has changed."): before.foam_m3 != now.foam_m3,
        _("What sheets in stock cost has changed."): before.sheet_m2 != now.sheet_m2,
        _("The currency has changed."): before.currency != now.currency,
    }
    yield from (sentence for sentence, is_so in changed.items() if is_so)


def _prices(shop: Shop) -> Prices | None:
    if shop.billed_price is None or shop.hour_price is None:
        return None
    return Prices(
        currency=shop.currency,
        hour=_plain(shop.hour_price),
        billed=_plain(shop.billed_price),
        billed_in=str(shop.billed_price_unit),
        fastener=None if shop.fastener_price is None else _plain(shop.fastener_price),
        foam_m3=None if shop.foam_price_m3 is None else _plain(shop.foam_price_m3),
        sheet_m2={f"{name}, {um} µm": _plain(price) for (name, um), price in sorted(sheet_prices(shop).items())},
    )


def _billed_minutes(shop: Shop) -> str:
    """Minutes that billed weight is worth, where they decide: not where money does."""
    if shop.billed_minutes is None or (shop.billed_price is not None and shop.hour_price is not None):
        return ""
    return f"{_plain(shop.billed_minutes)}/{shop.billed_price_unit}"


def _plain(value: Decimal) -> str:
    return format(Decimal(value).normalize(), "f")
