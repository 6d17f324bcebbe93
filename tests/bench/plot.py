"""The newest results as one picture of four panels: ratios, rivals, gaps to the bound, growth of time."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from xml.etree import ElementTree as ET

from packing.draw.canvas import BLUE, FONT, INK
from tests.bench.limits import LONG_S
from tests.bench.machine import Machine
from tests.bench.rows import Row

PAPER = "#f8f4ea"
RULE = "#cfc8b8"
WIDTH, HEIGHT = 1000, 830
PANEL_WIDTH, PANEL_HEIGHT = 400.0, 250.0
LEFTS, TOPS = (70.0, 560.0), (116.0, 466.0)
STEPS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.25, 0.5, 1, 2, 5, 10)
MOST_LINES = 6
DOT = 4.0

Mark = Callable[[ET.Element, float, float], None]


def drawing(machine: Machine, rows: Sequence[Row]) -> str:
    """A run's picture as SVG text."""
    root = ET.Element("svg", xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {WIDTH} {HEIGHT}")
    root.set("role", "img")
    root.set("font-family", FONT)
    ET.SubElement(root, "title").text = "Results of the newest benchmark run"
    ET.SubElement(root, "rect", width=str(WIDTH), height=str(HEIGHT), fill=PAPER)
    _text(root, LEFTS[0] - 40, 36, "Benchmarks of the search", size=20, weight="bold")
    _ratios(root, rows)
    _rivals(root, rows)
    _gaps(root, rows)
    _growth(root, rows)
    for line, part in enumerate(machine.sentence.split("; ", 1)):
        _text(root, LEFTS[0] - 40, HEIGHT - 32 + 18 * line, part, size=12)
    ET.indent(root, " ")
    return ET.tostring(root, encoding="unicode") + "\n"


@dataclass(frozen=True)
class Axes:
    """One panel's axes: where it stands, what its values span, and whether they are drawn by their logarithms."""

    left: float
    top: float
    x: tuple[float, float]
    y: tuple[float, float]
    log: bool = False

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A point of the panel in the picture; beyond the panel it is drawn on the edge."""
        across, up = self._share(x, self.x), self._share(y, self.y)
        return self.left + across * PANEL_WIDTH, self.top + (1 - up) * PANEL_HEIGHT

    def _share(self, value: float, span: tuple[float, float]) -> float:
        low, high = span
        if self.log:
            value, low, high = math.log(max(value, low)), math.log(low), math.log(high)
        return min(1.0, max(0.0, (value - low) / (high - low)))


def _line(root: ET.Element, a: tuple[float, float], b: tuple[float, float], colour: str, width: float = 1.0) -> None:
    ends = {"x1": a[0], "y1": a[1], "x2": b[0], "y2": b[1]}
    ET.SubElement(root, "line", {key: f"{value:.1f}" for key, value in ends.items()}, stroke=colour).set(
        "stroke-width", f"{width:g}"
    )


def _text(
    root: ET.Element, x: float, y: float, words: str, *, size: int = 13, anchor: str = "start", weight: str = "normal"
) -> None:
    element = ET.SubElement(root, "text", x=f"{x:.1f}", y=f"{y:.1f}", fill=INK)
    element.set("font-size", str(size))
    element.set("text-anchor", anchor)
    element.set("font-weight", weight)
    element.text = words


def _ring(root: ET.Element, x: float, y: float) -> None:
    _circle(root, x, y, DOT, PAPER, INK)


def _dot(root: ET.Element, x: float, y: float) -> None:
    _circle(root, x, y, DOT, BLUE, BLUE)


def _speck(root: ET.Element, x: float, y: float) -> None:
    _circle(root, x, y, DOT / 2, INK, INK)


def _circle(root: ET.Element, x: float, y: float, radius: float, fill: str, stroke: str) -> None:
    circle = ET.SubElement(root, "circle", cx=f"{x:.1f}", cy=f"{y:.1f}", r=f"{radius:g}", fill=fill, stroke=stroke)
    circle.set("stroke-width", "1.2")


def _square(root: ET.Element, x: float, y: float) -> None:
    side = 2 * DOT - 1
    square = ET.SubElement(root, "rect", x=f"{x - side / 2:.1f}", y=f"{y - side / 2:.1f}", fill=PAPER, stroke=INK)
    square.set("width", f"{side:g}")
    square.set("height", f"{side:g}")
    square.set("stroke-width", "1.2")


def _cross(root: ET.Element, x: float, y: float) -> None:
    for slope in (1, -1):
        _line(root, (x - DOT, y - slope * DOT), (x + DOT, y + slope * DOT), INK, 1.4)


def _diamond(root: ET.Element, x: float, y: float) -> None:
    d = DOT + 1
    points = " ".join(f"{px:.1f},{py:.1f}" for px, py in ((x - d, y), (x, y - d), (x + d, y), (x, y + d)))
    ET.SubElement(root, "polygon", points=points, fill=BLUE, stroke=BLUE)


def _panel(
    root: ET.Element, axes: Axes, title: str, ticks: Sequence[tuple[float, str]], key: Sequence[tuple[Mark, str]]
) -> None:
    """Title, key, and a rule for each tick of the upright axis."""
    _text(root, axes.left - 40, axes.top - 30, title, size=15, weight="bold")
    x = axes.left
    for mark, words in key:
        mark(root, x, axes.top - 14)
        _text(root, x + 9, axes.top - 10, words, size=12)
        x += 26 + 6.6 * len(words)
    for value, words in ticks:
        _, y = axes.at(axes.x[0], value)
        _line(root, (axes.left, y), (axes.left + PANEL_WIDTH, y), RULE)
        _text(root, axes.left - 8, y + 4, words, size=12, anchor="end")
    bottom = axes.top + PANEL_HEIGHT
    _line(root, (axes.left, bottom), (axes.left + PANEL_WIDTH, bottom), INK)


def _ticks(low: float, high: float, form: str) -> list[tuple[float, str]]:
    step = next((step for step in STEPS if (high - low) / step <= MOST_LINES), STEPS[-1])
    first = math.ceil(low / step - 1e-9)
    return [(at * step, format(at * step, form)) for at in range(first, math.floor(high / step + 1e-9) + 1)]


def _orders(rows: Sequence[Row]) -> list[tuple[str, int]]:
    """Names and numbers of items of the open orders, fewest items first."""
    found = {row.name: row.items for row in rows if row.kind == "plan"}
    return sorted(found.items(), key=lambda pair: (pair[1], pair[0]))


def _by_order(
    root: ET.Element, at: tuple[int, int], title: str, rows: Sequence[Row], series: Sequence["Series"], form: str
) -> None:
    """A panel with the open orders side by side."""
    names = _orders(rows)
    values = [value for one in series for value in one.values.values()] or [0.0, 1.0]
    low, high = min(values), max(values)
    margin = 0.04 * (high - low or 1)
    axes = Axes(LEFTS[at[0]], TOPS[at[1]], (-0.5, len(names) - 0.5), (low - margin, high + margin))
    _panel(root, axes, title, _ticks(low - margin, high + margin, form), [(one.mark, one.words) for one in series])
    bottom = axes.top + PANEL_HEIGHT
    for place, (name, items) in enumerate(names):
        x, _ = axes.at(place, low)
        _text(root, x, bottom + 18, str(items), size=12, anchor="middle")
        for one in series:
            if name in one.values:
                one.mark(root, *axes.at(place, one.values[name]))
    _text(root, axes.left + PANEL_WIDTH, bottom + 36, "orders by number of items", size=12, anchor="end")


@dataclass(frozen=True)
class Series:
    """Values by order, their mark and what the key says."""

    mark: Mark
    words: str
    values: dict[str, float]


def _ratios(root: ET.Element, rows: Sequence[Row]) -> None:
    marks: dict[float, Mark] = {0.1: _speck, 1.0: _ring, LONG_S: _dot, 60.0: _diamond}
    series = [
        Series(mark, f"{t:g} s", {row.name: row.ratio for row in rows if _is_plan(row, t) and row.ratio})
        for t, mark in marks.items()
    ]
    _by_order(root, (0, 0), "Volume over the best known", rows, [one for one in series if one.values], ".2f")


def _is_plan(row: Row, asked_s: float) -> bool:
    return row.kind == "plan" and row.asked_s == asked_s


def _rivals(root: ET.Element, rows: Sequence[Row]) -> None:
    series = [
        Series(_dot, "Stowright, 5 s", {row.name: row.ratio for row in rows if _is_plan(row, LONG_S) and row.ratio}),
        Series(_square, "bounding boxes", {r.name: r.ratio for r in rows if r.kind == "boxes" and r.ratio}),
        Series(_cross, "py3dbp", {row.name: row.ratio for row in rows if row.kind == "pile" and row.ratio}),
    ]
    _by_order(root, (1, 0), "Beside what packs boxes", rows, series, ".2f")


def _gaps(root: ET.Element, rows: Sequence[Row]) -> None:
    bounds: dict[str, Row] = {}
    for row in rows:
        if row.kind == "plan" and row.gap is not None:
            bounds[row.name] = max(row, bounds.get(row.name, row), key=lambda row: row.bound_mm3)
    series = [
        Series(_dot, "proven", {name: 0.0 for name, row in bounds.items() if row.proven}),
        Series(_ring, "not proven", {name: row.gap or 0.0 for name, row in bounds.items() if not row.proven}),
    ]
    _by_order(root, (0, 1), "Above the lower bound at most", rows, series, ".0%")


def _growth(root: ET.Element, rows: Sequence[Row]) -> None:
    grown = [row for row in rows if row.kind == "growth" and row.volume_mm3]
    axes = Axes(LEFTS[1], TOPS[1], (0.9, 53.0), (0.001, 10.0), log=True)
    ticks = [(value, f"{value:g} s") for value in (0.001, 0.01, 0.1, 1.0, 10.0)]
    key = [(_ring, "first plan"), (_dot, "within 5 % of the last, after 5 s")]
    _panel(root, axes, "Growth of time", ticks, key)
    bottom = axes.top + PANEL_HEIGHT
    for row in grown:
        x, _ = axes.at(row.items, 1.0)
        _text(root, x, bottom + 18, str(row.items), size=12, anchor="middle")
        _dot(root, *axes.at(row.items, row.near_s))
        _ring(root, *axes.at(row.items, row.first_s))
    _text(root, axes.left + PANEL_WIDTH, bottom + 36, "items", size=12, anchor="end")
