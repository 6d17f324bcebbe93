"""The packing slip: what is in the box, under which letter, and how it comes out."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import door
from shop.papers.cautions import closing_words, for_keeping, for_opening, for_striking
from shop.papers.context import PaperContext
from shop.papers.drawings import placed
from shop.papers.wording import Wording, both, kilograms

Content = dict[str, Any]
PICTURE = (104.0, 64.0)


def slip(content: Content, context: PaperContext) -> dict[str, Any]:
    """What the slip's template shows."""
    write = Wording(context.reader)
    items = sorted(content["items"], key=lambda item: item["lift_order"])
    weight = content["weight"]
    picture = placed(door.isometric(content, paper=PICTURE, caption=False))
    tools = [item for item in items if item["kind"] == "tool"]
    blocks = [item for item in items if item["kind"] == "block"]
    return {
        "tools": [_row(item, content, context, write) for item in tools],
        "blocks": [_row(item, content, context, write) for item in blocks],
        "lifting": _lifting(items, content),
        "count": _count(len(tools), len(blocks)),
        "gross": both(weight["gross_g"]),
        "tolerance": kilograms(weight["tolerance_g"]),
        "outer": write.size(content["box"]["outer_mm"]),
        "pieces_weight": write.weight(sum(item["weight_g"] for item in items)),
        "cautions": [
            for_opening(weight["gross_g"], [item["letter"] for item in tools if item["sharp"] != "none"]),
            for_striking(frozenset(item["form"] for item in tools)),
            for_keeping(context.oil),
        ],
        "closing_words": closing_words(),
        "picture": picture,
        "drawings": [picture],
    }


def layer_name(layer: int | None, layers: int) -> str:
    """A layer as a person says it: counted from the top, the order in which it is seen."""
    if layer is None or layers <= 1:
        return ""
    place = layers - layer
    if place == 1:
        return _("1, top")
    return _("%(place)d, bottom") % {"place": place} if place == layers else str(place)


def _row(item: dict[str, Any], content: Content, context: PaperContext, write: Wording) -> dict[str, Any]:
    name = context.name_of(item["id"])
    return {
        "letter": item["letter"],
        "number": name.number,
        "label": name.label,
        "name": name.name,
        "head": write.weight(name.head_weight_g) if name.head_weight_g is not None else "",
        "weight": write.weight(item["weight_g"]),
        "layer": layer_name(item["layer"], len(content["layers"])),
        "lift": item["lift_order"],
    }


def _lifting(items: list[dict[str, Any]], content: Content) -> list[dict[str, Any]]:
    """The order of lifting out: pads and layers from the top, letters in each."""
    layers = len(content["layers"])
    if not layers:
        return [{"what": _("Lift out"), "letters": [item["letter"] for item in items]}]
    steps = []
    for layer in range(layers - 1, -1, -1):
        letters = [item["letter"] for item in items if item["layer"] == layer]
        pad = _("Top pad and plugs away, then") if layer == layers - 1 else _("Pad and plugs away, then")
        steps.append({"what": pad, "letters": letters})
    return steps


def _count(tools: int, blocks: int) -> str:
    pieces = ngettext("%(count)d piece", "%(count)d pieces", tools) % {"count": tools}
    if not blocks:
        return pieces
    return pieces + ", " + ngettext("%(count)d extra", "%(count)d extras", blocks) % {"count": blocks}
