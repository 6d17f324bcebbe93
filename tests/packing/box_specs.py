"""Specifications to try the box styles on, invented."""

import random
from dataclasses import replace
from typing import Any

from packing.boxes import BoxSpec, all_styles
from packing.materials import BOARDS, C_FLUTE, EXAMPLE_CARTONS

CORRUGATED = [style.code for style in all_styles("corrugated")]
WOODEN = [style.code for style in all_styles("wood")]
EVERY = [style.code for style in all_styles()]
E_FLUTE = replace(C_FLUTE, name="E flute", flute="E", caliper_um=1_600, grammage_mg_m2=420_000)
OFF_CALIPER = replace(C_FLUTE, name="C flute, thin", caliper_um=3_450)
ALL_BOARDS = (*BOARDS, E_FLUTE, OFF_CALIPER)
INTERIORS = [
    (400_000, 300_000, 200_000),
    (488_000, 188_000, 123_000),
    (300_000, 300_000, 80_010),
    (1_100_000, 90_010, 70_010),
]


def box_spec(interior: Any = (400_000, 300_000, 200_000), **changes: Any) -> Any:
    """A specification without room round the insert, so that the inside is the interior."""
    given = {"fit_um": (0, 0, 0), "contents_mg": 6_000_000, "cartons": EXAMPLE_CARTONS} | changes
    return BoxSpec(interior, **given)


def random_interior(generator: random.Random, *, longest: Any = 460) -> Any:
    """An interior within the stock that comes along, in tenths of a millimetre."""
    length = generator.randrange(2_000, longest * 10)
    width = generator.randrange(900, min(length, 2_900) + 1)
    return length * 100, width * 100, generator.randrange(700, 1_900) * 100
