"""Reads cutting files as a stranger does: closed figures and single lines of the layer of cuts, in mm."""

import io
import re
from xml.etree import ElementTree

import ezdxf
from ezdxf.entities import LWPolyline
from shapely import LineString, Polygon

from packing.draw.cut_file import CutLayer

Read = tuple[list[Polygon], list[LineString]]
SVG = "{http://www.w3.org/2000/svg}"


def from_svg(text: str, layer: str = CutLayer.CUT) -> Read:
    """Of an SVG, y upwards from the piece's lower left corner."""
    root = ElementTree.fromstring(text)
    height = float(root.attrib["viewBox"].split()[3]) - 10.0
    figures, lines = [], []
    group = next(one for one in root.iter(f"{SVG}g") if one.get("id") == layer)
    for path in group:
        numbers = [float(word) for word in re.findall(r"-?[\d.]+", path.attrib["d"])]
        points = [(x, height - y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
        if path.attrib["d"].endswith("Z"):
            figures.append(Polygon(points))
        else:
            lines.append(LineString(points))
    return figures, lines


def from_dxf(text: str, layer: str = CutLayer.CUT) -> Read:
    """Of a DXF that ezdxf's audit finds nothing wrong with."""
    document = ezdxf.read(io.StringIO(text))
    assert not document.audit().errors and not document.audit().fixes
    space = document.modelspace()
    drawn = space.query(f'LWPOLYLINE[layer=="{layer}"]')
    figures = [Polygon(one.get_points("xy")) for one in drawn if isinstance(one, LWPolyline)]
    lines = [LineString([one.dxf.start, one.dxf.end]) for one in space.query(f'LINE[layer=="{layer}"]')]
    return figures, lines
