"""An insert whose length and width fall on the shop's step, its pieces kept in the middle of what that adds."""

from dataclasses import replace

from packing.measure import Rules, up_to_step
from packing.nest.demands import Demands
from packing.nest.result import Nesting
from packing.plan.kinds import Status


def on_the_step(rules: Rules, nesting: Nesting) -> Nesting:
    """Round a nesting's length and width up to the step of its rules, those of its `others` too.

    Parameters
    ----------
    rules
        Of its order; without `step` nothing changes, nor does a side that would pass `max_interior`.
    nesting
        In layers or without.

    Returns
    -------
    Nesting
        What a side grows by lies half on each side of the pieces. It is not proven the smallest any more where it has
        grown.
    """
    demands = Demands(rules)
    step, most = demands.whole_step, demands.most_um
    if step is None:
        return nesting
    others = tuple(on_the_step(rules, other) for other in nesting.others)
    if nesting.status is not Status.PLANNED:
        return replace(nesting, others=others)
    length, width, height = nesting.interior_um
    rounded = (up_to_step(length, step), up_to_step(width, step), height)
    if most is not None and any(new > old and new > limit for new, old, limit in zip(
        sorted(rounded), sorted(nesting.interior_um), sorted(most), strict=True
    )):  # fmt: skip
        return replace(nesting, others=others)
    placed = tuple(
        replace(one, x_um=one.x_um + (rounded[0] - length) // 2, y_um=one.y_um + (rounded[1] - width) // 2)
        for one in nesting.placed
    )
    proven = nesting.proven and rounded == nesting.interior_um
    return replace(nesting, interior_um=rounded, placed=placed, proven=proven, others=others)
