"""Reads drawings back from their SVG text, without the code that made them."""

import re
from dataclasses import dataclass
from math import cos, radians, sin
from xml.etree import ElementTree

from packing.draw import Drawing
from tests.helpers import matched

SVG = "{http://www.w3.org/2000/svg}"
NUMBER = re.compile(r"-?\d*\.?\d+")


@dataclass(frozen=True)
class Text:
    """One text: words, the middle of its box, half its width and height after turning."""

    words: str
    bold: bool
    size: float
    x: float
    y: float
    half_width: float
    half_height: float

    def overlaps(self, other: "Text", slack: float = 0.0) -> bool:
        """Whether the boxes share more than `slack` each way."""
        return (
            abs(self.x - other.x) < self.half_width + other.half_width - slack
            and abs(self.y - other.y) < self.half_height + other.half_height - slack
        )


def root_of(drawing: Drawing) -> ElementTree.Element:
    """The drawing parsed as XML."""
    return ElementTree.fromstring(drawing.svg)


def view_box(drawing: Drawing) -> tuple[float, float, float, float]:
    """Left, top, right, bottom."""
    x, y, width, height = (float(word) for word in root_of(drawing).attrib["viewBox"].split())
    return x, y, x + width, y + height


def texts(drawing: Drawing) -> list[Text]:
    """All texts with estimated boxes: 0.28 or 0.55 of the size a letter, capitals 0.73 of the size high."""
    found = []
    for node in root_of(drawing).iter(f"{SVG}text"):
        words, size = node.text or "", float(node.attrib["font-size"])
        width = size * sum(0.28 if letter in " .,·:;'ijlft/" else 0.55 for letter in words)
        x, base = float(node.attrib["x"]), float(node.attrib["y"])
        shift = {"start": width / 2, "middle": 0.0, "end": -width / 2}[node.attrib["text-anchor"]]
        turned = matched(r"^rotate\((-?\d+) (\S+) (\S+)\)", node.attrib.get("transform", "rotate(0 0 0)"))
        angle, pivot_x, pivot_y = (float(part) for part in turned.groups())
        if not angle:
            pivot_x, pivot_y = x, base
        dx, dy = x + shift - pivot_x, base - 0.365 * size - pivot_y
        sine, cosine = sin(radians(angle)), cos(radians(angle))
        half_w, half_h = width / 2, 0.365 * size
        found.append(
            Text(
                words,
                node.attrib.get("font-weight") == "bold",
                size,
                pivot_x + dx * cosine - dy * sine,
                pivot_y + dx * sine + dy * cosine,
                abs(half_w * cosine) + abs(half_h * sine),
                abs(half_w * sine) + abs(half_h * cosine),
            )
        )
    return found


def words(drawing: Drawing) -> list[str]:
    """The texts' words."""
    return [text.words for text in texts(drawing)]


def rings(drawing: Drawing) -> list[str]:
    """The letters in rings, in order."""
    rects = [node for node in root_of(drawing).iter(f"{SVG}rect") if "rx" in node.attrib]
    middles = [
        (
            float(rect.attrib["x"]) + float(rect.attrib["width"]) / 2,
            float(rect.attrib["y"]) + float(rect.attrib["height"]) / 2,
        )
        for rect in rects
    ]
    return sorted(
        text.words
        for text in texts(drawing)
        if any(abs(text.x - x) < 0.1 and abs(text.y - y) < 0.1 for x, y in middles)
    )


def points(drawing: Drawing) -> list[tuple[float, float]]:
    """Every corner of every path, circle's extreme and rectangle's corner."""
    found: list[tuple[float, float]] = []
    for node in root_of(drawing).iter(f"{SVG}path"):
        coordinates = [float(word) for word in NUMBER.findall(node.attrib["d"].replace("h.01", ""))]
        found += zip(coordinates[::2], coordinates[1::2], strict=True)
    for node in root_of(drawing).iter(f"{SVG}circle"):
        x, y, r = (float(node.attrib[name]) for name in ("cx", "cy", "r"))
        found += [(x - r, y - r), (x + r, y + r)]
    for node in root_of(drawing).iter(f"{SVG}rect"):
        x, y, w, h = (float(node.attrib[name]) for name in ("x", "y", "width", "height"))
        found += [(x, y), (x + w, y + h)]
    return found


def figures(drawing: Drawing, width: float) -> list[list[tuple[float, float]]]:
    """Corners of every closed path with lines of one width."""
    found = []
    for node in root_of(drawing).iter(f"{SVG}path"):
        if node.attrib.get("stroke-width") == str(width) and node.attrib["d"].endswith("Z"):
            numbers = [float(word) for word in NUMBER.findall(node.attrib["d"])]
            found.append(list(zip(numbers[::2], numbers[1::2], strict=True)))
    return found
