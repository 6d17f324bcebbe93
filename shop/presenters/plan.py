"""A box plan as the order's screen shows it: sizes, how near the smallest possible, weights, pictures, carriers."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from math import ceil

from django.core.cache import cache
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from shop import adapter
from shop.adapter import kinds
from shop.countries import country_name
from shop.formatting import Wording
from shop.models import BoxPlan, RateRule
from shop.presenters.offers import all_in_all, costs_least, purposes_in_words

# Room for a picture in mm of paper; on screen it stands at 1.4 times that, so that its lettering is over 16 px high.
ROOM = (205.0, 150.0)
MM3_IN_A_LITRE, UM3_IN_A_LITRE = 10**6, 10**15


@dataclass(frozen=True)
class Picture:
    """A picture for the screen: its SVG, its width in mm of paper, what it shows, its scale in words."""

    svg: SafeString
    width_mm: float
    title: str
    scale: str


@dataclass(frozen=True)
class BillRow:
    """The bill by one carrier's rule of the box, and beside it of the stock carton."""

    rule_bill: adapter.RuleBill
    carton: adapter.BillPlan | None = None

    @property
    def bill(self) -> adapter.BillPlan | None:
        """None where the rule cannot be used."""
        return self.rule_bill.bill


@dataclass(frozen=True)
class Aim:
    """The aim of a box: what it was to be least in, and how good it is in that."""

    what: str
    how_good: str


@dataclass(frozen=True)
class PlanPresenter:
    """Everything the screen shows of one plan, in one reader's units."""

    row: BoxPlan
    wording: Wording
    today: dt.date
    weighed_g: Decimal | None = None
    taped_mm: tuple[Decimal, Decimal, Decimal] | None = None

    @cached_property
    def plan(self) -> adapter.Plan:
        """The plan itself."""
        return adapter.plan_of(self.row)

    @property
    def sharp(self) -> bool:
        """True where a tool with an edge is in the box."""
        return any(item.sharp not in (None, kinds.Sharp.NONE) for item in self.plan.items)

    @property
    def volume(self) -> str:
        """The interior's volume."""
        length, width, height = self.plan.interior_um
        return self.wording.volume(length * width * height / UM3_IN_A_LITRE)

    @property
    def bound(self) -> str:
        """The volume below which no interior is possible."""
        return self.wording.volume(self.plan.lower_bound_mm3 / MM3_IN_A_LITRE)

    @property
    def chosen_for(self) -> str:
        """The reason for which the box was chosen, in a sentence or two."""
        chosen = self.plan.chosen
        if chosen is None or chosen.objective is kinds.Objective.VOLUME:
            if self.row.order.shop.priced_by_id is not None and "priced_by" not in self.row.rules:
                return (
                    _(
                        "Chosen for the smallest interior: the carrier’s service that boxes are chosen by does not go "
                        "from %(here)s to %(there)s. The settings take one for parcels abroad."
                    )
                    % self._way
                )
            return _("Chosen for the smallest interior.")
        if chosen.objective is kinds.Objective.OFFER:
            purposes = purposes_in_words(chosen.purposes, self.plan) or _("as planned first")
            if self.row.chosen_from_id is None:
                return _("The first of the boxes offered: %(purposes)s.") % {"purposes": purposes}
            return _("Chosen by hand among the boxes offered: %(purposes)s.") % {"purposes": purposes}
        if chosen.over:
            limits = [self.wording.message(limit) for limit in chosen.over]
            return " ".join([_("No box of this order is taken by the carrier that boxes are chosen by."), *limits])
        if not costs_least(self.plan):
            return _(
                "Chosen for the least billed weight: %(bill)s; among equals for the least work, marked cheeks up and "
                "the least volume."
            ) % {"bill": self._bill_of(chosen)}
        least = _(
            "Chosen because it costs least, sending, material and work together: %(money)s. Of boxes that cost at most "
            "2 %% more, the one with the least work is taken."
        ) % {"money": all_in_all(self.plan)}
        if chosen.billed is None:
            return least
        return _("%(least)s Billed weight: %(bill)s.") % {"least": least, "bill": self._bill_of(chosen)}

    def _bill_of(self, chosen: adapter.ChoicePlan) -> str:
        return _("%(billed)s %(unit)s with %(carrier)s, %(service)s (value of %(year)s, check before quoting)") % {
            "billed": chosen.billed,
            "unit": chosen.weight_unit,
            "carrier": chosen.carrier,
            "service": chosen.service,
            "year": chosen.as_of.year if chosen.as_of else _("undated"),
        }

    @property
    def aim(self) -> Aim:
        """The aim of the box: what it was to be least in, and how good it is in that."""
        chosen = self.plan.chosen
        if chosen is None or chosen.objective is kinds.Objective.VOLUME:
            return Aim(_("smallest interior"), self._closeness)
        cheapest = chosen.objective is kinds.Objective.PRICE or kinds.Purpose.CHEAPEST in chosen.purposes
        if cheapest and chosen.billed is not None and not costs_least(self.plan):
            return Aim(_("least billed weight"), self._billing(chosen))
        words = purposes_in_words(chosen.purposes, self.plan)
        return Aim(words, _("of the boxes compared; how much better one could be is not known"))

    @property
    def _closeness(self) -> str:
        if self.plan.proven:
            return _("proven: none is smaller")
        if self.plan.gap is None:
            return _("how near the smallest possible is not known")
        return _("at most %(gap)d %% above the smallest possible: none has less than %(least)s") % {
            # "At most" is rounded up, so that a box a little above is not said to be 0 % above.
            "gap": ceil(100 * round(self.plan.gap, 6)),
            "least": self.bound,
        }

    def _billing(self, chosen: adapter.ChoicePlan) -> str:
        billed = _("%(billed)g %(unit)s by %(carrier)s, %(service)s") % {
            "billed": chosen.billed,
            "unit": chosen.weight_unit,
            "carrier": chosen.carrier,
            "service": chosen.service,
        }
        named = (chosen.carrier, chosen.service, chosen.valid_from)
        rule = next((one for one in self._rules if (one.carrier, one.service, one.valid_from) == named), None)
        least = adapter.least_billed(self.plan, rule) if rule is not None else None
        if least is None:
            return billed
        if least.billed == chosen.billed:
            return _("%(billed)s: no box for these pieces is billed less") % {"billed": billed}
        return _("%(billed)s: no box for these pieces is billed below %(least)g %(unit)s") % {
            "billed": billed,
            "least": least.billed,
            "unit": chosen.weight_unit,
        }

    @property
    def weight_rows(self) -> list[tuple[str, int]]:
        """The parts of the gross weight, in milligrams."""
        weight, insert, box = self.plan.weight, self.plan.insert, self.plan.box
        foam = _("%(material)s, %(density)s") % {
            "material": insert.material,
            "density": self.wording.density(Decimal(insert.density_g_m3) / 1000),
        }
        board = box.board.name if box.board else self.wording.message(box.name)
        return [
            (_("Pieces and blocks, as weighed"), weight.pieces_mg),
            (_("Insert: %(foam)s") % {"foam": foam}, weight.insert_mg),
            (_("Box: %(board)s") % {"board": board}, weight.box_mg),
            (_("Tape, papers, wraps, guards"), weight.sundries_mg),
        ]

    @property
    def sundries(self) -> list[tuple[adapter.SundryPlan, str]]:
        """The sundries, each with how much of it there is."""
        return [
            (row, self.wording.metres(row.quantity) if row.unit is kinds.Unit.METRE else f"{row.quantity:g}")
            for row in self.plan.weight.sundries
        ]

    @property
    def drawings(self) -> list[Picture]:
        """Every layer from above, the side section, the box with its lid off; kept, for a plan never changes."""
        # With the moment it was made: in a restored database the same key may be another plan's.
        key = f"pictures/{self.row.pk}/{self.row.created.timestamp()}/{self.wording.units.length}"
        kept: list[Picture] | None = cache.get(key)
        if kept is None:
            kept = self._draw()
            cache.set(key, kept, timeout=None)
        return kept

    def pocket(self, item: str) -> SafeString:
        """Draw one item's place, as a small picture."""
        # The drawing side writes out every sign of a name that means something in XML.
        return mark_safe(adapter.pocket_picture(self.plan, item).svg)

    @cached_property
    def bills(self) -> list[BillRow]:
        """The bills by each carrier's rule in force today of the box, and of the stock carton where there is one."""
        bills = adapter.bills(self.plan, self._rules, self.today, weighed_g=self.weighed_g, taped_mm=self.taped_mm)
        cartons = {one.rule: one.bill for one in adapter.bills(self.plan, self._rules, self.today, carton=True)}
        return [BillRow(one, cartons.get(one.rule)) for one in bills]

    @cached_property
    def other_bills(self) -> list[BillRow]:
        """The same under rules that are over or yet to come, each on its first day."""
        others = [rule for rule in self._rules if rule.pk not in {row.rule_bill.rule for row in self.bills}]
        return [
            BillRow(one)
            for rule in others
            for one in adapter.bills(self.plan, [rule], rule.valid_from, weighed_g=self.weighed_g)
        ]

    @cached_property
    def hints(self) -> list[tuple[str, list[str]]]:
        """The changes that a little growth of the box would make, each sentence once, with the services it is about."""
        found: dict[str, list[str]] = defaultdict(list)
        for row in self.bills:
            if row.bill is not None and row.bill.hint:
                found[self.wording.message(row.bill.hint)].append(f"{row.bill.carrier} {row.bill.service}")
        return list(found.items())

    def _draw(self) -> list[Picture]:
        plan, unit = self.plan, self.wording.units.length
        layers = range(len(self.plan.layers))
        made = [adapter.plan_view(plan, layer, unit=unit, paper=ROOM, caption=False) for layer in layers]
        made.append(adapter.side_section(plan, unit=unit, paper=ROOM, caption=False))
        made.append(adapter.isometric(plan, paper=ROOM, caption=False))
        return [_picture(drawing) for drawing in made]

    @cached_property
    def _rules(self) -> list[RateRule]:
        """The shop's rules whose service goes where the parcel goes."""
        order = self.row.order
        return adapter.rules_on_the_way(self._all_rules, order.shop.country, order.customer.country)

    @cached_property
    def _all_rules(self) -> list[RateRule]:
        return list(RateRule.objects.filter(shop=self.row.shop_id))

    @property
    def _way(self) -> dict[str, str]:
        order = self.row.order
        return {"here": country_name(order.shop.country), "there": order.customer.country_name}

    @property
    def left_out(self) -> str:
        """That services which do not go there are not shown; empty where every one goes."""
        if len(self._rules) == len(self._all_rules):
            return ""
        return _("Services that do not go from %(here)s to %(there)s are left out.") % self._way

    def layer_name(self, layer: int | None) -> str:
        """A layer as a person says it; empty where there is only one."""
        layers = len(self.plan.layers)
        if layer is None or layers <= 1:
            return ""
        if layer == 0:
            return _("bottom layer")
        return _("top layer") if layer == layers - 1 else _("layer %(number)d from the bottom") % {"number": layer + 1}


def _picture(drawing: adapter.Drawing) -> Picture:
    scale = _("not to scale") if drawing.scale is None else f"1 : {drawing.scale:g}"
    # The drawing side writes out every sign of a name that means something in XML.
    return Picture(mark_safe(drawing.svg), drawing.width_mm, drawing.title, scale)
