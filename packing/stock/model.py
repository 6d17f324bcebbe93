"""Parts, stock and layouts as types; lengths in whole micrometres."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

Rect = tuple[int, int, int, int]
"""x0, y0, x1, y1 from the lower left corner of the sheet; x runs along its length, the way of the grain."""


class Cutting(StrEnum):
    """A way to cut a sheet: each cut from edge to edge of what is in hand, or along any line."""

    EDGE_TO_EDGE = "edge to edge"
    FREE = "free"


class Axis(StrEnum):
    """The way a cut runs: across the length of the sheet, or along it."""

    ACROSS = "across"
    ALONG = "along"


class Lack(StrEnum):
    """The reason why parts cannot be cut from stock."""

    TOO_SMALL = "too small"
    TOO_FEW = "too few"


@dataclass(frozen=True, slots=True)
class StockSheet:
    """Sheets, panels, bars or offcuts of one size.

    Parameters
    ----------
    id
        What the caller knows them by.
    size_um
        Length, the way of the grain, and width; greater than 0.
    trim_um
        What is cut off each edge before anything is laid; 0 or more, less than half of either side.
    count
        How many there are, 0 or more; None where as many as are needed can be bought.
    offcut
        Whether it is left from earlier work: offcuts are used first.
    price
        Of one; None where not known.
    """

    id: str
    size_um: tuple[int, int]
    trim_um: int = 0
    count: int | None = None
    offcut: bool = False
    price: Decimal | None = None

    @property
    def room_um(self) -> tuple[int, int]:
        """Sides within the trim."""
        return self.size_um[0] - 2 * self.trim_um, self.size_um[1] - 2 * self.trim_um

    @property
    def area_um2(self) -> int:
        """Area, trim included."""
        return self.size_um[0] * self.size_um[1]


@dataclass(frozen=True, slots=True)
class Part:
    """One rectangle to cut.

    Parameters
    ----------
    id
        What the caller knows it by; parts may share one.
    size_um
        Side that lies along the length of the sheet, and the other; greater than 0.
    turns
        Whether it may be turned by a quarter.
    """

    id: str
    size_um: tuple[int, int]
    turns: bool = True

    @property
    def area_um2(self) -> int:
        """Area."""
        return self.size_um[0] * self.size_um[1]


@dataclass(frozen=True, slots=True)
class LaidPart:
    """A part in its place on a sheet."""

    part: Part
    rect: Rect
    turned: bool


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut from edge to edge of what is in hand: at x or y, from where to where; beyond it lies what the saw takes.

    Parameters
    ----------
    axis
        Across the sheet's length (a line of one x) or along it (a line of one y).
    at_um
        The side of the cut that is kept, nearer to the origin, except for trim at the left and lower edge.
    from_um, to_um
        Where the cut begins and ends.
    """

    axis: Axis
    at_um: int
    from_um: int
    to_um: int


@dataclass(frozen=True, slots=True)
class LaidSheet:
    """One sheet with its parts.

    Parameters
    ----------
    stock
        What it is.
    parts
        In the order in which their cuts come free, else by place.
    cuts
        In order; empty where it is cut freely.
    offcuts
        What is left and worth keeping, the largest first.
    """

    stock: StockSheet
    parts: tuple[LaidPart, ...]
    cuts: tuple[Cut, ...]
    offcuts: tuple[Rect, ...]

    @property
    def used_um2(self) -> int:
        """Area of its parts."""
        return sum(one.part.area_um2 for one in self.parts)


@dataclass(frozen=True, slots=True)
class Layout:
    """Parts laid on stock.

    Parameters
    ----------
    cutting, kerf_um
        How, and what a cut takes.
    sheets
        Those that are cut, offcuts first.
    new_at_least
        How many new sheets any layout needs with these offcuts.
    """

    cutting: Cutting
    kerf_um: int
    sheets: tuple[LaidSheet, ...]
    new_at_least: int

    @property
    def new(self) -> int:
        """The number of new sheets that are cut."""
        return sum(1 for sheet in self.sheets if not sheet.stock.offcut)

    @property
    def proven(self) -> bool:
        """True where no layout needs fewer new sheets."""
        return self.new == self.new_at_least

    @property
    def yielded(self) -> float:
        """Share of the area cut into that becomes parts; offcuts that are kept do not count as cut into."""
        cut = sum(sheet.stock.area_um2 - sum(area(rest) for rest in sheet.offcuts) for sheet in self.sheets)
        return sum(sheet.used_um2 for sheet in self.sheets) / cut if cut else 1.0


@dataclass(frozen=True, slots=True)
class Shortage:
    """Parts that cannot all be cut from the stock there is.

    Parameters
    ----------
    lack
        The stock is too small for a part, or there is too little of it.
    parts
        Ids of those that found no place.
    largest_um
        The largest room within the trim that there is, by area; None where there is no stock at all.
    """

    lack: Lack
    parts: tuple[str, ...]
    largest_um: tuple[int, int] | None


@dataclass(frozen=True, slots=True)
class Keeping:
    """Offcuts worth keeping: the least length and width, longer side first."""

    long_um: int = 300_000
    short_um: int = 100_000

    def keeps(self, rect: Rect) -> bool:
        """Tell whether a rectangle is large enough, either way round."""
        a, b = rect[2] - rect[0], rect[3] - rect[1]
        return max(a, b) >= self.long_um and min(a, b) >= self.short_um


def area(rect: Rect) -> int:
    """Work out the area of a rectangle.

    Parameters
    ----------
    rect
        In micrometres.

    Returns
    -------
    int
        Square micrometres.
    """
    return (rect[2] - rect[0]) * (rect[3] - rect[1])
