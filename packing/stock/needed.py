"""A lower bound on the new sheets of any layout, beside the offcuts there are."""

from collections.abc import Sequence

from packing.stock.bars import bars_needed
from packing.stock.bounds import sheets_needed
from packing.stock.model import Part, StockSheet


def fits(part: Part, stock: StockSheet) -> bool:
    """Tell whether a part lies within the trim of a sheet, in one of its ways.

    Parameters
    ----------
    part, stock
        The part, and a sheet of the stock.

    Returns
    -------
    bool
        Its sides may be exactly those within the trim.
    """
    (a, b), room = part.size_um, stock.room_um
    return (a <= room[0] and b <= room[1]) or (part.turns and b <= room[0] and a <= room[1])


def new_at_least(parts: Sequence[Part], offcuts: Sequence[StockSheet], new: Sequence[StockSheet], kerf_um: int) -> int:
    """Bound from below the new sheets that any layout needs beside these offcuts.

    Parameters
    ----------
    parts, offcuts, new, kerf_um
        As in `lay_out`; offcuts one by one.

    Returns
    -------
    int
        0 where the offcuts might do.
    """
    if not new:
        return 0
    grown = [(one.size_um[0] + kerf_um, one.size_um[1] + kerf_um) for one in parts]
    rooms = [(one.room_um[0] + kerf_um, one.room_um[1] + kerf_um) for one in new]
    # One sheet that holds each of the new ones, so that what it needs they need.
    room = (max(a for a, _ in rooms), max(b for _, b in rooms))
    spare = sum((one.room_um[0] + kerf_um) * (one.room_um[1] + kerf_um) for one in offcuts)
    most = max(a * b for a, b in rooms)
    by_area = -(-max(0, sum(a * b for a, b in grown) - spare) // most)
    only_new = [at for at, part in enumerate(parts) if not any(fits(part, one) for one in offcuts)]
    forced = _sheets(parts, grown, only_new, room)
    if all(one.room_um[0] <= room[0] and one.room_um[1] <= room[1] for one in offcuts):
        everything = _sheets(parts, grown, range(len(parts)), room) - len(offcuts)
        forced = max(forced, everything)
    return max(by_area, forced)


def _sheets(
    parts: Sequence[Part], grown: Sequence[tuple[int, int]], chosen: Sequence[int], room: tuple[int, int]
) -> int:
    sides = [grown[at] for at in chosen]
    lengths = as_bars([parts[at] for at in chosen], sides, room)
    if lengths is not None:
        return bars_needed(lengths, room[0])
    return sheets_needed(sides, [parts[at].turns for at in chosen], room)


def as_bars(parts: Sequence[Part], grown: Sequence[tuple[int, int]], room: tuple[int, int]) -> list[int] | None:
    """The lengths of parts of which no two lie side by side across a sheet; None where two may."""
    if not parts or any(part.turns for part in parts) or 2 * min(b for _, b in grown) <= room[1]:
        return None
    return [a for a, _ in grown]
