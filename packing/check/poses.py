"""Poses that items may have: the T of two boxes, which end is down, which cheek is up."""

from collections.abc import Iterable
from itertools import permutations

from packing.check.kinds import Pose
from packing.check.plan_reader import PlanItem
from packing.check.rectangles import Box
from packing.check.report import Problem, missed, shown
from packing.measure import BLOCK_MEASURES, Block, Item, Mark, Sharp, Tool

# Which measure lies along the handle, across it and upright, for the head and for the handle.
SIDES = {
    "flat": (("head_height", "head_length", "head_width"), ("handle_length", "handle_width", "handle_thickness")),
    "end": (("head_height", "head_width", "head_length"), ("handle_length", "handle_thickness", "handle_width")),
}
# Quarter turn at which the handle leaves the head along this axis in this sense.
TURN = {(0, 1): 0, (1, 1): 90, (0, -1): 180, (1, -1): 270}


def check_lying(item: Item, placed: PlanItem) -> list[Problem]:
    """Every way in which one placed item is not its measured self in a pose it may take."""
    expected = {"block"} if isinstance(item, Block) else {"head", "handle"}
    if set(placed.parts) != expected:
        return [
            Problem("pose", item.id, f"has the parts {_names(placed.parts)}; it must have {_names(expected)}."),
        ]
    if isinstance(item, Block):
        return _check_block(item, placed)
    if placed.pose not in SIDES:
        return [Problem("pose", item.id, f"“{placed.pose}” is not a pose of a tool; it is flat or end.")]
    problems = _check_tool(item, placed)
    if placed.pose == Pose.END and not item.may_stand:
        problems.append(Problem("pose", item.id, "stands on its end, but may_stand is false."))
    if placed.pose == Pose.END and item.sharp is Sharp.BOTH:
        problems.append(Problem("pose", item.id, "stands on its end, but both its ends are sharp."))
    return problems


def _names(names: Iterable[str]) -> str:
    return ", ".join(sorted(names)) or "none"


def _check_block(block: Block, placed: PlanItem) -> list[Problem]:
    if placed.pose != Pose.BLOCK:
        return [Problem("pose", block.id, f"“{placed.pose}” is not a pose of a block; it is block.")]
    box = placed.parts["block"]
    sides = tuple(box.side(axis) for axis in range(3))
    measured = tuple(int(getattr(block, f"{key}_um")) for key in BLOCK_MEASURES)
    # Any of the six ways up is one of the orders of the three sides.
    if sides not in set(permutations(measured)):
        by = sum(abs(a - b) for a, b in zip(sorted(sides), sorted(measured), strict=True))
        message = f"measures {_times(sides)} in the plan, {_times(measured)} in the order."
        return [missed("pose", block.id, message, by)]
    if block.upright and sides[2] != block.height_um:
        message = f"must stay upright, {shown(block.height_um)} high; it is {shown(sides[2])} high."
        return [missed("pose", block.id, message, sides[2] - block.height_um)]
    return []


def _times(sides: tuple[int, ...]) -> str:
    return " x ".join(shown(side) for side in sides)


def _check_tool(tool: Tool, placed: PlanItem) -> list[Problem]:
    head, handle = placed.parts["head"], placed.parts["handle"]
    tries: list[tuple[list[Problem], int, int]] = []
    distances: list[int] = []
    # The handle tells how a tool is turned: it must begin where the head’s underside is, in one of four directions.
    for axis, sense in TURN:
        start = handle[axis] if sense > 0 else handle[axis + 3]
        underside = head[axis + 3] if sense > 0 else head[axis]
        distances.append(start - underside)
        if start == underside:
            tries.append((_misfits(tool, placed.pose, head, handle, axis), axis, sense))
    if not tries:
        nearest = min(distances, key=abs)
        message = f"the handle starts {shown(abs(nearest))} from the head's underside; it must start at it."
        return [missed("pose", tool.id, message, nearest)]
    # Where several directions begin right, the one with the fewest misfits is what was meant.
    misfits, axis, sense = min(tries, key=lambda one: len(one[0]))
    return misfits or _turn_misfits(tool, placed, axis, sense)


def _misfits(tool: Tool, pose: str, head: Box, handle: Box, axis: int) -> list[Problem]:
    other = 1 - axis
    problems = []
    for name, box, keys in (("head", head, SIDES[pose][0]), ("handle", handle, SIDES[pose][1])):
        for direction, along, key in (("along the handle", axis, 0), ("across it", other, 1), ("high", 2, 2)):
            want = int(getattr(tool, f"{keys[key]}_um"))
            if box.side(along) != want:
                message = f"the {name} is {shown(box.side(along))} {direction}; {keys[key]} is {shown(want)} ({pose})."
                problems.append(missed("pose", tool.id, message, box.side(along) - want))
    if pose == Pose.FLAT:
        problems += _flat_misfits(tool, head, handle, other)
    else:
        problems += _end_misfits(tool, head, handle, other)
    return problems


def _flat_misfits(tool: Tool, head: Box, handle: Box, other: int) -> list[Problem]:
    problems = []
    # Twice the distances, so that a middle between two micrometres needs no half.
    twice_low = handle[other] + handle[other + 3] - 2 * head[other]
    twice_high = 2 * head[other + 3] - handle[other] - handle[other + 3]
    if 2 * tool.eye_offset_um not in (twice_low, twice_high):
        off = min((twice_low - 2 * tool.eye_offset_um, twice_high - 2 * tool.eye_offset_um), key=abs)
        message = (
            f"the handle's centre line is {_half(twice_low)} and {_half(twice_high)} from the head's ends; "
            f"eye_offset is {shown(tool.eye_offset_um)}."
        )
        problems.append(Problem("pose", tool.id, message, abs(off) / 2000))
    twice = handle.z0 + handle.z1 - head.z0 - head.z1
    if twice:
        message = f"head and handle are not centred on each other in height: {_half(abs(twice))} apart."
        problems.append(Problem("pose", tool.id, message, abs(twice) / 2000))
    return problems


def _end_misfits(tool: Tool, head: Box, handle: Box, other: int) -> list[Problem]:
    problems = []
    twice = handle[other] + handle[other + 3] - head[other] - head[other + 3]
    if twice:
        message = f"the handle is not centred in the head's width: {_half(abs(twice))} off."
        problems.append(Problem("pose", tool.id, message, abs(twice) / 2000))
    above = handle.z0 + handle.z1 - 2 * head.z0
    if above != 2 * tool.eye_offset_um:
        # The commonest mistake, so it is named: the tool stands on its peen or edge.
        wrong_end = above == 2 * (tool.head_length_um - tool.eye_offset_um)
        message = (
            f"the handle's centre line is {_half(above)} above the end it stands on; eye_offset is "
            f"{shown(tool.eye_offset_um)}{', so the peen or edge is down' if wrong_end else ''}."
        )
        problems.append(Problem("pose", tool.id, message, abs(above - 2 * tool.eye_offset_um) / 2000))
    return problems


def _half(twice_um: int) -> str:
    return f"{twice_um / 2000:g} mm"


def _turn_misfits(tool: Tool, placed: PlanItem, axis: int, sense: int) -> list[Problem]:
    problems = []
    turn = placed.content.get("turn", TURN[axis, sense])
    if turn != TURN[axis, sense] or isinstance(turn, bool):
        message = f"turn is {turn!r}, but the handle points as at {TURN[axis, sense]} degrees."
        problems.append(Problem("turn", tool.id, message))
    flipped = placed.content.get("flipped", False)
    if not isinstance(flipped, bool) or (flipped and placed.pose == Pose.END):
        problems.append(Problem("turn", tool.id, f"flipped is {flipped!r}; it is true or false, and false on its end."))
    elif placed.pose == Pose.FLAT and "flipped" in placed.content and _face_side(tool, placed, axis) is not None:
        other, rising = 1 - axis, TURN[axis, sense] in (0, 270)
        low_side = rising != flipped
        if _face_side(tool, placed, axis) != low_side:
            where = f"the {'smaller' if low_side else 'larger'} {'xy'[other]}"
            message = (
                f"flipped is {str(flipped).lower()} at turn {TURN[axis, sense]}: its face or poll must be at {where}."
            )
            problems.append(Problem("turn", tool.id, message))
    return problems + _mark_misfits(tool, placed)


def _face_side(tool: Tool, placed: PlanItem, axis: int) -> bool | None:
    """Tell whether the face or poll is at the lower coordinate across the handle; None where that cannot be told."""
    other = 1 - axis
    head, handle = placed.parts["head"], placed.parts["handle"]
    twice_low = handle[other] + handle[other + 3] - 2 * head[other]
    twice_high = 2 * head[other + 3] - handle[other] - handle[other + 3]
    # With the eye in the middle both sides are alike, and nothing can be told.
    if twice_low == twice_high or 2 * tool.eye_offset_um not in (twice_low, twice_high):
        return None
    return twice_low == 2 * tool.eye_offset_um


def _mark_misfits(tool: Tool, placed: PlanItem) -> list[Problem]:
    if "marked_up" not in placed.content or "flipped" not in placed.content:
        return []
    up = None
    if tool.mark is not None and placed.pose == Pose.FLAT:
        up = (tool.mark is Mark.FACE_LEFT) != bool(placed.content["flipped"])
    if placed.content["marked_up"] is up:
        return []
    message = f"marked_up is {placed.content['marked_up']!r}; with mark {tool.mark} and as it lies it must be {up!r}."
    return [Problem("mark", tool.id, message)]
