"""Allocation of pieces to the lines of an order: proposed, given, released.

A piece is given by a conditional update of its row, and a constraint of the database stands behind it: whoever comes
second gets a plain sentence, and nothing of what they asked for is changed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db import IntegrityError, transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.models import OPEN_STATES, Allocation, Order, OrderLine, OrderState, Piece, PieceState, Product, User
from shop.services import outdated
from shop.services.errors import CannotAllocate
from shop.services.matching import MatchedSets, matched_sets
from shop.services.passing import again_after_a_clash


@dataclass(frozen=True)
class Slot:
    """One place of a line: the product wanted and the piece proposed for it, or None."""

    line: OrderLine
    product: Product
    piece: Piece | None


@dataclass(frozen=True)
class Proposal:
    """Pieces proposed for what an order still wants, and sentences on what could not be met."""

    slots: list[Slot]
    notes: list[str]

    @property
    def choices(self) -> list[tuple[OrderLine, Piece]]:
        return [(slot.line, slot.piece) for slot in self.slots if slot.piece is not None]


def propose(order: Order) -> Proposal:
    """Propose measured pieces from the rack for every open place of the order.

    Matched sets get the lowest number that every product of the set has. The rest get their lowest numbers, first those
    that no matched set could be made with: a number that breaks the last one comes last, with a note.
    """
    # Matched lines first: they need one number in every product, single lines can take what is left.
    lines = list(order.lines.select_related("product", "product_set").order_by("-matched", "pk"))
    given = _given(lines)
    open_places = {line.pk: _still_wanted(line, given[line.pk]) for line in lines}
    rack = _rack(product for products in open_places.values() for product in products)
    slots: list[Slot] = []
    notes: list[str] = []
    for line in lines:
        if line.matched:
            slots += _matched_slots(line, rack, notes)
    single = [line for line in lines if not line.matched]
    wanted = {product for line in single for product in open_places[line.pk]}
    matched = matched_sets(wanted, [slot.piece for slot in slots if slot.piece is not None])
    for line in single:
        slots += [Slot(line, product, _take_single(rack, product, matched, notes)) for product in open_places[line.pk]]
    short = Counter(slot.product for slot in slots if slot.piece is None and not slot.line.matched)
    notes += [
        _("%(product)s: %(count)d missing on the rack, or not measured yet.") % {"count": count, "product": product}
        for product, count in short.items()
    ]
    return Proposal(slots, notes)


@again_after_a_clash
def allocate(order: Order, choices: Sequence[tuple[OrderLine, Piece]], by: User | None = None) -> list[Allocation]:
    """Give pieces to lines of an open order, all or none. Raises CannotAllocate with the reason."""
    with transaction.atomic():
        _lock_open(order)
        # Pieces are taken in one order by everyone, so that two who want the same ones do not wait for each other.
        sequence = sorted(range(len(choices)), key=lambda place: choices[place][1].pk)
        given = {place: _give(order, *choices[place], by) for place in sequence}
        return [given[place] for place in range(len(choices))]


@again_after_a_clash
def release(allocation: Allocation, why: str = "") -> None:
    """Take a piece back to the rack while its order is open; the allocation stays as history."""
    with transaction.atomic():
        _lock_open(allocation.line.order)
        _take_back(allocation, why)


@again_after_a_clash
def release_all(order: Order, why: str = "") -> int:
    """Take every piece of an open order back to the rack; returns how many."""
    with transaction.atomic():
        _lock_open(order)
        allocations = list(Allocation.objects.live().filter(line__order=order).select_related("piece__product"))
        for allocation in allocations:
            _take_back(allocation, why)
    return len(allocations)


def wanted_products(line: OrderLine) -> list[Product]:
    """The products a line still wants, one entry a piece."""
    return _still_wanted(line, _given([line])[line.pk])


def _given(lines: Iterable[OrderLine]) -> dict[int, Counter[int]]:
    """The number of pieces that each line has of each product."""
    given: dict[int, Counter[int]] = {line.pk: Counter() for line in lines}
    live = Allocation.objects.live().filter(line__in=list(given)).order_by()
    for line_id, product_id in live.values_list("line", "piece__product_id"):
        given[line_id][product_id] += 1
    return given


def _still_wanted(line: OrderLine, given: Counter[int]) -> list[Product]:
    """One entry a piece, without those that are given; counts them down."""
    wanted = []
    for product in line.products_wanted():
        if given[product.pk]:
            given[product.pk] -= 1
        else:
            wanted.append(product)
    return wanted


def _rack(products: Iterable[Product]) -> dict[int, list[Piece]]:
    rack: dict[int, list[Piece]] = {product.pk: [] for product in products}
    pieces = Piece.objects.measured().filter(product__in=list(rack), state=PieceState.RACK)
    for piece in pieces.select_related("product").order_by("number"):
        rack[piece.product_id].append(piece)
    return rack


def _take(rack: dict[int, list[Piece]], product: Product, number: int | None = None) -> Piece | None:
    for index, piece in enumerate(rack[product.pk]):
        if number is None or piece.number == number:
            return rack[product.pk].pop(index)
    return None


def _take_single(
    rack: dict[int, list[Piece]], product: Product, matched: MatchedSets, notes: list[str]
) -> Piece | None:
    piece = min(rack[product.pk], key=lambda one: (matched.rank(one), one.number), default=None)
    if piece is None:
        return None
    notes += [
        _("%(piece)s breaks the last matched set of “%(set)s”: no other number is left in all of its products.")
        % {"piece": piece.label, "set": name}
        for name in matched.last_of(piece)
    ]
    matched.take(piece)
    return _take(rack, product, piece.number)


def _matched_slots(line: OrderLine, rack: dict[int, list[Piece]], notes: list[str]) -> list[Slot]:
    """Places of a matched line, set by set: first those begun with a number, then new ones."""
    members = list(dict.fromkeys(line.products_wanted()))
    begun: dict[int, set[int]] = {}
    given = Allocation.objects.live().filter(line=line).values_list("piece__number", "piece__product_id")
    for number, product_id in given:
        begun.setdefault(number, set()).add(product_id)
    slots: list[Slot] = []
    for number, product_ids in sorted(begun.items()):
        open_members = [product for product in members if product.pk not in product_ids]
        slots += _one_number(line, open_members, rack, number, notes)
    for _copy in range(line.quantity - len(begun)):
        slots += _one_number(line, members, rack, _common_number(members, rack), notes)
    return slots


def _one_number(
    line: OrderLine, members: list[Product], rack: dict[int, list[Piece]], number: int | None, notes: list[str]
) -> list[Slot]:
    if number is None:
        notes.append(
            _("“%(set)s”: no number is on the rack, measured, in all of its products, so none can be matched.")
            % {"set": line.what}
        )
        return [Slot(line, product, None) for product in members]
    slots = [Slot(line, product, _take(rack, product, number)) for product in members]
    notes += [
        _("%(product)s number %(number)d would match, but is not on the rack or not measured.")
        % {"product": slot.product.code, "number": number}
        for slot in slots
        if slot.piece is None
    ]
    return slots


def _common_number(members: list[Product], rack: dict[int, list[Piece]]) -> int | None:
    numbers = [{piece.number for piece in rack[product.pk]} for product in members]
    common = set.intersection(*numbers) if numbers else set()
    return min(common, default=None)


def _lock_open(order: Order) -> None:
    """Hold the order's row where the database can, and refuse an order that is packed, sent or cancelled."""
    state = Order.objects.select_for_update().values_list("state", flat=True).get(pk=order.pk)
    if state not in OPEN_STATES:
        raise CannotAllocate(
            _("Order %(number)d is %(state)s: its pieces cannot be changed.")
            % {"number": order.number, "state": OrderState(state).label}
        )


def _give(order: Order, line: OrderLine, piece: Piece, by: User | None) -> Allocation:
    names = {"piece": piece.label, "line": line.what, "number": order.number, "product": piece.product}
    if line.order_id != order.pk:
        raise CannotAllocate(_("“%(line)s” is not a line of order %(number)d.") % names)
    if piece.shop_id != order.shop_id:
        raise CannotAllocate(_("%(piece)s belongs to another shop.") % names)
    wanted = {product.pk: product for product in line.products_wanted()}
    if piece.product_id not in wanted:
        names["wanted"] = ", ".join(str(product) for product in wanted.values())
        raise CannotAllocate(
            _("%(piece)s is %(product)s; “%(line)s” of order %(number)d wants %(wanted)s.") % names
            if wanted
            else _("%(piece)s is %(product)s; “%(line)s” of order %(number)d wants no piece.") % names
        )
    if piece.product_id not in {product.pk for product in wanted_products(line)}:
        raise CannotAllocate(
            _("“%(line)s” of order %(number)d has all its pieces of this product; %(piece)s is one too many.") % names
        )
    _refuse_unmatched(line, piece)
    # The update decides who gets the piece: its row may have changed since it was read, and only one can move it.
    taken = Piece.objects.filter(pk=piece.pk, state=PieceState.RACK).update(state=PieceState.ALLOCATED)
    if not taken:
        raise CannotAllocate(_where_it_is(piece))
    try:
        with transaction.atomic():
            # A savepoint of its own: PostgreSQL takes no more statements in a transaction where one has failed, and the
            # sentence that follows asks where the piece is.
            allocation = Allocation.objects.create(piece=piece, line=line, made_by=by)
    except IntegrityError as clash:
        raise CannotAllocate(_where_it_is(piece)) from clash
    piece.state = PieceState.ALLOCATED
    return allocation


def _refuse_unmatched(line: OrderLine, piece: Piece) -> None:
    if not line.matched:
        return
    given = set(Allocation.objects.live().filter(line=line).values_list("piece__number", flat=True))
    if piece.number not in given and len(given) >= line.quantity:
        raise CannotAllocate(
            _("%(piece)s does not match: “%(line)s” is of one number, which is %(number)s.")
            % {"piece": piece.label, "line": line.what, "number": ", ".join(str(n) for n in sorted(given))}
        )


def _where_it_is(piece: Piece) -> str:
    live = Allocation.objects.live().filter(piece=piece).select_related("line__order").first()
    if live is not None:
        return _("%(piece)s has been taken meanwhile: it is held for order %(number)d.") % {
            "piece": piece.label,
            "number": live.line.order.number,
        }
    state = Piece.objects.values_list("state", flat=True).get(pk=piece.pk)
    return _("%(piece)s is not on the rack: it is %(state)s.") % {
        "piece": piece.label,
        "state": PieceState(state).label,
    }


def _take_back(allocation: Allocation, why: str) -> None:
    # Live ones alone: an allocation that two people put back is put back once.
    released = (
        Allocation.objects.live().filter(pk=allocation.pk).update(released_at=timezone.now(), released_why=why[:200])
    )
    if not released:
        raise CannotAllocate(_("%(piece)s has been put back already.") % {"piece": allocation.piece.label})
    outdated.mark(Q(lines__allocations=allocation.pk))
    # From “allocated” alone: a piece in another state keeps it.
    Piece.objects.filter(pk=allocation.piece_id, state=PieceState.ALLOCATED).update(state=PieceState.RACK)
