"""A shop's step of measuring and cutting: whole millimetres, or sixteenths of an inch."""

from dataclasses import dataclass
from enum import StrEnum

SIXTEENTHS_IN_TWO_UM = 3_175
"""Two sixteenths of an inch in micrometres: 1 in = 25.4 mm exactly."""


class Step(StrEnum):
    """A size of which planned sizes are whole multiples."""

    MILLIMETRE = "1 mm"
    SIXTEENTH = "1/16 in"


def up_to_step(um: int, step: Step | None, *, times: int = 1) -> int:
    """The least whole multiple of so many steps that is no less than a length.

    Parameters
    ----------
    um
        Micrometres.
    step
        None leaves the length as it is.
    times
        How many steps make one of the multiple.

    Returns
    -------
    int
        Micrometres; a sixteenth of an inch is 1587.5 of them, so an odd one is half a micrometre more than itself, and
        a length that has been rounded so stays as it is.
    """
    if step is None:
        return um
    if step is Step.MILLIMETRE:
        each = 1_000 * times
        return -(-um // each) * each
    halves = SIXTEENTHS_IN_TWO_UM * times
    count = -(-(2 * um - 1) // halves)
    return (count * halves + 1) // 2


def down_to_step(um: int, step: Step | None) -> int:
    """The greatest whole step that is no more than a length; see `up_to_step`.

    Parameters
    ----------
    um
        Micrometres, 0 or more.
    step
        None leaves the length as it is.

    Returns
    -------
    int
        Micrometres.
    """
    if step is None:
        return um
    if step is Step.MILLIMETRE:
        return um // 1_000 * 1_000
    # An odd sixteenth lies between two whole micrometres: both count as it.
    count = (2 * um + 1) // SIXTEENTHS_IN_TWO_UM
    return min(um, (count * SIXTEENTHS_IN_TWO_UM + 1) // 2)


def nearest_step(um: int, step: Step | None) -> int:
    """The whole step nearest to a length; see `up_to_step`.

    Parameters
    ----------
    um
        Micrometres.
    step
        None leaves the length as it is.

    Returns
    -------
    int
        Micrometres.
    """
    if step is None:
        return um
    ruler = Ruler(step)
    return ruler.line(ruler.near(um))


@dataclass(frozen=True, slots=True)
class Ruler:
    """The lines of a rule from an insert's edge on, numbered from 0, in micrometres.

    Parameters
    ----------
    step
        From line to line.
    """

    step: Step

    @property
    def halves(self) -> int:
        """Half micrometres from line to line."""
        return 2_000 if self.step is Step.MILLIMETRE else SIXTEENTHS_IN_TWO_UM

    def line(self, number: int) -> int:
        """Where a line is; half a micrometre is rounded up."""
        return (number * self.halves + 1) // 2

    def next(self, um: int) -> int:
        """The number of the first line that is not before a place."""
        return (2 * um - 2) // self.halves + 1

    def last(self, um: int) -> int:
        """The number of the last line that is not beyond a place."""
        return 2 * um // self.halves

    def near(self, um: int) -> int:
        """The number of the line nearest to a place."""
        return (4 * um + self.halves) // (2 * self.halves)
