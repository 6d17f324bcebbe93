"""Measures and sentences of a plan as they stand on a paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.text import capfirst

from shop.adapter import Message
from shop.adapter.plan_parts import BoxPlan
from shop.formatting import Units, Wording, in_g, in_mm


@dataclass(frozen=True, slots=True)
class PlanWording:
    """Writes what a plan holds, lengths in whole micrometres and weights in whole milligrams, in one reader's units."""

    units: Units

    def bare(self, um: int, *, fine: bool = False) -> SafeString:
        """A length without its unit; `fine` reads inches to 1/32 instead of 1/16."""
        return self._rows.bare(in_mm(um), fine=fine)

    def between(self, low_um: int, high_um: int) -> SafeString:
        """The length between two places without its unit: what they differ by as `bare` writes them."""
        return self._rows.between(in_mm(low_um), in_mm(high_um))

    def bare_extent(self, low_um: Sequence[int], high_um: Sequence[int]) -> SafeString:
        """The sides of what lies between two corners, joined by a times sign, without their unit."""
        return self._rows.bare_extent([in_mm(one) for one in low_um], [in_mm(one) for one in high_um])

    def extent(self, low_um: Sequence[int], high_um: Sequence[int]) -> SafeString:
        """The sides of what lies between two corners, with their unit."""
        return self._rows.extent([in_mm(one) for one in low_um], [in_mm(one) for one in high_um])

    def length(self, um: int, *, fine: bool = False) -> SafeString:
        """A length with its unit."""
        return self._rows.length(in_mm(um), fine=fine)

    def size(self, um: Sequence[int], *, fine: bool = False) -> SafeString:
        """Lengths joined by a times sign, the unit once."""
        return self._rows.size([in_mm(side) for side in um], fine=fine)

    def bare_size(self, um: Sequence[int], *, fine: bool = False) -> SafeString:
        """Lengths joined by a times sign, without their unit."""
        return self._rows.bare_size([in_mm(side) for side in um], fine=fine)

    def stuff(self, material: str, thickness_um: int) -> str:
        """A material with its thickness, which is not said again where the name has it already."""
        thickness = self.length(thickness_um, fine=True)
        return material if str(thickness).replace("\u00a0", " ") in material else f"{material}, {thickness}"

    def style(self, box: BoxPlan) -> str:
        """The kind of box, with the standard's code where the standard has it."""
        name = capfirst(self.message(box.name))
        return f"{name} ({box.style})" if box.style.isdecimal() else name

    def weight(self, mg: int) -> str:
        """A weight with its unit."""
        return self._rows.weight(in_g(mg))

    def both(self, mg: int) -> str:
        """A weight in pounds and in kilograms, the reader's own unit first."""
        return self._rows.both(in_g(mg))

    def tolerance(self, mg: int) -> str:
        """The tolerance of a gross weight, in the unit that stands first in `both`."""
        return self._rows.tolerance(in_g(mg))

    def run(self, um: int) -> str:
        """A long length: metres, or feet for who reads inches."""
        return self._rows.metres(in_mm(um) / 1000)

    def density(self, g_m3: int) -> str:
        """A foam's density."""
        return self._rows.density(in_g(g_m3))

    def grammage(self, mg_m2: int) -> str:
        """A board's weight by area."""
        return self._rows.grammage(in_g(mg_m2))

    def message(self, message: Message) -> str:
        """A sentence in the reader's language and units."""
        return self._rows.message(message)

    @property
    def _rows(self) -> Wording:
        return Wording(self.units)
