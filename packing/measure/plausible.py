"""Plausible measures of tools: impossible is refused, unlikely is a warning."""

from decimal import Decimal

from packing.measure.errors import BadInput
from packing.measure.kinds import Form
from packing.measure.model import Block, Order, Tool
from packing.messages import Figure, Length, Message, Percent, Term, Weight

STEEL_G_CM3 = Decimal("7.85")
"""Carbon steel, the handbooks' value; alloys for tools lie within 1 % of it."""
HANDLE_G_CM3 = Decimal("0.75")
"""Ash and hickory at 12 % moisture are 0.67 to 0.81 by their handbook gravities: the middle of these."""
WOOD_HEAD_G_CM3 = Decimal("1.3")
"""The densest woods that mallets are turned from, lignum vitae and the like; from memory."""
FILL_BANDS: dict[Form, tuple[Decimal, Decimal]] = {
    Form.HAMMER: (Decimal("0.45"), Decimal("0.95")),
    Form.AXE: (Decimal("0.15"), Decimal("0.6")),
    Form.ADZE: (Decimal("0.15"), Decimal("0.6")),
    Form.MALLET: (Decimal("0.3"), Decimal("0.95")),
}
"""Head weight over (head's box × density of its material), usual from and to: common practice, no source."""

_TOO_HEAVY = {
    False: "the head would weigh {times} times its own box full of steel ({density}); at most 1 is possible. "
    "Check the weight ({weight}) and the head's measures.",
    True: "the head would weigh {times} times its own box full of wood ({density}); at most 1 is possible. "
    "Check the weight ({weight}) and the head's measures.",
}


def _head_g_cm3(tool: Tool) -> Decimal:
    """The density of what a head is made of."""
    return WOOD_HEAD_G_CM3 if tool.form is Form.MALLET else STEEL_G_CM3


def refuse_impossible(tool: Tool, field: str) -> None:
    """Raise `BadInput` where a tool with these measures and weights cannot exist."""
    if tool.handle_width_um > tool.head_length_um:
        raise BadInput(
            f"{field}.handle_width",
            Message(
                "{width} is wider than the head is long ({length}).",
                width=Length(tool.handle_width_um),
                length=Length(tool.head_length_um),
            ),
        )
    if tool.eye_offset_um >= tool.head_length_um:
        raise BadInput(
            f"{field}.eye_offset",
            Message(
                "{offset} lies outside the head, which is {length} long.",
                offset=Length(tool.eye_offset_um),
                length=Length(tool.head_length_um),
            ),
        )
    if tool.head_weight_mg is not None and tool.head_weight_mg > tool.weight_mg:
        raise BadInput(
            f"{field}.head_weight_g",
            Message(
                "{head} is more than the whole tool, {whole}.",
                head=Weight(tool.head_weight_mg),
                whole=Weight(tool.weight_mg),
            ),
        )
    fill = fill_ratio(tool)
    if fill > 1:
        raise BadInput(
            f"{field}.{'weight_g' if tool.head_weight_mg is None else 'head_weight_g'}",
            Message(
                _TOO_HEAVY[tool.form is Form.MALLET],
                times=Figure(f"{fill:.3f}"),
                density=Figure(str(_head_g_cm3(tool)), "g/cm³"),
                weight=Weight(tool.weight_mg),
            ),
        )


def fill_ratio(tool: Tool) -> Decimal:
    """Share of the head's box that its head weight would fill with solid metal (a mallet's: dense wood).

    Parameters
    ----------
    tool
        Measured and weighed.

    Returns
    -------
    Decimal
        Head weight / (head_length × head_height × head_width × density). Without a head weight: the weight less the
        handle's box at 0.75 g/cm³, which may make it negative.
    """
    handle_mm3 = Decimal(tool.handle_length_um * tool.handle_width_um * tool.handle_thickness_um) / 10**9
    head_mm3 = Decimal(tool.head_length_um * tool.head_height_um * tool.head_width_um) / 10**9
    if tool.head_weight_mg is None:
        head_g = Decimal(tool.weight_mg) / 1000 - handle_mm3 / 1000 * HANDLE_G_CM3
    else:
        head_g = Decimal(tool.head_weight_mg) / 1000
    return head_g / (head_mm3 / 1000 * _head_g_cm3(tool))


def warnings_for(order: Order) -> list[Message]:
    """List what is possible but unlikely in an order, item by item, for the person who measured to confirm.

    Parameters
    ----------
    order
        As read.

    Returns
    -------
    list of Message
        Each names its item.
    """
    return [
        Message("{item}: {finding}", item=item.id, finding=finding)
        for item in order.items
        for finding in (tool_warnings(item) if isinstance(item, Tool) else block_warnings(item))
    ]


def block_warnings(block: Block) -> list[Message]:
    """List what is possible but unlikely about one block, a sentence each."""
    cm3 = Decimal(block.length_um * block.width_um * block.height_um) / 10**12
    density = Decimal(block.weight_mg) / 1000 / cm3
    if density <= STEEL_G_CM3:
        return []
    return [
        Message(
            "at {field} {weight} the block is denser than steel ({density}, steel {steel}); check its weight and its "
            "measures.",
            field=Term("weight_g"),
            weight=Weight(block.weight_mg),
            density=Figure(f"{density:.1f}", "g/cm³"),
            steel=Figure(str(STEEL_G_CM3)),
        )
    ]


def tool_warnings(tool: Tool) -> list[Message]:
    """List what is possible but unlikely about one tool.

    Parameters
    ----------
    tool
        Measured and weighed, and not impossible.

    Returns
    -------
    list of Message
        A sentence for each finding.
    """
    found = _unusual_fill(tool)
    # Whole micrometres: half an odd one is within what no caliper shows.
    half = tool.handle_width_um // 2
    if tool.eye_offset_um < half or tool.eye_offset_um + half > tool.head_length_um:
        found.append(
            Message(
                "at {field} {offset} the handle ({width} wide) stands past the head's end.",
                field=Term("eye_offset"),
                offset=Length(tool.eye_offset_um),
                width=Length(tool.handle_width_um),
            )
        )
    if tool.handle_thickness_um > tool.head_width_um:
        found.append(
            Message(
                "the handle is thicker ({thickness}) than the head is wide ({width}).",
                thickness=Length(tool.handle_thickness_um),
                width=Length(tool.head_width_um),
            )
        )
    return found


def _unusual_fill(tool: Tool) -> list[Message]:
    low, high = FILL_BANDS[tool.form]
    fill = fill_ratio(tool)
    field, weight = Term("weight_g"), Weight(tool.weight_mg)
    if fill <= 0:
        return [
            Message(
                "{field} {weight} is no more than a handle of these measures weighs alone; check it and the handle's "
                "measures.",
                field=field,
                weight=weight,
            )
        ]
    if low <= fill <= high:
        return []
    return [
        Message(
            "the head fills {fill} of its box, usual for the form “{form}” is {low} to {high}; check {field} "
            "({weight}), the head's measures and the form.",
            fill=Percent(Decimal(f"{100 * fill:.1f}")),
            form=tool.form.value,
            low=Figure(f"{100 * low:.0f}"),
            high=Percent(Decimal(f"{100 * high:.0f}")),
            field=field,
            weight=weight,
        )
    ]
