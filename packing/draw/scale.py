"""Which scale a drawing is made at, and what that makes of a length."""

from collections.abc import Callable
from dataclasses import dataclass

from packing.draw.canvas import Canvas
from packing.draw.shapes import Rect
from packing.units import show_between, show_length

# ISO 5455 recommends 1 : 1, 1 : 2, 1 : 5, 1 : 10, 1 : 20 and 1 : 50 for reductions; 1 : 2.5 stands outside that
# series and is common on small sheets (both from memory).
SCALES = (1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 50.0)

# What a drawing's figures take at the very least beside the thing itself, mm.
MARGINS = (12.0, 12.0)

Paper = tuple[float, float]


def length_text(mm: float, unit: str) -> str:
    """A length as it stands on a drawing: in `unit`, without naming it (``117.5``, ``4 5/8``)."""
    return show_length(mm, unit).removesuffix(f" {unit}")


def between_text(low_mm: float, high_mm: float, unit: str) -> str:
    """The length between two places, as their own figures on a drawing differ."""
    return show_between(low_mm, high_mm, unit).removesuffix(f" {unit}")


@dataclass(frozen=True, slots=True)
class View:
    """How a drawing shows lengths: 1 : `scale` on paper, figures in `unit` ("mm" or "in")."""

    scale: float
    unit: str

    def rect(self, rect: Rect) -> Rect:
        """A rectangle in mm of the thing, on paper: y turned downwards."""
        at = self.scale
        return Rect(rect.x0 / at, -rect.y1 / at, rect.x1 / at, -rect.y0 / at)

    def figure(self, mm: float) -> str:
        """A length, or a place from the datum, as it stands on the drawing."""
        return length_text(mm, self.unit)

    def between(self, low_mm: float, high_mm: float) -> str:
        """The length between two places: what their figures differ by, so that parts add up to the whole."""
        return between_text(low_mm, high_mm, self.unit)

    @property
    def words(self) -> str:
        """Scale and unit."""
        return f"1 : {self.scale:g} · {self.unit}"


def fitted(
    draw: Callable[[View], Canvas],
    thing_mm: tuple[float, float],
    paper: Paper,
    *,
    unit: str,
    scale: float | None,
) -> tuple[Canvas, float]:
    """Draw at a scale, or at the largest standard one at which the drawing fits.

    Parameters
    ----------
    draw
        Makes the drawing.
    thing_mm
        Size of the thing itself as seen, without dimensions; a scale at which even that is too large is not tried.
    paper
        Width and height the drawing may take, in mm.
    unit
        Of the figures.
    scale
        5 for 1 : 5 whatever the paper; None to choose.

    Returns
    -------
    tuple
        The drawing and its scale; where none fits, the largest of those that are hardly more too large than the least.
    """
    if scale is not None:
        return draw(View(scale, unit)), scale
    tried: list[tuple[float, Canvas, float]] = []
    for chosen in SCALES:
        bare = (thing_mm[0] / chosen + MARGINS[0], thing_mm[1] / chosen + MARGINS[1])
        if chosen < SCALES[-1] and (bare[0] > paper[0] or bare[1] > paper[1]):
            continue
        canvas = draw(View(chosen, unit))
        box = canvas.extent.grown(1.0)
        excess = max(box.width / paper[0], box.height / paper[1])
        if excess <= 1.0:
            return canvas, chosen
        tried.append((excess, canvas, chosen))
    least = min(excess for excess, _, _ in tried)
    return next((canvas, chosen) for excess, canvas, chosen in tried if excess <= 1.15 * least)
