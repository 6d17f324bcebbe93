"""The lists of the insert cut plan: lifts, loose foam and plates, page by page."""

from __future__ import annotations

from django.utils.html import format_html_join
from django.utils.translation import gettext as _

from shop import adapter
from shop.adapter.plan_parts import LiftPlan, LoosePlan, Plan
from shop.formatting import filled
from shop.papers.context import PaperContext
from shop.papers.drawings import page_room
from shop.papers.measures import PlanWording
from shop.papers.names import part_names

# Heights by the type and padding in papers.css: where those grow these must, or a list runs over the end of its page.
LIST_HEAD_MM, LIFT_ROW_MM, LOOSE_ROW_MM = 14.0, 10.6, 7.2


def cut_list_pages(plan: Plan, context: PaperContext, write: PlanWording, under_mm: float) -> list[dict[str, object]]:
    """The cut list's pages: on each so many lifts and so many loose pieces as it takes, the first with words under.

    Parameters
    ----------
    plan, context, write
        What is cut, for whom, in whose units.
    under_mm
        Height of the words under the first page's lists.

    Returns
    -------
    list of dict
        Each page's title and rows.
    """
    lifts = [_lift_row(row, context, write) for row in plan.insert.lifts]
    loose = [_loose_row(row, _("saddle"), write) for row in plan.insert.saddles]
    loose += [_loose_row(row, _("rest"), write) for row in plan.insert.rests]
    loose += [_plate_row(row, write) for row in plan.insert.plates]
    loose += [_loose_row(row, _("plug"), write) for row in plan.insert.plugs]
    loose += [_loose_row(row, _("fill"), write) for row in plan.insert.fills]
    height = page_room(context.page_size, wide=True).height - LIST_HEAD_MM
    pages: list[dict[str, object]] = []
    while lifts or loose or not pages:
        left = height if pages else height - under_mm
        some, few = int(left / LIFT_ROW_MM), int(left / LOOSE_ROW_MM)
        pages.append({"title": _("Cut list"), "lifts": lifts[:some], "loose": loose[:few]})
        lifts, loose = lifts[some:], loose[few:]
    return pages


def _plate_row(row: LoosePlan, write: PlanWording) -> dict[str, object]:
    """A plate as it is sawn: across and up."""
    (x0, y0, z0), (x1, y1, z1) = row.min_um, row.max_um
    across = (x0, x1) if y1 - y0 == sum(row.thicknesses_um) else (y0, y1)
    return {
        **_loose_row(row, _("plate"), write),
        "size": write.bare_extent((across[0], z0), (across[1], z1)),
        "source": _("plywood"),
    }


def _loose_row(row: LoosePlan, what: str, write: PlanWording) -> dict[str, object]:
    low, high = row.min_um, row.max_um
    return {
        "id": row.id,
        "what": what,
        "letter": row.letter,
        "part": part_names()[row.part],
        "size": write.bare_extent(low[:2], high[:2]),
        "thickness": _thicknesses(row, write),
        "source": adapter.id_runs(row.from_sheets) or _("thin stock"),
    }


def _thicknesses(row: LoosePlan, write: PlanWording) -> str:
    """The thickness of a loose piece: of thin stock, the thickness of each sheet of it."""
    if row.thicknesses_um and not row.from_sheets:
        return format_html_join(" + ", "{}", ((write.bare(thickness),) for thickness in row.thicknesses_um))
    return write.between(row.min_um[2], row.max_um[2])


def _lift_row(row: LiftPlan, context: PaperContext, write: PlanWording) -> dict[str, object]:
    name = context.name_of(row.item)
    if row.length_um is not None:
        how = filled(_("lift tape, %(length)s"), length=write.length(row.length_um))
    else:
        how = filled(_("finger notch, %(size)s"), size=write.extent(row.min_um or (), row.max_um or ()))
    return {"letter": row.letter, "name": name.label or name.name, "how": how}
