"""Which files hold published figures, and which tests are held against them.

Left out are rows that say "weigh one": sizes and weights of screws, nails, tapes and wraps are a shop's own.
"""

from dataclasses import dataclass

BILLING = ("tests/outside/test_dimensional_weight.py", "tests/outside/test_carrier_limits.py")
BOARD = ("tests/outside/test_box_rules.py", "tests/outside/test_board_tables.py", "tests/outside/test_slotted_case.py")
BOXES = (*BOARD, "tests/outside/test_box_sizes.py")
WOOD = ("tests/outside/test_box_rules.py", "tests/outside/test_wood_tables.py", "tests/outside/test_box_sizes.py")
CUSHIONS = ("tests/outside/test_cushions.py",)
BENCH = ("tests/outside/test_bench_practice.py", "tests/outside/test_steel_and_wood.py")
LIFTING = ("tests/outside/test_lifting.py",)
CUSTOMS = ("tests/outside/test_customs.py",)


@dataclass(frozen=True)
class Target:
    """A file with figures, the names to look at (None: all of it), and the tests that should notice a change."""

    file: str
    names: tuple[str, ...] | None
    tests: tuple[str, ...]


TARGETS = (
    Target("packing/carry/defaults.py", None, BILLING),
    Target("packing/carry/private_carriers.py", None, BILLING),
    Target("packing/carry/posts.py", None, BILLING),
    Target("packing/carry/billing.py", ("MOST_GROWTH_UM", "round_side"), BILLING),
    Target(
        "packing/units.py",
        ("MM_PER_INCH", "G_PER_POUND", "G_PER_OUNCE", "LENGTH_UNITS", "WEIGHT_UNITS"),
        ("tests/outside/test_units.py",),
    ),
    Target("packing/strength/defaults.py", None, BOARD),
    Target("packing/strength/stacking.py", ("FACTOR", "UM_PER_INCH", "DEPTH_SHARE", "SIDES_RATIO"), BOARD),
    Target("packing/strength/load.py", ("UM_PER_FT", "MG_PER_LB", "Load"), BOARD),
    Target("packing/materials/defaults.py", ("PE_FOAM", "STIFF_SHEET", "C_FLUTE"), (*BOXES, *BENCH)),
    Target("packing/materials/defaults.py", ("_board", "BOARDS"), BOXES),
    Target("packing/materials/supplies.py", ("PAPERS",), (*BOXES, *BENCH)),
    Target("packing/materials/allowances.py", ("WITHIN_UM", "ALLOWANCES"), BOXES),
    Target("packing/materials/joinery.py", ("Joinery",), BOXES),
    Target("packing/boxes/spec.py", ("FIT_UM", "DRIFT_UM", "PRESSED_UM"), BOXES),
    Target("packing/boxes/slotted.py", ("PAD_GAP_UM", "pad_of"), BOXES),
    Target("packing/boxes/tape.py", ("TAPE_OVERLAP_UM", "h_strips"), BOXES),
    Target("packing/boxes/wooden.py", ("SIDE_ROWS_UM", "THICKEST_SIDE_UM"), BOXES),
    Target("packing/boxes/styles/full_overlap_0203.py", ("SHORT_UM",), BOXES),
    Target("packing/boxes/styles/telescope_0300.py", ("SLACK_UM", "LEAST_LID_UM"), BOXES),
    Target("packing/boxes/strip.py", ("SLOT_OVER_CALIPER_UM",), BOXES),
    Target("packing/materials/defaults.py", ("WHITE_PINE", "PLANKS", "_plank", "PLYWOOD", "_birch"), WOOD),
    Target("packing/materials/wood.py", ("MOIST", "UM_PER_INCH", "board_feet"), WOOD),
    Target("packing/materials/treatment.py", ("THIN_UM",), WOOD),
    Target(
        "packing/materials/fasteners.py",
        ("SCREW_SPACING_UM", "NAIL_SPACING_UM", "EDGE_UM", "PILOT_SHARE", "NAIL_PILOT_SHARE", "CLINCH_UM"),
        WOOD,
    ),
    Target("packing/materials/fastening.py", ("screwed", "nailed"), WOOD),
    Target("packing/measure/plausible.py", ("STEEL_G_CM3", "HANDLE_G_CM3", "WOOD_HEAD_G_CM3", "FILL_BANDS"), BENCH),
    Target("packing/measure/rules.py", ("Rules",), BENCH),
    Target("packing/cushion/drop.py", ("DROP_ROWS", "FRAGILITY_G", "USABLE_STRAIN"), CUSHIONS),
    Target("packing/cushion/footing.py", ("GRAVITY_UM_S2",), CUSHIONS),
    Target("packing/insert/contact.py", ("HAMMER_SHARE", "AXE_SHARE", "HANDLE_SHARE"), BENCH),
    Target("packing/insert/lift.py", ("NOTCH_WIDTH_UM", "NOTCH_DEPTH_UM"), BENCH),
    Target("packing/planning/weight.py", ("HANDLE_SD_MG",), BENCH),
    Target("packing/handling/heavy.py", ("ONE_PERSON",), LIFTING),
    Target(
        "packing/handling/niosh.py",
        ("_CONSTANTS", "TRAVEL_SHARE", "TWIST_SLOPE", "MOST_TWIST", "FREQUENCIES", "_MULTIPLIERS", "_GRIPS"),
        LIFTING,
    ),
    Target("packing/customs/headings.py", ("LIGHT_HEAD_MG",), CUSTOMS),
    Target("packing/customs/forms.py", ("FormLimit", "CN22_LIMITS"), CUSTOMS),
    Target("packing/check_digits.py", ("S10_WEIGHTS", "gs1_check_digit"), ("tests/outside/test_check_digits.py",)),
    Target("packing/plan/model.py", ("SPREADS",), ("tests/outside/test_uncertainty.py",)),
)
