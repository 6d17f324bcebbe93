"""Boxing one nesting: a box of one style with the board that passes, weighed, billed and costed."""

from dataclasses import replace

from packing.boxes import BoxDesign, BoxSpec, Infeasible, Style, heads_of, make_box, refuse_small
from packing.boxes.cartons import CartonChoice
from packing.boxes.styles.stock_carton import carton_for
from packing.insert import Insert, make_insert
from packing.materials import (
    STIFF_SHEET,
    Board,
    Rates,
    ShopMaterials,
    WoodPart,
    wood_verdict,
)
from packing.measure import BadInput, Order
from packing.nest import Nesting
from packing.plan import Message
from packing.plan.kinds import ContainerKind, Limit
from packing.planning.bills import with_bills
from packing.planning.candidate import Candidate
from packing.planning.cost import cost_of
from packing.planning.terms import Billing, Terms
from packing.planning.weight import gross_problem, load_of_box, weigh_design
from packing.strength import BoardChoice, Load, choose_board

SLOTTED = "0201"
"""The regular slotted case."""


def insert_by(order: Order, nesting: Nesting, terms: Terms) -> Insert:
    """The insert of a nesting, of the shop's foam and tape and by its own minutes."""
    materials = terms.materials
    return make_insert(
        order, nesting, materials.foam, tape=materials.supplies.lift_tape, minutes=terms.materials.rates.insert_minutes
    )


def _need(order: Order, nesting: Nesting, insert: Insert, terms: Terms) -> BoxSpec:
    pieces = sum(item.weight_mg for item in order.items)
    return BoxSpec(
        interior_um=nesting.interior_um,
        sheets=len(insert.sheets),
        heads=heads_of(order, nesting),
        contents_mg=pieces + insert.weight_mg,
        foam=terms.materials.foam,
        cartons=terms.materials.cartons,
        joinery=terms.materials.joinery,
        allowances=terms.materials.allowances,
        step=order.rules.step,
    )


def _boxed(
    style: Style, spec: BoxSpec, order: Order, insert: Insert, terms: Terms
) -> tuple[BoxDesign, BoardChoice] | Infeasible:
    """The box of the lightest board that passes, for a style that is wholly or partly of board."""
    design: dict[Board, BoxDesign] = {}
    refused: Infeasible | None = None
    for board in terms.materials.boards or (terms.materials.board,):
        box = make_box(style.code, replace(spec, board=board))
        if isinstance(box, Infeasible):
            refused = refused or box
        # Two boards of one name and measure make one box.
        elif box.board is not None and box.board not in design:
            design[box.board] = box
    if not design:
        return refused or Infeasible(
            style.code, "material", 0, 0, Message("There is no board for the {box}.", box=style.name)
        )

    def load_of(board: Board) -> Load:
        box = design[board]
        weights = weigh_design(order, insert, box, terms.materials)
        return replace(
            load_of_box(box, weights),
            stack_um=terms.stack_um,
            days=terms.days,
            humidity=terms.humidity,
            tables=terms.tables,
        )

    choice = choose_board(tuple(design), load_of, terms.rules)
    if choice.board is None:
        return Infeasible(style.code, Limit.BOARD, 0, 0, choice.reason)
    return design[choice.board], choice


def _in_carton(
    style: Style, spec: BoxSpec, order: Order, insert: Insert, terms: Terms
) -> tuple[BoxDesign, BoardChoice] | Infeasible:
    """The smallest stock carton that passes: where the smallest is too weak, or too small for its weight, a larger."""
    first, left = None, spec.cartons
    while True:
        found = _boxed(style, replace(spec, cartons=left), order, insert, terms)
        if not isinstance(found, Infeasible):
            return found
        first = first or found
        # Only where boards were too weak does a larger carton help; what does not fit the smallest fits no stock.
        tried = carton_for(replace(spec, cartons=left)) if found.limit == Limit.BOARD else None
        if not isinstance(tried, CartonChoice):
            return first
        left = tuple(one for one in left if one != tried.carton)


def _made(
    style: Style, spec: BoxSpec, order: Order, insert: Insert, terms: Terms
) -> tuple[BoxDesign, BoardChoice | None] | Infeasible:
    """The box of a style; of the lightest board that passes where it has any."""
    if style.family is ContainerKind.CARTON:
        return _in_carton(style, spec, order, insert, terms)
    if style.family is not ContainerKind.WOOD:
        return _boxed(style, spec, order, insert, terms)
    try:
        bare = make_box(style.code, spec)
    # Joinery that this style cannot be made with is no fault of the order: other styles may do without it.
    except BadInput as error:
        return Infeasible(
            style.code, error.field, 0, 0, Message("{field}: {fault}", field=error.field, fault=error.sentence)
        )
    if isinstance(bare, Infeasible):
        return bare
    return (bare, None) if bare.board is None else _boxed(style, spec, order, insert, terms)


def _stiff(insert: Insert) -> tuple[WoodPart, ...]:
    """The stiff sheets between layers, the plates: plywood, which is processed wood."""
    stiff = (sheet for sheet in insert.sheets if sheet.material == STIFF_SHEET)
    sheets = (WoodPart("stiff sheet", sheet.thickness_um, processed=True) for sheet in stiff)
    return (*sheets, *(WoodPart("plate", plate.thickness_um, processed=True) for plate in insert.plates))


def candidate_for(
    order: Order,
    nesting: Nesting,
    style: Style,
    terms: Terms,
    billing: Billing | None = None,
    *,
    which: int = 0,
    insert: Insert | None = None,
) -> Candidate | Infeasible:
    """One style for one nesting, board chosen, weighed, billed and costed.

    Parameters
    ----------
    order, nesting
        A planned nesting of the order.
    style
        From `packing.boxes.styles`.
    terms
        Stock and rules.
    billing
        See `Billing`; None leaves the bill out.
    which
        The nesting's index among several.
    insert
        Made for this nesting before; None makes it.

    Returns
    -------
    Candidate or Infeasible
        Infeasible with its reason where stock, a rule, or `max_gross_g` stands against it.

    Raises
    ------
    BadInput
        The nesting is not planned, or its interior is smaller than a piece.
    """
    if insert is None:
        insert = insert_by(order, nesting, terms)
    spec = _need(order, nesting, insert, terms)
    # Before any box is made: an interior smaller than a piece is a fault of ours, not a lack of stock.
    refuse_small(spec, order)
    found = _made(style, spec, order, insert, terms)
    if isinstance(found, Infeasible):
        return found
    design, choice = found
    weights = weigh_design(order, insert, design, terms.materials)
    heavy = gross_problem(order, weights)
    if heavy is not None:
        return Infeasible(style.code, Limit.GROSS_WEIGHT, 0, 0, heavy)
    candidate = Candidate(
        which=which,
        nesting=nesting,
        insert=insert,
        design=design,
        weights=weights,
        boards=choice,
        billed=None,
        cost=cost_of(design, insert, terms.materials.rates),
        wood=wood_verdict((*design.wood, *_stiff(insert), *terms.inside_wood), abroad=terms.abroad),
    )
    return with_bills(candidate, terms.materials.rates, billing)


def slotted_candidate(
    order: Order, nesting: Nesting, materials: ShopMaterials, *, billing: Billing | None = None, which: int = 0
) -> Candidate | Infeasible:
    """A regular slotted case of the materials' one board for one nesting, whatever rules for boards say of it.

    Parameters
    ----------
    order, nesting
        A planned nesting of the order.
    materials
        Foam, board and sundries.
    billing, which
        See `candidate_for`.

    Returns
    -------
    Candidate or Infeasible
        Infeasible where no sheet of the board takes the blank, or it may not be cut so. A candidate may be heavier
        than `max_gross_g` allows.

    Raises
    ------
    BadInput
        The nesting is not planned.
    """
    insert = make_insert(order, nesting, materials.foam, tape=materials.supplies.lift_tape)
    spec = BoxSpec(
        nesting.interior_um,
        materials.board,
        sheets=len(insert.sheets),
        heads=heads_of(order, nesting),
        step=order.rules.step,
    )
    box = make_box(SLOTTED, spec)
    if isinstance(box, Infeasible):
        return box
    rates = Rates()
    candidate = Candidate(
        which=which,
        nesting=nesting,
        insert=insert,
        design=box,
        weights=weigh_design(order, insert, box, materials),
        boards=None,
        billed=None,
        cost=cost_of(box, insert, rates),
        wood=wood_verdict(_stiff(insert), abroad=False),
    )
    return with_bills(candidate, rates, billing)
