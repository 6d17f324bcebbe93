"""The flat parts of a plan's insert and box, by material and thickness, laid on the shop's stock."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from packing.materials import STIFF_SHEET
from packing.materials.rates import SAME_UM
from packing.messages import Length, Message, Name, Quantity, Series, Sides
from packing.plan import Plan
from packing.plan.kinds import Cutter, StockKind
from packing.plan.kinds import Part as ToolPart
from packing.stock.model import Cutting, Keeping, Lack, Layout, Part, Rect, Shortage, StockSheet
from packing.stock.needed import fits
from packing.stock.solve import lay_out

LAYING_EFFORT = 20_000
"""Steps for each number of sheets: the parts of one order are few, and a paper is waited for."""
ON_TOP = "on top"
"""The sheet that is laid on the insert in a bought carton that is higher."""
JOINT_AIR_UM = 10_000
"""The distance a joint between two halves of a sheet keeps from any head (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class StockRow:
    """One of the shop's rows of stock.

    Parameters
    ----------
    sheet
        Its size, trim, count and price; the length runs the way of the grain or the flutes.
    material
        As plans name it.
    nominal_um, thickness_um, tolerance_um
        What it is sold as, what was measured, and how far the one may be below the other.
    kerf_um, cut_by
        What a cut takes; how the shop may cut it.
    turns
        Whether parts may be turned on it: not where grain, flutes or a face's colour decide.
    """

    sheet: StockSheet
    material: str
    nominal_um: int
    thickness_um: int
    tolerance_um: int = 0
    kerf_um: int = 0
    cut_by: tuple[str, ...] = (Cutter.KNIFE.value,)
    turns: bool = True


@dataclass(frozen=True, slots=True)
class Need:
    """Parts of one material and thickness, how they may be cut, and whether any of them is the insert's."""

    material: str
    thickness_um: int
    parts: tuple[Part, ...]
    cut_by: tuple[str, ...]
    insert: bool = False


@dataclass(frozen=True, slots=True)
class Half:
    """A part of a sheet that is cut as two: its id, the sheet's, and where in the sheet its lower left corner is."""

    id: str
    of: str
    at_um: tuple[int, int]


@dataclass(frozen=True, slots=True)
class CutFromStock:
    """One need laid on stock; `layout` is None where it cannot be, and `why` says so.

    `joints` are sentences for the sheets that were too large and are cut as two, `halves` what they are cut as.
    """

    need: Need
    layout: Layout | None
    why: Message | None = None
    joints: tuple[Message, ...] = ()
    halves: tuple[Half, ...] = ()


def needs_of(plan: Plan, prefix: str = "") -> tuple[Need, ...]:
    """List the flat parts of a plan by material and thickness.

    Parameters
    ----------
    plan
        Insert and box; a stock carton and slices of waste are cut from nothing.
    prefix
        Put before each part's id, to tell several orders' parts apart.

    Returns
    -------
    tuple of Need
        Sheets of the insert, then its thin pieces and plates, then the pieces of the box; each material and thickness
        once.
    """
    foam = plan.insert
    found: dict[tuple[str, int, tuple[str, ...]], list[Part]] = {}

    def add(key: tuple[str, int, tuple[str, ...]], part: Part, many: int = 1) -> None:
        found.setdefault(key, []).extend([replace(part, id=prefix + part.id)] * many)

    for sheet in foam.sheets:
        stiff = sheet.material is not None
        ways = _WAYS_OF_STIFF if stiff else _WAYS_OF_FOAM
        size = plan.sheet_size_um or sheet.size_um
        add((sheet.material or foam.material, sheet.thickness_um, ways), Part(sheet.id, size))
    if plan.bought is not None and plan.bought.top_sheet_um:
        add((foam.material, plan.bought.top_sheet_um, _WAYS_OF_FOAM), Part(ON_TOP, plan.bought.sheet_um))
    for loose in (*foam.rests, *foam.fills):
        size = loose.max_um[0] - loose.min_um[0], loose.max_um[1] - loose.min_um[1]
        for thickness in loose.thicknesses_um:
            add((foam.material, thickness, _WAYS_OF_FOAM), Part(loose.id, size))
    for plate in foam.plates:
        (thickness,) = plate.thicknesses_um
        x, y, z = (high - low for low, high in zip(plate.min_um, plate.max_um, strict=True))
        add((STIFF_SHEET.name, thickness, _WAYS_OF_STIFF), Part(plate.id, (y if x == thickness else x, z)))
    for piece in plan.box.pieces:
        if piece.carton or piece.stock is None:
            continue
        # A board's sizes are across its flutes and along them: on a sheet the length runs along.
        board = piece.stock.kind is StockKind.BOARD
        size = piece.size_um[::-1] if board else piece.size_um
        key = (piece.material, piece.thickness_um, piece.stock.cut_by)
        add(key, Part(piece.id, (size[0], size[1]), turns=False), piece.count)
    loose_ids = (one.id for one in (*foam.rests, *foam.fills, *foam.plates))
    own = {ON_TOP, *(sheet.id for sheet in foam.sheets), *loose_ids}
    inside = {prefix + one for one in own}
    return tuple(
        Need(material, thickness, tuple(parts), ways, any(part.id in inside for part in parts))
        for (material, thickness, ways), parts in found.items()
    )


_WAYS_OF_FOAM = tuple(one.value for one in Cutter)
_WAYS_OF_STIFF = (Cutter.SAW.value, Cutter.LASER.value, Cutter.ROUTER.value, Cutter.BAND_SAW.value)


def heads_of(plan: Plan) -> tuple[Rect, ...]:
    """List where heads lie, seen from above: no sheet is joined there.

    Parameters
    ----------
    plan
        Whose items they are.

    Returns
    -------
    tuple of rectangles
        x0, y0, x1, y1 in the interior's frame, of all layers.
    """
    return tuple(
        (part.min_um[0], part.min_um[1], part.max_um[0], part.max_um[1])
        for item in plan.items
        for part in item.parts
        if part.part is ToolPart.HEAD
    )


def together(needs: Iterable[Need]) -> tuple[Need, ...]:
    """Gather the needs of several plans, so that what is of one material and thickness is laid on the same sheets.

    Parameters
    ----------
    needs
        Of plans whose parts have prefixes of their own.

    Returns
    -------
    tuple of Need
        In the order in which each material and thickness is met first.
    """
    found: dict[tuple[str, int, tuple[str, ...]], Need] = {}
    for need in needs:
        key = need.material, need.thickness_um, need.cut_by
        before = found.get(key)
        found[key] = (
            need
            if before is None
            else replace(before, parts=before.parts + need.parts, insert=before.insert or need.insert)
        )
    return tuple(found.values())


def heads_by_sheet(plan: Plan, prefix: str = "") -> dict[str, tuple[Rect, ...]]:
    """Find the heads over each sheet of a plan's insert, where no sheet may be joined.

    Parameters
    ----------
    plan
        Whose heads and sheets they are.
    prefix
        Put before each sheet's id, so that the sheets of several plans keep apart.

    Returns
    -------
    dict
        As `heads_of`, in micrometres, by the sheet's id with the prefix before it.
    """
    return {prefix + sheet.id: heads_of(plan) for sheet in plan.insert.sheets}


def cut_from_stock(
    needs: Iterable[Need],
    rows: Sequence[StockRow],
    *,
    heads: Sequence[Rect] | Mapping[str, Sequence[Rect]] = (),
    keeping: Keeping | None = None,
    effort: int = LAYING_EFFORT,
) -> tuple[CutFromStock, ...]:
    """Lay each need on the stock of its material and thickness.

    Parameters
    ----------
    needs
        As `needs_of` gives them.
    rows
        All the shop has, offcuts among them.
    heads
        Where no foam sheet too large for stock may be joined; by the sheet's id where sheets are of several plans.
    keeping, effort
        As in `lay_out`.

    Returns
    -------
    tuple of CutFromStock
        One for each need of whose material there is any row; materials without a row are bought to size.
    """
    known = {row.material for row in rows}
    return tuple(_cut(need, rows, heads, keeping, effort) for need in needs if need.material in known)


def _cut(
    need: Need,
    rows: Sequence[StockRow],
    heads: Sequence[Rect] | Mapping[str, Sequence[Rect]],
    keeping: Keeping | None,
    effort: int,
) -> CutFromStock:
    own = [row for row in rows if row.material == need.material]
    alike = [row for row in own if abs(row.nominal_um - need.thickness_um) <= SAME_UM or _measures(row, need)]
    if not alike:
        there = sorted({row.nominal_um for row in own})
        return _refused(need, _NO_THICKNESS, thick=Series(tuple(Length(one) for one in there)))
    thick = [row for row in alike if row.thickness_um >= need.thickness_um - row.tolerance_um - SAME_UM]
    if not thick:
        most = max(row.thickness_um for row in alike)
        return _refused(need, _THIN, measured=Length(most), tolerance=Length(max(row.tolerance_um for row in alike)))
    ways = tuple(dict.fromkeys(way for row in thick for way in row.cut_by))
    usable = [row for row in thick if set(row.cut_by) & set(need.cut_by)]
    if not usable:
        named = {
            key: Series(tuple(Name(way) for way in these), " or a ")
            for key, these in (("ways", need.cut_by), ("may", ways))
        }
        return _refused(need, _NOT_SO, **named)
    return _laid(need, usable, heads, keeping, effort)


def _measures(row: StockRow, need: Need) -> bool:
    """Tell whether a row measures what is needed, whatever it is sold as."""
    return abs(row.thickness_um - need.thickness_um) <= max(row.tolerance_um, SAME_UM)


def _laid(
    need: Need,
    rows: Sequence[StockRow],
    heads: Sequence[Rect] | Mapping[str, Sequence[Rect]],
    keeping: Keeping | None,
    effort: int,
) -> CutFromStock:
    stock = [row.sheet for row in rows]
    turns = all(row.turns for row in rows)
    parts = [replace(part, turns=part.turns and turns) for part in need.parts]
    over = {part.id: heads.get(part.id, ()) if isinstance(heads, Mapping) else heads for part in parts}
    halved = [(part, _joined(part, stock, over[part.id])) for part in parts]
    parts = [half for _, halves in halved for half in halves]
    joints = tuple(_joint(part, halves) for part, halves in halved if len(halves) > 1)
    # By hand a cut goes from edge to edge; where a machine alone may cut, it follows any line.
    free = all(set(row.cut_by) == {Cutter.LASER.value} for row in rows)
    cutting = Cutting.FREE if free else Cutting.EDGE_TO_EDGE
    kerf = max(row.kerf_um for row in rows)
    found = lay_out(parts, stock, cutting=cutting, kerf_um=kerf, keeping=keeping, effort=effort)
    if isinstance(found, Layout):
        whole = tuple(half for part, halves in halved if len(halves) > 1 for half in _halves(part, halves))
        return CutFromStock(replace(need, parts=tuple(parts)), found, joints=joints, halves=whole)
    return _short(need, parts, found)


def _joined(part: Part, stock: Sequence[StockSheet], heads: Sequence[Rect]) -> tuple[Part, ...]:
    """A foam sheet larger than all stock as two halves, joined beside the heads; else the part as it is."""
    if not heads or not part.turns or any(fits(part, one) for one in stock):
        return (part,)
    for axis in (0, 1):
        length = part.size_um[axis]
        taken = [(head[axis] - JOINT_AIR_UM, head[axis + 2] + JOINT_AIR_UM) for head in heads]
        # Beside a head, or in the middle: nearest to the middle, so that neither half is a sliver.
        tried = sorted({length // 2, *(end for span in taken for end in span)}, key=lambda at: abs(2 * at - length))
        for at in tried:
            if not 0 < at < length or any(low < at < high for low, high in taken):
                continue
            halves = []
            for name, side in (("left" if axis == 0 else "front", at), ("right" if axis == 0 else "back", length - at)):
                size = (side, part.size_um[1]) if axis == 0 else (part.size_um[0], side)
                halves.append(Part(f"{part.id} {name}", size, part.turns))
            if all(any(fits(half, one) for one in stock) for half in halves):
                return tuple(halves)
    return (part,)


def _halves(part: Part, halves: Sequence[Part]) -> Iterator[Half]:
    """Where in their sheet two halves lie, the first at its beginning."""
    first, second = halves
    along = first.size_um[0] < part.size_um[0]
    yield Half(first.id, part.id, (0, 0))
    yield Half(second.id, part.id, (first.size_um[0], 0) if along else (0, first.size_um[1]))


def _joint(part: Part, halves: Sequence[Part]) -> Message:
    """The way two halves of a sheet go together."""
    axis = 0 if halves[0].size_um[0] < part.size_um[0] else 1
    return Message(_JOINT, sheet=part.id, size=Sides(part.size_um), at=Length(halves[0].size_um[axis]))


def _refused(need: Need, template: str, **said: Quantity | str) -> CutFromStock:
    words = Message(template, material=need.material, thickness=Length(need.thickness_um), **said)
    return CutFromStock(need, None, words)


def _short(need: Need, parts: Sequence[Part], lack: Shortage) -> CutFromStock:
    ids = ", ".join(dict.fromkeys(lack.parts))
    if lack.lack is Lack.TOO_FEW:
        return _refused(need, _TOO_FEW, parts=ids)
    if lack.largest_um is None:
        return _refused(need, _NONE_LEFT, parts=ids)
    first = next(part for part in parts if part.id == lack.parts[0])
    return _refused(need, _TOO_SMALL, part=first.id, size=Sides(first.size_um), room=Sides(lack.largest_um))


_NO_THICKNESS = "There is no {material} of {thickness} in stock, only of {thick}."
_THIN = "The {material} of {thickness} in stock measures {measured}: more than {tolerance} too thin."
_NOT_SO = "Parts of {material}, {thickness}, need a {ways}; that in stock may be cut by {may} alone."
_TOO_FEW = "There is too little {material} of {thickness} in stock: no place was found for {parts}."
_NONE_LEFT = "No piece of {material} of {thickness} is left in stock for {parts}."
_JOINT = (
    "{sheet} is {size}, larger than any stock: cut it as two and butt them {at} from its edge, where no head lies; "
    "tape or glue that does not stain steel."
)
_TOO_SMALL = "{part} is {size}, larger than any {material} of {thickness} in stock: {room} within the trim."
