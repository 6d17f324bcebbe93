"""A box plan as the order's screen shows it: sizes, how near the smallest possible, weights, pictures, carriers."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any

from django.core.cache import cache
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from shop import adapter
from shop.models import BoxPlan, RateRule
from shop.presenters.offers import said

Content = dict[str, Any]

# Room for a picture in mm of paper; on screen it stands at 1.4 times that, so that its lettering is over 16 px high.
ROOM = (205.0, 150.0)
MM3_IN_A_LITRE = 10**6


@dataclass(frozen=True)
class Picture:
    """A picture for the screen: its SVG, its width in mm of paper, what it shows, its scale in words."""

    svg: SafeString
    width_mm: float
    title: str
    scale: str


@dataclass(frozen=True)
class PlanPresenter:
    """Everything the screen shows of one plan, in one reader's units."""

    plan: BoxPlan
    unit: str
    today: dt.date
    weighed_g: Decimal | None = None

    @property
    def content(self) -> Content:
        """The plan file's content."""
        content: Content = self.plan.content
        return content

    @property
    def sharp(self) -> bool:
        """Whether a tool with an edge is in the box."""
        return any(item.get("sharp", "none") != "none" for item in self.content["items"])

    @property
    def litres(self) -> float:
        """The interior's volume."""
        length, width, height = self.content["interior_mm"]
        return float(length * width * height / MM3_IN_A_LITRE)

    @property
    def bound_litres(self) -> float:
        """The volume below which no interior is possible."""
        return float(self.content["lower_bound_mm3"] / MM3_IN_A_LITRE)

    @property
    def nearness(self) -> str:
        """How far from the smallest possible, in a sentence."""
        if self.content["proven"]:
            return _("The smallest possible interior: proven.")
        gap = self.content.get("gap")
        if gap is None:
            return _("How near to the smallest possible is not known.")
        return _("At most %(gap)s %% above the smallest possible interior.") % {"gap": f"{gap * 100:.1f}"}

    @property
    def chosen_for(self) -> str:
        """What the box was chosen for, in a sentence or two."""
        chosen = self.content.get("chosen") or {"aim": "volume"}
        if chosen["aim"] == "offer":
            purposes = said(chosen["purposes"], billed="carrier" in chosen)
            if self.plan.chosen_from_id is None:
                return _("The first of the boxes offered: %(purposes)s.") % {"purposes": purposes}
            return _("Chosen by hand among the boxes offered: %(purposes)s.") % {"purposes": purposes}
        if chosen["aim"] == "volume":
            return _("Chosen for the smallest interior.")
        if chosen["over"]:
            return " ".join(
                [_("No box of this order is taken by the carrier that boxes are chosen by."), *chosen["over"]]
            )
        year = (chosen["as_of"] or "")[:4] or _("undated")
        return _(
            "Chosen for the least billed weight: %(billed)s %(unit)s with %(carrier)s, %(service)s (value of %(year)s, "
            "check before quoting); among equals for the least work, marked cheeks up and the least volume."
        ) % {
            "billed": chosen["billed"],
            "unit": chosen["weight_unit"],
            "carrier": chosen["carrier"],
            "service": chosen["service"],
            "year": year,
        }

    @property
    def weight_rows(self) -> list[tuple[str, float]]:
        """The parts of the gross weight, in grams."""
        weight, insert, box = self.content["weight"], self.content["insert"], self.content["box"]
        foam = _("%(material)s, %(density)s kg/m³") % {
            "material": insert["material"],
            "density": insert["density_kg_m3"],
        }
        names = {
            "pieces_g": _("Pieces and blocks, as weighed"),
            "insert_g": _("Insert: %(foam)s") % {"foam": foam},
            "box_g": _("Box: %(board)s") % {"board": (box.get("board") or {}).get("name", box["style"])},
            "sundries_g": _("Tape, papers, wraps, guards"),
        }
        return [(name, weight[key]) for key, name in names.items()]

    @property
    def drawings(self) -> list[Picture]:
        """Every layer from above, the side section, the box with its lid off; kept, for a plan never changes."""
        key = f"pictures/{self.plan.pk}/{self.plan.created.timestamp()}/{self.unit}"
        kept: list[Picture] | None = cache.get(key)
        if kept is None:
            kept = self._draw()
            cache.set(key, kept, timeout=None)
        return kept

    @cached_property
    def bills(self) -> list[dict[str, Any]]:
        """What each carrier's rule in force today makes of the box, and of the stock carton where there is one."""
        bills = adapter.bills(self.content, self._rules, self.today, weighed_g=self.weighed_g)
        second: list[dict[str, Any]] = []
        if self.content.get("carton"):
            second = adapter.bills(self.content, self._rules, self.today, carton=True)
        cartons = {bill["rule"]: bill for bill in second}
        return [{**bill, "carton": cartons.get(bill["rule"])} for bill in bills]

    @cached_property
    def other_bills(self) -> list[dict[str, Any]]:
        """The same under rules that are over or yet to come, each on its first day."""
        others = [rule for rule in self._rules if rule.pk not in {bill["rule"] for bill in self.bills}]
        return [
            bill
            for rule in others
            for bill in adapter.bills(self.content, [rule], rule.valid_from, weighed_g=self.weighed_g)
        ]

    @cached_property
    def hints(self) -> list[tuple[str, list[str]]]:
        """What a little growth of the box would change, each sentence once, with the services it is about."""
        found: dict[str, list[str]] = defaultdict(list)
        for bill in self.bills:
            if bill.get("hint"):
                found[bill["hint"]].append(f"{bill['carrier']} {bill['service']}")
        return list(found.items())

    def _draw(self) -> list[Picture]:
        content, unit = self.content, self.unit
        layers = range(len(content["layers"]))
        made = [adapter.plan_view(content, layer, unit=unit, paper=ROOM, caption=False) for layer in layers]
        made.append(adapter.side_section(content, unit=unit, paper=ROOM, caption=False))
        made.append(adapter.isometric(content, paper=ROOM, caption=False))
        return [_picture(drawing) for drawing in made]

    @cached_property
    def _rules(self) -> list[RateRule]:
        return list(RateRule.objects.filter(shop=self.plan.shop_id))

    def layer_name(self, layer: int | None) -> str:
        """A layer as a person says it; empty where there is only one."""
        layers = len(self.content["layers"])
        if layer is None or layers <= 1:
            return ""
        if layer == 0:
            return _("bottom layer")
        return _("top layer") if layer == layers - 1 else _("layer %(number)d from the bottom") % {"number": layer + 1}


def _picture(drawing: adapter.Drawing) -> Picture:
    scale = _("not to scale") if drawing.scale is None else f"1 : {drawing.scale:g}"
    # The drawing side writes out every sign of a name that means something in XML.
    return Picture(mark_safe(drawing.svg), drawing.width_mm, drawing.title, scale)
