"""A box plan: where each piece lies, the insert, the box, the weights; frozen, in whole micrometres and milligrams."""

from packing.measure import Rules
from packing.plan.bill import BillPlan, ChoicePlan
from packing.plan.box import BoxPlan, FactPlan
from packing.plan.insert import InsertPlan, StockCartonPlan
from packing.plan.kinds import Form, ItemKind, Part, Pose, Sharp, Status, SundryKind, Unit
from packing.plan.messages import Message
from packing.plan.rows import Row, Size

SCHEMA_VERSION = 2
"""Of the file. Raised when a file of before cannot be read as it stands: `packing.plan.files` then upgrades it."""


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
    """Where one item lies.

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


class UncertaintyPlan(Row, frozen=True):
    """One component of the weight's uncertainty: its standard deviation, and why."""

    source: Message
    sd_mg: int
    why: Message


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

    def items_of(self, layer: int | None) -> tuple[ItemPlan, ...]:
        """The items of one layer."""
        return tuple(item for item in self.items if item.layer == layer)


class Refusal(Row, frozen=True):
    """Why there is no plan.

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
