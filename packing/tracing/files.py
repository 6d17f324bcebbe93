"""An outline traced in a drawing program: SVG or DXF, one closed figure for the head and one for the handle.

x runs along the handle from the crown, y from the face or poll: in an SVG down, in a DXF up. Where the drawing begins
does not matter, nor how large it is: it is scaled to each piece. Apart from the rest, since its libraries are slow to
load.
"""

import io
import re
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from math import dist
from xml.etree import ElementTree

import ezdxf
from ezdxf import path
from fontTools.pens.recordingPen import RecordingPen
from fontTools.svgLib.path import parse_path

from packing.measure import MOST_POINTS, BadInput
from packing.messages import Figure, Message
from packing.polygon import counter_clockwise, crossing
from packing.tracing.model import SHARES, Tracing

Point = tuple[float, float]
FLAT_MM = 0.1
"""Curves are followed to this: what a knife does not notice."""
OPEN_MM = 0.5
"""A figure whose ends are further apart is not closed."""
APART_MM = 3.0
"""The handle begins this near to the head's underside, or its figure is of another frame."""
LEAST_MM, MOST_MM = 20.0, 1_000.0
"""Lengths that a head may have: a drawing in another unit is found out by them."""
LARGEST_FILE = 1_000_000
"""Characters: a tracing has a few thousand."""
_PX_MM = 25.4 / 96
_UNITS = {"mm": 1.0, "cm": 10.0, "in": 25.4, "px": _PX_MM, "pt": 25.4 / 72, "": _PX_MM}
_DXF_UNITS = {0: 1.0, 1: 25.4, 4: 1.0, 5: 10.0, 6: 1000.0}
"""Codes of $INSUNITS; a file that names none is taken for millimetres."""


def read_tracing(text: str, kind: str) -> Tracing:
    """Read the figures of a drawing.

    Parameters
    ----------
    text
        Of the file.
    kind
        "svg" or "dxf".

    Returns
    -------
    Tracing

    Raises
    ------
    BadInput
        It cannot be read; a figure that is open, crosses itself or has too many points; more than two figures or
        none; a head of a size no head has; a handle that does not begin at the head's underside.
    """
    read = _READERS.get(kind)
    if read is None:
        raise BadInput("traced", f"must be an SVG or a DXF file, not {kind!r}.")
    if len(text) > LARGEST_FILE:
        raise BadInput("traced", f"must have at most {LARGEST_FILE} characters, not {len(text)}.")
    lines = list(read(text))
    if not 1 <= len(lines) <= 2:
        raise BadInput("traced", f"must hold one figure for the head and one for the handle, not {len(lines)} figures.")
    figures = sorted((_closed(line, number) for number, line in enumerate(lines, 1)), key=lambda one: min(one)[0])
    return _in_shares(*figures)


def _closed(line: Sequence[Point], number: int) -> list[Point]:
    """A figure's corners; raises where it is open, crosses itself or has too many."""
    gap = dist(line[0], line[-1])
    if gap > OPEN_MM:
        message = Message(
            "has an open figure, number {number}: its ends are {gap} apart; at most {most} is taken for closed.",
            number=Figure(str(number)),
            gap=Figure(f"{gap:.1f} mm"),
            most=Figure(f"{OPEN_MM} mm"),
        )
        raise BadInput("traced", message)
    corners = [a for a, b in pairwise(line) if dist(a, b) > FLAT_MM / 10]
    if len(corners) < 3 or len(corners) > MOST_POINTS:
        raise BadInput("traced", f"must have 3 to {MOST_POINTS} points in a figure, not {len(corners)} in {number}.")
    crossed = crossing(tuple((round(1000 * x), round(1000 * y)) for x, y in corners))
    if crossed is not None:
        at = corners[crossed[0]]
        place = f"near x {at[0]:.1f}, y {at[1]:.1f} mm"
        raise BadInput("traced", f"has a figure that crosses itself, number {number}, {place}.")
    return corners


def _in_shares(head: Sequence[Point], handle: Sequence[Point] = ()) -> Tracing:
    xs, ys = [x for x, _ in head], [y for _, y in head]
    low, height, face, length = min(xs), max(xs) - min(xs), min(ys), max(ys) - min(ys)
    if not LEAST_MM <= length <= MOST_MM:
        message = (
            f"has a head that is {length:.1f} mm long; {LEAST_MM:g} to {MOST_MM:g} mm are possible: is the unit right?"
        )
        raise BadInput("traced", message)
    shares = tuple((round((x - low) / height * SHARES), round((y - face) / length * SHARES)) for x, y in head)
    if not handle:
        return Tracing(counter_clockwise(shares))
    start, end = min(x for x, _ in handle), max(x for x, _ in handle)
    if abs(start - low - height) > APART_MM:
        message = (
            f"has a handle that begins {start - low:.1f} mm from the crown, where the head ends at {height:.1f} mm: "
            "x must run along the handle, from the crown."
        )
        raise BadInput("traced", message)
    joint = [y for x, y in handle if x <= start + OPEN_MM]
    eye = (min(joint) + max(joint)) / 2
    reach = max(abs(y - eye) for _, y in handle)
    long = end - start
    along = tuple((round((x - start) / long * SHARES), round((y - eye) / reach * SHARES)) for x, y in handle)
    return Tracing(counter_clockwise(shares), counter_clockwise(along))


def _svg_lines(text: str) -> Iterator[list[Point]]:
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError as fault:
        raise BadInput("traced", f"is no SVG that can be read: {fault}.") from None
    scale = _svg_scale(root)
    for node in root.iter():
        if node.get("transform"):
            raise BadInput("traced", "has a figure with a transform: apply it to the figure in the drawing program.")
        lines = _figures_of(node, FLAT_MM / scale)
        for line in lines:
            if len(line) > 1:
                yield [(x * scale, y * scale) for x, y in line]


def _figures_of(node: ElementTree.Element, flat: float) -> list[list[Point]]:
    """The figures that an element of a drawing is, in its own units."""
    match node.tag.rpartition("}")[2]:
        case "path":
            return _path(node.get("d", ""), flat)
        case "polygon":
            points = _points(node)
            return [points + points[:1]]
        case "polyline":
            return [_points(node)]
        case "rect":
            x, y, width, height = (float(node.get(key, "0")) for key in ("x", "y", "width", "height"))
            return [[(x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y)]]
        case _:
            return []


def _points(node: ElementTree.Element) -> list[Point]:
    figures = [float(word) for word in re.findall(r"[-+.\deE]+", node.get("points", ""))]
    return list(zip(figures[::2], figures[1::2], strict=False))


def _svg_scale(root: ElementTree.Element) -> float:
    """Millimetres of one unit of the drawing."""
    found = re.fullmatch(r"\s*([\d.]+)\s*([a-z]*)\s*", root.get("width", ""))
    box = root.get("viewBox", "").replace(",", " ").split()
    if found is None or found[2] not in _UNITS:
        return _PX_MM
    size = float(found[1]) * _UNITS[found[2]]
    return size / float(box[2]) if len(box) == 4 and float(box[2]) > 0 else _UNITS[found[2]]


def _path(data: str, flat: float) -> list[list[Point]]:
    pen = RecordingPen()
    try:
        parse_path(data, pen)
    except (ValueError, TypeError, IndexError, NotImplementedError) as fault:
        raise BadInput("traced", f"has a path that cannot be read: {fault}.") from None
    lines: list[list[Point]] = []
    for verb, points in pen.value:
        match verb:
            case "moveTo":
                lines.append([points[0]])
            case "lineTo":
                lines[-1].append(points[0])
            case "qCurveTo" | "curveTo":
                lines[-1] += _curve([lines[-1][-1], *points], flat)
            case "closePath":
                lines[-1].append(lines[-1][0])
    return lines


def _curve(control: Sequence[Point], flat: float) -> list[Point]:
    """Points along a Bézier curve, without its first: as many as keep within `flat` of it.

    References
    ----------
    The bound by second differences: textbooks of computer-aided geometric design; points by de Casteljau's scheme.
    """
    degree = len(control) - 1
    bend = max(
        (
            dist((0, 0), (a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1]))
            for a, b, c in zip(control, control[1:], control[2:], strict=False)
        ),
        default=0.0,
    )
    parts = max(1, min(60, round((degree * (degree - 1) * bend / (8 * flat)) ** 0.5 + 0.5)))
    return [_at(control, step / parts) for step in range(1, parts + 1)]


def _at(control: Sequence[Point], share: float) -> Point:
    points = list(control)
    while len(points) > 1:
        points = [(a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])) for a, b in pairwise(points)]
    return points[0]


def _dxf_lines(text: str) -> Iterator[list[Point]]:
    try:
        document = ezdxf.read(io.StringIO(text))
    except (ezdxf.DXFError, OSError, ValueError) as fault:
        raise BadInput("traced", f"is no DXF that can be read: {fault}.") from None
    code = document.header.get("$INSUNITS", 0)
    if code not in _DXF_UNITS:
        raise BadInput("traced", f"is in the unit with the code {code}; it must be in millimetres or inches.")
    scale = _DXF_UNITS[code]
    for entity in document.modelspace().query("LWPOLYLINE POLYLINE SPLINE ELLIPSE CIRCLE"):
        found = path.make_path(entity)
        points = [(vertex.x * scale, vertex.y * scale) for vertex in found.flattening(FLAT_MM / scale)]
        if len(points) > 1:
            yield points


_READERS: dict[str, Callable[[str], Iterator[list[Point]]]] = {"svg": _svg_lines, "dxf": _dxf_lines}
"""By what a file is called."""
