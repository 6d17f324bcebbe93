"""From a nesting to the insert that is cut."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from packing.insert.butt import AIR_UM, with_air
from packing.insert.contact import contacts
from packing.insert.cut_list import cut_list_of
from packing.insert.fitted import Fit, fit_of, holes_of
from packing.insert.gaps import GapFiller
from packing.insert.grips import grip_notes, with_grips
from packing.insert.lift import FingerRoom, find_finger_rooms, make_lifts
from packing.insert.loose import LooseFoam, standing
from packing.insert.model import CORNER_CUT_OFF_UM, Hole, Insert, Pocket, Rect, Sheet, StandingPlate
from packing.insert.notes import insert_notes, left_open
from packing.insert.outline import Union, union_of
from packing.insert.plates import standing_plates
from packing.insert.stack import SheetWork, StandingItem, layer_sheets, pad_sheets
from packing.insert.work import INSERT_MINUTES
from packing.materials import LIFT_TAPE, STIFF_SHEET, Foam, Sundry
from packing.measure import BadInput, Item, Order, Tool
from packing.nest import Nesting, Placement
from packing.plan import Length, Message
from packing.plan.kinds import InsertWork, LooseKind, SheetRole, Status
from packing.units import half_up


class _Stack:
    """Sheets from the bottom up, numbered as they are laid."""

    def __init__(self, stock_um: Sequence[int]) -> None:
        self.stock_um = stock_um
        self.sheets: list[Sheet] = []
        self.notes: list[Message] = []

    def lay(
        self, role: SheetRole, layer: int | None, floor_um: int, height_um: int, made: tuple[int, ...] | None
    ) -> None:
        stock = made is not None
        if made is None:
            # No reason to refuse the plan: such a sheet can be had, and the note says how.
            made = (height_um,)
            note = Message(
                "A sheet of {thickness} is not among the stock thicknesses: buy or laminate it as an extra line.",
                thickness=Length(height_um),
            )
            if note not in self.notes:
                self.notes.append(note)
        for thickness in made:
            self.sheets.append(Sheet(f"S{len(self.sheets) + 1}", role, layer, thickness, floor_um, stock))
            floor_um += thickness

    def pad(self, role: SheetRole, floor_um: int, height_um: int) -> None:
        self.lay(role, None, floor_um, height_um, pad_sheets(height_um, self.stock_um))

    def stiff(self, floor_um: int, height_um: int) -> None:
        name = f"S{len(self.sheets) + 1}"
        self.sheets.append(Sheet(name, SheetRole.BETWEEN, None, height_um, floor_um, True, material=STIFF_SHEET))


def _stack(order: Order, nesting: Nesting, layers: Sequence[SheetWork]) -> _Stack:
    rules = order.rules
    stack = _Stack(tuple(sorted({*rules.sheets_um, *(rules.thin_um or ())})))
    height = nesting.interior_um[2]
    stack.pad(SheetRole.BASE, 0, nesting.layers[0].floor_um if nesting.layers else rules.base_pad_um)
    for index, (layer, work) in enumerate(zip(nesting.layers, layers, strict=True)):
        made = layer_sheets(layer.height_um, stack.stock_um, work)
        stack.lay(SheetRole.LAYER, index, layer.floor_um, layer.height_um, made)
        top = layer.floor_um + layer.height_um
        last = index == len(nesting.layers) - 1
        ceiling = height if last else nesting.layers[index + 1].floor_um
        stiff = 0 if last else rules.stiff_sheet_um or 0
        stack.pad(SheetRole.TOP if last else SheetRole.BETWEEN, top, ceiling - top - stiff)
        if stiff:
            stack.stiff(ceiling - stiff, stiff)
    if not nesting.layers:
        stack.pad(SheetRole.TOP, height - rules.top_pad_um, rules.top_pad_um)
    return stack


def _lying(
    order: Order, nesting: Nesting, fit: Fit, minutes: Mapping[InsertWork, Decimal]
) -> tuple[dict[int, FingerRoom], dict[int, StandingItem]]:
    """Finger room and each item of a layer as its sheets see it, by index."""
    layered = [one for one in nesting.placed if one.layer >= 0]
    size_um = nesting.interior_um[:2]
    handles = with_air(order, layered, size_um, fit)
    rooms = find_finger_rooms(order, layered, size_um, fit=fit, handles=handles, minutes=minutes)
    thin = order.rules.thin_um is not None
    items = {}
    for one in layered:
        item_holes = holes_of(order.items[one.item], one, fit)
        holes = _with_its_air(order.items[one.item], item_holes, handles.get(one.item))
        floor_um = nesting.layers[one.layer].floor_um
        item = standing(one, holes, floor_um=floor_um, fit=fit, thin=thin)
        room = rooms.get(one.item)
        items[one.item] = replace(item, room=room.rect, room_of=room.part) if room else item
    return rooms, items


def _with_its_air(item: Item, holes: Sequence[Hole], handle: Rect | None) -> Sequence[Hole]:
    """A tool's holes, its handle's with air beyond the butt; where it has an outline they stay in their room."""
    if handle is None or (isinstance(item, Tool) and item.outline is not None):
        return holes
    return (holes[0], Hole(handle))


def _sheet_works(
    order: Order,
    nesting: Nesting,
    items: Mapping[int, StandingItem],
    pocket_um: int,
    minutes: Mapping[InsertWork, Decimal],
) -> list[SheetWork]:
    """The cost of sheets, layer by layer."""
    filler = GapFiller(order.rules, minutes)
    layers: list[list[StandingItem]] = [[] for _ in nesting.layers]
    for one in nesting.placed:
        if one.layer >= 0:
            layers[one.layer].append(items[one.item])
    size_um = nesting.interior_um[:2]
    return [SheetWork(layer, size_um, filler, pocket_um=pocket_um, minutes=minutes) for layer in layers]


def sheet_works(
    order: Order, nesting: Nesting, foam: Foam, minutes: Mapping[InsertWork, Decimal] = INSERT_MINUTES
) -> list[SheetWork]:
    """The cost of sheets in each layer of a nesting, before any are chosen."""
    _, items = _lying(order, nesting, fit_of(foam, order.rules), minutes)
    return _sheet_works(order, nesting, items, foam.pocket_um, minutes)


def _cut(sheet: Sheet, layer: Sequence[tuple[Placement, StandingItem]], floor_um: int, give_um: int) -> Sheet:
    """A sheet of a layer with its pockets; a cover where it lies over a piece."""
    low, high = sheet.floor_um - floor_um, sheet.top_um - floor_um
    pockets: list[Pocket] = []
    over: list[int] = []
    for one, item in layer:
        holes = item.holes(low, high, give_um)
        pockets += [Pocket(one.item, part, *hole) for part, hole in holes]
        if any(low >= part.z1_um - give_um for part in item.parts):
            over.append(one.item)
    role = SheetRole.COVER if over else sheet.role
    return replace(sheet, role=role, pockets=tuple(pockets), over=tuple(over))


def _holes(sheet: Sheet, size_um: tuple[int, int]) -> Union:
    return union_of(tuple(pocket.hole for pocket in sheet.pockets), size_um)


def _sheets_mg(sheets: Sequence[Sheet], size_um: tuple[int, int], foam: Foam) -> int:
    """Weight of all sheets less their pockets, rounded once."""
    weight = 0
    for sheet in sheets:
        solid_um2 = size_um[0] * size_um[1] - _holes(sheet, size_um).area_um2
        weight += solid_um2 * sheet.thickness_um * (sheet.material or foam).density_g_m3
    return half_up(weight, 10**15)


def make_insert(
    order: Order,
    nesting: Nesting,
    foam: Foam,
    *,
    tape: Sundry = LIFT_TAPE,
    minutes: Mapping[InsertWork, Decimal] = INSERT_MINUTES,
) -> Insert:
    """The stack of sheets, the pockets in each, what closes the gaps and what lifts the pieces out.

    Parameters
    ----------
    order
        The order that was nested, for its rules.
    nesting
        A planned nesting.
    foam
        Material; its `fit_um` is held between 0 and the order's clearance.
    tape
        Ribbon for lift tapes, by the metre.
    minutes
        For one of each kind of work; each layer's sheets are those that take least.

    Returns
    -------
    Insert
        Sheets that tile the interior's height; in a plan without layers the base and top pads alone.

    Raises
    ------
    BadInput
        Where the nesting is not planned: there is nothing to hold.

    Notes
    -----
    A part has a pocket, its rectangle grown by the fit or its outline moved by it, in each sheet of its layer that it
    reaches into by more than `bite`. Sheets over it stay whole and are laid on after it, as covers. What stays open
    under or over it by more than the foam gives is closed by thin stock or, where that is allowed, by a slice of the
    pocket's waste. The weight is exact: each sheet's area less the union of its pockets, times thickness and density,
    summed before it is rounded.
    """
    if nesting.status != Status.PLANNED:
        raise BadInput("nesting", f"must be planned to make an insert for it, not {nesting.status!r}.")
    insert = _made(order, nesting, foam, tape, minutes)
    if not order.rules.plates:
        return insert
    # What foam is pressed with beside a head does not depend on the stack: plates are known before it is chosen anew.
    found = contacts(order, nesting, insert, ANY_WEIGHT_MG)
    return _made(order, nesting, foam, tape, minutes, standing_plates(order, nesting, insert, found))


ANY_WEIGHT_MG = 1
"""A gross weight decides the height of fall alone, which no plate depends on."""


def _made(
    order: Order,
    nesting: Nesting,
    foam: Foam,
    tape: Sundry,
    minutes: Mapping[InsertWork, Decimal],
    plates: Sequence[StandingPlate] | None = None,
) -> Insert:
    """The insert with these plates in slots of their own."""
    size_um = nesting.interior_um[:2]
    fit = fit_of(foam, order.rules)
    layered = [one for one in nesting.placed if one.layer >= 0]
    rooms, items = _lying(order, nesting, fit, minutes)
    for index in items:
        items[index] = replace(items[index], slots=tuple(one.slot for one in plates or () if one.item == index))
    works = _sheet_works(order, nesting, items, foam.pocket_um, minutes)
    stack = _stack(order, nesting, works)
    loose = LooseFoam(foam)
    sheets = [sheet for sheet in stack.sheets if sheet.layer is None]
    for index, layer in enumerate(nesting.layers):
        of = {one.item: (one, items[one.item]) for one in layered if one.layer == index}
        cut = [
            _cut(s, list(of.values()), layer.floor_um, order.rules.give_um) for s in stack.sheets if s.layer == index
        ]
        for one, item in of.values():
            loose.lay(one, item, cut, works[index], layer.floor_um)
        sheets += cut
    sheets = with_grips(sorted(sheets, key=lambda sheet: sheet.floor_um), order.rules, size_um)
    pieces = loose.in_order
    return Insert(
        foam=foam,
        fit_um=fit.room_um,
        item_ids=tuple(item.id for item in order.items),
        size_um=size_um,
        sheets=tuple(sheets),
        saddles=loose.of_kind(LooseKind.SADDLE),
        plugs=loose.of_kind(LooseKind.PLUG),
        fills=loose.of_kind(LooseKind.FILL),
        rests=loose.of_kind(LooseKind.REST),
        lifts=make_lifts(order, layered, rooms, sheets, tape),
        cut_list=cut_list_of(sheets, pieces, size_um, foam, plates or ()),
        cut_um=sum(_holes(sheet, size_um).length_um for sheet in sheets),
        sheets_mg=_sheets_mg(sheets, size_um, foam),
        notes=(
            *stack.notes,
            *left_open(order, loose),
            *insert_notes(order, nesting, sheets),
            *grip_notes(sheets, fills=bool(loose.of_kind(LooseKind.FILL))),
        ),
        grip_um=0 if order.rules.thin_um is None else CORNER_CUT_OFF_UM,
        give_um=order.rules.give_um,
        plates=tuple(plates or ()),
        has_plates=plates is not None,
        butt_air_um=0 if order.rules.thin_um is None else AIR_UM,
    )
