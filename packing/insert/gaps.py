"""The gaps under and over a part, and the pieces that close them."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from packing.insert.model import Rect
from packing.insert.thin import thin_stack
from packing.insert.work import INSERT_MINUTES, LONG_SLICE_UM
from packing.measure import Rules
from packing.plan.kinds import InsertWork, LooseKind, Part

GAP_UM = 3_000
"""A gap up to this is left open: foam gives that much (common practice, no source)."""
OVER_HANDLE_UM = 12_000
"""A gap over a handle up to this is left open: its head holds it (common practice, no source)."""
REST_UM = 70_000
"""Length of a rest under a handle and of a hold over it; 60 to 80 mm (common practice, no source)."""
THINNEST_SLICE_UM = 10_000
"""No slice is thinner where thin stock is named: it cannot be cut freehand (common practice, no source)."""
UNFILLED = 10**7
"""Weighs more than any minutes, so that a stack which leaves a gap open is only taken where there is no other."""


@dataclass(frozen=True, slots=True)
class Closing:
    """The closing of one gap: thicknesses from the bottom up, as what, and its cost in thousandths of a minute."""

    kind: LooseKind | None
    thicknesses_um: tuple[int, ...]
    cost: int


NOTHING = Closing(None, (), 0)
"""The closing of a gap that needs nothing."""


class GapFiller:
    """Closes gaps by an order's rules at least work.

    Parameters
    ----------
    rules
        What foam gives, thin stock, whether slices are allowed.
    minutes
        For each kind of work.
    """

    def __init__(self, rules: Rules, minutes: Mapping[InsertWork, Decimal] = INSERT_MINUTES) -> None:
        self.rules = rules
        loose = minutes.get(InsertWork.LOOSE, Decimal(0))
        self._thin = int(1000 * (minutes.get(InsertWork.FILL, Decimal(0)) + loose))
        self._slice = int(1000 * (minutes.get(InsertWork.SLICE, Decimal(0)) + loose))
        self._long = int(1000 * (minutes.get(InsertWork.LONG_SLICE, Decimal(0)) + loose))

    def under(self, part: Part, gap_um: int, rect: Rect) -> Closing:
        """Carry a part that hangs `gap_um` above its bed; `rect` is what a slice under it would measure."""
        return self._closed(gap_um, rect, LooseKind.REST, LooseKind.SADDLE) if gap_um > GAP_UM else NOTHING

    def over(self, part: Part, gap_um: int, rect: Rect) -> Closing:
        """Keep a part from rising into the `gap_um` above it."""
        # A handle is held by its head; the gap over it only matters where it is large.
        handle = part is Part.HANDLE and self.rules.thin_um is not None
        most = OVER_HANDLE_UM if handle else GAP_UM
        return self._closed(gap_um, rect, LooseKind.FILL, LooseKind.PLUG) if gap_um > most else NOTHING

    def _closed(self, gap_um: int, rect: Rect, thin: LooseKind, waste: LooseKind) -> Closing:
        rules, longest = self.rules, max(rect[2] - rect[0], rect[3] - rect[1])
        found = Closing(None, (), UNFILLED)
        if rules.thin_um is not None:
            stack = thin_stack(gap_um, rules.thin_um, rules.give_um)
            if stack:
                # A stack that leaves a gap is only better than nothing at all.
                left = 0 if gap_um - sum(stack) <= GAP_UM else UNFILLED
                found = Closing(thin, stack, left + self._thin * len(stack))
        if rules.slices_allowed:
            # Where there is thin stock a slice is only worth cutting where it is thick and short enough to come out
            # even.
            fits = rules.thin_um is None or (gap_um >= THINNEST_SLICE_UM and longest <= LONG_SLICE_UM)
            cost = self._long if longest > LONG_SLICE_UM else self._slice
            if fits and cost < found.cost:
                found = Closing(waste, (gap_um,), cost)
        return found
