"""Weigh-ins of 2 000 invented parcels: good ones, ones without a piece, ones with a wrong piece.

The orders are drawn at random from a seed and planned; each plan is then packed twenty times. What really goes into a
box scatters by rules of its own, not by the code that is judged: foam and board as far as their makers' tolerance goes,
evenly (a batch is too heavy or too light throughout), water in handles, tape and wraps normally, every scale rounds to
its step and is off by up to a step besides. A box of which a piece could be missing unnoticed has its empty box weighed
first, as the screen asks for. The rack that a wrong piece comes from is invented too: pieces of the same kind, 4 %
apart.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count
from math import sqrt

from packing.plan import Plan, WeightPlan
from packing.plan.kinds import ItemKind
from packing.planning import plan_parcel
from packing.weighing import (
    Cause,
    CauseKind,
    Expectation,
    Findings,
    Weighed,
    expectation,
    likely_causes,
)
from tests.bench.inserts import invented_orders
from tests.bench.tables import table

PLANS, PACKED, EFFORT, SEED = 100, 20, 100, 5
QUICK = (20, 100)
STEP_MG, BENCH_STEP_MG = 5_000, 1_000
RACK, RACK_SPREAD = 30, 0.04
SIZES = (0.4, 1.2)
"""Small hammers too: their boxes are the ones that the scale sees little in."""
MISSING_CAUGHT, SWAPS_CAUGHT, GOOD_STOPPED = 0.99, 0.95, 0.01
"""At least so many of 1 are caught, and at most so many good parcels are stopped."""


@dataclass
class Counts:
    """The parcels of each sort that were weighed and stopped, and those whose cause was named."""

    good: int = 0
    good_stopped: int = 0
    empty_weighed: int = 0
    blind: int = 0
    missing: int = 0
    missing_caught: int = 0
    missing_named: int = 0
    missing_first: int = 0
    swaps: int = 0
    swaps_caught: int = 0
    swaps_named: int = 0
    near_swaps: int = 0
    near_caught: int = 0

    @property
    def stopped_share(self) -> float:
        """Of the good parcels."""
        return self.good_stopped / self.good

    @property
    def missing_share(self) -> float:
        """Of the parcels without a piece, those caught."""
        return self.missing_caught / self.missing

    @property
    def swap_share(self) -> float:
        """Of the parcels with a piece that differs by more than twice the tolerance, those caught."""
        return self.swaps_caught / self.swaps if self.swaps else 1.0


def counted(plans: int = PLANS, packed: int = PACKED, seed: int = SEED) -> Counts:
    """Plan the orders, pack each so often, weigh in."""
    rng = random.Random(seed)
    counts = Counts()
    for order, _thin in invented_orders(plans, seed, SIZES):
        plan = plan_parcel(order, effort=EFFORT, seed=seed).plan
        if plan is not None:
            for _ in range(packed):
                _weigh_in(plan, rng, counts)
    return counts


def _reading(true_mg: float, rng: random.Random, step_mg: int = STEP_MG) -> int:
    """The figure that a scale shows: off by up to a step, then rounded to it."""
    return round((true_mg + rng.uniform(-0.5, 0.5) * step_mg) / step_mg) * step_mg


def _scattered(weight: WeightPlan, rng: random.Random) -> tuple[float, float]:
    """The differences of a good parcel from what is reckoned: of its empty box, and of the rest."""
    empty = sum(rng.uniform(-1, 1) * sqrt(3) * row.sd_mg for row in weight.tolerance if row.empty)
    return empty, sum(rng.gauss(0, row.sd_mg) for row in weight.tolerance if not row.empty)


def _weigh_in(plan: Plan, rng: random.Random, counts: Counts) -> None:
    weight = plan.weight
    tools = [Weighed(item.letter, item.weight_mg, "like") for item in plan.items if item.kind is ItemKind.TOOL]
    lightest = min(tool.weight_mg for tool in tools)
    empty_mg, rest_mg = _scattered(weight, rng)
    expected = expectation(weight, step_mg=STEP_MG)
    if 2 * expected.tolerance_mg > lightest:
        counts.empty_weighed += 1
        weighed = _reading(weight.empty_mg + empty_mg, rng, BENCH_STEP_MG)
        expected = expectation(weight, empty_mg=weighed, step_mg=STEP_MG)
        counts.blind += 2 * expected.tolerance_mg > lightest
    true_mg = weight.gross_mg + empty_mg + rest_mg
    counts.good += 1
    counts.good_stopped += not expected.fits(_reading(true_mg, rng))
    rack = _rack(tools, rng)
    _without_a_piece(true_mg, expected, tools, rack, rng, counts)
    _with_a_wrong_piece(true_mg, expected, tools, rack, rng, counts)


def _rack(tools: Sequence[Weighed], rng: random.Random) -> list[Weighed]:
    names = count(1)
    likes = [rng.choice(tools) for _ in range(RACK)]
    return [Weighed(f"r{next(names)}", round(one.weight_mg * rng.gauss(1, RACK_SPREAD)), "like") for one in likes]


def _without_a_piece(
    true_mg: float,
    expected: Expectation,
    tools: Sequence[Weighed],
    rack: Sequence[Weighed],
    rng: random.Random,
    counts: Counts,
) -> None:
    gone = rng.choice(tools)
    reading = _reading(true_mg - gone.weight_mg, rng)
    counts.missing += 1
    if expected.fits(reading):
        return
    counts.missing_caught += 1
    found = likely_causes(reading, expected, tools, rack=rack)
    counts.missing_named += any(cause.things == (gone,) for cause in _missing(found))
    counts.missing_first += bool(found.causes) and found.causes[0].kind is CauseKind.MISSING


def _missing(found: Findings) -> list[Cause]:
    return [cause for cause in found.causes if cause.kind is CauseKind.MISSING]


def _with_a_wrong_piece(
    true_mg: float,
    expected: Expectation,
    tools: Sequence[Weighed],
    rack: Sequence[Weighed],
    rng: random.Random,
    counts: Counts,
) -> None:
    right, wrong = rng.choice(tools), rng.choice(rack)
    by = wrong.weight_mg - right.weight_mg
    reading = _reading(true_mg + by, rng)
    caught = not expected.fits(reading)
    if abs(by) <= 2 * expected.tolerance_mg:
        counts.near_swaps += 1
        counts.near_caught += caught
        return
    counts.swaps += 1
    counts.swaps_caught += caught
    found = likely_causes(reading, expected, tools, rack=rack)
    counts.swaps_named += any(cause.instead == wrong and cause.things == (right,) for cause in found.causes)


def report(counts: Counts) -> str:
    """The figures as a table, with what they are held against."""
    rows = [
        ("good, stopped", counts.good, f"{counts.stopped_share:.2%}", f"at most {GOOD_STOPPED:.0%}"),
        ("a piece missing, caught", counts.missing, f"{counts.missing_share:.2%}", f"at least {MISSING_CAUGHT:.0%}"),
        ("... and named", counts.missing_caught, f"{counts.missing_named / max(1, counts.missing_caught):.0%}", ""),
        ("swap of over 2 tolerances, caught", counts.swaps, f"{counts.swap_share:.2%}", f"at least {SWAPS_CAUGHT:.0%}"),
        (
            "... and named among three",
            counts.swaps_caught,
            f"{counts.swaps_named / max(1, counts.swaps_caught):.0%}",
            "",
        ),
        ("nearer swap, caught", counts.near_swaps, f"{counts.near_caught / max(1, counts.near_swaps):.0%}", ""),
        ("empty box weighed first", counts.good, f"{counts.empty_weighed / counts.good:.0%}", ""),
        ("blind all the same", counts.good, f"{counts.blind / counts.good:.1%}", ""),
    ]
    lines = [(name, str(parcels), share, asked) for name, parcels, share, asked in rows]
    return table(("weigh-in", "parcels", "share", "asked"), lines)


def failures(counts: Counts) -> list[str]:
    """Every figure that is missed, in a sentence."""
    missed = []
    if counts.stopped_share > GOOD_STOPPED:
        missed.append(f"weigh-in: {counts.stopped_share:.2%} of good parcels stopped, at most {GOOD_STOPPED:.0%}")
    if counts.missing_share < MISSING_CAUGHT:
        missed.append(f"weigh-in: {counts.missing_share:.2%} of missing pieces caught, at least {MISSING_CAUGHT:.0%}")
    if counts.swap_share < SWAPS_CAUGHT:
        missed.append(f"weigh-in: {counts.swap_share:.2%} of swaps caught, at least {SWAPS_CAUGHT:.0%}")
    return missed
