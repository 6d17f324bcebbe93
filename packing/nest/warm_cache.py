"""Compile the search's kernels once, so that the first plan does not wait: ``python -m packing.nest.warm_cache``."""

from typing import Any

from packing import kernels
from packing.measure import read_order

BLOCK: dict[str, Any] = {"kind": "block", "length": 20, "width": 30, "height": 10, "weight_g": 1}
TOOL: dict[str, Any] = {"kind": "tool", "head_length": 105, "head_height": 42, "head_width": 42, "handle_length": 250}
TOOL |= {"handle_width": 33, "handle_thickness": 23, "weight_g": 1440}


def build() -> None:
    """Run small searches, which compiles every kernel and leaves it in the cache folder."""
    # Here, not above: who waits for another process that compiles needs no compiler loaded.
    from packing.nest import nest
    from packing.nest.exact.prove import prove
    from packing.nest.problem import problem_of

    items = [{"id": "a", **TOOL}, {"id": "b", **TOOL}, {"id": "c", **BLOCK}]
    order = read_order({"id": "layered", "items": items})
    nest(order, effort=2000)
    prove(problem_of(order), 10**18, steps=20_000)
    blocks = [{"id": str(index), **BLOCK, "height": 10 + index} for index in range(4)]
    nest(read_order({"id": "free", "rules": {"layered": False}, "items": blocks}), effort=2000)


def build_once() -> None:
    """Compile what is not compiled yet, one process at a time."""
    with kernels.one_at_a_time():
        if not kernels.are_compiled():
            build()
            kernels.note_compiled()


if __name__ == "__main__":
    build_once()
