"""A measured piece or a block as an item of an order file; lengths and weights are rounded here and nowhere else."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_DOWN, ROUND_HALF_EVEN, Decimal

from packing.measure import (
    SHAPE_MEASURES,
    BadInput,
    ShapeMeasure,
    Tool,
    check_shape_measures,
    outline_content,
    read_item,
    shaped_outline,
    tool_warnings,
)
from packing.measure import Form as FileForm
from packing.plan import Message
from packing.tracing import traced_outline, tracing_of
from shop.models import MEASURES, SHAPE_COLUMNS, Block, Form, HeadMaterial, Mark, Pattern, Piece

FILE_STEP_MM = Decimal("0.1")
SIXTEENTH_MM = Decimal("25.4") / 16
FINEST_MM = Decimal("0.01")
"""The finest length in an order file: a whole sixteenth of an inch is rounded down to it, so that it stays one."""
FILE_STEP_G = Decimal("0.001")
"""Scales at the bench read to a gram; a pound and ounces turned into grams keep their thousandths."""


def tool_content(
    item_id: str, pattern: Pattern, measures: Mapping[str, Decimal | None], *, mark: str = Mark.NONE
) -> dict[str, object]:
    """Write what one tool of an order is read from.

    Parameters
    ----------
    item_id
        What the order calls it.
    pattern
        Of the tool's product: its form, whether it is sharp, whether it may stand.
    measures
        The seven measures in mm, `weight_g` and `head_weight_g` in grams; what is None or missing is left out.
    mark
        Which cheek of the head bears the mark, `Mark.LEFT` or `Mark.RIGHT`; any other is left out.

    Returns
    -------
    dict
        An item of an order file, as Decimals: lengths rounded up to 0.1 mm, whole sixteenths of an inch down to
        0.01 mm, weights to the nearest milligram.
    """
    content: dict[str, object] = {"id": item_id, "kind": "tool"}
    content.update({name: _file_mm(measures[name]) for name in MEASURES if measures.get(name) is not None})
    content.update(
        {name: _file_g(measures[name]) for name in ("weight_g", "head_weight_g") if measures.get(name) is not None}
    )
    content.update({"form": _file_form(pattern), "sharp": pattern.sharp, "may_stand": bool(pattern.may_stand)})
    if mark in (Mark.LEFT, Mark.RIGHT):
        content["mark"] = str(mark)
    return content | _outline(pattern, content)


def _outline(pattern: Pattern, content: Mapping[str, object]) -> dict[str, object]:
    """The outline that a pattern's measures give a piece; nothing where it has none, or cannot be read yet."""
    shape = _shape(pattern)
    if not shape and not pattern.traced:
        return {}
    try:
        tool = read_item(content)
    except BadInput:
        # Said where the content is read for good, by the field that is at fault.
        return {}
    if not isinstance(tool, Tool):
        return {}
    # A tracing says more than a few measures.
    outline = traced_outline(tool, tracing_of(pattern.traced)) if pattern.traced else shaped_outline(tool, shape)
    return {} if outline is None else {"outline": outline_content(outline)}


def _shape(pattern: Pattern) -> dict[ShapeMeasure, Decimal]:
    """The known measures of a pattern's shape, as far as its form has such a measure."""
    known = SHAPE_MEASURES[FileForm(_file_form(pattern))]
    shares = {ShapeMeasure(name): getattr(pattern, name) for name in SHAPE_COLUMNS}
    return {one: Decimal(share) for one, share in shares.items() if share is not None and one in known}


def check_shape(pattern: Pattern) -> None:
    """Check the measures of a pattern's shape on a tool of its form.

    Parameters
    ----------
    pattern
        Stored or not.

    Raises
    ------
    BadInput
        One that the form has not, too many of them, or two that are too much together; the field is the column's name.
    """
    shares = {ShapeMeasure(name): getattr(pattern, name) for name in SHAPE_COLUMNS}
    check_shape_measures(
        FileForm(_file_form(pattern)), {one: Decimal(share) for one, share in shares.items() if share is not None}
    )


def tool_findings(content: Mapping[str, object]) -> list[Message]:
    """List what is possible but unlikely about a tool's content.

    Parameters
    ----------
    content
        As `tool_content` writes it.

    Returns
    -------
    list of Message
        A sentence each; empty where nothing is.

    Raises
    ------
    BadInput
        What the content says is impossible, or something is missing.
    """
    tool = read_item(content)
    return tool_warnings(tool) if isinstance(tool, Tool) else []


def piece_measures(piece: Piece) -> dict[str, Decimal | None]:
    """Gather a piece's measures.

    Parameters
    ----------
    piece
        Measured or not.

    Returns
    -------
    dict
        The seven measures in mm, `weight_g` and `head_weight_g` in grams, by name; None where not known.
    """
    return {name: getattr(piece, name) for name in (*MEASURES, "weight_g", "head_weight_g")}


def block_content(item_id: str, block: Block) -> dict[str, object]:
    sizes = {name: _file_mm(getattr(block, name)) for name in ("length", "width", "height")}
    return {
        "id": item_id,
        "kind": "block",
        **sizes,
        "weight_g": _file_g(block.weight_g),
        "upright": block.upright,
    }


def _file_form(pattern: Pattern) -> str:
    """In an order file a mallet is what has a wooden head; a steel-headed one is judged as a hammer."""
    wooden = pattern.head_material == HeadMaterial.WOOD
    # Left empty, as on a form, it is what `Pattern.save` makes of it.
    if wooden or (not pattern.head_material and pattern.form == Form.MALLET):
        return Form.MALLET.value
    return Form.HAMMER.value if pattern.form == Form.MALLET else str(pattern.form)


def _file_mm(value: Decimal | None) -> Decimal:
    length = Decimal(value or 0)
    if length % SIXTEENTH_MM == 0:
        return length.quantize(FINEST_MM, ROUND_DOWN)
    return length.quantize(FILE_STEP_MM, ROUND_CEILING)


def _file_g(value: Decimal | None) -> Decimal:
    return Decimal(value or 0).quantize(FILE_STEP_G, ROUND_HALF_EVEN)
