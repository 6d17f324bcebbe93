"""Plans the demonstration's main order, writes its papers, and says in a few lines what came of it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.utils.translation import gettext as _

from shop import adapter
from shop.demo.load import load, main_order
from shop.models import BoxPlan, RateRule
from shop.papers import context_from_plan, render_papers_files
from shop.papers.storage import write_whole
from shop.services.planning import plan_now, seconds_for
from shop.services.shops import today


@dataclass(frozen=True)
class Shown:
    """The plan, the files written, and the summary's lines."""

    plan: BoxPlan
    files: list[Path]
    lines: list[str]


def show(out: Path, *, stop: Callable[[], bool] | None = None) -> Shown:
    """Load the demonstration, plan its main order where that was not done, and write its papers into `out`."""
    shop = load()
    order = main_order(shop)
    plan = order.current_plan
    if plan is None or not adapter.is_current(order):
        plan = plan_now(order, seconds_for(order.lines.count() + 3), stop=stop)
    files = render_papers_files(plan.content, context_from_plan(plan), out)
    plan_file = out / f"order-{order.number}-plan.json"
    write_whole(plan_file, (json.dumps(plan.content, indent=1, ensure_ascii=False) + "\n").encode())
    return Shown(plan, [*files, plan_file], _summary(plan, [*files, plan_file]))


def _summary(plan: BoxPlan, files: list[Path]) -> list[str]:
    content, order = plan.content, plan.order
    outer, inches = (
        " x ".join(adapter.show_length(side, unit).removesuffix(f" {unit}") for side in content["box"]["outer_mm"])
        for unit in ("mm", "in")
    )
    weight = content["weight"]
    closeness = _("the smallest possible")
    if not content["proven"]:
        closeness = _("at most %(gap).0f %% above the smallest possible") % {"gap": 100 * content["gap"]}
    lines = [
        _("Invented for demonstration: the forge, its tools, its customers and its orders."),
        _("Order %(number)d of %(shop)s: %(pieces)d pieces and %(blocks)d blocks for %(customer)s.")
        % {"number": order.number, "shop": order.shop, "customer": order.customer, **_counts(content)},
        _("  Box outside     %(outer)s mm (%(inches)s in); the interior is %(closeness)s.")
        % {"outer": outer, "inches": inches, "closeness": closeness},
        _("  Gross weight    %(kg).2f kg ± %(tolerance).0f g")
        % {"kg": weight["gross_g"] / 1000, "tolerance": weight["tolerance_g"]},
    ]
    rules = RateRule.objects.filter(shop=order.shop)
    lines += [_billed(bill) for bill in adapter.bills(content, rules, today(order.shop)) if not bill["fault"]]
    lines += [_("  Published values, check before quoting. Papers:"), *(f"    {path}" for path in files)]
    return lines


def _counts(content: dict[str, Any]) -> dict[str, int]:
    tools = sum(item["kind"] == "tool" for item in content["items"])
    return {"pieces": tools, "blocks": len(content["items"]) - tools}


def _billed(bill: dict[str, Any]) -> str:
    words = _("  Billed weight   %(billed)s %(unit)s, %(carrier)s %(service)s (%(year)s)")
    if bill["over"]:
        words = _("  Not taken by    %(carrier)s %(service)s (%(year)s)")
    return words % {
        "billed": bill["billed"],
        "unit": bill["weight_unit"],
        "carrier": bill["carrier"],
        "service": bill["service"],
        "year": str(bill["as_of"])[:4] if bill["as_of"] else _("undated"),
    }
