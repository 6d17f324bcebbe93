"""Items that differ little, replaced by what they have in common: an easier order that no plan of the real one beats.

Hand-made pieces of one pattern differ by a few millimetres, which makes thousands of sharings that are all but the
same. Put in place of each piece of a group the shape that all of them contain, and the pieces become equal. Every plan
of the real order holds a plan of the easier one, so a lower bound of that is a lower bound of the real one.

References
----------
Any text on integer programming, under relaxation: the optimum of a problem with fewer demands is a bound (textbook
knowledge, no single source). Shrinking like pieces to what they share is our own.
"""

from collections.abc import Callable
from dataclasses import replace

from packing.measure import Block, Item, Order, Sharp, Tool

Group = tuple[int, ...]


def common_shape(a: Item, b: Item) -> Item | None:
    """The largest item that lies within both, however they lie; None where they are of different kinds.

    Notes
    -----
    Tools are laid over one another at the middle of the joint of head and handle, the shorter end of each head on the
    same side. A block's sides are taken in order of size, its height apart where both must stay upright.
    """
    if isinstance(a, Tool) and isinstance(b, Tool):
        return _common_tool(a, b)
    if isinstance(a, Block) and isinstance(b, Block):
        return _common_block(a, b)
    return None


def _ends(tool: Tool) -> tuple[int, int]:
    one, other = tool.eye_offset_um, tool.head_length_um - tool.eye_offset_um
    return min(one, other), max(one, other)


def _common_tool(a: Tool, b: Tool) -> Tool | None:
    ends = [min(pair) for pair in zip(_ends(a), _ends(b), strict=True)]
    least = {
        name: min(getattr(a, name), getattr(b, name))
        for name in ("head_height_um", "head_width_um", "handle_length_um", "handle_width_um", "handle_thickness_um")
    }
    # The common head would be too short for the common handle to stand in.
    if min(ends) <= 0 or min(a.handle_width_um, b.handle_width_um) > 2 * min(ends):
        return None
    return replace(
        a,
        head_length_um=sum(ends),
        eye_offset_um=ends[0],
        # Neither asks for more wall than the other: the easier tool must fit wherever one of the two does.
        sharp=Sharp.NONE,
        may_stand=a.may_stand or b.may_stand,
        outline=None,
        **least,
    )


def _common_block(a: Block, b: Block) -> Block:
    if a.upright and b.upright:
        bases = [sorted((block.length_um, block.width_um)) for block in (a, b)]
        sides = [min(pair) for pair in zip(*bases, strict=True)]
        return replace(a, length_um=sides[0], width_um=sides[1], height_um=min(a.height_um, b.height_um))
    sides = [
        min(pair)
        for pair in zip(*(sorted((block.length_um, block.width_um, block.height_um)) for block in (a, b)), strict=True)
    ]
    return replace(a, length_um=sides[0], width_um=sides[1], height_um=sides[2], upright=False)


def volume_um3(item: Item) -> int:
    """Volume of an item's boxes."""
    if isinstance(item, Block):
        return item.length_um * item.width_um * item.height_um
    head = item.head_length_um * item.head_height_um * item.head_width_um
    return head + item.handle_length_um * item.handle_width_um * item.handle_thickness_um


def _work(groups: dict[Group, Item]) -> int:
    work = 1
    for group in groups:
        work *= (len(group) + 1) * (len(group) + 2) // 2
    return work


def relaxed_order(order: Order, most_work: int, late: Callable[[], bool] = lambda: False) -> Order | None:
    """Group the items that lose least until the work of sharing them out is bearable.

    Parameters
    ----------
    order
        The order.
    most_work
        Most pairs of a set of items and a part of it, equal items counted and not told apart.
    late
        Asked before each merging of two groups; where it returns True there is no answer.

    Returns
    -------
    Order or None
        As many items, each the common shape of its group; None where it was too late for that.
    """
    equals: dict[Item, list[int]] = {}
    for index, item in enumerate(order.items):
        # Neither id nor weight matters to where an item fits.
        equals.setdefault(replace(item, id="", weight_mg=1), []).append(index)
    groups: dict[Group, Item] = {tuple(group): order.items[group[0]] for group in equals.values()}
    losses: dict[tuple[Group, Group], tuple[int, Item]] = {}
    while _work(groups) > most_work:
        if late():
            return None
        names = list(groups)
        for k, a in enumerate(names):
            for b in names[:k]:
                # Kept from round to round: only the group that was merged last is new.
                if (b, a) not in losses:
                    shape = common_shape(groups[b], groups[a])
                    if shape is not None:
                        lost = sum(volume_um3(groups[g]) * len(g) for g in (a, b)) - volume_um3(shape) * len(a + b)
                        losses[b, a] = lost, shape
        pairs = [pair for pair in losses if pair[0] in groups and pair[1] in groups]
        if not pairs:
            break
        b, a = min(pairs, key=lambda pair: (losses[pair][0], pair))
        shape = losses[b, a][1]
        del groups[a], groups[b]
        groups[tuple(sorted(a + b))] = shape
    items: dict[int, Item] = {
        index: replace(shape, id=order.items[index].id) for group, shape in groups.items() for index in group
    }
    return replace(order, items=tuple(items[index] for index in range(len(order.items))))
