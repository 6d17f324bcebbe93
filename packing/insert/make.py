"""From a nesting to the insert that is cut."""

from collections.abc import Sequence
from dataclasses import replace

from packing.insert.lift import make_lifts
from packing.insert.loose import grown, loose_pieces
from packing.insert.model import CutRow, Insert, Lift, Loose, Pocket, Sheet
from packing.insert.outline import union
from packing.insert.stack import GAP_UM, layer_sheets, pad_sheets
from packing.materials import LIFT_TAPE, STIFF_SHEET, Foam, Sundry
from packing.measure import BadInput, Order, Tool
from packing.nest import Nesting, Placement
from packing.plan import Length, Message
from packing.plan.kinds import LooseKind, Part, SheetRole, Status
from packing.units import half_up

_STOCK = "{material}, {thickness}"
_EXTRA_STOCK = "{material}, {thickness}, extra stock line"
_WHOLE_WASTE = "waste of its own pocket in {sheet}, full thickness"
_SLICED_WASTE = "waste of its own pocket in {sheet}, sliced"


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


def _stack(order: Order, nesting: Nesting, gap_um: int) -> _Stack:
    rules = order.rules
    stack = _Stack(rules.sheets_um)
    height = nesting.interior_um[2]
    stack.pad(SheetRole.BASE, 0, nesting.layers[0].floor_um if nesting.layers else rules.base_pad_um)
    for index, layer in enumerate(nesting.layers):
        undersides = [
            part.z0 - layer.floor_um
            for one in nesting.placed
            if one.layer == index
            for part in one.parts
            if part.z0 > layer.floor_um
        ]
        made = layer_sheets(layer.height_um, rules.sheets_um, undersides, gap_um=gap_um)
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


def _pocketed(sheets: Sequence[Sheet], placed: Sequence[Placement], lifts: Sequence[Lift], fit_um: int) -> list[Sheet]:
    cut: list[Sheet] = []
    for sheet in sheets:
        pockets: list[Pocket] = []
        for one, lift in zip(placed, lifts, strict=True):
            if sheet.layer is None or one.layer != sheet.layer:
                continue
            pockets += [
                Pocket(one.item, Part(part.name), grown(part, fit_um)) for part in one.parts if sheet.top_um > part.z0
            ]
            if lift.rect and sheet.top_um > one.parts[0].z0:
                pockets.append(Pocket(one.item, Part.NOTCH, lift.rect))
        cut.append(replace(sheet, pockets=tuple(pockets)))
    return cut


def _cut_list(
    sheets: Sequence[Sheet], saddles: Sequence[Loose], plugs: Sequence[Loose], size_um: tuple[int, int], foam: Foam
) -> tuple[CutRow, ...]:
    rows: dict[tuple[LooseKind, int, tuple[int, int], Message], list[str]] = {}
    for sheet in sheets:
        template = _STOCK if sheet.stock else _EXTRA_STOCK
        source = Message(template, material=(sheet.material or foam).name, thickness=Length(sheet.thickness_um))
        rows.setdefault((LooseKind.SHEET, sheet.thickness_um, size_um, source), []).append(sheet.id)
    for what, loose in [(LooseKind.SADDLE, s) for s in saddles] + [(LooseKind.PLUG, p) for p in plugs]:
        x0, y0, x1, y1 = loose.rect
        size = (max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0))
        for sheet_id, thickness, whole in loose.pieces:
            source = Message(_WHOLE_WASTE if whole else _SLICED_WASTE, sheet=sheet_id)
            rows.setdefault((what, thickness, size, source), []).append(loose.id)
    return tuple(
        CutRow(what, tuple(ids), thickness, size, len(ids), source)
        for (what, thickness, size, source), ids in rows.items()
    )


def _notes(order: Order, nesting: Nesting, sheets: Sequence[Sheet]) -> list[Message]:
    if not nesting.layers:
        return [
            Message(
                "The boxes between the pads hold each other: fill what is left between them with paper or foam waste."
            )
        ]
    notes = []
    roles = {sheet.role for sheet in sheets}
    if SheetRole.BASE not in roles:
        notes.append(Message("Without a base pad the pieces lie on the box's bottom."))
    if SheetRole.TOP not in roles:
        notes.append(Message("Without a top pad the pieces lie against the box's lid."))
    if len(nesting.layers) > 1:
        heads = any(isinstance(order.items[one.item], Tool) for one in nesting.placed if one.layer > 0)
        if SheetRole.BETWEEN in roles and heads and not order.rules.stiff_sheet_um:
            advice = Message(
                "A pad between layers carries heads over the pockets below: make its top a stiff sheet, such as {ply} "
                "plywood or double-wall board, within the same thickness (common practice, no source).",
                ply=Length(6_000),
            )
            notes.append(advice)
        elif SheetRole.BETWEEN not in roles:
            notes.append(Message("Without a pad between layers the upper pieces lie straight on the layer below."))
    return notes


def make_insert(
    order: Order, nesting: Nesting, foam: Foam, *, tape: Sundry = LIFT_TAPE, gap_um: int = GAP_UM
) -> Insert:
    """The stack of sheets, the pockets in each, what is put back and what lifts the pieces out.

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
    gap_um
        A gap up to this under or over a part is left open, 0 or more.

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
    Every part has a pocket, its rectangle grown by the fit, in each sheet of its layer whose top is above its
    underside. The weight is exact: each sheet's area less the union of its pockets, times thickness and density, summed
    before it is rounded.
    """
    if nesting.status != Status.PLANNED:
        raise BadInput("nesting", f"must be planned to make an insert for it, not {nesting.status!r}.")
    fit_um = max(0, min(foam.fit_um, order.rules.clearance_um))
    size_um = nesting.interior_um[:2]
    stack = _stack(order, nesting, gap_um)
    layered = [one for one in nesting.placed if one.layer >= 0]
    tops = [layer.floor_um + layer.height_um for layer in nesting.layers]
    lifts = make_lifts(order, layered, tops, size_um, tape, fit_um=fit_um)
    sheets = _pocketed(stack.sheets, layered, lifts, fit_um)
    saddles, plugs = loose_pieces(layered, sheets, foam, fit_um=fit_um, gap_um=gap_um)
    weight = cut = 0
    for sheet in sheets:
        holes, outline = union(tuple(pocket.rect for pocket in sheet.pockets), size_um)
        solid_um3 = (size_um[0] * size_um[1] - holes) * sheet.thickness_um
        weight += solid_um3 * (sheet.material or foam).density_g_m3
        cut += outline
    return Insert(
        foam=foam,
        fit_um=fit_um,
        item_ids=tuple(item.id for item in order.items),
        size_um=size_um,
        sheets=tuple(sheets),
        saddles=saddles,
        plugs=plugs,
        lifts=lifts,
        cut_list=_cut_list(sheets, saddles, plugs, size_um, foam),
        cut_um=cut,
        sheets_mg=half_up(weight, 10**15),
        notes=tuple(stack.notes + _notes(order, nesting, sheets)),
    )
