"""What every insert must be, tried on a zoo of specimens, and the details one by one."""

import itertools
import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from shapely import box as rectangle
from shapely import union_all

from packing.insert import Insert, insert_plan, letter_of, make_insert
from packing.materials import PE_FOAM, Foam
from packing.measure import BadInput, Order
from packing.nest import Nesting
from packing.plan import to_json
from packing.plan.kinds import Part, Status
from tests.packing.insert_zoo import AXE, HAMMER, TIN, laid, order_of, with_thin_stock, zoo

ZOO = zoo()
ZOO |= {f"{name}, thin stock": (with_thin_stock(order), nesting) for name, (order, nesting) in ZOO.items()}
THIN = {"bite": 1.5, "thin": [3, 6]}
LOOSE_FOAM = replace(PE_FOAM, fit_um=1_500)


@pytest.fixture(
    params=[(name, foam) for name in ZOO for foam in (PE_FOAM, LOOSE_FOAM)], ids=lambda p: f"{p[0]}-{p[1].fit_um}"
)
def specimen(request: pytest.FixtureRequest) -> tuple[Order, Nesting, Foam, Insert]:
    name, foam = request.param
    order, nesting = ZOO[name]
    return order, nesting, foam, make_insert(order, nesting, foam)


def clear(first: Any, second: Any) -> Any:
    """How far two rectangles are apart along x or y, negative where they overlap."""
    return max(first[0] - second[2], second[0] - first[2], first[1] - second[3], second[1] - first[3])


def rooms(order: Any, one: Any) -> Any:
    by = order.rules.clearance_um
    return [(p.x0 - by, p.y0 - by, p.x1 + by, p.y1 + by) for p in one.parts]


def test_the_sheets_tile_the_interior_from_the_bottom_to_the_top(specimen: Any) -> None:
    _, nesting, _, insert = specimen
    assert insert.sheets[0].floor_um == 0
    assert all(low.top_um == high.floor_um for low, high in itertools.pairwise(insert.sheets))
    assert insert.sheets[-1].top_um == nesting.interior_um[2]


def test_each_layer_is_made_of_its_own_sheets_and_all_of_them_stock(specimen: Any) -> None:
    order, nesting, _, insert = specimen
    for index, layer in enumerate(nesting.layers):
        own = [sheet for sheet in insert.sheets if sheet.layer == index]
        assert (own[0].floor_um, own[-1].top_um) == (layer.floor_um, layer.floor_um + layer.height_um)
        assert {sheet.thickness_um for sheet in own} <= {*order.rules.sheets_um, *(order.rules.thin_um or ())}


def entered(order: Any, sheet: Any, part: Any) -> Any:
    """Whether a part reaches into a sheet by more than foam gives."""
    give = order.rules.give_um
    return sheet.top_um > part.z0 + give and sheet.floor_um < part.z1 - give


def test_every_sheet_that_a_part_reaches_into_is_cut_for_it_and_no_other(specimen: Any) -> None:
    order, nesting, _, insert = specimen
    for one in nesting.placed:
        for part in one.parts:
            for sheet in (sheet for sheet in insert.sheets if sheet.layer == one.layer):
                holes = [p.rect for p in sheet.pockets if (p.item, p.part) == (one.item, part.name)]
                assert len(holes) == entered(order, sheet, part)
                assert all(rectangle(*hole).covers(rectangle(part.x0, part.y0, part.x1, part.y1)) for hole in holes)


def test_a_sheet_over_a_part_names_its_piece_as_lying_before_it_is_laid_on(specimen: Any) -> None:
    order, nesting, _, insert = specimen
    for sheet in (sheet for sheet in insert.sheets if sheet.layer is not None):
        under = {
            one.item
            for one in nesting.placed
            for part in one.parts
            if one.layer == sheet.layer and sheet.floor_um >= part.z1 - order.rules.give_um
        }
        assert set(sheet.over) == under
        assert (sheet.role == "cover") == bool(under)


def gaps(order: Any, nesting: Any, insert: Any) -> Iterator[Any]:
    """Every part with the gap under it and over it in the sheets that are cut for it."""
    for one in nesting.placed:
        for part in one.parts:
            own = [s for s in insert.sheets if s.layer == one.layer and entered(order, s, part)]
            if own:
                yield one, part, part.z0 - own[0].floor_um, own[-1].top_um - part.z1


def test_nothing_hangs_or_can_rise_by_more_than_it_may(specimen: Any) -> None:
    order, nesting, _, insert = specimen
    under = {(p.item, p.part): p.z1_um - p.z0_um for p in insert.saddles + insert.rests}
    over = {(p.item, p.part): p.z1_um - p.z0_um for p in insert.plugs + insert.fills}
    thin = order.rules.thin_um is not None
    for one, part, hangs, rises in gaps(order, nesting, insert):
        held = (one.item, part.name)
        assert hangs - under.get(held, 0) <= 3_000
        most = 12_000 if thin and part.name == "handle" and held not in over else 3_000
        assert rises - over.get(held, 0) <= most
        if thin and held in over:
            assert -1_500 <= rises - over[held] <= 1_500


def test_slices_are_cut_only_where_no_thin_stock_is_named(specimen: Any) -> None:
    order, _, _, insert = specimen
    assert not (insert.saddles + insert.plugs if order.rules.thin_um else insert.rests + insert.fills)


def test_loose_pieces_meet_neither_a_piece_nor_each_other(specimen: Any) -> None:
    _, nesting, _, insert = specimen
    solids = [(p.x0, p.y0, p.x1, p.y1, p.z0, p.z1) for one in nesting.placed for p in one.parts]
    pieces = insert.saddles + insert.plugs + insert.rests + insert.fills
    loose = [(*piece.rect, piece.z0_um, piece.z1_um) for piece in pieces]
    for index, piece in enumerate(loose):
        for other in solids + loose[:index]:
            assert clear(piece, other) >= 0 or max(piece[4] - other[5], other[4] - piece[5]) >= 0


def test_every_loose_piece_lies_inside_its_own_pocket(specimen: Any) -> None:
    order, _, _, insert = specimen
    give = order.rules.give_um
    for loose in insert.saddles + insert.plugs + insert.rests + insert.fills:
        assert sum(loose.thicknesses_um) == loose.z1_um - loose.z0_um
        for sheet in insert.sheets:
            if sheet.floor_um < loose.z1_um - give and sheet.top_um > loose.z0_um + give:
                (own,) = [p.rect for p in sheet.pockets if (p.item, p.part) == (loose.item, loose.part)]
                assert rectangle(*own).covers(rectangle(*loose.rect))


def test_finger_room_keeps_the_wall_and_the_web_or_15_mm_beside_a_handle(specimen: Any) -> None:
    order, nesting, _, insert = specimen
    length, width = insert.size_um
    notches = [lift for lift in insert.lifts if lift.rect]
    for lift in notches:
        x0, y0, x1, y1 = lift.rect
        # At a handle's end finger room takes in the air, which the wall gives as far as 15 mm of it stay.
        given = 10_000 - order.rules.clearance_um if insert.butt_air_um else 0
        least = min(order.rules.wall_um, max(15_000, order.rules.wall_um - given))
        assert min(x0, y0, length - x1, width - y1) >= least
        others = [
            r for one in nesting.placed if one.item != lift.item and one.layer == lift.layer for r in rooms(order, one)
        ]
        others += [other.rect for other in notches if other.item != lift.item and other.layer == lift.layer]
        assert all(clear(lift.rect, other) >= min(order.rules.web_um, 15_000) for other in others)


def test_finger_room_opens_into_its_own_pocket_and_leaves_the_heads_bearing_alone(specimen: Any) -> None:
    _, nesting, _, insert = specimen
    for lift in insert.lifts:
        head, *handle = nesting.placed[lift.item].parts
        if lift.rect and handle:
            beside = clear(lift.rect, (handle[0].x0, handle[0].y0, handle[0].x1, handle[0].y1)) < 0
            gap = clear(lift.rect, (head.x0, head.y0, head.x1, head.y1))
            assert gap >= 15_000 if beside else gap == insert.fit_um


def test_the_weight_is_the_sheets_less_the_union_of_their_pockets(specimen: Any) -> None:
    _, _, foam, insert = specimen
    length, width = insert.size_um
    volume = sum(
        (length * width - union_all([rectangle(*p.rect) for p in sheet.pockets]).area) * sheet.thickness_um
        for sheet in insert.sheets
    )
    assert insert.sheets_mg == pytest.approx(volume * foam.density_g_m3 / 1e15, abs=0.51)


def test_the_cut_length_is_the_outline_of_the_union_of_the_pockets(specimen: Any) -> None:
    _, _, _, insert = specimen
    length, width = insert.size_um
    border = rectangle(0, 0, length, width).exterior
    total = 0
    for sheet in (sheet for sheet in insert.sheets if sheet.pockets):
        outline = union_all([rectangle(*p.rect) for p in sheet.pockets]).boundary
        total += outline.length - outline.intersection(border).length
    assert insert.cut_um == pytest.approx(total, abs=1)


def test_every_item_has_one_lift(specimen: Any) -> None:
    order, _, _, insert = specimen
    assert [lift.item for lift in insert.lifts] == list(range(len(order.items)))
    assert all((lift.rect is None) == (lift.kind == "tape") == (lift.length_um > 0) for lift in insert.lifts)


def test_the_content_is_plain_json_and_names_every_item(specimen: Any) -> None:
    order, _, _, insert = specimen
    content = json.loads(json.dumps(to_json(insert_plan(insert))))
    assert {lift["item"] for lift in content["lifts"]} == {item.id for item in order.items}
    assert content["weight_g"] == pytest.approx(insert.weight_mg / 1000, abs=0.001)
    assert sum(row["count"] for row in content["cut_list"] if row["what"] == "sheet") == len(content["sheets"])


def test_the_same_nesting_gives_the_same_insert(specimen: Any) -> None:
    order, nesting, foam, insert = specimen
    assert make_insert(order, nesting, foam) == insert


def test_a_head_that_hangs_beside_a_thicker_handle_gets_a_saddle() -> None:
    order, nesting = ZOO["handle thicker than the head"]
    (saddle,) = make_insert(order, nesting, PE_FOAM).saddles
    assert (saddle.part, saddle.z1_um - saddle.z0_um) == ("head", 7_750)


def test_a_gap_of_exactly_3_mm_is_left_open_and_a_larger_one_plugged() -> None:
    snug = order_of({**TIN, "height": 47}, sheets=[50])
    loose = order_of({**TIN, "height": 46.99}, sheets=[50])
    assert make_insert(snug, laid(snug, [(0, "block", 0)]), PE_FOAM).plugs == ()
    (plug,) = make_insert(loose, laid(loose, [(0, "block", 0)]), PE_FOAM).plugs
    assert plug.z1_um - plug.z0_um == 3_010


def test_the_fit_is_held_to_the_clearance() -> None:
    order = order_of(HAMMER, clearance=1)
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), replace(PE_FOAM, fit_um=4_000))
    assert insert.fit_um == 1_000


def test_a_pad_that_no_stock_sheets_give_is_an_extra_line() -> None:
    order = order_of(HAMMER, base_pad=18)
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    assert (insert.sheets[0].thickness_um, insert.sheets[0].stock) == (18_000, False)
    assert any("A sheet of 18 mm is not among the stock thicknesses" in str(note) for note in insert.notes)


def test_a_pad_takes_the_fewest_stock_sheets() -> None:
    order = order_of(HAMMER, base_pad=62, sheets=[12, 25, 50])
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    assert [sheet.thickness_um for sheet in insert.sheets if sheet.role == "base"] == [50_000, 12_000]


def test_zero_pads_need_no_sheet_and_are_noted() -> None:
    order, nesting = ZOO["no pads"]
    insert = make_insert(order, nesting, PE_FOAM)
    assert {sheet.role for sheet in insert.sheets} <= {"layer", "cover"}
    assert len(insert.notes) == 3


@pytest.mark.parametrize(("above", "noted"), [(HAMMER, True), (TIN, False)])
def test_a_stiff_pad_is_advised_where_it_carries_heads_and_not_under_blocks_alone(above: Any, noted: Any) -> None:
    order = order_of({**HAMMER, "id": "low"}, {**above, "id": "high"})
    pose = "flat" if above is HAMMER else "block"
    insert = make_insert(order, laid(order, [(0, "flat", 0)], [(1, pose, 0)]), PE_FOAM)
    assert any("carries heads" in str(note) for note in insert.notes) == noted


@pytest.mark.parametrize(
    ("rules", "said"),
    [
        ({"layer_pad": 12, "sheets": [12, 25, 50]}, "12 mm"),
        ({"layer_pad": 25}, None),
        ({"layer_pad": 12, "stiff_sheet": 6}, None),
    ],
)
def test_between_layers_less_than_20_mm_of_foam_under_a_head_is_said(rules: dict[str, Any], said: str | None) -> None:
    order = order_of({**HAMMER, "id": "low"}, {**HAMMER, "id": "high"}, **rules)
    insert = make_insert(order, laid(order, [(0, "flat", 0)], [(1, "flat", 0)]), PE_FOAM)
    found = [str(note) for note in insert.notes if "carries heads" in str(note)]
    assert len(found) == (said is not None)
    assert all(str(said) in one for one in found)


def test_a_notch_goes_to_the_middle_of_a_long_side_where_there_is_room() -> None:
    order = order_of(TIN, {**HAMMER, "id": "long"})
    insert = make_insert(order, laid(order, [(0, "block", 0), (1, "flat", 0)]), PE_FOAM)
    notch = insert.lifts[0].rect
    assert notch == (48_000, 96_500, 75_000, 116_500)


def test_blocks_without_layers_lie_between_two_pads() -> None:
    order = order_of(TIN, layered=False)
    nesting = Nesting(Status.PLANNED, (120_000, 120_000, 80_000), (), ())
    insert = make_insert(order, nesting, PE_FOAM)
    assert [(sheet.role, sheet.floor_um) for sheet in insert.sheets] == [("base", 0), ("top", 55_000)]


def test_an_order_without_a_plan_has_no_insert() -> None:
    with pytest.raises(BadInput, match="must be planned"):
        make_insert(order_of(TIN), Nesting(Status.NOT_FOUND), PE_FOAM)


def test_letters_go_on_after_z() -> None:
    assert [letter_of(n) for n in (0, 25, 26, 51, 52, 701, 702)] == ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]


def test_a_layer_is_stacked_so_that_a_joint_comes_under_the_handle() -> None:
    order = order_of({**HAMMER, "head_width": 62, "handle_thickness": 38}, base_pad=0, top_pad=0, thin=[3, 6])
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    assert [sheet.thickness_um for sheet in insert.sheets] == [12_000, 25_000, 25_000]
    assert insert.saddles == ()


def test_pockets_are_cut_through_thick_sheets_only_where_there_is_no_other_stock() -> None:
    order = order_of(HAMMER, sheets=[50])
    nesting = laid(order, [(0, "flat", 0)])
    assert [sheet.thickness_um for sheet in make_insert(order, nesting, PE_FOAM).sheets if sheet.pockets] == [50_000]
    sawn = replace(PE_FOAM, pocket_um=50_000)
    order = order_of(HAMMER, sheets=[25, 50], **THIN)
    nesting = laid(order, [(0, "flat", 0)])
    assert 50_000 not in [s.thickness_um for s in make_insert(order, nesting, PE_FOAM).sheets if s.pockets]
    assert 50_000 in [s.thickness_um for s in make_insert(order, nesting, sawn).sheets if s.pockets]


def test_what_hangs_gets_a_saddle_of_its_own_waste_where_no_thin_stock_is_named() -> None:
    order = order_of(HAMMER, sheets=[50])
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    (saddle,) = insert.saddles
    assert (saddle.part, saddle.thicknesses_um, saddle.sheet) == ("handle", (9_500,), "S2")


def test_what_hangs_gets_one_short_rest_near_the_butt_where_thin_stock_is_named() -> None:
    order = order_of(HAMMER, sheets=[50], **THIN)
    nesting = laid(order, [(0, "flat", 0)])
    insert = make_insert(order, nesting, PE_FOAM)
    (rest,) = insert.rests
    butt = nesting.placed[0].parts[1].x1
    assert insert.saddles == insert.plugs == ()
    assert (rest.part, rest.thicknesses_um, rest.rect[2] - rest.rect[0]) == ("handle", (6_000, 3_000), 70_000)
    assert rest.rect[2] == butt
    assert rest.z1_um == nesting.placed[0].parts[1].z0


def test_a_head_is_held_down_by_thin_stock_in_whole_thicknesses() -> None:
    order = order_of(HAMMER, sheets=[50], **THIN)
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    fills = {fill.part: fill for fill in insert.fills}
    assert fills[Part.HEAD].thicknesses_um == (6_000, 3_000)
    assert fills[Part.HEAD].z1_um - fills[Part.HEAD].z0_um == 9_000


@pytest.mark.parametrize(("thickness", "held"), [(26, False), (25.9, True)])
def test_more_than_12_mm_over_a_handle_gets_one_hold(thickness: float, held: bool) -> None:
    order = order_of({**HAMMER, "head_width": 50, "handle_thickness": thickness}, sheets=[50], **THIN)
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    assert [fill.part for fill in insert.fills] == (["handle"] if held else [])


def test_slices_are_cut_from_waste_beside_thin_stock_only_where_allowed_thick_and_short() -> None:
    def kinds(**rules: object) -> set[str]:
        tin = {**TIN, "height": 28}
        order = order_of(tin, sheets=[50], **{**THIN, **rules})
        insert = make_insert(order, laid(order, [(0, "block", 0)]), PE_FOAM)
        return {row.what.value for row in insert.cut_list} - {"sheet"}

    assert kinds() == kinds(slices=False) == {"fill"}
    assert kinds(slices=True) == {"plug"}


def test_a_gap_that_no_stock_fills_is_said() -> None:
    order = order_of({**TIN, "height": 45}, sheets=[50], bite=1.5, thin=[10])
    insert = make_insert(order, laid(order, [(0, "block", 0)]), PE_FOAM)
    assert insert.fills == ()
    assert "No thin stock fills 5 mm at tin: pack it so that it cannot move." in [str(note) for note in insert.notes]


def test_sheets_over_a_piece_stay_whole_and_are_covers() -> None:
    order = order_of(TIN, {**TIN, "id": "tall", "height": 62})
    insert = make_insert(order, laid(order, [(0, "block", 0), (1, "block", 0)]), PE_FOAM)
    layer = [sheet for sheet in insert.sheets if sheet.layer == 0]
    covers = [sheet for sheet in layer if sheet.role == "cover"]
    assert covers
    assert all(sheet.over == (0,) and {p.item for p in sheet.pockets} == {1} for sheet in covers)
    assert all(sheet.floor_um - 25_000 >= 30_000 for sheet in covers)


def test_a_sheet_entered_by_no_more_than_foam_gives_stays_whole() -> None:
    order = order_of({**TIN, "height": 26.4}, {**TIN, "id": "tall", "height": 50}, sheets=[25], **THIN)
    insert = make_insert(order, laid(order, [(0, "block", 0), (1, "block", 0)]), PE_FOAM)
    upper = insert.sheets[2]
    assert (upper.role, upper.over, {p.item for p in upper.pockets}) == ("cover", (0,), {1})


def test_finger_room_lies_across_the_handle_next_to_the_head() -> None:
    order = order_of({**HAMMER, "head_height": 60, "head_width": 60, "weight_g": 2500}, wall=40)
    nesting = laid(order, [(0, "flat", 0)])
    insert = make_insert(order, nesting, PE_FOAM)
    head, handle = nesting.placed[0].parts
    assert insert.lifts[0].rect == (head.x1 + 15_000, handle.y0 - 20_000, head.x1 + 42_000, handle.y1 + 20_000)


@pytest.mark.parametrize(("weight", "kind"), [(700, "notch"), (1900, "tape")])
def test_a_light_head_is_got_out_at_its_crown_where_no_finger_fits_beside_the_handle(weight: int, kind: str) -> None:
    sizes = {"head_length": 60, "head_height": 70, "head_width": 60}
    order = order_of({**HAMMER, **sizes, "head_weight_g": weight, "weight_g": weight + 200}, wall=25)
    nesting = laid(order, [(0, "flat", 0)])
    longer = (nesting.interior_um[0] + 30_000, *nesting.interior_um[1:])
    placed = tuple(replace(one, x_um=one.x_um + 30_000) for one in nesting.placed)
    roomy = replace(nesting, interior_um=longer, placed=placed)
    (lift,) = make_insert(order, roomy, PE_FOAM).lifts
    head = roomy.placed[0].parts[0]
    assert lift.kind == kind
    assert lift.rect is None or lift.rect[2] == head.x0


def test_a_head_with_no_foam_to_spare_gets_a_tape_round_it() -> None:
    order = order_of({**HAMMER, "head_length": 60, "weight_g": 800})
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    (lift,) = insert.lifts
    assert (lift.kind, lift.length_um) == ("tape", 2 * 48_000 + 42_000 + 120_000)
    assert lift.weight_mg == 1_806


@pytest.mark.parametrize(("turn", "along"), [(0, "x"), (90, "y")])
def test_a_tape_under_a_sharp_head_runs_along_the_handle_clear_of_the_edge(turn: int, along: str) -> None:
    order = order_of({**AXE, "head_length": 60, "head_height": 150, "eye_offset": 30}, wall=25)
    (lift,) = make_insert(order, laid(order, [(0, "flat", turn)]), PE_FOAM).lifts
    top = max(s.top_um for s in make_insert(order, laid(order, [(0, "flat", turn)]), PE_FOAM).sheets if s.pockets)
    assert (lift.kind, lift.along, lift.length_um) == ("tape", along, 2 * (top - 25_000) + 150_000 + 120_000)


def test_finger_room_goes_down_to_the_middle_of_the_handle_and_no_deeper_than_it_must() -> None:
    order = order_of({**HAMMER, "head_width": 62, "handle_thickness": 30}, sheets=[12, 25], wall=50, **THIN)
    nesting = laid(order, [(0, "flat", 0)])
    insert = make_insert(order, nesting, PE_FOAM)
    handle = nesting.placed[0].parts[1]
    open_to_hand = [sheet for sheet in insert.sheets if any(p.part == "notch" for p in sheet.pockets)]
    along_handle = [sheet for sheet in insert.sheets if any(p.part == "handle" for p in sheet.pockets)]
    assert open_to_hand[-1] is along_handle[-1]
    assert open_to_hand[0].floor_um <= (handle.z0 + handle.z1) // 2
    assert all(sheet.top_um > min((handle.z0 + handle.z1) // 2, handle.z1 - 15_000) for sheet in open_to_hand)
    assert len(open_to_hand) < len(along_handle)
