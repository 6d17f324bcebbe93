"""Foam, boards, cartons and wood to start with, as rows that a shop replaces by its own measured ones."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from packing.materials.board import Board
from packing.materials.carton import Carton
from packing.materials.foam import Foam
from packing.materials.wood import Timber, Wood
from packing.sureness import Sureness

PE_FOAM = Foam(
    "PE foam",
    27_000,
    0,
    0.05,
    "1.7 lb/ft³ plank, 27.2 kg/m³, from memory; snug cut 0 to −2 mm is common practice, no source; meant for 0.4 to "
    "1.2 psi, from memory: the maker's curve decides",
    stress_pa=(2_760, 8_270),
)
STIFF_SHEET = Foam(
    "birch plywood",
    680_000,
    0,
    0.05,
    "650 to 700 kg/m³, from memory; under heads that lie over pockets: common practice, no source",
)
C_FLUTE = Board(
    "42-26C-42 single wall",
    "C",
    "200 psi burst",
    4_000,
    601_000,
    35_000,
    0.03,
    "caliper from trade tables; grammage from 42 + 42 lb liners, 26 lb medium at take-up 1.43 and glue, "
    "all from memory",
    burst_psi=200,
    facings_lb=84,
    ect_lb_in=32,
    sureness=Sureness.MEMORY,
)

_SIZES_MM = (
    (300, 200, 100),
    (350, 250, 150),
    (400, 200, 150),
    (400, 300, 200),
    (450, 350, 200),
    (500, 200, 150),
    (500, 300, 200),
    (600, 250, 200),
    (600, 400, 300),
    (700, 300, 200),
    (800, 350, 250),
    (1000, 300, 200),
)
EXAMPLE_CARTONS = tuple(
    Carton(f"{length} × {width} × {height}", (length * 1000, width * 1000, height * 1000), C_FLUTE)
    for length, width, height in _SIZES_MM
)
"""Invented sizes to try the program with; a shop puts its own stock in their place."""

_BUILT = "grammage from liners, medium, take-up and 2 lb of glue a wall, all from memory; measure the caliper"


def _board(name: str, grade_: str, grammage: int, burst: int, facings: int, ect: int) -> Board:
    return replace(
        C_FLUTE,
        name=name,
        grade=grade_,
        grammage_mg_m2=grammage * 1000,
        burst_psi=burst,
        facings_lb=facings,
        ect_lb_in=ect,
        source=_BUILT,
    )


BOARDS = (
    replace(_board("35-26B-35 single wall", "32 ECT", 519, 0, 70, 32), flute="B", caliper_um=3_000),
    _board("35-26C-35 single wall", "32 ECT", 533, 0, 70, 32),
    C_FLUTE,
    _board("69-26C-69 single wall", "275 psi burst", 865, 275, 138, 44),
    replace(
        _board("42-26B-42-26C-42 double wall", "350 psi burst", 984, 350, 126, 51),
        flute="BC",
        caliper_um=7_000,
        joint_um=45_000,
        wall="double",
    ),
)
"""Usual boards to start with; a shop puts its own measured stock in their place."""

_MEMORY = "wood handbook's table of strength properties, specific gravity at 12 % moisture, from memory"

WHITE_PINE = Wood("pine, eastern white", Decimal("0.35"), _MEMORY, "memory")
_DRY = "dry sizes by the American softwood standard, from memory; measure the boards in hand"


def _plank(width_in: int, actual_um: int) -> Timber:
    return Timber(
        name=f"white pine 1×{width_in}",
        nominal=f"1×{width_in}",
        thickness_um=19_000,
        width_um=actual_um,
        length_um=2_440_000,
        density_g_m3=WHITE_PINE.density_g_m3,
        processed=False,
        nominal_in=(Fraction(1), Fraction(width_in)),
        per="board foot",
        source=f"{_DRY}; weight from gravity {WHITE_PINE.gravity} × 1.12 ({WHITE_PINE.source})",
        sureness=Sureness.MEMORY,
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
        sureness=Sureness.MEMORY,
    )


PLYWOOD = (_birch(6, 6_000), _birch(9, 9_000), _birch(12, 12_000), _birch(15, 15_000), _birch(18, 18_000))
"""Panels, thin to thick."""


def _birch_inch(size: str, actual_um: int) -> Timber:
    return replace(
        PLYWOOD[0],
        name=f"birch plywood {size} in",
        nominal=f"{size} in",
        thickness_um=actual_um,
        width_um=1_524_000,
        length_um=1_524_000,
    )


PLYWOOD_INCH = (
    _birch_inch("1/4", 6_350),
    _birch_inch("3/8", 9_525),
    _birch_inch("1/2", 12_700),
    _birch_inch("5/8", 15_875),
    _birch_inch("3/4", 19_050),
)
"""Panels where stock is bought by the inch, in sheets of 60 × 60 in, thin to thick; the one in hand is measured."""
PLANKS_INCH = tuple(
    replace(plank, thickness_um=19_050, width_um=actual_um, length_um=2_438_400)
    for plank, actual_um in zip(PLANKS, (38_100, 88_900, 139_700, 184_150, 234_950, 285_750), strict=True)
)
"""The same boards by the inch: 3/4 in thick, 1 1/2 to 11 1/4 in wide, 8 ft long (dressed sizes, from memory)."""
