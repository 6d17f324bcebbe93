"""Lines for tools that take something, judged by Shapely (GEOS): what the cut leaves is the sheet with its pockets."""

from collections.abc import Iterable, Sequence
from math import sqrt

import pytest
from shapely import LineString, Point, Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

from packing.draw.cut_cautions import cautions_for
from packing.draw.cut_file import CutSheet, cut_sheets
from packing.draw.cut_file_dxf import cut_files, dxf_of
from packing.draw.cut_file_svg import svg_of
from packing.draw.cut_way import USUAL_KERF_UM, CutWay
from packing.draw.tool_path import ToolPaths, tool_paths
from packing.measure import BadInput
from packing.plan import Plan, SheetPlan
from packing.plan.kinds import Cutter
from packing.planning import plan_parcel
from tests.bench.inserts import invented_orders
from tests.packing.draw.cut_reader import from_dxf, from_svg
from tests.packing.draw.test_full_size import planned
from tests.packing.insert_zoo import order_of
from tests.packing.outlined import axe, hammer

EDGE = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))
LOW = ((40.0, 40.0), (100.0, 40.0), (100.0, 80.0), (40.0, 80.0))
HIGH = ((40.0, 105.0), (100.0, 105.0), (100.0, 160.0), (40.0, 160.0))
T_SHAPE = tuple(
    (x + 80.0, y) for x, y in ((60, 40), (90, 40), (90, 90), (180, 90), (180, 110), (90, 110), (90, 160), (60, 160))
)
POCKETS = [LOW, HIGH, T_SHAPE]
FOLLOWERS = [Cutter.LASER, Cutter.ROUTER, Cutter.HOT_WIRE, Cutter.BAND_SAW]


def paths(way: CutWay, pockets: Sequence[tuple[tuple[float, float], ...]] = POCKETS, give: float = 1.5) -> ToolPaths:
    return tool_paths(EDGE, pockets, way, give_mm=give, name="S3")


def swept(lines: Iterable[BaseGeometry], kerf: float) -> BaseGeometry:
    """All that a round tool takes on its way."""
    return union_all([line.buffer(kerf / 2, quad_segs=64) for line in lines])


@pytest.mark.parametrize("tool", FOLLOWERS)
def test_what_a_moved_line_leaves_is_the_sheet_with_its_pockets(tool: Cutter) -> None:
    way = CutWay(tool, USUAL_KERF_UM[tool])
    found = paths(way)
    kerf = way.kerf_um / 1000
    wanted = Polygon(EDGE) - union_all([Polygon(loop) for loop in POCKETS])
    taken = swept([Polygon(loop).exterior for loop in (found.edge, *found.pockets)], kerf)
    # Where the tool has been and what then falls out: the sheet loses what it should, and corners by the tool's radius.
    left = Polygon(found.edge) - taken - union_all([Polygon(loop) for loop in found.pockets])
    assert left.difference(wanted.buffer(0.01)).area < 12 * 3 * (1 - 0.7) * (kerf / 2) ** 2 + 0.01
    corners = union_all([Point(corner).buffer(kerf) for loop in (*POCKETS, EDGE) for corner in loop])
    assert wanted.difference(left.buffer(0.01)).difference(corners).area < 0.01


def test_a_line_that_is_not_moved_is_the_edge_itself() -> None:
    found = paths(CutWay(Cutter.LASER, 300, moved=False))
    assert (found.edge, list(found.pockets), found.entries) == (EDGE, POCKETS, ())


@pytest.mark.parametrize(
    ("radius_um", "give", "relieved"), [(6_000, 1.5, True), (6_000, 2.5, False), (3_000, 1.5, False)]
)
@pytest.mark.parametrize("moved", [True, False])
def test_corners_are_relieved_where_the_tool_leaves_more_than_the_foam_gives(
    radius_um: int, give: float, relieved: bool, moved: bool
) -> None:
    """A bit of radius r leaves r(√2 - 1) of a square corner: 2.49 mm with a radius of 6 mm."""
    assert 6 * (sqrt(2) - 1) == pytest.approx(2.485, abs=0.001)
    (line,) = paths(CutWay(Cutter.ROUTER, 2 * radius_um, moved=moved), [LOW], give).pockets
    radius = radius_um / 1000
    hole = Polygon(line).buffer(0)
    if moved:
        hole = union_all([hole, swept([LineString([*line, line[0]])], 2 * radius)])
    # A small margin, since circles are polygons here.
    bit = [Point(corner).distance(hole) for corner in LOW]
    reached = 0.02 if relieved or not moved else radius * (sqrt(2) - 1) + 0.02
    assert max(bit) <= reached
    assert (len(line) > 4) is relieved
    if relieved:
        beyond = hole.bounds
        assert beyond[0] == pytest.approx(40 - radius * (1 - 1 / sqrt(2)), abs=0.02)


@pytest.mark.parametrize("tool", [Cutter.HOT_WIRE, Cutter.BAND_SAW])
def test_a_threaded_tool_reaches_every_pocket_from_the_edge_in_one_go(tool: Cutter) -> None:
    found = paths(CutWay(tool, USUAL_KERF_UM[tool]))
    assert len(found.entries) == len(POCKETS)
    lines = [LineString([*loop, loop[0]]) for loop in (found.edge, *found.pockets)]
    ways = [LineString(line) for line in found.entries]
    joined = union_all([line.buffer(1e-6) for line in (*lines, *ways)])
    assert joined.geom_type == "Polygon"
    for way in ways:
        inside = [Polygon(loop) for loop in found.pockets if Polygon(loop).buffer(-1e-6).intersects(way)]
        assert not inside, "a way in runs through a pocket"
        assert way.length <= 40 + 1.6


def test_no_way_in_is_cut_for_a_tool_that_is_set_down_in_a_pocket() -> None:
    assert paths(CutWay(Cutter.LASER, 300)).entries == ()


def test_a_cut_wider_than_a_web_is_refused() -> None:
    nearer = (*LOW[:2], (100.0, 80.5), (40.0, 80.5))
    paths(CutWay(Cutter.ROUTER, 24_500), [nearer, HIGH])
    with pytest.raises(BadInput, match=r"no wider than the narrowest web or wall of S3, 24.5 mm; it is 24.6"):
        paths(CutWay(Cutter.ROUTER, 24_600), [nearer, HIGH])


def test_a_cut_wider_than_a_wall_is_refused_though_the_machine_allows_for_it() -> None:
    thin = ((5.0, 40.0), (100.0, 40.0), (100.0, 80.0), (5.0, 80.0))
    with pytest.raises(BadInput, match="wall of S3, 5 mm; it is 6 mm"):
        paths(CutWay(Cutter.ROUTER, 6_000, moved=False), [thin])


def test_a_cut_wider_than_a_pocket_is_refused() -> None:
    narrow = ((60.0, 60.0), (80.0, 60.0), (80.0, 140.0), (60.0, 140.0))
    with pytest.raises(BadInput, match=r"narrower than every pocket of S3, of which one is 20 mm; it is 20.1 mm"):
        paths(CutWay(Cutter.ROUTER, 20_100), [narrow])


@pytest.mark.parametrize(("tool", "kerf_um"), [(Cutter.SAW, 0), (Cutter.LASER, -1), (Cutter.LASER, 25_001)])
def test_a_tool_that_follows_no_line_and_a_kerf_beyond_reason_are_refused(tool: Cutter, kerf_um: int) -> None:
    with pytest.raises(BadInput):
        CutWay(tool, kerf_um)


def test_the_slots_of_a_blank_are_not_closed_by_a_wide_cut() -> None:
    plan = planned(*invented_orders(1, 3)[0])
    assert plan.box.pieces
    with pytest.raises(BadInput, match="slots"):
        cut_sheets(plan, CutWay(Cutter.ROUTER, 12_000))


@pytest.mark.parametrize("tool", FOLLOWERS)
def test_files_say_what_their_lines_are_and_how_not_to_get_hurt(tool: Cutter) -> None:
    told = cautions_for(CutWay(tool, USUAL_KERF_UM[tool]))
    assert "the middle of a cut of" in told and "Local codes" in told and "eye protection" in told
    assert ("fumes" in told) is (tool in (Cutter.LASER, Cutter.HOT_WIRE))
    assert ("PVC" in told) is (tool is Cutter.LASER)
    assert ("does not stain steel" in told) is (tool in (Cutter.HOT_WIRE, Cutter.BAND_SAW))
    assert "the machine moves" in cautions_for(CutWay(tool, 500, moved=False))


def test_a_hot_wire_has_files_of_foam_alone() -> None:
    plan = planned(*invented_orders(1, 3)[0])
    names = cut_files(plan, CutWay(Cutter.HOT_WIRE, 1_600)).keys()
    foam = {sheet.id.lower() for sheet in plan.insert.sheets if sheet.material is None}
    assert {name.partition("-")[0] for name in names - {"cautions.txt"}} <= foam


# What follows reads files back as a stranger does: every pocket, none missing, none twice.


def pockets_of(sheet: SheetPlan) -> list[Polygon]:
    """Each item's pockets joined, from the plan alone."""
    groups: dict[str, list[Polygon]] = {}
    for pocket in sheet.pockets:
        traced = pocket.traced_um or pocket.outline_um
        shape = Polygon(traced) if traced else box(*pocket.min_um, *pocket.max_um)
        groups.setdefault(pocket.letter, []).append(shape)
    return [part for shapes in groups.values() for part in parts_of(union_all(shapes))]


def parts_of(shape: BaseGeometry) -> list[Polygon]:
    """A figure's parts in mm."""
    parts = [shape] if isinstance(shape, Polygon) else list(getattr(shape, "geoms", []))
    return [Polygon([(x / 1000, y / 1000) for x, y in part.exterior.coords]) for part in parts]


def assert_every_pocket_is_there_once(plan: Plan, one: CutSheet, half: float) -> None:
    """In both files; with a cut that takes something, half of that inside of its edge."""
    sheet = next(own for own in plan.insert.sheets if own.id == one.id)
    wanted = [shape.buffer(-half, join_style="mitre", mitre_limit=50) for shape in pockets_of(sheet)]
    for figures, _ in (from_svg(svg_of(one)), from_dxf(dxf_of(one))):
        edge, *found = figures
        assert edge.hausdorff_distance(box(-half, -half, *(side + half for side in one.size_mm))) < 0.02
        assert len(found) == len(wanted)
        for shape in wanted:
            near = [other for other in found if other.boundary.hausdorff_distance(shape.boundary) < 0.1]
            assert len(near) == 1, one.id


def assert_files_are_true(plan: Plan) -> None:
    stack = {sheet.id for sheet in plan.insert.sheets}
    for tool in (Cutter.KNIFE, Cutter.LASER, Cutter.HOT_WIRE):
        way = CutWay(tool, USUAL_KERF_UM[tool])
        for one in cut_sheets(plan, way):
            if one.id in stack:
                assert_every_pocket_is_there_once(plan, one, way.kerf_um / 2000)


@pytest.mark.parametrize("number", range(4))
def test_files_read_back_have_every_pocket_of_invented_orders_once(number: int) -> None:
    assert_files_are_true(planned(*invented_orders(4, 12)[number]))


def test_files_read_back_have_every_pocket_cut_to_an_outline_once() -> None:
    assert_files_are_true(plan_parcel(order_of(hammer(), axe()), effort=60).plan)


@pytest.mark.slow
def test_files_read_back_have_every_pocket_of_two_hundred_invented_orders_once() -> None:
    for order, thin in invented_orders(200, 10):
        assert_files_are_true(planned(order, thin))
