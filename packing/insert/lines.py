"""The lines of a rule that finger room and air beyond butts are marked out by."""

from dataclasses import dataclass

from packing.measure import Ruler, Step

HALF_MM_UM = 500
"""Without a step of the order what may lie anywhere is marked out to half a millimetre."""


@dataclass(frozen=True, slots=True)
class Lines:
    """The lines of a rule; without one any place will do.

    Parameters
    ----------
    step
        Of the rule.
    """

    step: Step | None

    def up(self, um: int) -> int:
        """The first line not before a place."""
        return um if self.step is None else Ruler(self.step).line(Ruler(self.step).next(um))

    def down(self, um: int) -> int:
        """The last line not beyond a place."""
        return um if self.step is None else Ruler(self.step).line(Ruler(self.step).last(um))

    def whole(self, um: int) -> int:
        """The most of a length that leads from a line to another; without a rule as many half millimetres."""
        return um // HALF_MM_UM * HALF_MM_UM if self.step is None else self.down(um)

    def near(self, um: int) -> int:
        """The line nearest to a place; without a rule the half millimetre below it."""
        return um // HALF_MM_UM * HALF_MM_UM if self.step is None else Ruler(self.step).line(Ruler(self.step).near(um))
