"""Boxes of every style and of boards measured up to 0.3 mm off, folded and put together from the plan file alone."""

import json
import os
import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from packing.boxes import BoxSpec, Infeasible, all_styles, box_plan, make_box
from packing.materials import BOARDS, C_FLUTE, EXAMPLE_CARTONS, Joinery, wood_verdict
from packing.measure import BadInput
from packing.plan import dumps
from packing.plan.kinds import ContainerKind
from tests.packing.box_specs import E_FLUTE, designed, refused
from tests.packing.boxes import assembly

BOXES = int(os.environ.get("STOWRIGHT_BOXES", "33"))
"""How many boxes are tried: a sample in the suite, 253 with STOWRIGHT_BOXES=253."""
STYLES = [style.code for style in all_styles()]
FOLD_MM = 0.5


def generated(codes: list[str], joinery: Joinery | None = None) -> Iterator[tuple[str, BoxSpec, Any]]:
    """Boxes by turns of every style: which, what it was made for, its plan file; refusal ones are made another size."""
    generator = random.Random("boxes that go together")
    made = 0
    while made < BOXES:
        code = codes[made % len(codes)]
        length = generator.randrange(1_200, 9_000) * 100
        interior = (
            length,
            generator.randrange(600, min(3_000, length // 100)) * 100,
            generator.randrange(500, 2_500) * 100,
        )
        board = generator.choice((*BOARDS, E_FLUTE))
        measured = replace(board, caliper_um=board.caliper_um + generator.randrange(-30, 31) * 10)
        head = generator.randrange(interior[0] - 60_000) if generator.random() < 0.5 else None
        spec = BoxSpec(
            interior,
            measured,
            sheets=generator.randrange(3, 9),
            heads=() if head is None else ((head, head + 50_000),),
            contents_mg=generator.randrange(1, 24) * 1_000_000,
            cartons=EXAMPLE_CARTONS,
            joinery=joinery or Joinery(),
        )
        try:
            box = make_box(code, spec)
        except BadInput:
            continue
        if not isinstance(box, Infeasible):
            made += 1
            yield code, spec, json.loads(dumps(box_plan(box)))


def codes_of(*kinds: ContainerKind) -> list[str]:
    return [style.code for style in all_styles() if style.family in kinds]


def near(folded: tuple[float, ...], inner: list[float]) -> bool:
    return all(abs(a - b) <= FOLD_MM for a, b in zip(folded, inner, strict=True))


def test_corrugated_boxes_fold_to_their_inside_and_take_the_insert() -> None:
    for code, spec, box in generated(codes_of(ContainerKind.CORRUGATED)):
        inside = inside_of(code, box, spec.board.caliper_um / 1000)
        assert near(inside, box["inner_mm"]), (code, inside, box["inner_mm"])
        assert all(room >= side / 1000 - 0.002 for room, side in zip(inside, spec.interior_um, strict=True))


def test_end_walls_and_tops_fit_between_the_walls_they_stand_between() -> None:
    for code, spec, box in generated(["0300", "0300 partial", "wrap"]):
        t = spec.board.caliper_um / 1000
        if code == "wrap":
            width = assembly.wrap_inside(box["flats"][0], caliper=t)[1]
            for top in ("inner top", "outer top"):
                assert assembly.panels(box["flats"][0], top)[0][0] - t / 2 <= width + 0.001
            continue
        for blank in assembly.pieces(box, "body blank", "lid blank"):
            room = assembly.tray_inside(blank, caliper=t)[1]
            assert all(room - 2 <= wall <= room for wall in assembly.end_walls(blank))


def test_every_panel_folds_along_a_crease_of_its_edge() -> None:
    for code, spec, box in generated(codes_of(ContainerKind.CORRUGATED, ContainerKind.CARTON)):
        for piece in box["flats"]:
            assert not assembly.folds_without_crease(piece), (code, spec.interior_um)


def inside_of(code: str, box: Any, caliper: float) -> tuple[float, float, float]:
    """What a box folds to, by its style."""
    if box["flap_layers"]:
        return assembly.tube_inside(box, caliper=caliper)
    if code == "wrap":
        return assembly.wrap_inside(box["flats"][0], caliper=caliper)
    return assembly.tray_inside(assembly.pieces(box, "body blank")[0], caliper=caliper)


MEASURED = (-300, -150, 0, 150, 300)
"""How far a board may measure off its allowance row, in micrometres."""


@pytest.mark.parametrize("off_um", MEASURED)
@pytest.mark.parametrize("code", codes_of(ContainerKind.CORRUGATED))
def test_every_board_measured_off_its_row_folds_within_half_a_millimetre(code: str, off_um: int) -> None:
    for board in (*BOARDS, E_FLUTE):
        measured = replace(board, caliper_um=board.caliper_um + off_um)
        made = designed(code, BoxSpec((490_000, 190_000, 125_000), measured))
        assert not isinstance(made, Infeasible)
        box = json.loads(dumps(box_plan(made)))
        inside = inside_of(code, box, measured.caliper_um / 1000)
        assert near(inside, box["inner_mm"]), (board.name, inside, box["inner_mm"])


@pytest.mark.parametrize("code", codes_of(ContainerKind.CORRUGATED))
def test_a_blank_one_panel_of_which_is_off_by_more_than_half_a_millimetre_is_caught(code: str) -> None:
    box = json.loads(dumps(box_plan(designed(code, BoxSpec((490_000, 190_000, 125_000), C_FLUTE)))))
    (named,) = {"wrap": ("bottom",), "0300": ("floor",), "0300 partial": ("floor",)}.get(code, ("length 1",))
    blank = box["flats"][0]
    panel = next(area for area in blank["panels"] if area["name"] == named)
    for axis in (0, 1):
        before = panel["max_mm"][axis]
        panel["max_mm"][axis] = before + 0.6
        assert not near(inside_of(code, box, 4.0), box["inner_mm"]), axis
        panel["max_mm"][axis] = before
    assert near(inside_of(code, box, 4.0), box["inner_mm"])


@pytest.mark.parametrize("code", codes_of(ContainerKind.CORRUGATED))
def test_a_crease_that_is_moved_or_left_out_is_caught(code: str) -> None:
    blank = json.loads(dumps(box_plan(designed(code, BoxSpec((490_000, 190_000, 125_000), C_FLUTE)))))["flats"][0]
    for index, crease in enumerate(blank["creases"]):
        axis = 0 if crease["from_mm"][0] == crease["to_mm"][0] else 1
        moved = json.loads(json.dumps(blank))
        for end in ("from_mm", "to_mm"):
            moved["creases"][index][end][axis] += 0.6
        assert assembly.folds_without_crease(moved), (code, index)


def test_no_crease_runs_along_a_cut_edge() -> None:
    for _code, _spec, box in generated(codes_of(ContainerKind.CORRUGATED)):
        assert not any(assembly.creases_on_edges(piece) for piece in box["flats"])


def test_fasteners_meet_nowhere_and_stay_in_the_wood() -> None:
    for code, spec, box in generated(["boards", "ply", "sliding"]):
        assert not assembly.too_near(box), (code, spec.interior_um)
        assert not assembly.out_of_wood(box), (code, spec.interior_um)


def test_every_fastener_of_the_parts_list_is_marked_on_a_piece() -> None:
    for code, spec, box in generated(["boards", "ply", "sliding"]):
        counts = [0] * len(box["hardware"])
        for row, _shaft in assembly.shafts(box):
            counts[row] += 1
        assert counts == [row["count"] for row in box["hardware"]], (code, spec.interior_um)


def test_a_sliding_lid_has_play_between_the_sides_and_a_finger_pull() -> None:
    for _code, _spec, box in generated(["sliding"]):
        across, far = assembly.lid_play(box)
        assert across == pytest.approx(2)
        assert far >= 0.9
        assert any(groove["name"] == "finger pull" for groove in assembly.pieces(box, "lid")[0]["grooves"])


def test_a_wooden_box_goes_into_its_case_past_the_glued_joint() -> None:
    for code, spec, box in generated(["ply cased", "sliding cased"]):
        last = max(index for index, step in enumerate(box["steps"]) if step["shell"] == "box")
        plates = box["steps"][last]["plates"]
        size = [max(p["max_mm"][a] for p in plates) - min(p["min_mm"][a] for p in plates) for a in range(3)]
        joints = sum(piece["count"] for piece in box["flats"] if piece["shell"] == "case")
        free = [room - side for room, side in zip(box["case"]["inner_mm"], size, strict=True)]
        assert free[0] - joints * spec.board.caliper_um / 1000 >= 2.99, code
        assert min(free[1:]) >= 2.99, code
        told = [str(step["text"]) for step in box["steps"] if "wooden box in" in str(step["text"])]
        assert len(told) == 1


def test_tape_is_as_long_as_its_strips_and_bands_go_right_round() -> None:
    for code, _spec, box in generated(STYLES):
        strips = [strip["points_mm"] for strip in box["closing"]["strips"]]
        runs = [sum(abs(a - b) for one, two in pairwise(s) for a, b in zip(one, two, strict=True)) for s in strips]
        assert box["closing"]["tape_mm"] == pytest.approx(sum(runs), abs=0.01)
        if code.startswith("0300"):
            _length, width, height = box["outer_mm"]
            assert all(run >= 2 * width + 2 * height for run in runs)


def test_a_block_of_four_metres_is_refused_with_the_limit() -> None:
    for code in STYLES:
        refusal = refused(code, BoxSpec((4_000_000, 300_000, 200_000), C_FLUTE, cartons=EXAMPLE_CARTONS))
        assert isinstance(refusal, Infeasible), code
        assert refusal.limit_um < refusal.value_um
        assert "mm" in str(refusal.reason)


def test_the_check_of_fasteners_names_one_that_meets_another_and_one_out_of_the_wood() -> None:
    box = json.loads(dumps(box_plan(designed("ply", BoxSpec((390_000, 190_000, 140_000), contents_mg=6_000_000)))))
    holes = assembly.pieces(box, "bottom")[0]["holes"]
    assert not assembly.too_near(box)
    assert not assembly.out_of_wood(box)
    holes[0]["at_mm"] = holes[1]["at_mm"]
    assert assembly.too_near(box)
    holes[0]["at_mm"] = [1, 100]
    assert assembly.out_of_wood(box)


def test_rope_holes_are_two_in_each_end_at_one_height_and_clear_of_screws_and_nails() -> None:
    made = 0
    for code, spec, box in generated(["boards", "ply"], Joinery(rope_handles=True)):
        holes = assembly.rope_holes(box)
        if not holes:
            assert "no room for rope handles" in json.dumps(box["notes"])
            assert box["packaging"] == "wood"
            continue
        made += 1
        assert box["packaging"] == "wood with rope handles"
        ends = {round(x, 3) for _id, (x, _y, _z), _drill in holes}
        assert len(ends) == 2 and len(holes) == 4
        assert len({round(z, 3) for _id, (_x, _y, z), _drill in holes}) == 1
        ys = sorted({round(y, 3) for _id, (_x, y, _z), _drill in holes})
        assert ys[1] - ys[0] == pytest.approx(100)
        assert sum(ys) / 2 == pytest.approx(box["inner_mm"][1] / 2, abs=0.01)
        assert not assembly.ropes_on_fasteners(box), (code, spec.interior_um)
    assert made > 3


def test_a_rope_hole_on_a_screw_is_caught() -> None:
    spec = BoxSpec((490_000, 250_000, 185_000), contents_mg=6_000_000, joinery=Joinery(rope_handles=True))
    box = json.loads(dumps(box_plan(designed("ply", spec))))
    assert not assembly.ropes_on_fasteners(box)
    end = assembly.pieces(box, "end")[0]
    hole = next(hole for hole in end["holes"] if box["hardware"][hole["row"]]["kind"] == "handle")
    screw = next(one for one in end["holes"] if one["edge"] and one["at_mm"][1] == end["size_mm"][1])
    hole["at_mm"] = [screw["at_mm"][0], end["size_mm"][1] - 12]
    assert assembly.ropes_on_fasteners(box)


def test_a_box_in_a_case_has_no_ropes_that_would_not_go_into_it() -> None:
    made = designed("ply cased", BoxSpec((490_000, 250_000, 185_000), joinery=Joinery(rope_handles=True)))
    assert not any("rope" in row.what for row in made.hardware)


def test_feet_are_nailed_clear_of_all_else_and_make_the_box_so_much_higher() -> None:
    made = 0
    for code, spec, box in generated(["boards", "ply"], Joinery(feet=True, rope_handles=True)):
        feet = assembly.pieces(box, "foot")
        if not feet:
            assert "no room for two" in json.dumps(box["notes"])
            continue
        made += 1
        assert not assembly.too_near(box), (code, spec.interior_um)
        assert not assembly.out_of_wood(box), (code, spec.interior_um)
        counts = [0] * len(box["hardware"])
        for row, _shaft in assembly.shafts(box):
            counts[row] += 1
        assert counts == [0 if row["kind"] == "handle" else row["count"] for row in box["hardware"]]
        plates = box["steps"][-1]["plates"]
        height = max(plate["max_mm"][2] for plate in plates) - min(plate["min_mm"][2] for plate in plates)
        assert height == pytest.approx(box["outer_mm"][2], abs=0.01)
        lowest = [plate for plate in plates if plate["min_mm"][2] == min(one["min_mm"][2] for one in plates)]
        assert {plate["name"] for plate in lowest} == {"foot"} and len(lowest) == 2
        assert sum("two feet" in json.dumps(step["text"]) for step in box["steps"]) == 1
    assert made > 3


def test_a_plywood_box_on_raw_feet_needs_treated_wood_abroad() -> None:
    spec = BoxSpec((490_000, 250_000, 185_000), contents_mg=6_000_000)
    bare, footed = (designed("ply", replace(spec, joinery=Joinery(feet=asked))) for asked in (False, True))
    assert [wood_verdict(made.wood, abroad=True).verdict for made in (bare, footed)] == ["exempt", "mark needed"]


FLAT, NARROW = (880_000, 160_000, 30_000), (260_000, 70_000, 320_000)
"""Lower outside than tape runs over an edge; an end of two courses that two cleats do not go side by side on."""


@pytest.mark.parametrize("code", codes_of(ContainerKind.CORRUGATED))
def test_no_tape_runs_on_over_a_side_that_is_shorter_than_it(code: str) -> None:
    box = json.loads(dumps(box_plan(designed(code, BoxSpec(FLAT, C_FLUTE)))))
    for strip in box["closing"]["strips"]:
        for point in strip["points_mm"]:
            assert all(-0.001 <= at <= side + 0.001 for at, side in zip(point, box["outer_mm"], strict=True))
    told = box["closing"]["text"]["quantities"]["over"]["length_mm"]
    assert told == (65 if code.startswith("0300") else min(65, box["outer_mm"][2]))


def test_ends_too_narrow_for_two_cleats_have_one_in_the_middle() -> None:
    box = json.loads(dumps(box_plan(designed("boards", BoxSpec(NARROW, contents_mg=3_000_000)))))
    (cleat,) = assembly.pieces(box, "end cleat")
    assert cleat["count"] == 2
    plates = [plate for plate in box["steps"][-1]["plates"] if plate["name"] == "end cleat"]
    middle = box["inner_mm"][1] / 2
    assert all((plate["min_mm"][1] + plate["max_mm"][1]) / 2 == pytest.approx(middle) for plate in plates)
    assert not assembly.too_near(box)
    (nailed,) = [row["count"] for row in box["hardware"] if str(row["where"]) == "ends into cleats"]
    assert nailed == sum(
        1 for row, _shaft in assembly.shafts(box) if box["hardware"][row]["where"] == "ends into cleats"
    )
