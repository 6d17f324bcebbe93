"""The packing slip: what is in the box, under which letter, and how it comes out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.adapter.plan_parts import ItemKind, ItemPlan, Plan, Sharp, TapePattern
from shop.formatting import Wording
from shop.papers.cautions import Caution, closing_words, for_keeping, for_opening, for_striking
from shop.papers.context import PaperContext
from shop.papers.drawings import page_room, placed
from shop.papers.measures import PlanWording

WIDTH_MM, LEAST_MM, USUAL_MM, TALL_MM = 104.0, 42.0, 64.0, 100.0
"""Smaller than the least a letter in the picture could not be read at arm's length."""
# In mm: what letterhead, address and table head take of a page; a row; a further line; caption and margins of the
# picture; the cautions.
HEAD_MM, ROW_MM, LINE_MM, AROUND_MM, CAUTIONS_MM = 55.5, 6.95, 4.8, 11.0, 67.0
# Of the order of lifting out: its heading, and each step with a row of letters.
LIFTING_HEAD_MM, STEP_MM, LETTERS_IN_A_ROW = 6.0, 13.0, 9
# What takes lines beyond the usual: a name that wraps, an address of more lines than stand beside the facts, the words
# on wood going abroad.
LONG_NAME, FEW_LINES, WOOD_LINES = 40, 3, 2


@dataclass(frozen=True)
class LiftingStep:
    """One step of the order of lifting out: what is taken away, and the letters of what then comes out."""

    what: str
    letters: list[str]


def slip(plan: Plan, context: PaperContext) -> dict[str, object]:
    """The content of the slip's template."""
    write = PlanWording(context.reader)
    items = sorted(plan.items, key=lambda item: item.lift_order)
    left, lifting = _room_left(items, context, wood=plan.box.wood_abroad is not None), _lifting(items, len(plan.layers))
    own_sheet = left - CAUTIONS_MM < max(LEAST_MM, _lifting_height(lifting))
    picture = placed(adapter.isometric(plan, paper=(WIDTH_MM, _picture_height(left, own_sheet)), caption=False))
    tools = [item for item in items if item.kind is ItemKind.TOOL]
    blocks = [item for item in items if item.kind is ItemKind.BLOCK]
    return {
        "tools": [_row(item, plan, context) for item in tools],
        "blocks": [_row(item, plan, context) for item in blocks],
        "lifting": lifting,
        "count": _count(len(tools), len(blocks)),
        "gross": write.both(plan.weight.gross_mg),
        "tolerance": write.tolerance(plan.weight.tolerance_mg),
        "outer": write.size(plan.box.outer_um),
        "pieces_weight": write.weight(sum(item.weight_mg for item in items)),
        "cautions": _cautions(
            plan.weight.gross_mg, tools, context, write, taped=plan.box.closing.pattern is not TapePattern.NONE
        ),
        "wood": write.message(plan.box.wood_abroad) if plan.box.wood_abroad else "",
        "closing_words": closing_words(),
        "own_sheet": own_sheet,
        "picture": picture,
    }


def place_of(layer: int | None, layers: int) -> str:
    """The place of a layer, for a narrow column; empty where there is only one."""
    if layer is None or layers <= 1:
        return ""
    if layer in (0, layers - 1):
        return _("bottom") if layer == 0 else _("top")
    return _("middle") if layers == 3 else _("%(place)d from bottom") % {"place": layer + 1}


def _cautions(
    gross_mg: int, tools: Sequence[ItemPlan], context: PaperContext, write: PlanWording, *, taped: bool
) -> list[Caution]:
    sharp = [item.letter for item in tools if item.sharp is not Sharp.NONE]
    opening = for_opening(gross_mg, write, tools=bool(tools), sharp=sharp, taped=taped)
    if not tools:
        return [opening]
    return [opening, for_striking(frozenset(item.form for item in tools)), for_keeping()]


def _room_left(items: Sequence[ItemPlan], context: PaperContext, *, wood: bool) -> float:
    """The room that the first sheet has left under the list, in mm of height."""
    long_names = sum(len(context.name_of(item.id).name) > LONG_NAME for item in items)
    lines = long_names + max(0, len(context.customer_address) - FEW_LINES) + (WOOD_LINES if wood else 0)
    page = page_room(context.page_size, wide=False).height
    return page - HEAD_MM - ROW_MM * len(items) - LINE_MM * lines - AROUND_MM


def _lifting_height(steps: Sequence[LiftingStep]) -> float:
    """The height of the order of lifting out, in mm."""
    rows = sum(math.ceil(len(step.letters) / LETTERS_IN_A_ROW) - 1 for step in steps)
    return LIFTING_HEAD_MM + STEP_MM * len(steps) + ROW_MM * rows


def _picture_height(left: float, own_sheet: bool) -> float:
    """So that all goes on one sheet where it can, else as tall as the first sheet takes."""
    if not own_sheet:
        return min(USUAL_MM, left - CAUTIONS_MM)
    # With too little left for a picture it goes to the next sheet, where it has all its height.
    return min(TALL_MM, left) if left >= LEAST_MM else TALL_MM


def _row(item: ItemPlan, plan: Plan, context: PaperContext) -> dict[str, object]:
    name, write = context.name_of(item.id), PlanWording(context.reader)
    return {
        "letter": item.letter,
        "number": name.number,
        "label": name.label,
        "name": name.name,
        "head": Wording(context.reader).weight(name.head_weight_g) if name.head_weight_g is not None else "",
        "weight": write.weight(item.weight_mg),
        "layer": place_of(item.layer, len(plan.layers)),
        "lift": item.lift_order,
    }


def _lifting(items: Sequence[ItemPlan], layers: int) -> list[LiftingStep]:
    """The order of lifting out: pads and layers from the top, letters in each."""
    if all(item.layer is None for item in items):
        return [LiftingStep(_("Top pad away, then"), [item.letter for item in items])]
    steps: list[LiftingStep] = []
    for layer in range(layers - 1, -1, -1):
        letters = [item.letter for item in items if item.layer == layer]
        pad = (
            _("Top pad, covers and loose foam away, then")
            if layer == layers - 1
            else _("Pad, covers and loose foam away, then")
        )
        steps.append(LiftingStep(pad, letters))
    return steps


def _count(tools: int, blocks: int) -> str:
    if not tools:
        return ngettext("%(count)d item", "%(count)d items", blocks) % {"count": blocks}
    pieces = ngettext("%(count)d piece", "%(count)d pieces", tools) % {"count": tools}
    if not blocks:
        return pieces
    return pieces + ", " + ngettext("%(count)d extra", "%(count)d extras", blocks) % {"count": blocks}
