"""The cost of making a box and its insert: material and minutes by rows; a missing one is said, never guessed."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from packing.boxes import BoxDesign, CutPiece
from packing.insert import Insert, insert_work
from packing.materials import STIFF_SHEET, Board, Rates, board_feet, shown_quantity, work_called
from packing.messages import Length
from packing.plan import CostLinePlan, CostPlan, Message, UnpricedPlan
from packing.plan.kinds import CostUnit, PieceRole, PriceKind

BOX_MATERIAL = (PriceKind.BOARD, PriceKind.WOOD, PriceKind.CARTON, PriceKind.FASTENER)
"""Materials in which boxes of one order differ: foam is the same for all, but for what fills a carton."""


@dataclass(frozen=True, slots=True)
class CostLine:
    """So much of one thing at a price; the amount is None where the price is not known."""

    what: Message
    quantity: Decimal
    unit: CostUnit
    price: Decimal | None
    kind: PriceKind
    name: str = ""

    @property
    def amount(self) -> Decimal | None:
        """Quantity by price, not rounded."""
        return None if self.price is None else self.quantity * self.price


@dataclass(frozen=True, slots=True)
class Unpriced:
    """A price or a time that is not known: of what kind, of which of the shop's rows; a sentence that names it."""

    kind: PriceKind
    name: str
    sentence: Message


@dataclass(frozen=True, slots=True)
class Cost:
    """Material and work of one box and its insert.

    Parameters
    ----------
    currency
        Of all amounts.
    lines
        Material, then work.
    minutes, insert_minutes
        Of all work, and of the insert's alone; kinds without a row count for nothing and are named in `missing`.
    unpriced
        Which price or time is not known.
    sending
        Billed weight by what the shop says it is worth; None where it does not say.
    """

    currency: str
    lines: tuple[CostLine, ...]
    minutes: Decimal
    insert_minutes: Decimal
    unpriced: tuple[Unpriced, ...]
    sending: Fraction | None = None

    @property
    def missing(self) -> tuple[Message, ...]:
        """A sentence for each price or time that is not known."""
        return tuple(one.sentence for one in self.unpriced)

    @property
    def known(self) -> Decimal:
        """Sum of what is known; rounded by whoever shows it."""
        return sum((line.amount for line in self.lines if line.amount is not None), Decimal(0))

    @property
    def known_without_box(self) -> Decimal:
        """The same without what the box itself is made of."""
        lines = (line for line in self.lines if line.kind not in BOX_MATERIAL)
        return sum((line.amount for line in lines if line.amount is not None), Decimal(0))

    @property
    def box_is_priced(self) -> bool:
        """True where all that the box itself is made of has a price."""
        return all(one.kind not in BOX_MATERIAL for one in self.unpriced)

    @property
    def total(self) -> Decimal | None:
        """The whole cost; None while anything is missing."""
        return None if self.unpriced else self.known


def material_quantity(cut_piece: CutPiece) -> tuple[Fraction, CostUnit]:
    """The stock that a kind of piece takes, all its copies: square metres, or board feet on nominal size."""
    material = cut_piece.material
    if not isinstance(material, Board) and material.nominal_in is not None and material.per == CostUnit.BOARD_FOOT:
        thickness, width = material.nominal_in
        return cut_piece.count * board_feet(thickness, width, cut_piece.size_um[0]), CostUnit.BOARD_FOOT
    return Fraction(cut_piece.count * cut_piece.size_um[0] * cut_piece.size_um[1], 10**12), CostUnit.SQUARE_METRE


_Stuff = tuple[str, CostUnit, int]
"""A material by its name, what it is sold by, and its thickness in micrometres."""


def _material(design: BoxDesign, rates: Rates) -> list[CostLine]:
    amounts: dict[_Stuff, Fraction] = {}
    prices: dict[_Stuff, tuple[Decimal | None, PriceKind]] = {}
    called: dict[_Stuff, Message] = {}
    lines = []
    for cut_piece in design.cut_pieces:
        if cut_piece.role is PieceRole.CARTON:
            price, name = rates.cartons.get(cut_piece.carton), cut_piece.carton
            lines.append(CostLine(cut_piece.what, Decimal(1), CostUnit.EACH, price, PriceKind.CARTON, name))
            continue
        quantity, unit = material_quantity(cut_piece)
        material = cut_piece.material
        key = (material.name, unit, cut_piece.thickness_um)
        amounts[key] = amounts.get(key, Fraction(0)) + quantity
        own = material.price_m2 if isinstance(material, Board) else material.price
        sheet = rates.sheet_price(material.name, cut_piece.thickness_um) if unit is CostUnit.SQUARE_METRE else None
        prices[key] = (
            own if sheet is None else sheet,
            PriceKind.BOARD if isinstance(material, Board) else PriceKind.WOOD,
        )
        words = Message("{name}", name=material.name)
        called[key] = words if sheet is None else by_the_sheet(material.name, cut_piece.thickness_um)
    lines += [
        CostLine(called[key], shown_quantity(amount), key[1], *prices[key], key[0]) for key, amount in amounts.items()
    ]
    count = sum(one.count for one in design.hardware)
    if count:
        words = Message("screws and nails")
        lines.append(CostLine(words, Decimal(count), CostUnit.EACH, rates.fastener, PriceKind.FASTENER))
    return lines


def _foam(design: BoxDesign, insert: Insert, rates: Rates) -> list[CostLine]:
    """The stock that an insert takes, and the filling of a bought carton besides; stiff sheets by their area."""
    name = insert.foam.name
    left_m3 = Fraction(design.fill_mg, 1000 * insert.foam.density_g_m3)
    lines = []
    for thickness, area in _foam_areas(insert).items():
        price = rates.sheet_price(name, thickness)
        if price is None:
            left_m3 += Fraction(area * thickness, 10**18)
        else:
            square = shown_quantity(Fraction(area, 10**12))
            words = by_the_sheet(name, thickness)
            lines.append(CostLine(words, square, CostUnit.SQUARE_METRE, price, PriceKind.FOAM, name))
    if left_m3 or not lines:
        foam, words = shown_quantity(left_m3), Message("{name}", name=name)
        lines.append(CostLine(words, foam, CostUnit.CUBIC_METRE, rates.foam_m3, PriceKind.FOAM, name))
    return lines + _stiff(insert, rates)


def _foam_areas(insert: Insert) -> dict[int, int]:
    """Square micrometres of foam that an insert takes from stock, by thickness: whole sheets, pockets included."""
    areas: dict[int, int] = {}
    for sheet in insert.sheets:
        if sheet.material is None:
            areas[sheet.thickness_um] = areas.get(sheet.thickness_um, 0) + insert.size_um[0] * insert.size_um[1]
    for loose in insert.fills + insert.rests:
        x0, y0, x1, y1 = loose.rect
        for thickness in loose.thicknesses_um:
            areas[thickness] = areas.get(thickness, 0) + (x1 - x0) * (y1 - y0)
    return areas


def _stiff(insert: Insert, rates: Rates) -> list[CostLine]:
    """The stiff sheets of an insert and its plates by their area."""
    areas: dict[tuple[str, int], Fraction] = {}
    for sheet in insert.sheets:
        if sheet.material is not None:
            key = sheet.material.name, sheet.thickness_um
            areas[key] = areas.get(key, Fraction(0)) + Fraction(insert.size_um[0] * insert.size_um[1], 10**12)
    for plate in insert.plates:
        key = STIFF_SHEET.name, plate.thickness_um
        areas[key] = areas.get(key, Fraction(0)) + Fraction(plate.face_um[0] * plate.face_um[1], 10**12)
    lines = []
    for (name, thickness), area in areas.items():
        price = rates.sheet_price(name, thickness)
        words = Message("{name}", name=name) if price is None else by_the_sheet(name, thickness)
        square = shown_quantity(area)
        lines.append(CostLine(words, square, CostUnit.SQUARE_METRE, price, PriceKind.STIFF_SHEET, name))
    return lines


def by_the_sheet(name: str, thickness_um: int) -> Message:
    """Name a material whose price is that of a whole sheet in stock, by its area."""
    words = "{name}, {thickness}, by the price of a sheet in stock"
    return Message(words, name=name, thickness=Length(thickness_um))


def cost_of(design: BoxDesign, insert: Insert, rates: Rates) -> Cost:
    """Material and minutes of one box and its insert.

    Parameters
    ----------
    design, insert
        The box; what is cut to lie in it.
    rates
        Prices and times.

    Returns
    -------
    Cost
        Exact Decimals. Material is what is cut from, not what is sent; waste between pieces is not counted.
    """
    lines = [*_material(design, rates), *_foam(design, insert, rates)]
    unpriced = [
        Unpriced(line.kind, line.name, Message("The price of {what} is not known.", what=line.what))
        for line in lines
        if line.price is None
    ]
    box, own = rates.timed(design.work), rates.timed(insert_work(insert))
    minutes = box.minutes + own.minutes
    unpriced += [
        Unpriced(PriceKind.WORK, what, Message("The time for {what} is not known.", what=work_called(what)))
        for what in dict.fromkeys((*box.unknown, *own.unknown))
    ]
    hours = shown_quantity(Fraction(minutes) / 60)
    lines.append(CostLine(Message("work"), hours, CostUnit.HOUR, rates.hour, PriceKind.HOUR))
    if rates.hour is None:
        unpriced.append(Unpriced(PriceKind.HOUR, "", Message("The price of an hour of work is not known.")))
    return Cost(rates.currency, tuple(lines), minutes, own.minutes, tuple(unpriced))


def cost_plan(cost: Cost) -> CostPlan:
    """Turn a cost into a part of the plan.

    Parameters
    ----------
    cost
        As `cost_of` gives it.

    Returns
    -------
    CostPlan
        Amounts in `cost.currency`, exact decimals without trailing zeros, None where not known; minutes to a tenth.
    """
    return CostPlan(
        currency=cost.currency,
        lines=tuple(
            CostLinePlan(line.what, _plain(line.quantity), line.unit, _tidy(line.price), _tidy(line.amount))
            for line in cost.lines
        ),
        minutes=float(round(cost.minutes, 1)),
        insert_minutes=float(round(cost.insert_minutes, 1)),
        known=_plain(cost.known),
        total=_tidy(cost.total),
        missing=cost.missing,
        sending=None if cost.sending is None else _plain(shown_quantity(cost.sending)),
        unpriced=_unpriced(cost),
    )


def _unpriced(cost: Cost) -> tuple[UnpricedPlan, ...]:
    """Unknown prices by kind and name, the worth of billed weight with them."""
    rows = tuple(UnpricedPlan(one.kind, one.name) for one in cost.unpriced)
    return rows if cost.sending is not None else (*rows, UnpricedPlan(PriceKind.BILLED_WEIGHT))


def _plain(value: Decimal) -> Decimal:
    # Normalized alone, 100 would be written as 1E+2.
    return Decimal(format(value.normalize(), "f"))


def _tidy(value: Decimal | None) -> Decimal | None:
    return None if value is None else _plain(value)
