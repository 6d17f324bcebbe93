"""Compile the search's kernels once, so that the first plan does not wait: ``python -m packing.nest.build``."""

from packing.measure import read_order
from packing.nest import nest


def build() -> None:
    """Run a tiny search, which compiles every kernel and leaves it in the cache folder."""
    block = {"kind": "block", "length": 10, "width": 20, "height": 30, "weight_g": 1}
    nest(read_order({"id": "build", "items": [{"id": "a", **block}, {"id": "b", **block}]}), effort=2)


if __name__ == "__main__":
    build()
