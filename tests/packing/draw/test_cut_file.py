"""Cut files: every dimension is that of the cut list, in both kinds of file."""

import io
import os
import re
import subprocess
import sys
from typing import Any
from xml.etree import ElementTree

import ezdxf
import pytest
from ezdxf import bbox
from ezdxf.entities import LWPolyline
from msgspec.structs import replace

from packing.boxes import style_of
from packing.draw import alike
from packing.draw.canvas import BLUE, INK
from packing.draw.cut_file import MARGIN_MM, CutLayer, cut_sheets, size_text
from packing.draw.cut_file_dxf import dxf_of
from packing.draw.cut_file_svg import svg_of
from packing.measure import BadInput, read_order
from packing.nest import nest
from packing.planning import Candidate, Terms, candidate_for, candidate_plan
from tests.helpers import instance, present
from tests.packing.box_specs import EVERY
from tests.packing.drawn_zoo import HAMMER, in_box, planned

ORDER = read_order({"id": "A-17", "items": [HAMMER]})
SVG = "{http://www.w3.org/2000/svg}"


def sheets_of(code: Any) -> Any:
    """Each piece's cut file beside its line of the parts list and the piece itself; a bought carton has none."""
    plan = in_box(code)
    files = {sheet.id: sheet for sheet in cut_sheets(plan)}
    rows = zip(plan.box.parts, plan.box.pieces, strict=True)
    return [(files[part.id], part, piece) for part, piece in rows if not piece.carton]


def mm(lengths: Any) -> Any:
    return [length / 1000 for length in lengths]


def layer(root: Any, name: Any) -> Any:
    return next(group for group in root.iter(f"{SVG}g") if group.get("id") == name)


def extent(group: Any) -> Any:
    points = [tuple(map(float, pair.split())) for path in group for pair in re.findall(r"[\d.]+ [\d.]+", path.get("d"))]
    return [max(p[axis] for p in points) - min(p[axis] for p in points) for axis in (0, 1)]


@pytest.mark.parametrize("code", EVERY)
def test_the_svg_is_full_size_and_cuts_the_size_of_the_cut_list(code: Any) -> None:
    for sheet, part, _ in sheets_of(code):
        root = ElementTree.fromstring(svg_of(sheet))
        assert extent(layer(root, CutLayer.CUT)) == pytest.approx(mm(part.size_um), abs=0.011)
        box = [float(value) for value in root.attrib["viewBox"].split()]
        assert [root.get("width"), root.get("height")] == [f"{value:.10g}mm" for value in box[2:]]
        assert box[2:] == pytest.approx([side + 2 * MARGIN_MM for side in mm(part.size_um)], abs=0.011)


@pytest.mark.parametrize("code", EVERY)
def test_the_dxf_cuts_the_size_of_the_cut_list_in_millimetres(code: Any) -> None:
    for sheet, part, _ in sheets_of(code):
        document = ezdxf.read(io.StringIO(dxf_of(sheet)))
        assert document.units == ezdxf.units.MM
        cut = document.modelspace().query(f'*[layer=="{CutLayer.CUT}"]')
        size = bbox.extents(cut).size
        assert (size.x, size.y) == pytest.approx(mm(part.size_um))


@pytest.mark.parametrize("code", EVERY)
def test_every_figure_written_on_a_panel_is_its_size(code: Any) -> None:
    for sheet, part, piece in sheets_of(code):
        areas = [*piece.panels, *([piece.joint] if piece.joint else [])]
        sizes = {size_text(area.min_um, area.max_um) for area in areas}
        sizes.add(size_text((0, 0), part.size_um))
        told = ("cross:", "square:")  # screws and nails, whose own sizes stand there
        texts = [one.text.replace(sheet.what, "") for one in sheet.letters if not one.text.startswith(told)]
        assert {found for text in texts for found in re.findall(r"[\d.]+ × [\d.]+", text)} <= sizes
        assert any(size_text((0, 0), part.size_um) in one.text for one in sheet.letters)


@pytest.mark.parametrize("code", ["0201", "wrap", "0300"])
def test_creases_are_on_their_own_layer_in_both_files(code: Any) -> None:
    for sheet, _, piece in sheets_of(code):
        document = ezdxf.read(io.StringIO(dxf_of(sheet)))
        lines = document.modelspace().query(f'LINE[layer=="{CutLayer.CREASE}"]')
        root = ElementTree.fromstring(svg_of(sheet))
        assert len(lines) == len(list(layer(root, CutLayer.CREASE))) == len(piece.creases)


def test_grooves_are_marked_with_their_width_and_depth_and_not_cut_through() -> None:
    sheet = next(sheet for sheet, _, _ in sheets_of("sliding") if sheet.what == "side")
    grooves = [stroke for stroke in sheet.strokes if stroke.closed]
    assert [stroke.layer for stroke in grooves] == [CutLayer.CUT, CutLayer.MARK]
    crosses = {stroke.layer for stroke in sheet.strokes if not stroke.closed}
    assert crosses == {CutLayer.MARK}
    assert any("groove 6 wide 6 deep" in one.text for one in sheet.letters)


def test_the_layers_of_a_dxf_have_plain_names() -> None:
    sheet = sheets_of("0201")[0][0]
    names = {one.dxf.name for one in ezdxf.read(io.StringIO(dxf_of(sheet))).layers}
    assert set(CutLayer) == {"cut", "crease", "mark", "drill", "lettering"}
    assert set(CutLayer) <= names


def test_layers_are_coloured_as_the_papers_are() -> None:
    sheet = sheets_of("0201")[0][0]
    layers = ezdxf.read(io.StringIO(dxf_of(sheet))).layers
    drawn = {name: f"#{layers.get(name).dxf.true_color:06x}" for name in CutLayer}
    assert drawn == {"cut": INK, "crease": BLUE, "mark": "#57503f", "drill": BLUE, "lettering": INK}
    assert layers.get(CutLayer.LETTERING).dxf.lineweight < layers.get(CutLayer.CUT).dxf.lineweight
    root = ElementTree.fromstring(svg_of(sheet))
    assert {layer(root, name).get("stroke") or layer(root, name).get("fill") for name in CutLayer} == set(
        drawn.values()
    )


def test_the_header_has_the_extents_of_the_piece() -> None:
    for code in ("0201", "ply"):
        for sheet, part, _ in sheets_of(code):
            document = ezdxf.read(io.StringIO(dxf_of(sheet)))
            assert document.header["$EXTMIN"] == (0, 0, 0)
            assert document.header["$EXTMAX"] == pytest.approx((*mm(part.size_um), 0))
            assert not document.audit().errors


def test_the_same_piece_gives_the_same_bytes() -> None:
    sheet = sheets_of("0201")[0][0]
    assert dxf_of(sheet) == dxf_of(sheet)
    assert svg_of(sheet) == svg_of(sheet)


def insert_of(plan: Any) -> Any:
    """Each insert sheet's file, beside a sheet of the plan."""
    rows = {row.id: row for row in plan.insert.sheets}
    return [(one, rows[one.id]) for one in cut_sheets(plan) if one.what == "insert sheet"]


def test_every_sheet_of_the_insert_has_a_file_with_those_cut_alike() -> None:
    plan = planned(6)
    assert [one.id for one, _ in insert_of(plan)] == [ids[0] for ids in alike(plan.insert)]


def test_the_edge_and_every_pocket_of_an_insert_sheet_are_cut_through() -> None:
    for one, row in insert_of(planned(6)):
        cut = ezdxf.read(io.StringIO(dxf_of(one))).modelspace().query(f'LWPOLYLINE[layer=="{CutLayer.CUT}"]')
        assert len(cut) == 1 + len({pocket.letter for pocket in row.pockets})
        size = bbox.extents(cut).size
        assert [size.x, size.y] == pytest.approx(mm(row.size_um))
        farthest = {
            round(max(point[0] for point in line.get_points()), 3) for line in cut if isinstance(line, LWPolyline)
        }
        ends: dict[str, float] = {}
        for pocket in row.pockets:
            ends[pocket.letter] = max(pocket.max_um[0] / 1000, ends.get(pocket.letter, 0.0))
        assert farthest == {row.size_um[0] / 1000, *ends.values()}


def test_an_insert_sheet_says_what_it_is_and_whose_pockets_it_has() -> None:
    for one, row in insert_of(planned(6)):
        texts = [letters.text for letters in one.letters]
        assert {pocket.letter for pocket in row.pockets} <= set(texts)
        assert any(f"{row.thickness_um / 1000:g} mm, cut" in text and "this side up" in text for text in texts)


def test_holes_are_drilled_circles_of_their_drill_in_both_files() -> None:
    for sheet, _, piece in sheets_of("ply"):
        face = [hole for hole in piece.holes if not hole.edge and hole.drill_um]
        circles = ezdxf.read(io.StringIO(dxf_of(sheet))).modelspace().query(f'CIRCLE[layer=="{CutLayer.DRILL}"]')
        drawn = sorted((one.dxf.center.x, one.dxf.center.y, 2 * one.dxf.radius) for one in circles)
        assert drawn == sorted((*mm(hole.at_um), hole.drill_um / 1000) for hole in face)
        assert len(list(layer(ElementTree.fromstring(svg_of(sheet)), CutLayer.DRILL))) == len(face)
        assert all("drill 3.5 mm" in " ".join(one.text for one in sheet.letters) for _hole in face)


def test_a_bought_carton_has_no_file_and_its_insert_is_cut_to_its_size() -> None:
    made = instance(Candidate, candidate_for(ORDER, nest(ORDER, effort=1), style_of("carton"), Terms()))
    plan = candidate_plan(ORDER, made, Terms())
    sheets = cut_sheets(plan)
    bought = present(plan.carton)
    carton = next(piece for piece in plan.box.pieces if piece.carton)
    assert carton.id not in {sheet.id for sheet in sheets}
    foam = [sheet for sheet in sheets if sheet.what == "insert sheet"]
    assert {sheet.size_mm for sheet in foam} == {tuple(mm(bought.sheet_um))}
    assert bought.sheet_um != plan.interior_um[:2]
    assert any("Cut every sheet" in str(note) for note in plan.notes)
    assert [sheet.id for sheet in foam][-1:] == (["on-top"] if bought.top_sheet_um else [foam[-1].id])


def test_file_names_are_plain() -> None:
    assert [sheet.file_name for sheet, _, _ in sheets_of("0300")] == ["x1-body-blank", "x2-lid-blank"]


def test_letters_that_xml_does_not_take_are_written_out() -> None:
    plan = replace(in_box("0201"), order="<A&17>")
    root = ElementTree.fromstring(svg_of(cut_sheets(plan)[0]))
    assert any("<A&17>" in (text.text or "") for text in layer(root, CutLayer.LETTERING))


def test_a_plan_without_flat_pieces_is_refused() -> None:
    plan = in_box("0201")
    with pytest.raises(BadInput, match="must have a box with flat pieces"):
        cut_sheets(replace(plan, box=replace(plan.box, pieces=())))


def test_every_start_of_python_writes_the_same_bytes() -> None:
    code = (
        "import hashlib; from packing.draw.cut_file_dxf import cut_files; from tests.packing.drawn_zoo import sample;"
        "print(hashlib.sha256(''.join(cut_files(sample()).values()).encode()).hexdigest())"
    )
    written = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        for seed in ("1", "4")
    }
    assert len(written) == 1
