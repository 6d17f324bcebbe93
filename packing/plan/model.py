"""A box plan: where each piece lies, the insert, the box, the weights; frozen, in whole micrometres and milligrams."""

from collections.abc import Iterable
from math import sqrt

from packing.measure import Rules
from packing.messages import Message
from packing.plan.bill import BillPlan, ChoicePlan
from packing.plan.box import BoxPlan, FactPlan
from packing.plan.carton import StockCartonPlan
from packing.plan.insert import InsertPlan
from packing.plan.kinds import Form, ItemKind, Part, Pose, Sharp, Status, SundryKind, Unit
from packing.plan.rows import Row, Size

SCHEMA_VERSION = 2
"""Of the file. Raised when a file of before cannot be read as it stands: `upgrades.py` then has one step more."""
SPREADS = 2.6
"""Standard deviations in a tolerance: 99 boxes of 100 lie within it."""
IN_THE_EMPTY_BOX = (SundryKind.LIFT_TAPE, SundryKind.THIN_FOAM, SundryKind.PLATES, SundryKind.CARTON_FILL)
"""Sundries that are in the box before any piece is."""


class LayerPlan(Row, frozen=True):
    """One layer: its floor above the interior's bottom and its height."""

    floor_um: int
    height_um: int


class PartBox(Row, frozen=True):
    """A part of an item as an upright box in the interior's frame."""

    part: Part
    min_um: Size
    max_um: Size


class ItemPlan(Row, frozen=True):
    """The place of one item.

    Parameters
    ----------
    id, letter, kind
        Its id in the order; A, B and so on in the order's order; tool or block.
    form, sharp
        Of a tool; None for a block.
    weight_mg
        As measured.
    layer
        Index of its layer, 0 lowest; None in a plan without layers.
    pose, turn, flipped
        How it lies; degrees counter-clockwise seen from above; whether the other cheek is down.
    marked_up
        Whether the marked cheek is up; None where nothing is marked or the piece stands.
    lift_order
        1 is lifted out first.
    parts
        Head before handle.
    """

    id: str
    letter: str
    kind: ItemKind
    form: Form | None
    sharp: Sharp | None
    weight_mg: int
    layer: int | None
    pose: Pose
    turn: int
    flipped: bool
    marked_up: bool | None
    lift_order: int
    parts: tuple[PartBox, ...]


class SundryPlan(Row, frozen=True):
    """So much of one thing that rides along: metres or pieces, the weight of one and of all."""

    kind: SundryKind
    what: Message
    quantity: int | float
    unit: Unit
    each_mg: int
    weight_mg: int


class UncertaintyPlan(Row, frozen=True, omit_defaults=True):
    """One component of the weight's uncertainty: its standard deviation, and why.

    `empty` says whether it is settled once the empty box and its insert have been weighed.
    """

    source: Message
    sd_mg: int
    why: Message
    empty: bool = False


class WeightPlan(Row, frozen=True):
    """The weight of the closed box and its parts; the tolerance is 2.6 standard deviations."""

    pieces_mg: int
    insert_mg: int
    box_mg: int
    sundries_mg: int
    gross_mg: int
    tolerance_mg: int
    sundries: tuple[SundryPlan, ...] = ()
    tolerance: tuple[UncertaintyPlan, ...] = ()

    @property
    def empty_mg(self) -> int:
        """The box and its whole insert before any piece is in, as they go on a scale together."""
        with_it = (line.weight_mg for line in self.sundries if line.kind in IN_THE_EMPTY_BOX)
        return self.insert_mg + self.box_mg + sum(with_it)

    @property
    def empty_tolerance_mg(self) -> int:
        """The tolerance of the empty box's weight: 2.6 standard deviations."""
        return _spread_of(row for row in self.tolerance if row.empty)

    def with_empty(self, weighed_mg: int) -> tuple[int, int]:
        """Gross weight and tolerance of the closed box, in mg, once the empty box has been weighed."""
        return (
            self.gross_mg - self.empty_mg + weighed_mg,
            _spread_of(row for row in self.tolerance if not row.empty),
        )


def _spread_of(rows: Iterable[UncertaintyPlan]) -> int:
    return round(SPREADS * sqrt(sum(row.sd_mg**2 for row in rows)))


class Plan(Row, frozen=True):
    """The answer for one parcel.

    Parameters
    ----------
    order
        The order's id.
    interior_um
        Length (not less than width), width, height of the insert.
    lower_bound_mm3, proven, gap
        No plan has a smaller interior volume than the bound, in whole cubic millimetres; whether this plan's equals it;
        0.07 where it is at most 7 % above it, None where nothing is known.
    seconds, steps, seed
        What the search used.
    version, input_sha256
        Of the code; of the order's content, rules included.
    rules
        Every rule in force.
    layers, items
        Layers from the bottom up; items in the order's order.
    centre_of_gravity_um
        Of the pieces, in the interior's frame, to a tenth of a millimetre.
    insert, box, weight
        See there.
    carton, no_carton
        The second answer, a carton from stock; or why there is none.
    warnings, notes, facts
        What is unusual in the order; what the insert's maker should know; rules that ask for less than is usual.
    carry, chosen
        Bills under the rules of the day; what the box was chosen for, where a shop chose it.
    schema_version
        Of the file; see `packing.plan.files`.
    """

    order: str
    interior_um: Size
    lower_bound_mm3: int
    proven: bool
    gap: float | None
    seconds: float
    steps: int
    seed: int
    version: str
    input_sha256: str
    rules: Rules
    layers: tuple[LayerPlan, ...]
    items: tuple[ItemPlan, ...]
    centre_of_gravity_um: Size
    insert: InsertPlan
    box: BoxPlan
    weight: WeightPlan
    carton: StockCartonPlan | None = None
    no_carton: Message | None = None
    warnings: tuple[Message, ...] = ()
    notes: tuple[Message, ...] = ()
    facts: tuple[FactPlan, ...] = ()
    carry: tuple[BillPlan, ...] = ()
    chosen: ChoicePlan | None = None
    status: Status = Status.PLANNED
    schema_version: int = SCHEMA_VERSION

    @property
    def bought(self) -> StockCartonPlan | None:
        """The carton from stock that the box is, where it is one."""
        names = {piece.carton for piece in self.box.pieces if piece.carton}
        return self.carton if self.carton and self.carton.name in names else None

    @property
    def sheet_size_um(self) -> tuple[int, int] | None:
        """The size that the insert's sheets are cut to where it is not their own: as large as a bought carton takes."""
        return self.bought.sheet_um if self.bought else None

    def items_of(self, layer: int | None) -> tuple[ItemPlan, ...]:
        """The items of one layer."""
        return tuple(item for item in self.items if item.layer == layer)


class Refusal(Row, frozen=True):
    """The reason why there is no plan.

    Parameters
    ----------
    status
        Impossible: proved. Not found: not within the effort.
    limit, item, by_um, by_mg
        The rule in the way, the id of the item that forces it, by how much.
    message
        One sentence with all of these.
    """

    order: str
    status: Status
    limit: str
    item: str
    by_um: int
    message: Message
    seconds: float
    steps: int
    seed: int
    version: str
    input_sha256: str
    by_mg: int | None = None
    schema_version: int = SCHEMA_VERSION
