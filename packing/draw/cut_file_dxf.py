"""Cut files as DXF, for saws, lasers and cutting tables; apart from the rest since its library is slow to load."""

import io
from collections.abc import Iterator
from contextlib import contextmanager

import ezdxf
from ezdxf import units
from ezdxf.enums import TextEntityAlignment

from packing.draw.cut_cautions import cautions_for
from packing.draw.cut_file import STYLES, CutLayer, CutSheet, cut_sheets
from packing.draw.cut_file_svg import svg_of
from packing.draw.cut_stock import Nested
from packing.draw.cut_way import ON_THE_LINE, CutWay
from packing.plan import Plan, render


@contextmanager
def _same_bytes() -> Iterator[None]:
    """Dates and ids in the file's head are fixed, so that the same plan gives the same bytes."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def cut_files(plan: Plan, way: CutWay = ON_THE_LINE, nested: Nested | None = None) -> dict[str, str]:
    """Write the cutting files of a plan: file name to text.

    Parameters
    ----------
    plan
        Whose box and insert they are.
    way
        How they are cut.
    nested
        Sheets of stock with what is cut from them, from `packing.draw.cut_stock.nested_sheets`; None where no stock
        is kept.

    Returns
    -------
    dict of str
        An SVG and a DXF of each `CutSheet`, and `cautions.txt`.

    Raises
    ------
    BadInput
        As `packing.draw.cut_file.cut_sheets` does.
    """
    nested = nested or Nested()
    told = [cautions_for(way), *(f"{render(one)}\n" for one in nested.left_out)]
    made = {"cautions.txt": "".join(told)}
    for sheet in (*cut_sheets(plan, way), *nested.sheets):
        made[f"{sheet.file_name}.svg"] = svg_of(sheet)
        made[f"{sheet.file_name}.dxf"] = dxf_of(sheet)
    return made


def dxf_of(sheet: CutSheet) -> str:
    """One piece as DXF at full size, in millimetres, its layers named as in `packing.draw.cut_file.CutLayer`.

    Parameters
    ----------
    sheet
        From `packing.draw.cut_file.cut_sheets`.

    Returns
    -------
    str
        A whole DXF file (R2010), ASCII tags.
    """
    with _same_bytes():
        document = ezdxf.new("R2010", setup=["linetypes"])
        document.units = units.MM
        for layer in CutLayer:
            look = STYLES[layer]
            document.layers.add(
                layer,
                true_color=int(look.colour[1:], 16),
                lineweight=round(100 * look.width),
                linetype="DASHED" if layer == CutLayer.CREASE else "CONTINUOUS",
            )
        space = document.modelspace()
        for stroke in sheet.strokes:
            if stroke.closed:
                space.add_lwpolyline(stroke.points, close=True, dxfattribs={"layer": stroke.layer})
            else:
                space.add_line(stroke.points[0], stroke.points[1], dxfattribs={"layer": stroke.layer})
        for hole in sheet.drilled:
            space.add_circle(hole.at, hole.diameter / 2, dxfattribs={"layer": CutLayer.DRILL})
        for one in sheet.letters:
            text = space.add_text(
                one.text, height=one.height, rotation=one.turn, dxfattribs={"layer": CutLayer.LETTERING}
            )
            text.set_placement(one.at, align=TextEntityAlignment.MIDDLE_CENTER)
        corners = [point for stroke in sheet.strokes for point in stroke.points]
        low, high = (tuple(pick(point[axis] for point in corners) for axis in (0, 1)) for pick in (min, max))
        document.header["$EXTMIN"], document.header["$EXTMAX"] = (*low, 0.0), (*high, 0.0)
        space.reset_extents((*low, 0.0), (*high, 0.0))
        # Named in order: the library adds what is in use in the order of a set, another one each time Python starts.
        for kind in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(kind)
        stream = io.StringIO()
        document.write(stream)
    return stream.getvalue()
