"""Published rules of some carriers as this program first knew them: dated examples, to be checked and replaced.

Compiled in November 2026. "primary" was read in the carrier's own text, "secondary" on a trade page, "memory" is just
that. None of it is an offer; look at the carrier's page before quoting.
"""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

from packing.carry.model import Service, Trigger

_ROUND_UP = dt.date(2025, 8, 18)


def _handling(weight_lb: int) -> tuple[Trigger, ...]:
    charge = "Additional handling is charged."
    name = "additional handling"
    return (
        Trigger(name, "longest", Decimal(48), charge),
        Trigger(name, "second", Decimal(30), charge),
        Trigger(name, "length_girth", Decimal(105), charge),
        Trigger(name, "weight", Decimal(weight_lb), charge),
        Trigger(name, "packaging", Decimal(0), f"{charge} So it is for rope handles and straps."),
    )


def _large(name: str, *, from_2026: bool) -> tuple[Trigger, ...]:
    """Large package; not charged together with additional handling."""
    least = Decimal(90)
    charge = "Charged instead of additional handling; at least 90 lb are billed."
    triggers = [
        Trigger(name, "longest", Decimal(96), charge, least, "additional handling"),
        Trigger(name, "length_girth", Decimal(130), charge, least, "additional handling"),
    ]
    if from_2026:
        triggers += [
            Trigger(name, "volume", Decimal(17_280), charge, least, "additional handling"),
            Trigger(name, "weight", Decimal(110), charge, least, "additional handling"),
        ]
    return tuple(triggers)


_CUBIC = (Trigger("additional handling", "volume", Decimal(10_368), "Additional handling is charged."),)


def _private(first: Service, cubic_from: dt.date, large: str, weight_lb: int) -> tuple[Service, ...]:
    """Three spells of one service: sides to the nearest inch, any fraction up, and the surcharges on volume."""
    old = _handling(weight_lb) + _large(large, from_2026=False)
    day = dt.timedelta(days=1)
    return (
        replace(first, valid_to=_ROUND_UP - day, triggers=old),
        replace(
            first,
            valid_from=_ROUND_UP,
            valid_to=cubic_from - day,
            as_of=_ROUND_UP,
            side_rounding="up",
            triggers=old,
            sureness="secondary",
            source="trade press on the change of 2025-08-18, six pages that agree",
            note="",
        ),
        replace(
            first,
            valid_from=cubic_from,
            as_of=cubic_from,
            side_rounding="up",
            triggers=_handling(weight_lb) + _CUBIC + _large(large, from_2026=True),
            sureness="secondary",
            source="trade press on the changes of 2025-08-18 and January 2026",
            note="Penalties above the limits are large and the parcel may come back.",
        ),
    )


_UPS = Service(
    carrier="UPS",
    service="Ground, United States",
    valid_from=dt.date(2017, 1, 1),
    divisor=Decimal(139),
    max_weight=Decimal(150),
    max_length=Decimal(108),
    max_length_girth=Decimal(165),
    source="the carrier's pages on dimensional weight and on size limits; triggers from trade pages of 2021 to 2023",
    sureness="primary",
    as_of=dt.date(2023, 1, 1),
    note="The first day is from memory. Retail counters used 166 for some years.",
)
_UPS_ABROAD = replace(_UPS, service="abroad")
_FEDEX = replace(
    _UPS,
    carrier="FedEx",
    service="Ground and Home, United States",
    valid_from=dt.date(2018, 1, 22),
    source="trade pages; the 48 in of additional handling from the carrier's changes of 2018-01-22",
    sureness="secondary",
    note="Sources conflict on the rounding before 2025-08-18: one keeps decimals.",
)
_FEDEX_EXPRESS = replace(
    _FEDEX,
    service="Express",
    max_length=Decimal(119),
    sureness="memory",
    note="Limits from memory: one copy prints 220 lb. Sources conflict on the rounding before 2025-08-18.",
)
_UPS_POSTAL = Service(
    carrier="UPS",
    service="economy with postal last mile, United States",
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
_NONSTANDARD = (
    Trigger("nonstandard length", "longest", Decimal(22), "A length fee is charged.", sides="down_quarter"),
    Trigger(
        "nonstandard length over 30 in",
        "longest",
        Decimal(30),
        "The higher length fee is charged; never two of them.",
        overrides="nonstandard length",
        sides="down_quarter",
    ),
    Trigger("nonstandard volume", "volume", Decimal(3456), "A volume fee is charged.", sides="down_quarter"),
)
_USPS_2026_NOTE = (
    "Check this one first: two trade pages on a notice of 2026-05-11, one of which has the approval still pending. "
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
            source="trade pages on the notice of 2026-05-11",
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
    *_private(_UPS, dt.date(2026, 1, 26), "large package", 50),
    *_private(_UPS_ABROAD, dt.date(2026, 1, 26), "large package", 70),
    *_private(_FEDEX, dt.date(2026, 1, 12), "oversize", 50),
    *_private(_FEDEX_EXPRESS, dt.date(2026, 1, 12), "oversize", 50),
    _UPS_POSTAL,
    replace(
        _USPS,
        valid_from=dt.date(2007, 5, 14),
        valid_to=dt.date(2019, 6, 22),
        divisor=Decimal(194),
        source="the carrier's girth page; Domestic Mail Manual",
        sureness="primary",
        as_of=dt.date(2007, 5, 14),
        note="In zones 5 to 8 alone; the first day is from memory. Above 70 lb dimensional the 70 lb price held.",
    ),
    _USPS,
    *_post(_USPS, dt.date(2022, 4, 3)),
    *_post(_GROUND_ADVANTAGE, dt.date(2023, 7, 9)),
    *_ABROAD,
)
"""Rows to begin with; the shop keeps its own."""
