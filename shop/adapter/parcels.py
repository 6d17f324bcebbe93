"""The items of an order are divided among parcels, where one would be heavier than the shop allows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from packing.planning import split_by_weight
from shop.adapter.answers import PIECES_SHARES
from shop.adapter.made_from import OrderFile
from shop.models import OrderLine

Parts = list[list[str]]


def proposed_parts(file: OrderFile, lines: Sequence[OrderLine]) -> Iterator[Parts]:
    """Propose the items of each parcel, by their ids: one parcel, then as few as the shop's limit of weight allows.

    Parameters
    ----------
    file
        Of the whole order.
    lines
        Its lines: what is sold as a set stays in one parcel where it can.

    Returns
    -------
    iterator of list of list of str
        The next to try where a box of the one before was too heavy, with less and less in each parcel.
    """
    ids = [item.id for item in file.order.items]
    weights, limit_mg = [item.weight_mg for item in file.order.items], file.order.rules.max_gross_mg
    together = _sets(file, lines, ids)
    # The last word on a thing that is too heavy alone is its own box.
    if limit_mg is None or len(ids) == 1 or sum(weights) < limit_mg:
        yield [ids]
    seen: list[Parts] = []
    for share in PIECES_SHARES if limit_mg is not None and len(ids) > 1 else ():
        room = min(int(limit_mg * share), sum(weights) - 1) if limit_mg is not None else 0
        if max(weights) > room:
            break
        parts = [[ids[place] for place in places] for places in split_by_weight(weights, room, together=together)]
        if parts not in seen:
            seen.append(parts)
            yield parts
    if limit_mg is not None and sum(weights) >= limit_mg and not seen:
        yield [ids]


def _sets(file: OrderFile, lines: Sequence[OrderLine], ids: Sequence[str]) -> list[list[int]]:
    """The places of what is sold together: a set's pieces, of several matched sets those of one number."""
    sets = {line.pk: line for line in lines if line.product_set_id is not None}
    found: dict[tuple[int, int | None], list[int]] = defaultdict(list)
    for place, name in enumerate(ids):
        source = file.item_sources[name]
        line = sets.get(source.line)
        if line is not None and (line.matched or line.quantity == 1):
            found[source.line, source.number if line.quantity > 1 else None].append(place)
    return [places for places in found.values() if len(places) > 1]
