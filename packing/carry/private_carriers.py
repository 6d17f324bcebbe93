"""Private carriers' published rules as this program first knew them; see `packing.carry.defaults`."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

from packing.carry.evidence import Evidence, resting_on
from packing.carry.kinds import Measure, Reach, Rounding
from packing.carry.model import Service, Trigger
from packing.sureness import Sureness, least_sure

_ROUND_UP = dt.date(2025, 8, 18)
"""From this day both private carriers count any fraction of an inch as a whole one."""
_UPS_VOLUME, _FEDEX_VOLUME = dt.date(2026, 1, 26), dt.date(2026, 1, 12)
"""From these days on the volume alone makes a surcharge."""
_FEDEX_50_LB = dt.date(2020, 1, 20)
"""As one trade page has it; another has 2020-01-06."""

_LISTS = Evidence(
    "the carrier's list of what additional handling is charged for, in text copies",
    Sureness.SECONDARY,
    dt.date(2023, 1, 1),
)
_LISTS_FROM_MEMORY = replace(_LISTS, sureness=Sureness.MEMORY)
"""The same limit at the other carrier, from memory."""
_WEIGHT_70 = Evidence("trade press on the rates of 2020", Sureness.SECONDARY, dt.date(2019, 9, 16))
_WEIGHT_50 = Evidence("trade press on the rates of 2020", Sureness.SECONDARY, dt.date(2020, 1, 20))
_LARGE_PAGES = Evidence("the carrier's page on large packages; trade pages", Sureness.SECONDARY, dt.date(2018, 4, 30))


def _cubic(since: dt.date) -> Evidence:
    source = "trade press of January 2026 on surcharges by volume, four pages that agree"
    return Evidence(source, Sureness.SECONDARY, since)


_ABOVE_50_LB, _ABOVE_70_LB = (50, _WEIGHT_50), (70, _WEIGHT_70)


def _handling(above_lb: tuple[int, Evidence], girth: Evidence) -> tuple[Trigger, ...]:
    charge = "Additional handling is charged."
    name = "additional handling"
    weight_lb, weight = above_lb
    sides = (
        Trigger(name, Measure.LONGEST, Decimal(48), charge),
        Trigger(name, Measure.SECOND, Decimal(30), charge),
    )
    outside = Trigger(
        name, Measure.PACKAGING, Decimal(0), f"{charge} Rope handles and straps are charged for in the same way."
    )
    return (
        *resting_on(_LISTS, sides),
        *resting_on(girth, [Trigger(name, Measure.LENGTH_GIRTH, Decimal(105), charge)]),
        *resting_on(weight, [Trigger(name, Measure.WEIGHT, Decimal(weight_lb), charge)]),
        *resting_on(_LISTS, [outside]),
    )


def _large(name: str, since: dt.date | None) -> tuple[Trigger, ...]:
    """Large package, by volume and weight too from a day on; not charged together with additional handling."""
    charge = "Charged instead of additional handling; at least 90 lb are billed."

    def limits(bounds: dict[Measure, int]) -> list[Trigger]:
        return [
            Trigger(name, measure, Decimal(above), charge, Decimal(90), "additional handling")
            for measure, above in bounds.items()
        ]

    found = resting_on(_LARGE_PAGES, limits({Measure.LONGEST: 96, Measure.LENGTH_GIRTH: 130}))
    if since:
        found += resting_on(_cubic(since), limits({Measure.VOLUME: 17_280, Measure.WEIGHT: 110}))
    return found


def _by_volume(since: dt.date) -> tuple[Trigger, ...]:
    charge = "Additional handling is charged."
    return resting_on(_cubic(since), [Trigger("additional handling", Measure.VOLUME, Decimal(10_368), charge)])


def _private(
    first: Service,
    cubic_from: dt.date,
    large: str,
    *,
    fifty_from: dt.date | None,
    girth: Evidence = _LISTS,
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
        side_rounding=Rounding.UP,
        sureness=least_sure((Sureness.SECONDARY, first.sureness)),
        source="trade press on the change of 2025-08-18, six pages that agree; limits as before",
        note=first.note if first.sureness is Sureness.MEMORY else "",
    )
    volume = replace(
        up,
        valid_from=cubic_from,
        valid_to=None,
        as_of=cubic_from,
        triggers=(*lately, *_by_volume(cubic_from), *_large(large, cubic_from)),
        source="trade press on the changes of 2025-08-18 and January 2026; limits as before",
        note=f"{up.note} Penalties above the limits are large and the parcel may come back.".strip(),
    )
    return (*spells, up, volume)


_UPS = Service(
    carrier="UPS",
    service="Ground, United States",
    reach=Reach.HOME,
    sent_from="US",
    valid_from=dt.date(2017, 1, 1),
    divisor=Decimal(139),
    max_weight=Decimal(150),
    max_length=Decimal(108),
    max_length_girth=Decimal(165),
    source="the carrier's pages on dimensional weight and on size limits",
    sureness=Sureness.PRIMARY,
    as_of=dt.date(2023, 1, 1),
    note="The first day is from memory. Retail counters used 166 for some years.",
)
_UPS_ABROAD = replace(_UPS, service="abroad", reach=Reach.ABROAD)
_FEDEX = replace(
    _UPS,
    carrier="FedEx",
    service="Ground and Home, United States",
    valid_from=dt.date(2018, 1, 22),
    source="trade pages; the first day is that of the carrier's changes of 2018",
    sureness=Sureness.SECONDARY,
    note="Sources conflict on the rounding before 2025-08-18: one keeps decimals.",
)
_FEDEX_EXPRESS = replace(
    _FEDEX,
    service="Express",
    reach=Reach.ANYWHERE,
    max_length=Decimal(119),
    sureness=Sureness.MEMORY,
    note="Limits from memory: one copy prints 220 lb. Sources conflict on the rounding before 2025-08-18.",
)
_UPS_POSTAL = Service(
    carrier="UPS",
    service="economy with postal last mile, United States",
    reach=Reach.HOME,
    sent_from="US",
    valid_from=_ROUND_UP,
    divisor=Decimal(139),
    side_rounding=Rounding.UP,
    max_weight=Decimal(70),
    max_length=Decimal(60),
    max_length_girth=Decimal(130),
    source="trade pages on its limits; divisor and rounding as for the carrier's other services",
    sureness=Sureness.SECONDARY,
    as_of=_ROUND_UP,
    note="Whether this divisor holds for it is to be checked.",
)

PRIVATE_CARRIERS: tuple[Service, ...] = (
    *_private(_UPS, _UPS_VOLUME, "large package", fifty_from=dt.date(2019, 12, 29)),
    *_private(_UPS_ABROAD, _UPS_VOLUME, "large package", fifty_from=None),
    *_private(_FEDEX, _FEDEX_VOLUME, "oversize", fifty_from=_FEDEX_50_LB, girth=_LISTS_FROM_MEMORY),
    *_private(_FEDEX_EXPRESS, _FEDEX_VOLUME, "oversize", fifty_from=_FEDEX_50_LB, girth=_LISTS_FROM_MEMORY),
    _UPS_POSTAL,
)
