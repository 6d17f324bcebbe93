"""The weights of the box on its cut plan."""

from __future__ import annotations

import math

from django.utils.translation import gettext as _

from shop.adapter.plan_parts import (
    Unit,
    WeightPlan,
)
from shop.papers.measures import PlanWording

TOLERANCE_FACTOR = 2.6
"""Of 100 good boxes one is then asked about at the scale; with 2 it would be five, and nobody would look."""


def _weights(weight: WeightPlan, write: PlanWording) -> list[dict[str, object]]:
    rows: list[dict[str, object]] = [
        {"what": _("pieces, as weighed"), "weight": write.weight(weight.pieces_mg)},
        {"what": _("insert"), "weight": write.weight(weight.insert_mg)},
        {"what": _("box"), "weight": write.weight(weight.box_mg)},
    ]
    for row in weight.sundries:
        amount = write.run(round(row.quantity * 1_000_000)) if row.unit is Unit.METRE else f"{row.quantity:g}"
        rows.append({"what": f"{write.message(row.what)}, {amount}", "weight": write.weight(row.weight_mg)})
    return rows


def _tolerance(weight: WeightPlan, write: PlanWording) -> dict[str, object]:
    rows = [
        {"source": write.message(row.source), "sd": write.weight(row.sd_mg), "why": write.message(row.why)}
        for row in weight.tolerance
    ]
    together = math.sqrt(sum(row.sd_mg**2 for row in weight.tolerance))
    return {
        "rows": rows,
        "total": write.weight(weight.tolerance_mg),
        "how": _("%(factor)s × %(together)s, all standard deviations taken together")
        % {"factor": TOLERANCE_FACTOR, "together": write.weight(round(together))},
    }
