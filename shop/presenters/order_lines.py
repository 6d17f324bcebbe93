"""The pieces of an order as its screen shows them: each line's places, which number fills them, what could."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from django.forms import BoundField
from django.utils.translation import gettext as _

from shop import adapter
from shop.forms import OpenPlace, PlacesForm
from shop.models import Allocation, Order, OrderLine, Piece, PieceState, Product
from shop.money import Money
from shop.services import allocation


@dataclass(frozen=True)
class Pocket:
    """Where an item lies: its letter in its box, and the number of its parcel where there are several."""

    letter: str
    parcel: int | None = None


@dataclass(frozen=True)
class Place:
    """One place of a line: the piece that fills it, or the field in which its number is typed."""

    product: Product
    allocation: Allocation | None = None
    pocket: Pocket | None = None
    field: BoundField | None = None
    on_rack: str = ""
    gaps: str = ""


@dataclass(frozen=True)
class LinePresenter:
    """One line of an order with all its places."""

    line: OrderLine
    places: list[Place]
    mismatch: str = ""
    pockets: list[Pocket] = field(default_factory=list)

    @property
    def price(self) -> Money | None:
        """The price of the line, if it has one."""
        if self.line.unit_price is None:
            return None
        return (Money(self.line.unit_price, self.line.currency) * self.line.quantity).rounded()

    @property
    def is_block(self) -> bool:
        return self.line.block_id is not None


@dataclass(frozen=True)
class LinesPresenter:
    """All lines of an order, the form that fills their open places, and sentences on what cannot be met."""

    lines: list[LinePresenter]
    form: PlacesForm | None
    notes: list[str]


def order_lines(order: Order, *, form: PlacesForm | None = None, propose: bool = True) -> LinesPresenter:
    """The pieces of an order; `form` is a refused one to show again. Without `propose` no places are opened."""
    lines = list(order.lines.select_related("product", "product_set", "block"))
    held = _held(order)
    opened: list[OpenPlace] = []
    notes: list[str] = []
    if propose and order.is_open:
        opened, notes = open_places(order)
        form = form or (PlacesForm(order=order, places=opened) if opened else None)
    in_pockets, blocks = _letters(order)
    empty = _empty_places(opened, form) if form is not None else {}
    sheets = []
    for line in lines:
        filled = [Place(given.piece.product, given, in_pockets.get(given.piece_id)) for given in held[line.pk]]
        places = [*filled, *empty.get(line.pk, [])]
        sheets.append(LinePresenter(line, places, _mismatch(line, held[line.pk]), blocks.get(line.pk, [])))
    return LinesPresenter(sheets, form, notes)


def open_places(order: Order) -> tuple[list[OpenPlace], list[str]]:
    """The places of an order without a piece, each with the number proposed, and why some have none."""
    proposal = allocation.propose(order)
    places: list[OpenPlace] = []
    count: dict[tuple[int, int], int] = defaultdict(int)
    for slot in proposal.slots:
        key = (slot.line.pk, slot.product.pk)
        count[key] += 1
        name = f"place-{key[0]}-{key[1]}-{count[key]}"
        places.append(OpenPlace(name, slot.line, slot.product, slot.piece.number if slot.piece else None))
    return places, proposal.notes


def number_runs(numbers: Iterable[int]) -> str:
    """Numbers for reading, runs drawn together: 3, 5, 8–11."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        str(run[0]) if len(run) == 1 else f"{run[0]}{', ' if len(run) == 2 else '–'}{run[-1]}" for run in runs
    )


def gaps_between(numbers: Iterable[int]) -> list[int]:
    """Numbers from 1 to the highest that are not among these."""
    stamped = set(numbers)
    return [number for number in range(1, max(stamped, default=0)) if number not in stamped]


def _held(order: Order) -> dict[int, list[Allocation]]:
    held: dict[int, list[Allocation]] = defaultdict(list)
    live = Allocation.objects.live().filter(line__order=order).select_related("piece__product")
    for given in live.order_by("piece__number", "piece__product__code"):
        held[given.line_id].append(given)
    return held


def _letters(order: Order) -> tuple[dict[int, Pocket], dict[int, list[Pocket]]]:
    """From the parcels' plans: the letter of each piece, by its row; the letters of each line's blocks."""
    pieces: dict[int, Pocket] = {}
    blocks: dict[int, list[Pocket]] = defaultdict(list)
    for plan in (parcel.plan for parcel in order.parcels.select_related("plan")):
        sources = adapter.sources_of(plan)
        for item in adapter.plan_of(plan).items:
            source = sources[item.id]
            letter = Pocket(item.letter, plan.parcel_number if plan.parcel_count > 1 else None)
            if source.is_piece:
                pieces[source.pk] = letter
            else:
                blocks[source.line].append(letter)
    return pieces, blocks


def _numbers(products: Iterable[int]) -> dict[int, tuple[str, str]]:
    """For each product the numbers on the rack and the numbers never stamped, for reading."""
    stamped: dict[int, list[int]] = defaultdict(list)
    rack: dict[int, list[int]] = defaultdict(list)
    rows = Piece.objects.filter(product__in=list(products)).values_list("product_id", "number", "state")
    for product, number, state in rows.order_by():
        stamped[product].append(number)
        if state == PieceState.RACK:
            rack[product].append(number)
    return {key: (number_runs(rack[key]), number_runs(gaps_between(stamped[key]))) for key in stamped}


def _empty_places(opened: Sequence[OpenPlace], form: PlacesForm) -> dict[int, list[Place]]:
    """The open places of each line, with their fields and what is on the rack for them."""
    known = _numbers({place.product.pk for place in opened})
    places: dict[int, list[Place]] = defaultdict(list)
    for place in opened:
        on_rack, gaps = known.get(place.product.pk, ("", ""))
        places[place.line.pk].append(Place(place.product, field=form[place.name], on_rack=on_rack, gaps=gaps))
    return places


def _mismatch(line: OrderLine, held: Sequence[Allocation]) -> str:
    numbers = sorted({given.piece.number for given in held})
    if not line.matched or len(numbers) <= line.quantity:
        return ""
    return _("These numbers do not match: %(numbers)s.") % {"numbers": ", ".join(str(number) for number in numbers)}
