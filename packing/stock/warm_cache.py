"""Compile the kernels of laying parts on stock once: ``python -m packing.stock.warm_cache``."""

from packing.stock.model import Cutting, Part, StockSheet
from packing.stock.solve import lay_out


def build() -> None:
    """Lay a few parts in each way, which compiles every kernel and leaves it in the cache folder."""
    for cutting in Cutting:
        lay_out([Part("a", (3, 2))] * 4, [StockSheet("sheet", (5, 5))], cutting=cutting, effort=10)
    lay_out([Part("a", (3, 2), turns=False)] * 4, [StockSheet("bar", (5, 2))], effort=10)


if __name__ == "__main__":
    build()
