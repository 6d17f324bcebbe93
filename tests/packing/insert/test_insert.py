"""What every insert must be, tried on a zoo of specimens, and the details one by one."""

import itertools
import json
from dataclasses import replace

import pytest
from shapely import box as rectangle
from shapely import union_all

from packing.insert import Insert, insert_plan, letter_of, make_insert
from packing.materials import PE_FOAM, Foam
from packing.measure import BadInput, Order
from packing.nest import Nesting
from packing.plan import to_json
from tests.packing.insert_zoo import AXE, HAMMER, TIN, laid, order_of, zoo

ZOO = zoo()
LOOSE_FOAM = replace(PE_FOAM, fit_um=1_500)


@pytest.fixture(
    params=[(name, foam) for name in ZOO for foam in (PE_FOAM, LOOSE_FOAM)], ids=lambda p: f"{p[0]}-{p[1].fit_um}"
)
def specimen(request: pytest.FixtureRequest) -> tuple[Order, Nesting, Foam, Insert]:
    name, foam = request.param
    order, nesting = ZOO[name]
    return order, nesting, foam, make_insert(order, nesting, foam)


def clear(first, second):
    """How far two rectangles are apart along x or y, negative where they overlap."""
    return max(first[0] - second[2], second[0] - first[2], first[1] - second[3], second[1] - first[3])


def rooms(order, one):
    by = order.rules.clearance_um
    return [(p.x0 - by, p.y0 - by, p.x1 + by, p.y1 + by) for p in one.parts]


def test_the_sheets_tile_the_interior_from_the_bottom_to_the_top(specimen):
    _, nesting, _, insert = specimen
    assert insert.sheets[0].floor_um == 0
    assert all(low.top_um == high.floor_um for low, high in itertools.pairwise(insert.sheets))
    assert insert.sheets[-1].top_um == nesting.interior_um[2]


def test_each_layer_is_made_of_its_own_sheets_and_all_of_them_stock(specimen):
    order, nesting, _, insert = specimen
    for index, layer in enumerate(nesting.layers):
        own = [sheet for sheet in insert.sheets if sheet.layer == index]
        assert (own[0].floor_um, own[-1].top_um) == (layer.floor_um, layer.floor_um + layer.height_um)
        assert {sheet.thickness_um for sheet in own} <= set(order.rules.sheets_um)


def test_no_foam_is_left_inside_a_piece(specimen):
    _, nesting, _, insert = specimen
    for one in nesting.placed:
        for part in one.parts:
            for sheet in insert.sheets:
                if sheet.layer == one.layer and sheet.top_um > part.z0:
                    holes = union_all([rectangle(*p.rect) for p in sheet.pockets if p.item == one.item])
                    assert holes.covers(rectangle(part.x0, part.y0, part.x1, part.y1))


def test_a_sheet_below_a_handle_is_not_cut_for_it(specimen):
    _, nesting, _, insert = specimen
    undersides = {(one.item, part.name): part.z0 for one in nesting.placed for part in one.parts}
    for sheet in insert.sheets:
        for pocket in sheet.pockets:
            part = "head" if (pocket.item, "head") in undersides else "block"
            name = part if pocket.part == "notch" else pocket.part
            assert sheet.top_um > undersides[pocket.item, name]


def test_the_weight_is_the_sheets_less_the_union_of_their_pockets(specimen):
    _, _, foam, insert = specimen
    length, width = insert.size_um
    volume = sum(
        (length * width - union_all([rectangle(*p.rect) for p in sheet.pockets]).area) * sheet.thickness_um
        for sheet in insert.sheets
    )
    assert insert.sheets_mg == pytest.approx(volume * foam.density_g_m3 / 1e15, abs=0.51)


def test_the_cut_length_is_the_outline_of_the_union_of_the_pockets(specimen):
    _, _, _, insert = specimen
    length, width = insert.size_um
    border = rectangle(0, 0, length, width).exterior
    total = 0
    for sheet in (sheet for sheet in insert.sheets if sheet.pockets):
        outline = union_all([rectangle(*p.rect) for p in sheet.pockets]).boundary
        total += outline.length - outline.intersection(border).length
    assert insert.cut_um == pytest.approx(total, abs=1)


def test_no_part_hangs_by_more_than_3_mm(specimen):
    _, nesting, _, insert = specimen
    held = {(s.item, s.part): s for s in insert.saddles}
    for one in nesting.placed:
        for part in one.parts:
            lowest = next(s for s in insert.sheets if s.layer == one.layer and s.top_um > part.z0)
            saddle = held.get((one.item, part.name))
            if saddle:
                assert (saddle.z0_um, saddle.z1_um) == (lowest.floor_um, part.z0)
            else:
                assert part.z0 - lowest.floor_um <= 3_000


def test_no_part_can_rise_by_more_than_3_mm(specimen):
    _, nesting, _, insert = specimen
    over = {(p.item, p.part): p for p in insert.plugs}
    for one in nesting.placed:
        layer = nesting.layers[one.layer]
        top = layer.floor_um + layer.height_um
        for part in one.parts:
            plug = over.get((one.item, part.name))
            assert (plug.z0_um if plug else top) - part.z1 <= 3_000
            assert plug is None or (plug.z0_um >= part.z1 and plug.z1_um == top)


def test_loose_pieces_meet_neither_a_piece_nor_each_other(specimen):
    _, nesting, _, insert = specimen
    solids = [(p.x0, p.y0, p.x1, p.y1, p.z0, p.z1) for one in nesting.placed for p in one.parts]
    loose = [(*piece.rect, piece.z0_um, piece.z1_um) for piece in insert.saddles + insert.plugs]
    for index, piece in enumerate(loose):
        for other in solids + loose[:index]:
            assert clear(piece, other) >= 0 or max(piece[4] - other[5], other[4] - piece[5]) >= 0


def test_every_loose_piece_lies_inside_its_own_pocket_at_its_own_height(specimen):
    _, _, _, insert = specimen
    sheets = {sheet.id: sheet for sheet in insert.sheets}
    for loose in insert.saddles + insert.plugs:
        low = loose.z0_um
        for sheet_id, thickness, whole in loose.pieces:
            sheet = sheets[sheet_id]
            own = [p.rect for p in sheet.pockets if p.item == loose.item and p.part == loose.part]
            assert rectangle(*own[0]).covers(rectangle(*loose.rect))
            assert sheet.floor_um <= low < low + thickness <= sheet.top_um
            assert whole == (thickness == sheet.thickness_um)
            low += thickness
        assert low == loose.z1_um


def test_every_item_has_one_lift(specimen):
    order, _, _, insert = specimen
    assert [lift.item for lift in insert.lifts] == list(range(len(order.items)))
    assert all((lift.rect is None) == (lift.kind == "tape") == (lift.length_um > 0) for lift in insert.lifts)


def test_a_notch_keeps_the_web_and_the_wall(specimen):
    order, nesting, _, insert = specimen
    length, width = insert.size_um
    notches = [lift for lift in insert.lifts if lift.rect]
    for lift in notches:
        x0, y0, x1, y1 = lift.rect
        assert min(x0, y0, length - x1, width - y1) >= order.rules.wall_um
        others = [
            r for one in nesting.placed if one.item != lift.item and one.layer == lift.layer for r in rooms(order, one)
        ]
        others += [other.rect for other in notches if other.item != lift.item and other.layer == lift.layer]
        assert all(clear(lift.rect, other) >= order.rules.web_um for other in others)


def test_a_notch_opens_into_its_own_pocket_and_leaves_the_handles_bed(specimen):
    _, nesting, _, insert = specimen
    for lift in insert.lifts:
        if lift.rect:
            head, *handle = nesting.placed[lift.item].parts
            pocket = (
                head.x0 - insert.fit_um,
                head.y0 - insert.fit_um,
                head.x1 + insert.fit_um,
                head.y1 + insert.fit_um,
            )
            assert clear(lift.rect, pocket) == 0
            assert all(clear(lift.rect, (p.x0, p.y0, p.x1, p.y1)) >= 8_000 for p in handle)


def test_the_content_is_plain_json_and_names_every_item(specimen):
    order, _, _, insert = specimen
    content = json.loads(json.dumps(to_json(insert_plan(insert))))
    assert {lift["item"] for lift in content["lifts"]} == {item.id for item in order.items}
    assert content["weight_g"] == pytest.approx(insert.weight_mg / 1000, abs=0.001)
    assert sum(row["count"] for row in content["cut_list"] if row["what"] == "sheet") == len(content["sheets"])


def test_the_same_nesting_gives_the_same_insert(specimen):
    order, nesting, foam, insert = specimen
    assert make_insert(order, nesting, foam) == insert


def test_the_layer_is_stacked_so_that_a_joint_comes_under_the_handle():
    order = order_of({**HAMMER, "head_width": 62, "handle_thickness": 38}, base_pad=0, top_pad=0)
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    assert [sheet.thickness_um for sheet in insert.sheets] == [12_000, 50_000]
    assert insert.saddles == ()


def test_what_still_hangs_gets_a_saddle_of_its_own_waste():
    order = order_of(HAMMER, sheets=[50])
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    (saddle,) = insert.saddles
    assert (saddle.part, saddle.z1_um - saddle.z0_um, saddle.pieces) == ("handle", 9_500, (("S2", 9_500, False),))


def test_a_head_that_hangs_beside_a_thicker_handle_gets_a_saddle():
    order, nesting = ZOO["handle thicker than the head"]
    (saddle,) = make_insert(order, nesting, PE_FOAM).saddles
    assert (saddle.part, saddle.z1_um - saddle.z0_um) == ("head", 7_750)


def test_a_gap_of_exactly_3_mm_is_left_open_and_a_larger_one_plugged():
    snug = order_of({**TIN, "height": 47}, sheets=[50])
    loose = order_of({**TIN, "height": 46.99}, sheets=[50])
    assert make_insert(snug, laid(snug, [(0, "block", 0)]), PE_FOAM).plugs == ()
    (plug,) = make_insert(loose, laid(loose, [(0, "block", 0)]), PE_FOAM).plugs
    assert plug.z1_um - plug.z0_um == 3_010


def test_a_plug_is_whole_waste_above_and_one_slice_below():
    order = order_of({**TIN, "height": 30}, {**TIN, "id": "tall", "height": 62})
    insert = make_insert(order, laid(order, [(0, "block", 0), (1, "block", 0)]), PE_FOAM)
    (plug,) = insert.plugs
    assert plug.pieces == (("S2", 20_000, False), ("S3", 12_000, True))


def test_the_fit_is_held_to_the_clearance():
    order = order_of(HAMMER, clearance=1)
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), replace(PE_FOAM, fit_um=4_000))
    assert insert.fit_um == 1_000


def test_a_pad_that_no_stock_sheets_give_is_an_extra_line():
    order = order_of(HAMMER, base_pad=18)
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    assert (insert.sheets[0].thickness_um, insert.sheets[0].stock) == (18_000, False)
    assert any("A sheet of 18 mm is not among the stock thicknesses" in str(note) for note in insert.notes)


def test_a_pad_takes_the_fewest_stock_sheets():
    order = order_of(HAMMER, base_pad=62, sheets=[12, 25, 50])
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    assert [sheet.thickness_um for sheet in insert.sheets if sheet.role == "base"] == [50_000, 12_000]


def test_zero_pads_need_no_sheet_and_are_noted():
    order, nesting = ZOO["no pads"]
    insert = make_insert(order, nesting, PE_FOAM)
    assert {sheet.role for sheet in insert.sheets} == {"layer"}
    assert len(insert.notes) == 3


@pytest.mark.parametrize(("above", "noted"), [(HAMMER, True), (TIN, False)])
def test_a_stiff_pad_is_advised_where_it_carries_heads_and_not_under_blocks_alone(above, noted):
    order = order_of({**HAMMER, "id": "low"}, {**above, "id": "high"})
    pose = "flat" if above is HAMMER else "block"
    insert = make_insert(order, laid(order, [(0, "flat", 0)], [(1, pose, 0)]), PE_FOAM)
    assert any("carries heads" in str(note) for note in insert.notes) == noted


def test_a_notch_goes_to_the_middle_of_a_long_side_where_there_is_room():
    order = order_of(TIN, {**HAMMER, "id": "long"})
    insert = make_insert(order, laid(order, [(0, "block", 0), (1, "flat", 0)]), PE_FOAM)
    notch = insert.lifts[0].rect
    assert notch == (48_000, 96_500, 75_000, 116_500)


def test_a_sharp_head_lying_flat_has_no_notch_at_its_ends():
    order = order_of(AXE, wall=0)
    nesting = laid(order, [(0, "flat", 0)])
    with_tolerance_room = replace(
        nesting, interior_um=(nesting.interior_um[0] + 60_000, nesting.interior_um[1] + 60_000, nesting.interior_um[2])
    )
    head = nesting.placed[0].parts[0]
    notch = make_insert(order, with_tolerance_room, PE_FOAM).lifts[0].rect
    assert notch is not None
    assert head.y0 <= notch[1] < notch[3] <= head.y1


def test_a_head_with_no_foam_to_spare_gets_a_tape_round_it():
    order = order_of({**HAMMER, "head_length": 60, "weight_g": 800})
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    (lift,) = insert.lifts
    assert (lift.kind, lift.length_um) == ("tape", 2 * 48_000 + 42_000 + 120_000)
    assert lift.weight_mg == 1_806


@pytest.mark.parametrize(("turn", "along"), [(0, "x"), (90, "y")])
def test_a_tape_under_a_sharp_head_runs_along_the_handle_clear_of_the_edge(turn: int, along: str):
    order = order_of({**AXE, "head_length": 80, "head_height": 150, "eye_offset": 40}, wall=25)
    (lift,) = make_insert(order, laid(order, [(0, "flat", turn)]), PE_FOAM).lifts
    assert (lift.kind, lift.along, lift.length_um) == ("tape", along, 2 * 36_000 + 150_000 + 120_000)


def test_blocks_without_layers_lie_between_two_pads():
    order = order_of(TIN, layered=False)
    nesting = Nesting("planned", (120_000, 120_000, 80_000), (), ())
    insert = make_insert(order, nesting, PE_FOAM)
    assert [(sheet.role, sheet.floor_um) for sheet in insert.sheets] == [("base", 0), ("top", 55_000)]


def test_an_order_without_a_plan_has_no_insert():
    with pytest.raises(BadInput, match="must be planned"):
        make_insert(order_of(TIN), Nesting("not found"), PE_FOAM)


def test_letters_go_on_after_z():
    assert [letter_of(n) for n in (0, 25, 26, 51, 52, 701, 702)] == ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]
