"""The load of a box: its weight and size, how high it is piled, for how long, in what air."""

from dataclasses import dataclass, field
from fractions import Fraction

from packing.strength.defaults import Tables
from packing.strength.stacking import UM_PER_INCH
from packing.units import G_PER_POUND, MM_PER_INCH

MG_PER_LB = Fraction(G_PER_POUND) * 1000
"""The rules are written in pounds, inches and feet: exact by definition."""
UM_PER_FT = Fraction(MM_PER_INCH) * 12_000
Size = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Load:
    """The load that a box has to stand.

    Parameters
    ----------
    gross_mg
        Everything.
    inner_um, outer_um
        Of the box; height last.
    difficult
        Tools of steel are a difficult load: dense, they do not fill the box, they shift.
    stack_um
        How high boxes may be piled; None: nothing is put on top.
    days, humidity
        Time under load, relative humidity in percent.
    contents_mg
        All but the box; None counts the gross weight.
    slotted
        A slotted case, which the stacking formula is made for.
    tables
        The rows to go by.
    """

    gross_mg: int
    inner_um: Size
    outer_um: Size
    difficult: bool = True
    stack_um: int | None = 2_400_000
    days: int = 30
    humidity: int = 70
    contents_mg: int | None = None
    slotted: bool = True
    tables: Tables = field(default_factory=Tables)

    @property
    def contents_lb(self) -> Fraction:
        """Contents in exact pounds; the gross weight where they are not known, which errs safe."""
        return (self.gross_mg if self.contents_mg is None else self.contents_mg) / MG_PER_LB

    @property
    def gross_lb(self) -> Fraction:
        """Exact pounds."""
        return self.gross_mg / MG_PER_LB

    @property
    def length_girth_in(self) -> Fraction:
        """Longest side and twice the others, exact inches."""
        first, second, third = sorted(self.outer_um, reverse=True)
        return Fraction(first + 2 * (second + third), UM_PER_INCH)

    @property
    def united_in(self) -> Fraction:
        """The three outer sides together."""
        return Fraction(sum(self.outer_um), UM_PER_INCH)

    @property
    def smallest_side_ft2(self) -> Fraction:
        """Area of the smallest outer side."""
        first, second = sorted(self.outer_um)[:2]
        return Fraction(first * second) / UM_PER_FT**2
