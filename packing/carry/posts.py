"""The post's published rules as this program first knew them; see `packing.carry.defaults`."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

from packing.carry.evidence import Evidence, resting_on
from packing.carry.kinds import Measure, Reach, Rounding, TriggerSides
from packing.carry.model import Service, Trigger
from packing.sureness import Sureness

_USPS = Service(
    carrier="USPS",
    service="Priority Mail",
    reach=Reach.HOME,
    sent_from="US",
    valid_from=dt.date(2019, 6, 23),
    valid_to=dt.date(2022, 4, 2),
    divisor=Decimal(166),
    dim_threshold=Decimal(1728),
    max_weight=Decimal(70),
    max_length_girth=Decimal(108),
    source="trade pages; limits from the Domestic Mail Manual C010 of 2004",
    sureness=Sureness.SECONDARY,
    as_of=dt.date(2019, 6, 23),
    note="Rounding to the nearest inch in these years is from memory.",
)
_FEES = Evidence("trade pages on the nonstandard fees of 2022-04-03", Sureness.SECONDARY, dt.date(2022, 3, 31))
_QUARTER = TriggerSides.DOWN_QUARTER
"""The nonstandard fees are measured down to a quarter inch, whatever the service rounds."""
_NONSTANDARD = resting_on(
    _FEES,
    (
        Trigger("nonstandard length", Measure.LONGEST, Decimal(22), "A length fee is charged.", sides=_QUARTER),
        Trigger(
            "nonstandard length over 30 in",
            Measure.LONGEST,
            Decimal(30),
            "The higher length fee is charged; never two of them.",
            overrides="nonstandard length",
            sides=_QUARTER,
        ),
        Trigger("nonstandard volume", Measure.VOLUME, Decimal(3456), "A volume fee is charged.", sides=_QUARTER),
    ),
)
_PRICES_END = Trigger(
    "price of 70 lb",
    Measure.DIMENSIONAL,
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
            side_rounding=Rounding.UP,
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

POSTS: tuple[Service, ...] = (
    replace(
        _USPS,
        valid_from=dt.date(2007, 5, 14),
        valid_to=dt.date(2019, 6, 22),
        divisor=Decimal(194),
        source="the carrier's girth page; Domestic Mail Manual",
        sureness=Sureness.PRIMARY,
        as_of=dt.date(2007, 5, 14),
        triggers=(_PRICES_END,),
        note="In zones 5 to 8 alone; the first day is from memory.",
    ),
    _USPS,
    *_post(_USPS, dt.date(2022, 4, 3)),
    *_post(_GROUND_ADVANTAGE, dt.date(2023, 7, 9)),
)
