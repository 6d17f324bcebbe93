"""The boxes offered for an order on its screen: picture, sizes, weights, material, cost, what each trades."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from django.utils.safestring import SafeString, mark_safe
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from shop import adapter
from shop.adapter import kinds
from shop.formatting import Wording, filled, in_g, in_mm
from shop.models import BoxPlan
from shop.money import Money
from shop.presenters.unpriced import Unpriced, unpriced

PICTURE_ROOM = (60.0, 42.0)
LEAST_SHARE, LEAST_MINUTES, LEAST_HEIGHT_UM = Fraction(2, 100), 1, 5_000
"""Less than that of weight, work and height makes no odds, and is not told."""
PURPOSES = {
    kinds.Purpose.CHEAPEST: gettext_lazy("cheapest to send"),
    kinds.Purpose.LEAST_WORK: gettext_lazy("least work"),
    kinds.Purpose.FLATTEST: gettext_lazy("flattest"),
    kinds.Purpose.WOODEN: gettext_lazy("wooden"),
}


def purposes_in_words(purposes: Iterable[kinds.Purpose], plan: adapter.Plan) -> str:
    """Say what a plan's box is best at.

    The cheapest to send costs least all in all where the shop prices work and billed weight; where it does not and no
    carrier bills the box, it is among the lightest.
    """
    words = dict(PURPOSES)
    if priced(plan):
        words[kinds.Purpose.CHEAPEST] = gettext_lazy("costs least")
    elif plan.chosen is None or plan.chosen.billed is None:
        words[kinds.Purpose.CHEAPEST] = gettext_lazy("among the lightest")
    return ", ".join(str(words[purpose]) for purpose in purposes)


def costs_least(plan: adapter.Plan) -> bool:
    """Tell whether a plan's box was ranked by money and costs least, or as little as makes no difference."""
    purposes = () if plan.chosen is None else plan.chosen.purposes
    return kinds.Purpose.CHEAPEST in purposes and priced(plan)


def priced(plan: adapter.Plan) -> bool:
    """Tell whether boxes were ranked by money: the shop says what billed weight and an hour of work are worth to it."""
    cost = plan.box.cost
    if cost is None or cost.sending is None:
        return False
    return all(row.kind is not kinds.PriceKind.HOUR for row in cost.unpriced)


@dataclass(frozen=True)
class OfferPresenter:
    """One box offered, for one reader.

    Parameters
    ----------
    index
        Its place among the offers, from 0.
    plan
        Its own plan.
    first
        The plan of the one that is cheapest to send.
    wording
        How the reader reads sentences and measures.
    taken
        Whether it is the order's plan now.
    beside
        How it stands beside the other boxes of its material, in a sentence.
    """

    index: int
    plan: adapter.Plan
    first: adapter.Plan
    wording: Wording
    taken: bool
    beside: str

    @property
    def choice(self) -> adapter.ChoicePlan:
        """The purpose that it is best at and, where a carrier is named, its bill."""
        return self.plan.chosen or adapter.ChoicePlan(objective=kinds.Objective.OFFER)

    @property
    def billed(self) -> bool:
        """True where a carrier is named whose rule bills it."""
        return self.choice.billed is not None

    @property
    def title(self) -> str:
        """The purpose as a title: "Cheapest to send, flattest"; without a bill the lightest is not called cheapest."""
        return capfirst(purposes_in_words(self.choice.purposes, self.plan) or _("as planned first"))

    @property
    def against(self) -> str:
        """The box that it is held against, before how it differs."""
        if priced(self.first):
            return _("Compared with the one that costs least:")
        return _("Compared with the cheapest to send:") if self.billed else _("Compared with the first:")

    @property
    def name(self) -> str:
        """The kind of box, with the standard's code where the standard has it."""
        box = self.plan.box
        name = capfirst(self.wording.message(box.name))
        return f"{name} ({box.style})" if box.style.isdecimal() else name

    @cached_property
    def picture(self) -> SafeString:
        """The closed box, taped where it is closed by tape."""
        drawing = adapter.small_box(self.plan, unit=self.wording.units.length, paper=PICTURE_ROOM)
        # The drawing side writes out every sign of a name that means something in XML.
        return mark_safe(drawing.svg)

    @property
    def materials(self) -> list[str]:
        """The materials, each once, with a board's grade."""
        board = self.plan.box.board
        names = dict.fromkeys(part.material for part in self.plan.box.parts)
        return [f"{name}, {board.grade}" if board and name == board.name else name for name in names]

    @property
    def trade(self) -> list[str]:
        """The difference from the cheapest to send, the bill first, a few words each; nothing that makes no odds."""
        words = [self._billed_difference(), self._heavier(), self._more_work()]
        thicker = min(self.plan.box.outer_um) - min(self.first.box.outer_um)
        if abs(thicker) > LEAST_HEIGHT_UM:
            sentence = _("%(by)s thicker") if thicker > 0 else _("%(by)s thinner")
            words.append(filled(sentence, by=self.wording.length(in_mm(abs(thicker)))))
        return [word for word in words if word]

    def _billed_difference(self) -> str:
        billed, first = self.choice.billed, self.first.chosen.billed if self.first.chosen else None
        if billed is None or first is None or billed == first:
            return ""
        sentence = _("billed %(by)s %(unit)s more") if billed > first else _("billed %(by)s %(unit)s less")
        return sentence % {"by": f"{abs(billed - first):g}", "unit": self.choice.weight_unit}

    def _heavier(self) -> str:
        by = self.plan.weight.gross_mg - self.first.weight.gross_mg
        sentence = _("%(by)s heavier") if by > 0 else _("%(by)s lighter")
        told = abs(by) > LEAST_SHARE * self.first.weight.gross_mg
        return filled(sentence, by=self.wording.weight(in_g(abs(by)))) if told else ""

    def _more_work(self) -> str:
        minutes = self.minutes - _minutes(self.first)
        more = ngettext("%(by)d minute more work", "%(by)d minutes more work", abs(minutes))
        less = ngettext("%(by)d minute less work", "%(by)d minutes less work", abs(minutes))
        return (more if minutes > 0 else less) % {"by": abs(minutes)} if abs(minutes) > LEAST_MINUTES else ""

    @property
    def cost(self) -> str:
        """The whole cost, or what of it is known; "" where nothing is."""
        cost = self.plan.box.cost
        return "" if cost is None else _sum(self.plan, cost.known)

    @property
    def money(self) -> str:
        """The cost of sending and making together, by what billed weight is worth; "" where a price is not known."""
        money = _money(self.plan)
        return "" if money is None else str(Money(money, _currency(self.plan)))

    @property
    def dearer(self) -> str:
        """The difference in cost from the cheapest to send, all in all."""
        money, first = _money(self.plan), _money(self.first)
        if money is None or first is None or money == first:
            return ""
        sentence = _("%(by)s dearer all in all") if money > first else _("%(by)s cheaper all in all")
        return sentence % {"by": Money(abs(money - first), _currency(self.plan))}

    @property
    def unpriced(self) -> list[Unpriced]:
        """Prices and times that are not known, each with its place."""
        cost = self.plan.box.cost
        return [] if cost is None else unpriced(cost.unpriced)

    @property
    def minutes(self) -> int:
        """Work in whole minutes."""
        return _minutes(self.plan)


def offered_boxes(row: BoxPlan | None, wording: Wording) -> list[OfferPresenter]:
    """The boxes offered with a plan; the one it is itself is marked, whether chosen or found by the search."""
    if row is None or not row.choices:
        return []
    own, first = adapter.plan_of(row), adapter.plan_of(row.choices[0])
    plans = [adapter.plan_of(offer) for offer in row.choices]
    return [
        OfferPresenter(
            index=offer.place,
            plan=plan,
            first=first,
            wording=wording,
            taken=(own.items, own.box) == (plan.items, plan.box),
            beside=_said(adapter.beside_of(offer), wording),
        )
        for offer, plan in zip(row.choices, plans, strict=True)
    ]


def style_words(code: str) -> str:
    """A style's name, with the standard's code where the standard has it."""
    name = capfirst(_(adapter.style_name(code)))
    return f"{name} ({code})" if code.isdecimal() else name


def refused_styles(row: BoxPlan | None, wording: Wording) -> list[tuple[str, str]]:
    """The styles that could not be made, each reason once."""
    if row is None:
        return []
    refused = adapter.refused_of(row)
    return list(dict.fromkeys((style_words(one.style), wording.message(one.reason)) for one in refused))


def _said(sentence: adapter.Message | None, wording: Wording) -> str:
    return wording.message(sentence) if sentence else ""


def _money(plan: adapter.Plan) -> Decimal | None:
    cost = plan.box.cost
    return None if cost is None or cost.total is None or cost.sending is None else cost.total + cost.sending


def all_in_all(plan: adapter.Plan) -> str:
    """The cost of sending and making a plan's box together, as far as prices are known; "" where nothing is."""
    cost = plan.box.cost
    return "" if cost is None else _sum(plan, cost.known + (cost.sending or 0))


def _sum(plan: adapter.Plan, known: Decimal) -> str:
    """So much money, and more where a price is missing."""
    cost, money = plan.box.cost, Money(known, _currency(plan))
    if cost is not None and cost.total is not None:
        return str(money)
    return _("%(sum)s and more: some prices are not known") % {"sum": money} if known else ""


def _currency(plan: adapter.Plan) -> str:
    return "" if plan.box.cost is None else plan.box.cost.currency


def _minutes(plan: adapter.Plan) -> int:
    return 0 if plan.box.cost is None else round(plan.box.cost.minutes)
