"""The boxes offered for an order on its screen: picture, sizes, weights, material, cost, what each trades."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any

from django.utils.safestring import SafeString, mark_safe
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from shop import adapter
from shop.formatting import Wording, filled
from shop.models import BoxPlan
from shop.money import Money

PICTURE_ROOM = (60.0, 42.0)
PURPOSES = {
    "cheapest to send": gettext_lazy("cheapest to send"),
    "least work": gettext_lazy("least work"),
    "flattest": gettext_lazy("flattest"),
    "wooden": gettext_lazy("wooden"),
}


def said(purposes: Iterable[str], *, billed: bool) -> str:
    """What a box is best at, in words; where no carrier bills it, the cheapest to send is the lightest."""
    words = PURPOSES if billed else {**PURPOSES, "cheapest to send": gettext_lazy("lightest")}
    return ", ".join(str(words.get(purpose, purpose)) for purpose in purposes)


@dataclass(frozen=True)
class OfferPresenter:
    """One box offered, for one reader.

    Parameters
    ----------
    index
        Its place among the offers, from 0.
    offer
        As it is kept with the plan.
    first
        The one that is cheapest to send.
    wording
        How the reader reads measures.
    taken
        Whether it is the order's plan now.
    """

    index: int
    offer: dict[str, Any]
    first: dict[str, Any]
    wording: Wording
    taken: bool

    @property
    def title(self) -> str:
        """What it is best at: "Cheapest to send, flattest"; without a bill the lightest is not called the cheapest."""
        return capfirst(said(self.offer["purposes"], billed=self.offer["billed"] is not None))

    @cached_property
    def picture(self) -> SafeString:
        """The closed box, taped; one with wood outside as it stands after its last step."""
        plan = self.offer["plan"]
        drawing = None
        if self.offer["packaging"] == "wood":
            drawing = adapter.step_drawing(plan, len(plan["box"]["steps"]) - 1, paper=PICTURE_ROOM)
        drawing = drawing or adapter.small_box(plan, unit=self.wording.units.length, paper=PICTURE_ROOM)
        # The drawing side writes out every sign of a name that means something in XML.
        return mark_safe(drawing.svg)

    @property
    def materials(self) -> list[str]:
        """What it is made of, each material once, with a board's grade."""
        box = self.offer["plan"]["box"]
        names = dict.fromkeys(part["material"] for part in box["parts"])
        board = box["board"]
        return [f"{name}, {board['grade']}" if board and name == board["name"] else name for name in names]

    @property
    def trade(self) -> list[str]:
        """How it differs from the cheapest to send, a few words each; empty for that one."""
        words = [self._billed_difference(), self._difference("gross_g", _("%(by)s heavier"), _("%(by)s lighter"))]
        minutes = self.minutes - round(self.first["cost"]["minutes"])
        if minutes:
            more = ngettext("%(by)d minute more work", "%(by)d minutes more work", abs(minutes))
            less = ngettext("%(by)d minute less work", "%(by)d minutes less work", abs(minutes))
            words.append((more if minutes > 0 else less) % {"by": abs(minutes)})
        thicker = min(self.offer["outer_mm"]) - min(self.first["outer_mm"])
        if thicker:
            sentence = _("%(by)s thicker") if thicker > 0 else _("%(by)s thinner")
            words.append(filled(sentence, by=self.wording.length(abs(thicker))))
        return [word for word in words if word]

    def _billed_difference(self) -> str:
        billed, first = self.offer["billed"], self.first["billed"]
        if not billed or not first or billed["billed"] == first["billed"]:
            return ""
        by = billed["billed"] - first["billed"]
        sentence = _("billed %(by)s %(unit)s more") if by > 0 else _("billed %(by)s %(unit)s less")
        return sentence % {"by": f"{abs(by):g}", "unit": billed["unit"]}

    def _difference(self, key: str, more: str, less: str) -> str:
        by = self.offer[key] - self.first[key]
        return filled(more if by > 0 else less, by=self.wording.weight(abs(by))) if by else ""

    @property
    def flags(self) -> list[str]:
        """Surcharges that the carrier's rule puts on it."""
        billed = self.offer["billed"]
        return list(billed["flags"]) if billed else []

    @property
    def cost(self) -> str:
        """The whole cost, or what of it is known; "" where nothing is."""
        cost = self.offer["cost"]
        if cost["total"] is not None:
            return str(Money(Decimal(cost["total"]), cost["currency"]))
        known = Decimal(cost["known"])
        return _("%(sum)s and what is not known") % {"sum": Money(known, cost["currency"])} if known else ""

    @property
    def minutes(self) -> int:
        """Work in whole minutes."""
        return round(self.offer["cost"]["minutes"])


@dataclass(frozen=True)
class Refusal:
    """A style that cannot be made for the order, and why."""

    style: str
    reason: str


def offered_boxes(plan: BoxPlan | None, wording: Wording) -> list[OfferPresenter]:
    """The boxes offered with a plan; the one it is itself is marked, whether chosen or found by the search."""
    if plan is None:
        return []
    return [
        OfferPresenter(index, offer, plan.choices[0], wording, _same(plan.content, offer["plan"]))
        for index, offer in enumerate(plan.choices)
    ]


def refused_styles(plan: BoxPlan | None) -> list[Refusal]:
    """The styles that could not be made, each reason once."""
    if plan is None:
        return []
    rows = (plan.chosen_from or plan).offers.get("refused", [])
    return list(dict.fromkeys(Refusal(row["style"], row["reason"]) for row in rows))


def _same(content: dict[str, Any], other: dict[str, Any]) -> bool:
    return content["items"] == other["items"] and content["box"] == other["box"]
