"""Handbook woods and usual stock sizes, as rows that a shop replaces by its own measured ones."""

from decimal import Decimal
from fractions import Fraction

from packing.materials.wood import Timber, Wood

_COPY = "wood handbook's table of strength properties, specific gravity at 12 % moisture, read in a copy"
_MEMORY = "wood handbook's table of strength properties, specific gravity at 12 % moisture, from memory"

WOODS = (
    Wood("hickory, shagbark", Decimal("0.72"), _COPY, "secondary"),
    Wood("hickory, pignut", Decimal("0.75"), _COPY, "secondary"),
    Wood("ash, white", Decimal("0.60"), _COPY, "secondary"),
    Wood("birch, yellow", Decimal("0.62"), _COPY, "secondary"),
    Wood("birch, paper", Decimal("0.55"), _COPY, "secondary"),
    Wood("beech", Decimal("0.64"), _COPY, "secondary"),
    Wood("pine, eastern white", Decimal("0.35"), _MEMORY, "memory"),
    Wood("pine, loblolly", Decimal("0.51"), _MEMORY, "memory"),
    Wood("spruce, Sitka", Decimal("0.40"), _MEMORY, "memory"),
    Wood("Douglas-fir", Decimal("0.48"), _MEMORY, "memory"),
)
_PINE = next(wood for wood in WOODS if wood.name == "pine, eastern white")
_DRY = "dry sizes by the American softwood standard, from memory; measure the boards in hand"


def _plank(width_in: int, actual_um: int) -> Timber:
    return Timber(
        name=f"white pine 1×{width_in}",
        nominal=f"1×{width_in}",
        thickness_um=19_000,
        width_um=actual_um,
        length_um=2_440_000,
        density_g_m3=_PINE.density_g_m3,
        processed=False,
        nominal_in=(Fraction(1), Fraction(width_in)),
        per="board foot",
        source=f"{_DRY}; weight from gravity {_PINE.gravity} × 1.12 ({_PINE.source})",
    )


PLANKS = tuple(
    _plank(width, actual)
    for width, actual in ((2, 38_000), (4, 89_000), (6, 140_000), (8, 184_000), (10, 235_000), (12, 286_000))
)
"""Sawn boards, narrow to wide."""


def _birch(nominal: int, actual_um: int) -> Timber:
    return Timber(
        name=f"birch plywood {nominal} mm",
        nominal=f"{nominal} mm",
        thickness_um=actual_um,
        width_um=1_525_000,
        length_um=1_525_000,
        density_g_m3=680_000,
        processed=True,
        spread=0.04,
        source="birch plywood 650 to 700 kg/m³ from memory; measure the thickness of the sheet in hand",
    )


PLYWOOD = (_birch(6, 6_000), _birch(9, 9_000), _birch(12, 12_000), _birch(15, 15_000), _birch(18, 18_000))
"""Panels, thin to thick."""
