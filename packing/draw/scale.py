"""The choice of a drawing's scale, and lengths at that scale."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from packing.draw.canvas import Canvas
from packing.draw.shapes import Point, Rect
from packing.plan import PLAIN_ENGLISH, Message, render
from packing.units import LengthUnit, show_between, show_length, show_weight

# ISO 5455 recommends 1 : 1, 1 : 2, 1 : 5, 1 : 10, 1 : 20 and 1 : 50 for reductions; 1 : 2.5 stands outside that
# series and is common on small sheets (both from memory).
SCALES = (1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 50.0)

# What a drawing's figures take at the very least beside the thing itself, mm.
MARGINS = (12.0, 12.0)

Paper = tuple[float, float]


def length_text(um: float, unit: str) -> str:
    """A length as it stands on a drawing: in `unit`, without naming it (``117.5``, ``4 5/8``)."""
    return show_length(um / 1000, unit).removesuffix(f" {unit}")


def between_text(low_um: float, high_um: float, unit: str) -> str:
    """The length between two places, as their own figures on a drawing differ."""
    return show_between(low_um / 1000, high_um / 1000, unit).removesuffix(f" {unit}")


@dataclass(frozen=True, slots=True)
class DrawnWording:
    """Plain English in the unit of a drawing, for the sentences of a plan that stand on it."""

    unit: str

    def translate(self, template: str) -> str:
        """English is what templates are written in."""
        return template

    def length(self, um: int) -> str:
        """As the drawing's figures, with its unit."""
        return show_length(um / 1000, self.unit)

    def run(self, um: int) -> str:
        """Metres, or feet where the drawing is in inches."""
        return PLAIN_ENGLISH.run(um) if self.unit == LengthUnit.MM else f"{round(um / 304_800, 1):g} ft"

    def sides(self, um: Sequence[int]) -> str:
        """Each side as a figure, then the unit."""
        return " × ".join(length_text(side, self.unit) for side in um) + f" {self.unit}"

    def weight(self, mg: int) -> str:
        """Grams, or ounces where the drawing is in inches."""
        return show_weight(mg / 1000, "g" if self.unit == LengthUnit.MM else "oz")

    def number(self, value: Decimal) -> str:
        """Without trailing zeros."""
        return PLAIN_ENGLISH.number(value)

    def term(self, key: str) -> str:
        """The field's key in a file."""
        return PLAIN_ENGLISH.term(key)


def said(message: Message, unit: str) -> str:
    """A sentence of the plan as it stands on a drawing."""
    return render(message, DrawnWording(unit))


@dataclass(frozen=True, slots=True)
class View:
    """A way to show lengths: 1 : `scale` on paper, figures in `unit` ("mm" or "in")."""

    scale: float
    unit: str

    def length(self, um: float) -> float:
        """Micrometres of the thing as mm of paper."""
        return um / 1000 / self.scale

    def point(self, point: Point) -> Point:
        """A point of the thing on paper: y turned downwards."""
        return self.length(point[0]), -self.length(point[1])

    def rect(self, rect: Rect) -> Rect:
        """A rectangle of the thing on paper: y turned downwards."""
        at = self.length
        return Rect(at(rect.x0), -at(rect.y1), at(rect.x1), -at(rect.y0))

    def figure(self, um: float) -> str:
        """A length, or a place from the datum, as it stands on the drawing."""
        return length_text(um, self.unit)

    def drill(self, um: float) -> str:
        """The size of a drill: in mm whatever the drawing's unit, since sixteenths are too coarse for pilot holes."""
        return f"{um / 1000:g} mm"

    def between(self, low_um: float, high_um: float) -> str:
        """The length between two places: what their figures differ by, so that parts add up to the whole."""
        return between_text(low_um, high_um, self.unit)

    def said(self, message: Message) -> str:
        """A sentence of the plan in the drawing's unit."""
        return said(message, self.unit)

    @property
    def words(self) -> str:
        """Scale and unit."""
        return f"1 : {self.scale:g} · {self.unit}"


def fitted(
    draw: Callable[[View], Canvas],
    thing_um: tuple[float, float],
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
    thing_um
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
        The drawing and its scale, one on which no texts stand on each other where that can be; where none fits, the
        largest of those that are hardly more too large than the least.
    """
    if scale is not None:
        return draw(View(scale, unit)), scale
    tried: list[tuple[float, Canvas, float]] = []
    for chosen in SCALES:
        bare = (thing_um[0] / 1000 / chosen + MARGINS[0], thing_um[1] / 1000 / chosen + MARGINS[1])
        if chosen < SCALES[-1] and (bare[0] > paper[0] or bare[1] > paper[1]):
            continue
        canvas = draw(View(chosen, unit))
        box = canvas.extent.grown(1.0)
        excess = max(box.width / paper[0], box.height / paper[1])
        if excess <= 1.0 and not canvas.crowded:
            return canvas, chosen
        tried.append((excess, canvas, chosen))
        # Figures keep their size: where a smaller scale needs as much room, they decide, and so for all further ones.
        if len(tried) > 1 and 1.0 < tried[-2][0] <= excess:
            break
    # A drawing too large for its paper can still be read; one whose texts stand on each other cannot.
    tried = [one for one in tried if not one[1].crowded] or tried
    least = min(excess for excess, _, _ in tried)
    # From the largest scale down, so the first that is nearly as good is the largest.
    return next((canvas, chosen) for excess, canvas, chosen in tried if excess <= 1.15 * least)
