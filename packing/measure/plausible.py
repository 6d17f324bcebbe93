"""What a measured tool can be: impossible is refused, unlikely is a warning."""

from decimal import Decimal

from packing.measure.model import BadInput, Block, Order, Tool, grams, mm

STEEL_G_CM3 = Decimal("7.85")
HANDLE_G_CM3 = Decimal("0.75")
WOOD_HEAD_G_CM3 = Decimal("1.3")
# Head weight over (head box x density of the head's material), per form: common practice, no source.
FILL_BANDS: dict[str, tuple[Decimal, Decimal]] = {
    "hammer": (Decimal("0.45"), Decimal("0.95")),
    "axe": (Decimal("0.15"), Decimal("0.6")),
    "adze": (Decimal("0.15"), Decimal("0.6")),
    "mallet": (Decimal("0.3"), Decimal("0.95")),
}


def refuse_impossible(tool: Tool, field: str) -> None:
    """Raise `BadInput` where a tool with these measures and weights cannot exist."""
    if tool.handle_width_um > tool.head_length_um:
        raise BadInput(
            f"{field}.handle_width",
            f"{mm(tool.handle_width_um)} mm is wider than the head is long ({mm(tool.head_length_um)} mm).",
        )
    if tool.eye_offset_um >= tool.head_length_um:
        raise BadInput(
            f"{field}.eye_offset",
            f"{mm(tool.eye_offset_um)} mm lies outside the head, which is {mm(tool.head_length_um)} mm long.",
        )
    if tool.head_weight_mg is not None and tool.head_weight_mg > tool.weight_mg:
        raise BadInput(
            f"{field}.head_weight_g",
            f"{grams(tool.head_weight_mg)} g is more than the whole tool, {grams(tool.weight_mg)} g.",
        )
    fill = fill_ratio(tool)
    if fill > 1:
        density = WOOD_HEAD_G_CM3 if tool.form == "mallet" else STEEL_G_CM3
        raise BadInput(
            f"{field}.{'weight_g' if tool.head_weight_mg is None else 'head_weight_g'}",
            f"the head would weigh {fill:.3f} times its own box full of {'wood' if tool.form == 'mallet' else 'steel'} "
            f"({density} g/cm³); at most 1 is possible. "
            f"Check the weight ({grams(tool.weight_mg)} g) and the head's measures.",
        )


def fill_ratio(tool: Tool) -> Decimal:
    """How much of the head's box its head weight would fill with solid metal (a mallet's: dense wood).

    Parameters
    ----------
    tool
        Measured and weighed.

    Returns
    -------
    Decimal
        Head weight / (head_length x head_height x head_width x density). Without a head weight: the weight less the
        handle's box at 0.75 g/cm³, which may make it negative.
    """
    handle_mm3 = Decimal(tool.handle_length_um * tool.handle_width_um * tool.handle_thickness_um) / 10**9
    head_mm3 = Decimal(tool.head_length_um * tool.head_height_um * tool.head_width_um) / 10**9
    if tool.head_weight_mg is None:
        head_g = Decimal(tool.weight_mg) / 1000 - handle_mm3 / 1000 * HANDLE_G_CM3
    else:
        head_g = Decimal(tool.head_weight_mg) / 1000
    density = WOOD_HEAD_G_CM3 if tool.form == "mallet" else STEEL_G_CM3
    return head_g / (head_mm3 / 1000 * density)


def warnings_for(order: Order) -> list[str]:
    """Sentences on what is possible but unlikely, item by item: to be confirmed by the person who measured."""
    sentences: list[str] = []
    for item in order.items:
        found = tool_warnings(item) if isinstance(item, Tool) else block_warnings(item)
        sentences.extend(f"{item.id}: {sentence}" for sentence in found)
    return sentences


def block_warnings(block: Block) -> list[str]:
    """What is possible but unlikely about one block, a sentence each."""
    cm3 = Decimal(block.length_um * block.width_um * block.height_um) / 10**12
    density = Decimal(block.weight_mg) / 1000 / cm3
    if density <= STEEL_G_CM3:
        return []
    return [
        f"at weight_g {grams(block.weight_mg)} g the block is denser than steel ({density:.1f} g/cm³, steel "
        f"{STEEL_G_CM3}); check its weight and its measures."
    ]


def tool_warnings(tool: Tool) -> list[str]:
    """What is possible but unlikely about one tool, a sentence each."""
    sentences = []
    low, high = FILL_BANDS[tool.form]
    fill = fill_ratio(tool)
    if fill <= 0:
        sentences.append(
            f"weight_g {grams(tool.weight_mg)} g is no more than a handle of these measures weighs alone; "
            "check it and the handle's measures."
        )
    elif not low <= fill <= high:
        sentences.append(
            f"the head fills {100 * fill:.1f} % of its box, usual for the form “{tool.form}” is {100 * low:.0f} to "
            f"{100 * high:.0f} %; check weight_g ({grams(tool.weight_mg)} g), the head's measures and the form."
        )
    half = tool.handle_width_um // 2
    if tool.eye_offset_um < half or tool.eye_offset_um + half > tool.head_length_um:
        sentences.append(
            f"at eye_offset {mm(tool.eye_offset_um)} mm the handle ({mm(tool.handle_width_um)} mm wide) "
            "stands past the head's end."
        )
    if tool.handle_thickness_um > tool.head_width_um:
        sentences.append(
            f"the handle is thicker ({mm(tool.handle_thickness_um)} mm) "
            f"than the head is wide ({mm(tool.head_width_um)} mm)."
        )
    return sentences
