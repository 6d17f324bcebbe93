"""Traced outlines from SVG and DXF, read, scaled to a piece, and refused with their reason."""

import io
import itertools
import json
from typing import Any

import ezdxf
import pytest

from packing.measure import BadInput, Tool, item_content, read_item
from packing.tracing import Tracing, traced_outline, tracing_content, tracing_of
from packing.tracing.files import read_tracing
from tests.packing.outlined import hammer

HEAD = [(0, 0), (36, 0), (36, 80), (22, 135), (14, 135), (0, 80)]
HANDLE = [(36, 48), (366, 44), (366, 76), (36, 72)]
PLAIN = {key: value for key, value in hammer().items() if key != "outline"}


def points(figure: Any) -> str:
    return " ".join(f"{x},{y}" for x, y in figure)


def svg(*figures: str, size: str = 'width="400mm" viewBox="0 0 400 200"') -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{"".join(figures)}</svg>'


def polygon(figure: Any) -> str:
    return f'<polygon points="{points(figure)}"/>'


def path_of(figure: Any, end: str = "Z") -> str:
    return f'<path d="M{" L".join(f"{x} {y}" for x, y in figure)}{end}"/>'


def dxf(*figures: Any, unit: int = 4, close: bool = True) -> str:
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = unit
    for figure in figures:
        document.modelspace().add_lwpolyline(figure, close=close)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()


def outline_of(tracing: Tracing) -> dict[str, Any]:
    """The outline on the hammer that was traced, read again from an order file."""
    tool = read_item(PLAIN)
    assert isinstance(tool, Tool)
    outline = traced_outline(tool, tracing_of(json.loads(json.dumps(tracing_content(tracing)))))
    content = item_content(read_item(PLAIN | {"outline": written(outline)}))
    return {part: {tuple(point) for point in figure} for part, figure in content["outline"].items()}


def written(outline: Any) -> dict[str, Any]:
    return {
        part: [[x / 1000, y / 1000] for x, y in figure]
        for part, figure in (("head", outline.head), ("handle", outline.handle))
        if figure
    }


def assert_near(found: Any, wanted: Any, by: float = 0.05) -> None:
    assert len(found) == len(wanted)
    for x, y in wanted:
        assert min(max(abs(x - a), abs(y - b)) for a, b in found) <= by


@pytest.mark.parametrize(
    "text",
    [
        svg(polygon(HEAD), polygon(HANDLE)),
        svg(path_of(HANDLE), path_of(HEAD)),
        svg(polygon([(x + 5, y + 7) for x, y in HEAD]), polygon([(x + 5, y + 7) for x, y in HANDLE])),
        svg(
            polygon([(x / 25.4, y / 25.4) for x, y in HEAD]),
            polygon([(x / 25.4, y / 25.4) for x, y in HANDLE]),
            size='width="10in" viewBox="0 0 10 5"',
        ),
        svg(polygon([(x / 2, y / 2) for x, y in HEAD]), polygon([(x / 2, y / 2) for x, y in HANDLE])),
    ],
    ids=["polygons", "paths", "elsewhere", "inches", "half as large"],
)
def test_an_svg_gives_the_outline_wherever_and_however_large_it_is_drawn(text: str) -> None:
    found = outline_of(read_tracing(text, "svg"))
    assert_near(found["head"], HEAD)
    assert_near(found["handle"], HANDLE, 0.1)


@pytest.mark.parametrize(("unit", "by"), [(4, 1.0), (0, 1.0), (1, 1 / 25.4)])
def test_a_dxf_gives_the_outline_in_its_own_unit(unit: int, by: float) -> None:
    text = dxf(*([(x * by, y * by) for x, y in figure] for figure in (HEAD, HANDLE)), unit=unit)
    found = outline_of(read_tracing(text, "dxf"))
    assert_near(found["head"], HEAD)
    assert_near(found["handle"], HANDLE, 0.1)


def test_a_curve_is_followed_to_a_tenth_of_a_millimetre() -> None:
    round_head = '<path d="M0 0 H36 V80 C36 110 22 135 18 135 C14 135 0 110 0 80 Z"/>'
    head = outline_of(read_tracing(svg(round_head), "svg"))["head"]
    for step in range(101):
        share = step / 100
        at = [
            sum(weight * point[axis] for weight, point in zip(bernstein(share), CURVE, strict=True)) for axis in (0, 1)
        ]
        assert (
            nearest(at, sorted(head, key=lambda point: (point[0] < 18, point[1] if point[0] >= 18 else -point[1])))
            < 0.12
        )


CURVE = [(36, 80), (36, 110), (22, 135), (18, 135)]


def bernstein(t: float) -> list[float]:
    return [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3]


def nearest(at: Any, line: Any) -> float:
    best = 1e9
    for (ax, ay), (bx, by) in itertools.pairwise(line):
        square = (bx - ax) ** 2 + (by - ay) ** 2
        share = (
            0.0 if square == 0 else max(0.0, min(1.0, ((at[0] - ax) * (bx - ax) + (at[1] - ay) * (by - ay)) / square))
        )
        best = min(best, ((at[0] - ax - share * (bx - ax)) ** 2 + (at[1] - ay - share * (by - ay)) ** 2) ** 0.5)
    return best


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("nothing", "svg", "no SVG"),
        ("nothing", "dxf", "no DXF"),
        ("", "png", "SVG or a DXF"),
        (svg(), "svg", "not 0 figures"),
        (svg(polygon(HEAD), polygon(HANDLE), polygon(HEAD)), "svg", "not 3 figures"),
        (svg(path_of(HEAD, end="")), "svg", "its ends are 80.0 mm apart"),
        (dxf(HEAD, close=False), "dxf", "its ends are 80.0 mm apart"),
        (svg(polygon([HEAD[0], HEAD[2], HEAD[1], HEAD[3], HEAD[5]])), "svg", "crosses itself"),
        (svg(polygon([(x / 10, y / 10) for x, y in HEAD])), "svg", "13.5 mm long"),
        (dxf(HEAD, unit=6), "dxf", "135000.0 mm long"),
        (dxf(HEAD, unit=3), "dxf", "code 3"),
        (svg(polygon(HEAD), polygon([(x + 20, y) for x, y in HANDLE])), "svg", "begins 56.0 mm from the crown"),
        (svg(polygon([(y, x) for x, y in HEAD]), polygon([(y, x) for x, y in HANDLE])), "svg", "along the handle"),
        (svg(f'<g transform="scale(2)">{polygon(HEAD)}</g>'), "svg", "transform"),
        (svg('<path d="M0 0 Lx"/>'), "svg", "cannot be read"),
    ],
)
def test_a_wrong_tracing_is_refused_with_its_reason(text: str, kind: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        read_tracing(text, kind)
