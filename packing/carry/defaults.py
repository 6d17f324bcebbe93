"""Published rules of some carriers as this program first knew them: dated examples, to be checked and replaced.

Compiled in November 2026. "primary" was read in the carrier's own text, "secondary" on a trade page, "memory" is just
that. None of it is an offer; look at the carrier's page before quoting.
"""

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from packing.carry.model import Service, Trigger
from packing.sureness import least_sure

_ROUND_UP = dt.date(2025, 8, 18)
_UPS_VOLUME, _FEDEX_VOLUME = dt.date(2026, 1, 26), dt.date(2026, 1, 12)
_FEDEX_50_LB = dt.date(2020, 1, 20)
"""As one trade page has it; another has 2020-01-06."""


_LISTS: dict[str, Any] = {
    "source": "the carrier's list of what additional handling is charged for, in text copies",
    "sureness": "secondary",
    "as_of": dt.date(2023, 1, 1),
}
_LISTS_FROM_MEMORY: dict[str, Any] = _LISTS | {"sureness": "memory"}
_WEIGHT_70: dict[str, Any] = {
    "source": "trade press on the rates of 2020",
    "sureness": "secondary",
    "as_of": dt.date(2019, 9, 16),
}
_WEIGHT_50: dict[str, Any] = {
    "source": "trade press on the rates of 2020",
    "sureness": "secondary",
    "as_of": dt.date(2020, 1, 20),
}
_LARGE_PAGES: dict[str, Any] = {
    "source": "the carrier's page on large packages; trade pages",
    "sureness": "secondary",
    "as_of": dt.date(2018, 4, 30),
}


def _cubic(since: dt.date) -> dict[str, Any]:
    source = "trade press of January 2026 on surcharges by volume, four pages that agree"
    return {"source": source, "sureness": "secondary", "as_of": since}


_ABOVE_50_LB, _ABOVE_70_LB = (50, _WEIGHT_50), (70, _WEIGHT_70)


def _handling(above_lb: tuple[int, Mapping[str, Any]], girth: Mapping[str, Any]) -> tuple[Trigger, ...]:
    charge = "Additional handling is charged."
    name = "additional handling"
    weight_lb, weight = above_lb
    return (
        Trigger(name, "longest", Decimal(48), charge, **_LISTS),
        Trigger(name, "second", Decimal(30), charge, **_LISTS),
        Trigger(name, "length_girth", Decimal(105), charge, **girth),
        Trigger(name, "weight", Decimal(weight_lb), charge, **weight),
        Trigger(name, "packaging", Decimal(0), f"{charge} So it is for rope handles and straps.", **_LISTS),
    )


def _large(name: str, since: dt.date | None) -> tuple[Trigger, ...]:
    """Large package, by volume and weight too from a day on; not charged together with additional handling."""
    charge = "Charged instead of additional handling; at least 90 lb are billed."
    bounds: list[tuple[str, int, Mapping[str, Any]]] = [
        ("longest", 96, _LARGE_PAGES),
        ("length_girth", 130, _LARGE_PAGES),
    ]
    if since:
        bounds += [("volume", 17_280, _cubic(since)), ("weight", 110, _cubic(since))]
    return tuple(
        Trigger(name, measure, Decimal(above), charge, Decimal(90), "additional handling", **mark)
        for measure, above, mark in bounds
    )


def _by_volume(since: dt.date) -> Trigger:
    charge = "Additional handling is charged."
    return Trigger("additional handling", "volume", Decimal(10_368), charge, **_cubic(since))


def _private(
    first: Service,
    cubic_from: dt.date,
    large: str,
    *,
    fifty_from: dt.date | None,
    girth: Mapping[str, Any] = _LISTS,
) -> tuple[Service, ...]:
    """The spells of one service: handling above 70 then 50 lb, any fraction of an inch up, surcharges on volume."""
    day = dt.timedelta(days=1)
    seventy = _handling(_ABOVE_70_LB, girth)
    lately = _handling(_ABOVE_50_LB, girth) if fifty_from else seventy
    begins = replace(first, valid_to=_ROUND_UP - day, triggers=lately + _large(large, None))
    spells = [begins]
    if fifty_from:
        early = replace(first, valid_to=fifty_from - day, triggers=seventy + _large(large, None))
        spells = [early, replace(begins, valid_from=fifty_from)]
    up = replace(
        begins,
        valid_from=_ROUND_UP,
        valid_to=cubic_from - day,
        as_of=_ROUND_UP,
        side_rounding="up",
        sureness=least_sure(("secondary", first.sureness)),
        source="trade press on the change of 2025-08-18, six pages that agree; limits as before",
        note=first.note if first.sureness == "memory" else "",
    )
    volume = replace(
        up,
        valid_from=cubic_from,
        valid_to=None,
        as_of=cubic_from,
        triggers=(*lately, _by_volume(cubic_from), *_large(large, cubic_from)),
        source="trade press on the changes of 2025-08-18 and January 2026; limits as before",
        note=f"{up.note} Penalties above the limits are large and the parcel may come back.".strip(),
    )
    return (*spells, up, volume)


_UPS = Service(
    carrier="UPS",
    service="Ground, United States",
    reach="home",
    sent_from="US",
    valid_from=dt.date(2017, 1, 1),
    divisor=Decimal(139),
    max_weight=Decimal(150),
    max_length=Decimal(108),
    max_length_girth=Decimal(165),
    source="the carrier's pages on dimensional weight and on size limits",
    sureness="primary",
    as_of=dt.date(2023, 1, 1),
    note="The first day is from memory. Retail counters used 166 for some years.",
)
_UPS_ABROAD = replace(_UPS, service="abroad", reach="abroad")
_FEDEX = replace(
    _UPS,
    carrier="FedEx",
    service="Ground and Home, United States",
    valid_from=dt.date(2018, 1, 22),
    source="trade pages; the first day is that of the carrier's changes of 2018",
    sureness="secondary",
    note="Sources conflict on the rounding before 2025-08-18: one keeps decimals.",
)
_FEDEX_EXPRESS = replace(
    _FEDEX,
    service="Express",
    reach="anywhere",
    max_length=Decimal(119),
    sureness="memory",
    note="Limits from memory: one copy prints 220 lb. Sources conflict on the rounding before 2025-08-18.",
)
_UPS_POSTAL = Service(
    carrier="UPS",
    service="economy with postal last mile, United States",
    reach="home",
    sent_from="US",
    valid_from=_ROUND_UP,
    divisor=Decimal(139),
    side_rounding="up",
    max_weight=Decimal(70),
    max_length=Decimal(60),
    max_length_girth=Decimal(130),
    source="trade pages on its limits; divisor and rounding as for the carrier's other services",
    sureness="secondary",
    as_of=_ROUND_UP,
    note="Whether this divisor holds for it is to be checked.",
)

_USPS = Service(
    carrier="USPS",
    service="Priority Mail",
    reach="home",
    sent_from="US",
    valid_from=dt.date(2019, 6, 23),
    valid_to=dt.date(2022, 4, 2),
    divisor=Decimal(166),
    dim_threshold=Decimal(1728),
    max_weight=Decimal(70),
    max_length_girth=Decimal(108),
    source="trade pages; limits from the Domestic Mail Manual C010 of 2004",
    sureness="secondary",
    as_of=dt.date(2019, 6, 23),
    note="Rounding to the nearest inch in these years is from memory.",
)
_FEES: dict[str, Any] = {
    "sides": "down_quarter",
    "source": "trade pages on the nonstandard fees of 2022-04-03",
    "sureness": "secondary",
    "as_of": dt.date(2022, 3, 31),
}
_NONSTANDARD = (
    Trigger("nonstandard length", "longest", Decimal(22), "A length fee is charged.", **_FEES),
    Trigger(
        "nonstandard length over 30 in",
        "longest",
        Decimal(30),
        "The higher length fee is charged; never two of them.",
        overrides="nonstandard length",
        **_FEES,
    ),
    Trigger("nonstandard volume", "volume", Decimal(3456), "A volume fee is charged.", **_FEES),
)
_PRICES_END = Trigger(
    "price of 70 lb",
    "dimensional",
    Decimal(70),
    "Above 70 lb dimensional the price of 70 lb is charged.",
    maximum_billed=Decimal(70),
)
_USPS_2026_NOTE = (
    "Check this one first: the change is in the Federal Register of 2026-05-15, the divisor and the rounding are from "
    "two trade pages, one of which has the approval still pending. "
    "Whether the 0.785 for odd shapes and the quarter-inch rule of the nonstandard fees still hold is not known."
)


def _post(first: Service, begins: dt.date) -> tuple[Service, ...]:
    """The spells of one postal service: nonstandard fees from 2022-04-03, 139 and any fraction up from 2026-07-12."""
    change = dt.date(2026, 7, 12)
    return (
        replace(first, valid_from=begins, valid_to=change - dt.timedelta(days=1), triggers=_NONSTANDARD, as_of=begins),
        replace(
            first,
            valid_from=change,
            valid_to=None,
            divisor=Decimal(139),
            side_rounding="up",
            triggers=_NONSTANDARD,
            as_of=dt.date(2026, 5, 27),
            source="trade pages on the notice of 2026-05-11; Federal Register of 2026-05-15 for the day",
            note=_USPS_2026_NOTE,
        ),
    )


_GROUND_ADVANTAGE = replace(
    _USPS,
    service="Ground Advantage",
    max_length_girth=Decimal(130),
    note="Above 108 in of length and girth the oversized price holds, up to 130 in (from memory), as is the first day.",
)
_AIR = Service(
    carrier="air freight, general rule",
    service="6000 cm³/kg",
    valid_from=dt.date(2000, 1, 1),
    system="cm/kg",
    divisor=Decimal(6000),
    weight_step=Decimal("0.5"),
    source="trade pages on air freight; half kilos and whole centimetres from memory",
    sureness="secondary",
    note="Long standing; the first day only stands for that. Airlines' own limits apply.",
)
_ABROAD = (
    Service(
        carrier="DHL",
        service="Express",
        reach="abroad",
        valid_from=dt.date(2000, 1, 1),
        system="cm/kg",
        divisor=Decimal(5000),
        side_rounding="up",
        weight_step=Decimal("0.5"),
        source="the carrier's undated pages: divisor; half kilos on trade pages",
        sureness="primary",
        note="The pages bear no date: the first day only stands for that. Whole centimetres up is weakly supported; "
        "limits vary.",
    ),
    _AIR,
    Service(
        carrier="post, letter post abroad",
        service="small packet",
        reach="abroad",
        valid_from=dt.date(2000, 1, 1),
        system="cm/kg",
        side_rounding="none",
        weight_step=Decimal("0.001"),
        max_weight=Decimal(2),
        max_length=Decimal(60),
        triggers=(Trigger("too large", "sum", Decimal(90), "It does not go as a small packet (2 mm are tolerated)."),),
        source="post offices' pages",
        sureness="secondary",
        note="Price steps vary by country; rolls have limits of their own.",
    ),
    Service(
        carrier="post, parcel abroad",
        service="parcel, 1.5 m",
        reach="abroad",
        valid_from=dt.date(2000, 1, 1),
        system="cm/kg",
        side_rounding="none",
        weight_step=Decimal(1),
        max_weight=Decimal(20),
        max_length=Decimal(150),
        max_length_girth=Decimal(300),
        source="post offices' pages",
        sureness="secondary",
        note="By country 20, 30 or 31.5 kg, of which 20 is the safe one, and 1.5 m and 3 m or 1.05 m and 2 m.",
    ),
)

SERVICES: tuple[Service, ...] = (
    *_private(_UPS, _UPS_VOLUME, "large package", fifty_from=dt.date(2019, 12, 29)),
    *_private(_UPS_ABROAD, _UPS_VOLUME, "large package", fifty_from=None),
    *_private(_FEDEX, _FEDEX_VOLUME, "oversize", fifty_from=_FEDEX_50_LB, girth=_LISTS_FROM_MEMORY),
    *_private(_FEDEX_EXPRESS, _FEDEX_VOLUME, "oversize", fifty_from=_FEDEX_50_LB, girth=_LISTS_FROM_MEMORY),
    _UPS_POSTAL,
    replace(
        _USPS,
        valid_from=dt.date(2007, 5, 14),
        valid_to=dt.date(2019, 6, 22),
        divisor=Decimal(194),
        source="the carrier's girth page; Domestic Mail Manual",
        sureness="primary",
        as_of=dt.date(2007, 5, 14),
        triggers=(_PRICES_END,),
        note="In zones 5 to 8 alone; the first day is from memory.",
    ),
    _USPS,
    *_post(_USPS, dt.date(2022, 4, 3)),
    *_post(_GROUND_ADVANTAGE, dt.date(2023, 7, 9)),
    *_ABROAD,
)
"""Rows to begin with; the shop keeps its own."""
