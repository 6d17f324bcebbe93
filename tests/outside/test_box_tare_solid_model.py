"""The weight of empty boxes against solid models: panels extruded with shapely, boards as meshes of trimesh.

Corrugated blanks: the union of panels and joint less the slots, extruded by the caliper, at the board's weight for a
volume. Wood: each board in place as a mesh, grooves and steps as meshes taken away, at the handbook's density; for the
plywood box the whole outside less the inside. The models read panels and places, never the outlines the library weighs.
"""

import random
from typing import Any

import pytest
import trimesh
from shapely import box as rectangle
from shapely import constrained_delaunay_triangles, get_coordinates, union_all

from packing.boxes.styles import plywood, sliding_lid
from packing.materials import Board
from tests.helpers import instance
from tests.outside import sources as src
from tests.outside.sources import against
from tests.packing.box_specs import EVERY, box_spec, designed, random_interior

pytestmark = against(src.FEFCO, src.TRIMESH, src.GEOS)

BOXES = 200


def solid_um3(polygon: Any, thickness_um: Any) -> Any:
    """Volume of a polygon extruded: its area in a geometry library by its thickness."""
    return polygon.area * thickness_um


def sheet_model(flat: Any) -> Any:
    if not flat.panels:
        return rectangle(0, 0, *flat.size_um)
    areas = [rectangle(*a.low, *a.high) for a in (*flat.panels, *([flat.joint] if flat.joint else []))]
    return union_all(areas).difference(union_all([rectangle(*s.low, *s.high) for s in flat.slots]))


def mesh_um3(low: Any, high: Any) -> Any:
    return trimesh.creation.box(bounds=[[v / 1000 for v in low], [v / 1000 for v in high]]).volume * 1e9


def wood_mg(made: Any, plates: Any) -> Any:
    flats = {flat.id: flat for flat in made.cut_pieces}
    total = 0.0
    for plate in plates:
        flat = flats[plate.piece]
        volume = mesh_um3(plate.low, plate.high)
        for groove in flat.grooves:
            volume -= mesh_um3((*groove.low, 0), (*groove.high, groove.depth_um))
        total += volume * flat.material.density_g_m3 / 1e15
    return total


def model_mg(made: Any, wooden: Any) -> Any:
    board = sum(
        flat.count
        * solid_um3(sheet_model(flat), flat.thickness_um)
        * flat.material.grammage_mg_m2
        / flat.thickness_um
        / 1e12
        for flat in made.cut_pieces
        if isinstance(flat.material, Board)
    )
    plates = wooden.steps[-1].placed_panels if wooden is not None else ()
    return board + wood_mg(made, plates) + sum(one.each_mg * one.count for one in made.hardware)


def wooden_core(code: Any, asked: Any) -> Any:
    makers = {"sliding cased": sliding_lid.make, "ply cased": plywood.make}
    if code in makers:
        return makers[code](asked)
    return designed(code, asked) if code in ("boards", "ply", "sliding") else None


@pytest.mark.parametrize("code", EVERY)
def test_tare_is_within_two_percent_of_a_solid_model_for_200_boxes(code: Any) -> None:
    generator = random.Random(code)
    worst = 0.0
    for _ in range(BOXES):
        asked = box_spec(random_interior(generator))
        made = designed(code, asked)
        model = model_mg(made, wooden_core(code, asked))
        worst = max(worst, abs(made.weight_mg - model) / model)
    assert worst <= 0.02


def test_a_plywood_box_is_its_outside_less_its_inside() -> None:
    generator = random.Random(7)
    for _ in range(20):
        made = designed("ply", box_spec(random_interior(generator)))
        shell = mesh_um3((0, 0, 0), made.outer_um) - mesh_um3((0, 0, 0), made.inner_um)
        wood = sum(flat.each_mg * flat.count for flat in made.cut_pieces)
        assert wood == pytest.approx(shell * 680_000 / 1e15, abs=3)


@pytest.mark.parametrize("code", ["0201", "0203", "0300", "wrap"])
def test_a_blank_extruded_to_a_closed_mesh_weighs_what_the_library_says(code: Any) -> None:
    flat = designed(code, box_spec()).cut_pieces[0]
    shape = sheet_model(flat)
    points: list[Any] = []
    faces: list[Any] = []
    for triangle in constrained_delaunay_triangles(shape).geoms:
        faces.append([len(points), len(points) + 1, len(points) + 2])
        points += [tuple(point) for point in get_coordinates(triangle.normalize())[:3] / 1000]
    thickness = flat.thickness_um / 1000
    volume = sum(
        abs(trimesh.creation.extrude_triangulation([points[i] for i in face], [[0, 1, 2]], thickness).volume)
        for face in faces
    )
    assert flat.each_mg == pytest.approx(
        volume / thickness * instance(Board, flat.material).grammage_mg_m2 / 1e6, rel=0.01
    )
