"""Plans the demonstration's main order, writes its papers, and says in a few lines what came of it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from django.utils.translation import gettext as _

from shop import adapter
from shop.demo.load import load, main_order
from shop.formatting import SentenceWording, Units, Wording, in_g
from shop.models import BoxPlan, LengthUnit, RateRule
from shop.papers import context_from_plan, render_papers_files
from shop.papers.storage import read_plan
from shop.presenters.plan import PlanPresenter
from shop.services.files import write_whole
from shop.services.planning import plan_now, seconds_for
from shop.services.shops import today


@dataclass(frozen=True)
class Shown:
    """The plan, the files written, and the summary's lines."""

    plan: BoxPlan
    files: list[Path]
    lines: list[str]


def show(out: Path, *, stop: Callable[[], bool] | None = None) -> Shown:
    """Load the demonstration, plan its main order where that was not done, and write its papers.

    Parameters
    ----------
    out
        The folder that papers and plan file are written into; made where it is not there.
    stop
        Ends the search early when true; no plan is stored then.

    Returns
    -------
    Shown
        The plan, the files written, and a summary in lines.

    Raises
    ------
    JobCancelled
        `stop` cut the search short.
    CannotPlan
        The search found no plan or a broken one, or the order was changed meanwhile.
    """
    shop = load()
    order = main_order(shop)
    if not adapter.is_current(order):
        plan_now(order, seconds_for(order.lines.count() + 3), stop=stop)
    # The demonstration's main order is light enough for one parcel.
    plan = order.parcels.select_related("plan").get().plan
    files = render_papers_files(read_plan(plan), context_from_plan(plan), out)
    plan_file = out / f"order-{order.number}-plan.json"
    write_whole(plan_file, (json.dumps(plan.content, indent=1, ensure_ascii=False) + "\n").encode())
    return Shown(plan, [*files, plan_file], _summary(plan, [*files, plan_file]))


def _summary(row: BoxPlan, files: list[Path]) -> list[str]:
    plan, order = adapter.plan_of(row), row.order
    outer, inches = (
        SentenceWording(Units(unit)).sides(plan.box.outer_um) for unit in (LengthUnit.MM.value, LengthUnit.INCH.value)
    )
    aim = PlanPresenter(row, Wording(Units()), today(order.shop)).aim
    lines = [
        _("Invented for demonstration: the forge, its tools, its customers and its orders."),
        _("Order %(number)d of %(shop)s: %(pieces)d pieces and %(blocks)d blocks for %(customer)s.")
        % {"number": order.number, "shop": order.shop, "customer": order.customer, **_counts(plan)},
        _("  Aimed at        %(what)s: %(how_good)s.") % {"what": aim.what, "how_good": aim.how_good},
        _("  Box outside     %(outer)s (%(inches)s)") % {"outer": outer, "inches": inches},
        _("  Gross weight    %(kg).2f kg ± %(tolerance).0f g")
        % {"kg": in_g(plan.weight.gross_mg) / 1000, "tolerance": in_g(plan.weight.tolerance_mg)},
    ]
    rules = RateRule.objects.filter(shop=order.shop)
    lines += [_billed(one.bill) for one in adapter.bills(plan, rules, today(order.shop)) if one.bill is not None]
    lines += [_("  Published values, check before quoting. Papers:"), *(f"    {path}" for path in files)]
    return lines


def _counts(plan: adapter.Plan) -> dict[str, int]:
    tools = sum(item.kind is adapter.kinds.ItemKind.TOOL for item in plan.items)
    return {"pieces": tools, "blocks": len(plan.items) - tools}


def _billed(bill: adapter.BillPlan) -> str:
    words = _("  Billed weight   %(billed)s %(unit)s, %(carrier)s %(service)s (%(year)s)")
    if bill.over:
        words = _("  Not taken by    %(carrier)s %(service)s (%(year)s)")
    return words % {
        "billed": bill.billed,
        "unit": bill.weight_unit,
        "carrier": bill.carrier,
        "service": bill.service,
        "year": bill.as_of.year if bill.as_of else _("undated"),
    }
