"""The expected weight of a closed box, and whether the scale could notice that a piece is missing."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from shop import adapter
from shop.adapter import kinds
from shop.formatting import Wording, in_g
from shop.models import Parcel


@dataclass(frozen=True)
class Expected:
    """Gross weight of the closed box and its tolerance, in g, by the empty box's own weight where it was weighed.

    Parameters
    ----------
    gross_g, tolerance_g
        What the scale should read, and how far it may be off.
    lightest_g
        The lightest piece of the box.
    empty_g
        The empty box and insert as weighed; None where they were not.
    """

    gross_g: Decimal
    tolerance_g: Decimal
    lightest_g: Decimal
    empty_g: Decimal | None

    @property
    def blind(self) -> bool:
        """True where the tolerance is wider than half the lightest piece, so that one could be missing unnoticed."""
        return 2 * self.tolerance_g > self.lightest_g

    def sentence(self, wording: Wording) -> str:
        """Say why the weigh-in of a blind box proves little, and what helps."""
        named = {"tolerance": wording.weight(self.tolerance_g), "lightest": wording.weight(self.lightest_g)}
        text = _(
            "The closed box may be off by ± %(tolerance)s, more than half of its lightest piece (%(lightest)s): the "
            "scale alone does not show that one is missing."
        )
        if self.empty_g is None:
            text += " " + _("Weigh the empty box with its insert, lid and screws once, before anything goes in.")
        return text % named


def expected_of(parcel: Parcel) -> Expected:
    """The expected weight of a parcel's closed box."""
    plan = adapter.plan_of(parcel.plan)
    weight = plan.weight
    gross_mg, tolerance_mg = weight.gross_mg, weight.tolerance_mg
    if parcel.empty_g is not None:
        gross_mg, tolerance_mg = weight.with_empty(int(parcel.empty_g * 1000))
    tools = [item.weight_mg for item in plan.items if item.kind is kinds.ItemKind.TOOL]
    lightest = min(tools or [item.weight_mg for item in plan.items])
    return Expected(in_g(gross_mg), in_g(tolerance_mg), in_g(lightest), parcel.empty_g)
