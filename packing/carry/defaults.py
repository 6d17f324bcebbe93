"""Published rules of some carriers as this program first knew them: dated examples, to be checked and replaced.

Compiled in November 2026. None of it is an offer; look at the carrier's page before quoting.
"""

import datetime as dt
from decimal import Decimal

from packing.carry.kinds import Measure, Reach, Rounding, System
from packing.carry.model import Service, Trigger
from packing.carry.posts import POSTS
from packing.carry.private_carriers import PRIVATE_CARRIERS
from packing.sureness import Sureness

_AIR = Service(
    carrier="air freight, general rule",
    service="6000 cm³/kg",
    valid_from=dt.date(2000, 1, 1),
    system=System.CENTIMETRES_KILOGRAMS,
    divisor=Decimal(6000),
    weight_step=Decimal("0.5"),
    source="trade pages on air freight; half kilos and whole centimetres from memory",
    sureness=Sureness.SECONDARY,
    note="Long standing; the first day only stands for that. Airlines' own limits apply.",
)
ABROAD: tuple[Service, ...] = (
    Service(
        carrier="DHL",
        service="Express",
        reach=Reach.ABROAD,
        valid_from=dt.date(2000, 1, 1),
        system=System.CENTIMETRES_KILOGRAMS,
        divisor=Decimal(5000),
        side_rounding=Rounding.UP,
        weight_step=Decimal("0.5"),
        source="the carrier's undated pages: divisor; half kilos on trade pages",
        sureness=Sureness.PRIMARY,
        note="The pages bear no date: the first day only stands for that. Whole centimetres up is weakly supported; "
        "limits vary.",
    ),
    _AIR,
    Service(
        carrier="post, letter post abroad",
        service="small packet",
        reach=Reach.ABROAD,
        valid_from=dt.date(2000, 1, 1),
        system=System.CENTIMETRES_KILOGRAMS,
        side_rounding=Rounding.NONE,
        weight_step=Decimal("0.001"),
        max_weight=Decimal(2),
        max_length=Decimal(60),
        triggers=(
            Trigger("too large", Measure.SUM, Decimal(90), "It does not go as a small packet (2 mm are tolerated)."),
        ),
        source="post offices' pages",
        sureness=Sureness.SECONDARY,
        note="Price steps vary by country; rolls have limits of their own.",
    ),
    Service(
        carrier="post, parcel abroad",
        service="parcel, 1.5 m",
        reach=Reach.ABROAD,
        valid_from=dt.date(2000, 1, 1),
        system=System.CENTIMETRES_KILOGRAMS,
        side_rounding=Rounding.NONE,
        weight_step=Decimal(1),
        max_weight=Decimal(20),
        max_length=Decimal(150),
        max_length_girth=Decimal(300),
        source="post offices' pages",
        sureness=Sureness.SECONDARY,
        note="By country 20, 30 or 31.5 kg, of which 20 is the safe one, and 1.5 m and 3 m or 1.05 m and 2 m.",
    ),
)

SERVICES: tuple[Service, ...] = (*PRIVATE_CARRIERS, *POSTS, *ABROAD)
"""Rows to begin with; the shop keeps its own."""
