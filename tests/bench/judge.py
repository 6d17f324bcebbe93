"""Whether a run is good enough: every figure that misses its limit, named."""

from collections.abc import Callable, Iterator, Sequence
from statistics import mean

from tests.bench.limits import (
    GAPS,
    GROUPS,
    LONG_S,
    PEAK_MB,
    PROOF_S,
    PROVEN_UP_TO,
    RATIOS,
    START_S,
    STRESS_ITEMS,
    STRESS_S,
    UNPROVEN_ALLOWED,
    VERY_LONG,
    VERY_LONG_S,
    group_of,
)
from tests.bench.rows import Row

SAME = 1e-9
"""Two volumes this close, as a share, are equal: they are written in mm³ with three decimals."""
OWN = ("plan", "boxes", "published", "growth")
RIVALS = {"boxes": "the best packing of bounding boxes", "pile": "py3dbp"}


def failures(rows: Sequence[Row], *, whole: bool) -> list[str]:
    """Every miss of a run as a sentence that names its row.

    Parameters
    ----------
    rows
        Of one run.
    whole
        Whether all open orders were measured: averages are only judged then.
    """
    found = [sentence for row in rows for sentence in _of_one(row)]
    if whole:
        found += [*_mean_ratios(rows), *_bounds(rows)]
    return [*found, *_rivals(rows)]


def new_bests(rows: Sequence[Row]) -> list[str]:
    """Orders with a smaller interior than the best known one, which was not proven to be the least."""
    found: dict[str, Row] = {}
    for row in rows:
        ratio = row.ratio
        if row.kind == "plan" and ratio is not None and ratio < 1 - SAME and not row.known_proven and not row.broken:
            found[row.name] = min(row, found.get(row.name, row), key=lambda row: row.volume_mm3)
    return [
        f"new best: {name} {row.volume_mm3:.3f} mm³, {row.ratio:.5f} of the best known" for name, row in found.items()
    ]


def _of_one(row: Row) -> Iterator[str]:
    label = f"{row.kind} {row.name} at {row.asked_s:g} s"
    if row.broken:
        yield f"{label}: the plan breaks {row.broken} rules: {row.note}"
    if row.kind == "start":
        if row.wall_s > START_S:
            yield f"{label}: {row.wall_s:.2f} s from nothing to a plan of one piece, limit {START_S:g} s"
        return
    if row.status != "planned":
        yield f"{label}: {row.status}. {row.note}"
        return
    if row.kind in OWN and row.peak_mb > PEAK_MB:
        yield f"{label}: {row.peak_mb:.0f} MB at most, limit {PEAK_MB:g} MB"
    if row.kind == "published" and abs(row.volume_mm3 / row.known_mm3 - 1) > SAME:
        yield f"{label}: {row.volume_mm3:.12g} mm³, the known answer is {row.known_mm3:.12g} mm³"
    if row.kind in ("plan", "published") and row.bound_mm3 > row.known_mm3 * (1 + SAME):
        yield f"{label}: its lower bound {row.bound_mm3:.12g} mm³ is refuted by a plan of {row.known_mm3:.12g} mm³"
    if row.kind == "growth" and row.items == STRESS_ITEMS and row.wall_s > STRESS_S:
        yield f"{label}: {row.wall_s:.1f} s to a valid plan, limit {STRESS_S:g} s"
    if row.kind == "plan":
        yield from _of_plan(row, label)


def _of_plan(row: Row, label: str) -> Iterator[str]:
    ratio = row.ratio or 0.0
    limit = VERY_LONG if row.asked_s == VERY_LONG_S else RATIOS.get((group_of(row.items), row.asked_s))
    if limit and ratio > limit.worst + SAME:
        yield f"{label}: {ratio:.4f} of the best known, limit {limit.worst:g}"
    if row.known_proven and ratio < 1 - SAME:
        yield f"{label}: {ratio:.4f} of a volume that was proven to be the least: one of the two is wrong"


def _plans(rows: Sequence[Row], group: str, asked_s: float) -> list[Row]:
    return [row for row in rows if row.kind == "plan" and row.asked_s == asked_s and group_of(row.items) == group]


def group_mean(rows: Sequence[Row], value: Callable[[Row], float | None]) -> float | None:
    """The mean of what is known of some rows; None where nothing is."""
    known = [number for number in map(value, rows) if number is not None]
    return mean(known) if known else None


def _mean_ratios(rows: Sequence[Row]) -> Iterator[str]:
    for (group, asked_s), limit in RATIOS.items():
        found = group_mean(_plans(rows, group, asked_s), lambda row: row.ratio)
        if found is not None and found > limit.mean + SAME:
            yield f"{group} at {asked_s:g} s: {found:.4f} of the best known on average, limit {limit.mean:g}"
    long = [row for group in GROUPS for row in _plans(rows, group, VERY_LONG_S)]
    found = group_mean(long, lambda row: row.ratio)
    if found is not None and found > VERY_LONG.mean + SAME:
        yield f"all at {VERY_LONG_S:g} s: {found:.4f} of the best known on average, limit {VERY_LONG.mean:g}"


def _bounds(rows: Sequence[Row]) -> Iterator[str]:
    for group, limit in GAPS.items():
        found = group_mean(_plans(rows, group, PROOF_S), lambda row: row.gap)
        if found is not None and found > limit:
            yield f"{group} at {PROOF_S:g} s: {found:.1%} above the bound on average, limit {limit:.0%}"
    few = [row for group in GROUPS for row in _plans(rows, group, PROOF_S) if row.items <= PROVEN_UP_TO]
    unproven = [row.name for row in few if not row.proven]
    if len(unproven) > UNPROVEN_ALLOWED:
        yield (
            f"up to {PROVEN_UP_TO} items at {PROOF_S:g} s: not proven are {', '.join(unproven)}; "
            f"{UNPROVEN_ALLOWED} may be left"
        )


def _rivals(rows: Sequence[Row]) -> Iterator[str]:
    ours = {row.name: row for row in rows if row.kind == "plan" and row.asked_s == LONG_S and row.volume_mm3}
    for row in rows:
        plan = ours.get(row.name)
        if row.kind not in RIVALS or plan is None or row.tools < 2 or not row.volume_mm3:
            continue
        if plan.volume_mm3 >= row.volume_mm3 * (1 - SAME):
            yield f"plan {row.name} at {LONG_S:g} s: no smaller than {RIVALS[row.kind]}, {row.volume_mm3:.12g} mm³"
