"""Quick proofs that blocks do not fit the largest interior."""

import math

from packing.nest.infeasibility import item_too_large
from packing.nest.result import Nesting
from packing.nest.stacked.blocks import StackingProblem
from packing.plan import Length, Message
from packing.plan.kinds import INTERIOR_LIMITS, Limit, Status


def refused_blocks(boxes: StackingProblem) -> Nesting | None:
    """A proof that the largest interior is too small for one block or for the volume of all; None where it is not."""
    if boxes.most is None:
        return None
    for item, own in zip(boxes.order.items, boxes.sides, strict=True):
        overs = []
        for side in own:
            over = [max(0, s + a - m) for s, a, m in zip(side, boxes.add, boxes.most, strict=True)]
            overs.append((sum(over), over[::-1]))
        # The way that is least too large; among equals the one that is least too high, then too wide.
        total, backwards = min(overs)
        if total > 0:
            over = backwards[::-1]
            by = max(over)
            which, limit = INTERIOR_LIMITS[over.index(by)], boxes.most[over.index(by)]
            message = item_too_large(which, limit, item.id, by)
            return Nesting(Status.IMPOSSIBLE, limit=which, item=item.id, by_um=by, message=message)
    floor = math.prod(m - a for m, a in zip(boxes.most[:2], boxes.add[:2], strict=True))
    least = -(-sum(math.prod(own[0]) for own in boxes.sides) // floor) + boxes.add[2]
    if least <= boxes.most[2]:
        return None
    by = least - boxes.most[2]
    item = max(zip(boxes.sides, boxes.order.items, strict=True), key=lambda pair: math.prod(pair[0][0]))[1]
    message = Message(
        "The largest interior is {limit} high; the volume of the blocks and their gaps alone needs {by} more on the "
        "largest floor; {item} is the largest block.",
        limit=Length(boxes.most[2]),
        by=Length(by),
        item=item.id,
    )
    return Nesting(Status.IMPOSSIBLE, limit=Limit.HEIGHT, item=item.id, by_um=by, message=message)
