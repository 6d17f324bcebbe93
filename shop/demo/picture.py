"""The picture at the head of the README: the open box and its bottom layer from above, on one sheet of paper."""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.sax.saxutils import escape

from shop import adapter
from shop.formatting import SentenceWording, Units, in_g

PAPER, INK, SOFT = "#faf6ec", "#14120f", "#57503f"
FONTS = "Barlow, DejaVu Sans Condensed, DejaVu Sans, Liberation Sans, Arial, Helvetica, sans-serif"
OPEN_ROOM, PLAN_ROOM = (125.0, 125.0), (160.0, 125.0)
MARGIN, GAP, STRIP, INSET = 8.0, 10.0, 9.0, 2.0
_SIZE = re.compile(r'width="([0-9.]+)mm" height="([0-9.]+)mm"')


def picture(content: Mapping[str, object]) -> str:
    """The picture as SVG text.

    Parameters
    ----------
    content
        A plan file's content.

    Raises
    ------
    adapter.BadInput
        The content is no plan.
    """
    plan = adapter.read_plan(content)
    box = adapter.isometric(plan, paper=OPEN_ROOM)
    layer = adapter.plan_view(plan, 0, paper=PLAN_ROOM)
    height = max(box.height_mm, layer.height_mm)
    width = 2 * MARGIN + box.width_mm + GAP + layer.width_mm
    total = 2 * MARGIN + height + STRIP
    foot = total - STRIP
    frame = f'x="{INSET}" y="{INSET}" width="{width - 2 * INSET:.2f}" height="{total - 2 * INSET:.2f}"'
    marks = (
        f'<rect width="{width:.2f}" height="{total:.2f}" fill="{PAPER}"/>',
        f'<rect {frame} fill="none" stroke="{INK}" stroke-width="0.5"/>',
        f'<path d="M{INSET} {foot:.2f}H{width - INSET:.2f}" stroke="{INK}" stroke-width="0.25"/>',
        _set(box, MARGIN, MARGIN + (height - box.height_mm) / 2),
        _set(layer, MARGIN + box.width_mm + GAP, MARGIN + (height - layer.height_mm) / 2),
        _line(MARGIN, foot + 4.6, f"Order {plan.order} of the invented demonstration", "start"),
        _line(width - MARGIN, foot + 4.6, _sizes(plan), "end"),
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.2f}mm" height="{total:.2f}mm" '
        f'viewBox="0 0 {width:.2f} {total:.2f}" role="img" aria-label="{escape(box.title)}">'
        f"<title>{escape(box.title)}</title>{''.join(marks)}</svg>\n"
    )


def _set(drawing: adapter.Drawing, x: float, y: float) -> str:
    """A drawing in its place: inside another picture its size is in that picture's units, not in millimetres."""
    return _SIZE.sub(rf'x="{x:.2f}" y="{y:.2f}" width="\1" height="\2"', drawing.svg, count=1)


def _line(x: float, y: float, words: str, anchor: str) -> str:
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-family="{FONTS}" font-size="3.2" text-anchor="{anchor}" '
        f'fill="{SOFT}">{escape(words)}</text>'
    )


def _sizes(plan: adapter.Plan) -> str:
    metric = SentenceWording(Units())
    inside, outside = metric.sides(plan.interior_um), metric.sides(plan.box.outer_um)
    gross = f"{in_g(plan.weight.gross_mg) / 1000:.2f} kg ± {in_g(plan.weight.tolerance_mg):.0f} g"
    return f"Insert {inside} · box {outside} outside · gross {gross}"
