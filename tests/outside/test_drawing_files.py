"""Cut files and pages read by what knows nothing of this project: DXF as text, SVG in a browser, PDF pages."""

import io
import itertools
import json
import subprocess
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from packing.draw.cut_file import cut_sheets
from packing.draw.cut_file_dxf import dxf_of
from packing.draw.cut_file_svg import svg_of
from packing.plan import plan_from_json
from shop.papers import print_paper
from tests.helpers import matched, present
from tests.outside import sources as src
from tests.outside.sources import against
from tests.outside.test_pdf_drawing_sizes import INCH, METRIC, SAMPLE
from tests.packing.box_specs import EVERY
from tests.packing.drawn_zoo import in_box
from tests.shop.screens.browser import CHROMIUM

PX_MM = 25.4 / 96
POINT_MM = 25.4 / 72


def sheets(code: str = "0201") -> Any:
    """The cut files of a box's own pieces."""
    plan = in_box(code)
    return cut_sheets(plan)[: len(plan.box.pieces)]


def tags(text: Any) -> Any:
    """Group codes and values of a DXF, two lines each."""
    lines = text.splitlines()
    return [(int(code), value.strip()) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def header(pairs: Any) -> Any:
    """The header's variables: name to the values that follow it."""
    start = next(i for i, pair in enumerate(pairs) if pair == (2, "HEADER"))
    found: dict[str, Any] = {}
    name = ""
    for code, value in pairs[start + 1 :]:
        if (code, value) == (0, "ENDSEC"):
            break
        if code == 9:
            name = value
            found[name] = []
        else:
            found[name].append((code, value))
    return found


def entities(pairs: Any) -> Any:
    """Each entity as its type and its pairs."""
    start = next(i for i, pair in enumerate(pairs) if pair == (2, "ENTITIES"))
    rest = itertools.takewhile(lambda pair: pair != (0, "ENDSEC"), pairs[start + 1 :])
    groups: Any = []
    for code, value in rest:
        if code == 0:
            groups.append((value, []))
        else:
            groups[-1][1].append((code, value))
    return groups


def corners(group: Any) -> Any:
    xs, ys = ([float(v) for code, v in group if code in codes] for codes in ((10, 11), (20, 21)))
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("code", EVERY)
@against(src.DXF)
def test_a_dxf_is_in_millimetres_and_its_header_has_the_drawings_corners(code: Any) -> None:
    for sheet in sheets(code):
        pairs = tags(dxf_of(sheet))
        variables = header(pairs)
        assert variables["$INSUNITS"] == [(70, "4")]
        drawn = [corners(group) for kind, group in entities(pairs) if kind in ("LINE", "LWPOLYLINE")]
        low = [min(one[axis] for one in drawn) for axis in (0, 1)]
        high = [max(one[axis + 2] for one in drawn) for axis in (0, 1)]
        for name, corner in (("$EXTMIN", low), ("$EXTMAX", high)):
            said = {code: float(value) for code, value in variables[name]}
            assert (said[10], said[20]) == pytest.approx(corner, abs=1e-6)
        assert [high[axis] - low[axis] for axis in (0, 1)] == pytest.approx(sheet.size_mm, abs=0.01)


@against(src.DXF)
def test_a_dxf_closes_its_outline_and_names_no_layer_that_its_table_lacks() -> None:
    pairs = tags(dxf_of(sheets()[0]))
    layers = {value for _, group in entities(pairs) for code, value in group if code == 8}
    defined = set()
    inside = False
    for code, value in pairs:
        if code == 0:
            inside = value == "LAYER"
        elif inside and code == 2:
            defined.add(value)
    assert layers <= defined
    closed = [group for kind, group in entities(pairs) if kind == "LWPOLYLINE"]
    assert closed and all((70, "1") in group for group in closed)


@against(src.DXF, src.GEOS)
def test_the_outline_in_a_dxf_has_the_area_that_the_box_is_weighed_by() -> None:
    from shapely import Polygon

    piece = in_box("0201").box.pieces[0]
    pairs = tags(dxf_of(sheets()[0]))
    polygons = []
    for kind, group in entities(pairs):
        if kind == "LWPOLYLINE":
            points = zip(
                (float(v) for code, v in group if code == 10),
                (float(v) for code, v in group if code == 20),
                strict=True,
            )
            polygons.append(Polygon(points))
    area = max(polygon.area for polygon in polygons)
    grammes = area / 1e6 * present(in_box("0201").box.board).grammage_mg_m2 / 1000
    assert piece.weight_mg / 1000 == pytest.approx(grammes, rel=0.001)


MEASURE = """<!doctype html><body style="margin:0">%s<pre id="found"></pre><script>
const box = (e) => { const b = e.getBoundingClientRect(); return [b.width, b.height]; };
const cut = [...document.querySelectorAll("svg g")].find((g) => g.id.includes("cut"));
document.getElementById("found").textContent = JSON.stringify([box(document.querySelector("svg")), box(cut)]);
</script></body>"""


def measured(svg: Any, folder: Any) -> Any:
    """Width and height of the picture and of its cuts, in CSS pixels, as a browser lays them out."""
    page = folder / "page.html"
    page.write_text(MEASURE % svg, encoding="utf-8")
    flags = ["--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={folder / 'profile'}", "--dump-dom"]
    assert CHROMIUM is not None
    done = subprocess.run([CHROMIUM, *flags, page.as_uri()], capture_output=True, text=True, timeout=120, check=True)
    return json.loads(matched(r'<pre id="found">(.*?)</pre>', done.stdout)[1])


@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")
@against(src.CSS_UNITS)
def test_a_browser_measures_an_svg_cut_file_at_its_full_size(tmp_path: Path) -> None:
    """With 5 mm of margin all round; a line's width may add to what is drawn."""
    sheet = sheets()[0]
    picture, drawn = measured(svg_of(sheet), tmp_path)
    assert [side * PX_MM - 2 * 5.0 for side in picture] == pytest.approx(sheet.size_mm, abs=0.1)
    assert [side * PX_MM for side in drawn] == pytest.approx(sheet.size_mm, abs=0.6)


@pytest.mark.parametrize(
    ("context", "size_mm"), [(METRIC, (210, 297)), (INCH, (8.5 * 25.4, 11 * 25.4))], ids=["A4", "Letter"]
)
@pytest.mark.parametrize("kind", ["insert", "box", "slip"])
@against(src.PAGE_SIZES, src.PDFPLUMBER)
def test_every_page_is_a4_or_letter_upright_or_on_its_side(kind: Any, context: Any, size_mm: Any) -> None:
    plan = plan_from_json(json.loads(Path(SAMPLE).read_text(encoding="utf-8")))
    with pdfplumber.open(io.BytesIO(print_paper(kind, plan, context).pdf)) as pdf:
        assert pdf.pages
        for page in pdf.pages:
            sides = sorted((float(page.width) * POINT_MM, float(page.height) * POINT_MM))
            assert sides == pytest.approx(sorted(size_mm), abs=0.2)
