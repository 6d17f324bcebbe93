"""Cut files: every dimension is that of the cut list, in both kinds of file."""

import io
import re
from xml.etree import ElementTree

import ezdxf
import pytest
from ezdxf import bbox

from packing.boxes import design_content, make_box
from packing.draw import alike
from packing.draw.cut_file import CREASE, CUT, LAYERS, LETTERING, MARGIN_MM, MARK, cut_sheets, size_text, svg_of
from packing.draw.cut_file_dxf import dxf_of
from packing.measure import BadInput
from tests.packing.box_specs import EVERY, box_spec
from tests.packing.drawn_zoo import planned

INTERIOR = (390_500, 190_000, 140_000)
SVG = "{http://www.w3.org/2000/svg}"


def content_of(code):
    return {"status": "planned", "order": "A-17", "box": design_content(make_box(code, box_spec(INTERIOR)))}


def sheets_of(code):
    content = content_of(code)
    return list(zip(cut_sheets(content), content["box"]["parts"], content["box"]["flats"], strict=True))


def layer(root, name):
    return next(group for group in root.iter(f"{SVG}g") if group.get("id") == name)


def extent(group):
    points = [tuple(map(float, pair.split())) for path in group for pair in re.findall(r"[\d.]+ [\d.]+", path.get("d"))]
    return [max(p[axis] for p in points) - min(p[axis] for p in points) for axis in (0, 1)]


@pytest.mark.parametrize("code", EVERY)
def test_the_svg_is_full_size_and_cuts_the_size_of_the_cut_list(code):
    for sheet, part, _ in sheets_of(code):
        root = ElementTree.fromstring(svg_of(sheet))
        assert extent(layer(root, CUT)) == pytest.approx(part["size_mm"], abs=0.011)
        box = [float(value) for value in root.get("viewBox").split()]
        assert [root.get("width"), root.get("height")] == [f"{value:.10g}mm" for value in box[2:]]
        assert box[2:] == pytest.approx([side + 2 * MARGIN_MM for side in part["size_mm"]], abs=0.011)


@pytest.mark.parametrize("code", EVERY)
def test_the_dxf_cuts_the_size_of_the_cut_list_in_millimetres(code):
    for sheet, part, _ in sheets_of(code):
        document = ezdxf.read(io.StringIO(dxf_of(sheet)))
        assert document.units == ezdxf.units.MM
        cut = document.modelspace().query(f'*[layer=="{CUT}"]')
        size = bbox.extents(cut).size
        assert (size.x, size.y) == pytest.approx(part["size_mm"])


@pytest.mark.parametrize("code", EVERY)
def test_every_figure_written_on_a_panel_is_its_size(code):
    for sheet, part, flat in sheets_of(code):
        areas = [*flat["panels"], *([flat["joint"]] if flat["joint"] else [])]
        sizes = {size_text(p["min_mm"], p["max_mm"]) for p in areas}
        sizes.add(size_text((0, 0), part["size_mm"]))
        texts = [one.text.replace(sheet.what, "") for one in sheet.letters]
        assert {found for text in texts for found in re.findall(r"[\d.]+ × [\d.]+", text)} <= sizes
        assert any(size_text((0, 0), part["size_mm"]) in one.text for one in sheet.letters)


@pytest.mark.parametrize("code", ["0201", "wrap", "0300"])
def test_creases_are_on_their_own_layer_in_both_files(code):
    for sheet, _, flat in sheets_of(code):
        document = ezdxf.read(io.StringIO(dxf_of(sheet)))
        lines = document.modelspace().query(f'LINE[layer=="{CREASE}"]')
        root = ElementTree.fromstring(svg_of(sheet))
        assert len(lines) == len(list(layer(root, CREASE))) == len(flat["creases"])


def test_grooves_are_marked_with_their_width_and_depth_and_not_cut_through():
    sheet = next(sheet for sheet, _, _ in sheets_of("sliding") if sheet.what == "side")
    assert [stroke.layer for stroke in sheet.strokes] == [CUT, MARK]
    assert any("groove 6 wide 6 deep" in one.text for one in sheet.letters)


def test_the_layers_of_a_dxf_have_plain_names():
    sheet = sheets_of("0201")[0][0]
    names = {one.dxf.name for one in ezdxf.read(io.StringIO(dxf_of(sheet))).layers}
    assert set(LAYERS) == {"through-cut", "crease", "mark", "lettering"}
    assert set(LAYERS) <= names


def test_the_same_piece_gives_the_same_bytes():
    sheet = sheets_of("0201")[0][0]
    assert dxf_of(sheet) == dxf_of(sheet)
    assert svg_of(sheet) == svg_of(sheet)


def insert_of(content):
    """Each insert sheet's file read back, beside a sheet of the plan."""
    rows = {row["id"]: row for row in content["insert"]["sheets"]}
    return [(one, rows[one.id]) for one in cut_sheets(content) if one.what == "insert sheet"]


def test_every_sheet_of_the_insert_has_a_file_with_those_cut_alike():
    content = planned(6)
    assert [one.id for one, _ in insert_of(content)] == [ids[0] for ids in alike(content)]


def test_the_edge_and_every_pocket_of_an_insert_sheet_are_cut_through():
    for one, row in insert_of(planned(6)):
        cut = ezdxf.read(io.StringIO(dxf_of(one))).modelspace().query(f'LWPOLYLINE[layer=="{CUT}"]')
        assert len(cut) == 1 + len({pocket["letter"] for pocket in row["pockets"]})
        size = bbox.extents(cut).size
        assert [size.x, size.y] == pytest.approx(row["size_mm"])
        farthest = {round(max(point[0] for point in line.get_points()), 3) for line in cut}
        ends: dict[str, float] = {}
        for pocket in row["pockets"]:
            ends[pocket["letter"]] = max(pocket["max_mm"][0], ends.get(pocket["letter"], 0.0))
        assert farthest == {row["size_mm"][0], *ends.values()}


def test_an_insert_sheet_says_what_it_is_and_whose_pockets_it_has():
    content = planned(6)
    for one, row in insert_of(content):
        texts = [letters.text for letters in one.letters]
        assert {pocket["letter"] for pocket in row["pockets"]} <= set(texts)
        assert any(f"{row['thickness_mm']} mm, cut" in text and "this side up" in text for text in texts)


def test_file_names_are_plain():
    assert [sheet.file_name for sheet, _, _ in sheets_of("0300")] == ["x1-body-blank", "x2-lid-blank"]


def test_letters_that_xml_does_not_take_are_written_out():
    content = content_of("0201") | {"order": "<A&17>"}
    root = ElementTree.fromstring(svg_of(cut_sheets(content)[0]))
    assert any("<A&17>" in (text.text or "") for text in layer(root, LETTERING))


@pytest.mark.parametrize("content", [{}, {"status": "not found"}, {"status": "planned", "box": {"flats": []}}])
def test_a_plan_without_flat_pieces_is_refused(content):
    with pytest.raises(BadInput, match="must be planned"):
        cut_sheets(content)
