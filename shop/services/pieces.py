"""Pieces that leave the rack for another reason than an order, and repairs of sent ones."""

from __future__ import annotations

from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from shop.models import (
    STATES_WITH_REASON,
    Allocation,
    Order,
    OrderEvent,
    OrderEventKind,
    Piece,
    PieceState,
    User,
)
from shop.services import audit, outdated
from shop.services.consignments import packed_with
from shop.services.errors import CannotMove
from shop.services.returns import to_be_inspected


def retire(piece: Piece, state: str, reason: str) -> None:
    """Mark a piece scrapped, mis-stamped or kept back, with the reason; only from the rack or from another of these."""
    if state not in STATES_WITH_REASON:
        raise CannotMove(_("A piece is marked scrapped, mis-stamped or kept back, not “%(state)s”.") % {"state": state})
    if not reason.strip():
        raise CannotMove(_("Give the reason why %(piece)s is %(state)s.") % {"piece": piece.label, "state": state})
    _move(piece, (PieceState.RACK, *STATES_WITH_REASON), PieceState(state), reason.strip()[:200])


def bring_back(piece: Piece) -> None:
    """Put a piece that was scrapped, mis-stamped or kept back on the rack again; one that came back, once inspected."""
    if to_be_inspected(piece):
        raise CannotMove(
            _("%(piece)s came back from its holder: look it over and measure it again first.") % {"piece": piece.label}
        )
    _move(piece, STATES_WITH_REASON, PieceState.RACK, "")


def correct_number(piece: Piece, number: int, why: str) -> None:
    """Give a piece the number that is stamped on it, where another had been typed; both and the reason stay on record.

    Raises
    ------
    CannotMove
        No reason is given, the number is another piece's of the product, or the piece is sent or in a closed box, whose
        papers speak of the old one; nothing changes.
    """
    why = why.strip()[:200]
    if not why:
        raise CannotMove(
            _("Say why the number of %(piece)s is corrected: it stays on record.") % {"piece": piece.label}
        )
    with transaction.atomic():
        hold(piece)
        _refuse_numbered(piece, number)
        before = {"number": piece.number}
        Piece.objects.filter(pk=piece.pk).update(number=number)
        piece.refresh_from_db(fields=["number"])
        outdated.mark(Q(lines__allocations__piece=piece.pk))
        audit.record(audit.NUMBER_CORRECTED, piece, before=before, after={"number": number, "why": why})


def _refuse_numbered(piece: Piece, number: int) -> None:
    """Raise CannotMove where a piece may not be given a number."""
    named = {"piece": piece.label, "state": piece.get_state_display(), "number": number}
    if piece.state in (PieceState.SENT, PieceState.REPAIR):
        raise CannotMove(_("%(piece)s is %(state)s: its papers went with this number.") % named)
    packed = packed_with(piece)
    if packed is not None:
        named["number"] = packed.order.number
        raise CannotMove(_("%(piece)s is packed for order %(number)d: open the box again first.") % named)
    if number == piece.number:
        raise CannotMove(_("%(piece)s has the number %(number)d already.") % named)
    there = Piece.objects.filter(product=piece.product, number=number).select_related("product").first()
    if there is not None:
        taken = {"piece": there.label, "state": there.get_state_display()}
        raise CannotMove(_("%(piece)s is already on record: it is %(state)s. A number is never given twice.") % taken)


def hold(piece: Piece) -> None:
    """Hold a piece, and before it the order that holds it, so that its box is not closed meanwhile."""
    # The order before the piece, as allocating does: two who hold them in opposite order would wait for each other.
    holding = Allocation.objects.live().filter(piece=piece.pk).values("line__order")
    list(Order.objects.select_for_update().filter(pk__in=holding))
    Piece.objects.select_for_update().get(pk=piece.pk)
    piece.refresh_from_db(fields=["state", "reason", "number"])


def take_in_for_repair(piece: Piece, why: str, by: User | None = None) -> None:
    """Note that a sent piece has come back for repair; it stays its holder's."""
    why = why.strip()[:200]
    if not why:
        raise CannotMove(_("Say what %(piece)s has come back for: it stays on record.") % {"piece": piece.label})
    with transaction.atomic():
        _move(piece, (PieceState.SENT,), PieceState.REPAIR, why)
        OrderEvent.objects.create(order=_held_for(piece), piece=piece, kind=OrderEventKind.REPAIR, by=by, why=why)


def give_back(piece: Piece, done: str = "", by: User | None = None) -> None:
    """Note that a piece that was in for repair has gone back to its holder, and what was done to it."""
    with transaction.atomic():
        _move(piece, (PieceState.REPAIR,), PieceState.SENT, "")
        kind, order = OrderEventKind.REPAIRED, _held_for(piece)
        OrderEvent.objects.create(order=order, piece=piece, kind=kind, by=by, why=done.strip()[:200])


def _held_for(piece: Piece) -> Order:
    """The order that holds a piece."""
    held = Allocation.objects.live().select_related("line__order").filter(piece=piece).first()
    if held is None:
        raise CannotMove(_("%(piece)s is held for no order: nobody can have sent it back.") % {"piece": piece.label})
    return held.line.order


def _move(piece: Piece, sources: tuple[PieceState, ...], target: PieceState, reason: str) -> None:
    before = {"state": piece.state, "reason": piece.reason}
    # Conditional: a piece that an order takes at the same moment is not scrapped under it.
    moved = Piece.objects.filter(pk=piece.pk, state__in=sources).update(state=target, reason=reason)
    piece.refresh_from_db(fields=["state", "reason"])
    if not moved:
        raise CannotMove(
            _("%(piece)s is %(state)s and cannot be marked %(target)s.")
            % {"piece": piece.label, "state": piece.get_state_display(), "target": target.label}
        )
    audit.record(f"marked {target.value}", piece, before=before, after={"state": piece.state, "reason": piece.reason})
