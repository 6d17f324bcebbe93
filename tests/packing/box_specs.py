"""Specifications to try the box styles on, invented."""

import random
from dataclasses import replace
from typing import Any

from packing.boxes import BoxDesign, BoxSpec, Infeasible, all_styles, make_box
from packing.materials import BOARDS, C_FLUTE, EXAMPLE_CARTONS
from packing.plan.kinds import ContainerKind
from tests.helpers import instance

Sides = tuple[int, int, int]
CORRUGATED = [style.code for style in all_styles(ContainerKind.CORRUGATED)]
WOODEN = [style.code for style in all_styles(ContainerKind.WOOD)]
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


def box_spec(interior: Sides = (400_000, 300_000, 200_000), **changes: Any) -> BoxSpec:
    """A specification without room round the insert, so that the inside is the interior."""
    spec = BoxSpec(interior, fit_um=(0, 0, 0), contents_mg=6_000_000, cartons=EXAMPLE_CARTONS)
    return replace(spec, **changes)


def designed(code: str, spec: BoxSpec) -> BoxDesign:
    """The box of a style, which stock allows."""
    return instance(BoxDesign, make_box(code, spec))


def refused(code: str, spec: BoxSpec) -> Infeasible:
    """Why stock does not allow the box of a style, which it does not."""
    return instance(Infeasible, make_box(code, spec))


def random_interior(generator: random.Random, *, longest: int = 460) -> Sides:
    """An interior within the stock that comes along, in tenths of a millimetre."""
    length = generator.randrange(2_000, longest * 10)
    width = generator.randrange(900, min(length, 2_900) + 1)
    return length * 100, width * 100, generator.randrange(700, 1_900) * 100
